"""What is no table, or lacks a part, or counts its days otherwise, never reads as a season with less in it."""

from __future__ import annotations

import re
import shutil
import zipfile
from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook
from openpyxl.utils.datetime import CALENDAR_MAC_1904

import costing
from tests.seasons import SAMPLE


@pytest.mark.parametrize("text", [
    "overhead,amount,shared_by Stall,120,units Insurance,60,units",
    '[{"overhead": "Stall", "amount": 120}]',
    "<!DOCTYPE html><html><table><tr><td>Stall</td></tr></table></html>",
])  # fmt: skip
def test_a_file_that_is_no_table_is_a_fault(text: str, tmp_path: Path) -> None:
    """Lost line breaks, JSON and a page from the web would else read as no overheads at all."""
    folder = shutil.copytree(SAMPLE, tmp_path / "season")
    (folder / "overheads.csv").write_text(text, encoding="utf-8")
    with pytest.raises(costing.Faults) as caught:
        costing.read_season(folder)
    assert any(fault.where.startswith("overheads.csv") for fault in caught.value.faults)


def test_a_heading_alone_means_none(tmp_path: Path) -> None:
    folder = shutil.copytree(SAMPLE, tmp_path / "season")
    (folder / "weighings.csv").write_text("product,weighed_on,gross_grams\n", encoding="utf-8")
    assert len(costing.read_season(folder).weighings) == 0


def small_book(path: Path, *, from_1904: bool = False) -> Path:
    """Write a season by hand, one purchase's day as a date and one as the number of days that stands in the cell."""
    book = Workbook()
    book.remove(book.worksheets[0])
    if from_1904:
        book.epoch = CALENDAR_MAC_1904
    days = (date(2026, 10, 1) - date(1899, 12, 30)).days - (1462 if from_1904 else 0)
    sheets: dict[str, list[tuple[object, ...]]] = {
        "season": [("key", "value"), ("name", "Small"), ("currency", "EUR"), ("priced_on", date(2026, 11, 1))],
        "purchases": [
            ("bought_on", "item", "size", "unit", "paid"),
            (date(2026, 10, 1), "Oil", 1, "kg", 5),
            (days, "Jar", 1, "piece", 1),
        ],
        "formulas": [("formula",), ("Rub",)],
        "lines": [("formula", "step", "item", "grams"), ("Rub", "mix", "Oil", 100)],
        "tubs": [("tub", "part"), ("Small jar", "Jar")],
        "products": [("product", "filled_with", "tub", "fill_grams"), ("Jar of rub", "Rub", "Small jar", 50)],
        "channels": [("channel", "margin_percent"), ("Stall", 30)],
        "prices": [("product", "channel", "planned"), ("Jar of rub", "Stall", 9)],
        "overheads": [("overhead", "amount"), ("Stall", 100)],
    }
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(path)
    return path


@pytest.mark.parametrize("from_1904", [False, True])
def test_days_count_from_where_the_workbook_counts_them(tmp_path: Path, *, from_1904: bool) -> None:
    """The system of 1904 is 1462 days behind that of 1900, for bare numbers of days too."""
    records = costing.read_season(small_book(tmp_path / "season.xlsx", from_1904=from_1904))
    assert [row.bought_on for row in records.purchases] == [date(2026, 10, 1)] * 2


def test_a_sheet_whose_part_is_missing_is_refused(tmp_path: Path) -> None:
    """Else its table would read as one without rows, and everything would be cheaper."""
    whole, broken = small_book(tmp_path / "season.xlsx"), tmp_path / "broken.xlsx"
    assert len(costing.read_season(whole).overheads) == 1
    with zipfile.ZipFile(whole) as old, zipfile.ZipFile(broken, "w") as new:
        last = max(name for name in old.namelist() if re.search(r"worksheets/sheet\d\.xml", name))
        for name in old.namelist():
            if name != last:
                new.writestr(name, old.read(name))
    with pytest.raises(costing.Refusal, match="its sheet overheads is not in the file"):
        costing.read_season(broken)
