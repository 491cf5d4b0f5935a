"""Names of any script and with everyday marks in them do in a spreadsheet's look-ups what they do here."""

from __future__ import annotations

from pathlib import Path

import pytest

import costing
from tests.renamed import NAMED, SCRIPTS, renamed
from tests.seasons import Tables, as_records, sample_tables, seeded
from tests.workbook.libreoffice import differences, recalculated

pytestmark = pytest.mark.slow

MARKED = "a, 5 % (b): C & D's + E. #3 №2"


def _with_marks(tables: Tables) -> Tables:
    """Return the sample with every mark that a name may hold in the name of one formula, item, tub and product each."""
    for old in ("Everyday bar", "Shea butter", "Bar wrap", "Everyday bar 110 g"):
        for name, rows in tables.items():
            for row in rows if name != "season" else ():
                for column in NAMED & set(row):
                    parts = [f"{old} {MARKED}" if part == old else part for part in row[column].split("/")]
                    row[column] = "/".join(parts)
    return tables


def test_a_renamed_season_recalculates_to_what_it_cost_before(tmp_path: Path) -> None:
    """LibreOffice works every formula of the workbook out to the same as here, in three scripts and with all marks."""
    records = as_records(renamed(_with_marks(sample_tables()), list(SCRIPTS), seeded(2)))
    before, book = costing.cost(records), tmp_path / "renamed.xlsx"
    costing.export(before, book, all_sheets=True)
    read_back = costing.cost(costing.read_season(book))
    assert [row.total for row in read_back.products.rows] == [row.total for row in before.products.rows]
    names = "".join(row.name for row in before.items.rows) + "".join(row.item for row in before.items.rows)
    assert all(set(letters) & set(names) for letters in SCRIPTS.values())
    assert all(mark in names for mark in ",%():&'+.#№")
    count, found = differences(book, *recalculated(book))
    assert found == []
    assert count > 5000
