"""Cells of an edited workbook as they are read: settings of every sort, blanks, and what no cell of records can hold."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest

import costing
from tests.workbook.books import Book
from tests.workbook.small_season import small_book


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("small") / "small.xlsx"
    small_book(path)
    return path


def edited(exported: Path, path: Path, edit: Callable[[Any, Callable[..., Any]], None]) -> Path:
    """Write the workbook with some cells changed: ``cell(sheet, heading, row)`` finds one."""
    book, places = openpyxl.load_workbook(exported), Book.at(exported)

    def cell(sheet: str, heading: str, row: dict[str, Any]) -> Any:
        return book[sheet][places.place(sheet, heading, places.row(sheet, heading, row))]

    edit(book, cell)
    book.save(path)
    return path


def test_settings_of_every_sort_are_read_from_their_one_column(exported: Path, tmp_path: Path) -> None:
    """A truth is yes or no, a date a day, a figure a figure, a text what it says; a row of blanks is none."""

    def edit(book: Any, cell: Callable[..., Any]) -> None:
        values = {
            "reclaims_tax": True, "priced_on": datetime(2026, 8, 1), "hourly_rate": 15.5, "name": "Small again",
            "ready_by": 46270, "cost_basis": "AVERAGE",
        }  # fmt: skip
        for key, value in values.items():
            cell("Settings", "Value", {"Key": key}).value = value
        free = next(row for row in book["Purchases"].iter_rows(min_row=5) if row[0].value is None and row[3].value is None)
        free[1].value = free[3].value = "  "
        cell("Purchases", "Note", {"Item": "lid"}).value = 330

    before = costing.read_season(exported)
    after = costing.read_season(edited(exported, tmp_path / "edited.xlsx", edit))
    settings = after.season
    assert (settings.reclaims_tax, settings.priced_on, settings.ready_by) == ("yes", date(2026, 8, 1), date(2026, 9, 5))
    assert (float(settings.hourly_rate), settings.name, settings.cost_basis) == (15.5, "Small again", "average")
    assert len(after.purchases) == len(before.purchases)
    assert next(row.note for row in after.purchases if row.item == "lid") == "330"


def test_what_no_cell_of_records_holds_is_told_with_its_place(exported: Path, tmp_path: Path) -> None:
    def edit(book: Any, cell: Callable[..., Any]) -> None:
        cell("Overheads", "Amount", {"Overhead": "mirror"}).value = "#N/A"
        cell("Overheads", "Amount", {"Overhead": "mirror"}).data_type = "e"
        cell("Overheads", "Amount", {"Overhead": "cover"}).value = "=10+10"
        cell("Products", "Minutes", {"Product": "scrub 100"}).value = datetime(2026, 8, 1)
        cell("Products", "Waste", {"Product": "scrub 100"}).value = True
        merged = cell("Tubs", "Count", {"Part": "jar"})
        book["Tubs"].merge_cells(start_row=merged.row, end_row=merged.row + 1, start_column=1, end_column=1)

    with pytest.raises(costing.Faults) as caught:
        costing.read_season(edited(exported, tmp_path / "edited.xlsx", edit))
    assert [str(fault) for fault in caught.value.faults] == [
        "Tubs, A6:A7: cells are merged; split them, and fill in each row",
        "Products, G6: 2026-08-01 is a date; write a number, and set the cell's format to number",
        "Products, H6: TRUE; write a figure or a text",
        "Overheads, B6: #N/A is an error; write the figure itself, or clear the cell",
        "Overheads, B7: =10+10 has no result; open the workbook in a spreadsheet program and save it, or write the figure "
        "itself",
        "sheet Tubs, row 7, Tub: is empty; fill it in: the key under which products name it",
        "sheet Overheads, rows 6 and 7, amount: is empty, as are its hours (2 alike); write what it costs, your own "
        "hours for it, or both; 0 for nothing",
    ]
