"""A text from a table is no formula in a spreadsheet, whatever separator that looks for; and comes back as it was."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.folder.csv_editing import CsvFile, defused, undefused

SIGNS = "=+-@\uff1d\uff0b\uff0d\uff20"
SEPARATORS = ",;\t|"


@given(st.text(st.sampled_from([*SIGNS, *SEPARATORS, "'", '"', " ", "\n", "a", "1", "."]), max_size=30))
@settings(deadline=None, max_examples=200)
def test_what_is_defused_comes_back(text: str) -> None:
    assert undefused(defused(text)) == text


@pytest.mark.parametrize("separator", SEPARATORS)
@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("before", ["", " ", "a,", "a;", "a\t", "a|", "a\n", "a; ", 'a;"', "a ,\t"])
def test_no_cell_begins_like_a_formula_whatever_the_separator(before: str, sign: str, separator: str) -> None:
    file = CsvFile.fresh(("key", "value"))
    file.add({"key": "name", "value": f"{before}{sign}HYPERLINK(1)"}, after=1)
    text = file.bytes().decode("utf-8")
    for cells in csv.reader(io.StringIO(text), delimiter=separator):
        assert not [cell for cell in cells if cell.strip(' "\t\r\n')[:1] in set(SIGNS)]


def test_everyday_texts_and_numbers_stay_as_they_are() -> None:
    for text in ("-12.50", "+5", "-1,5", "3 % off; plain", "rosé – dry", "a-b, c+d", "it's"):
        assert defused(text) == text


def test_a_long_text_is_no_trouble() -> None:
    assert undefused("\t" * 100_000 + "'") == "\t" * 100_000 + "'"
