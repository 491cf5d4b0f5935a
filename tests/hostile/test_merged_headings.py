"""Headings merged with their neighbours: the names of those columns are gone, and the message says so."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import load_workbook

import costing
from tests.hostile.sources import exported, packed


def test_merged_headings_are_named_as_such(tmp_path: Path) -> None:
    """Merging leaves the first of the headings only, so that a column would seem to be missing."""
    path = tmp_path / "book.xlsx"
    path.write_bytes(packed(dict(exported(0))))
    book = load_workbook(path)
    sheet = book["Purchases"]
    (heading,) = [cell for row in sheet.iter_rows(max_row=12) for cell in row if cell.value == "Supplier"]
    sheet.merge_cells(start_row=heading.row, end_row=heading.row, start_column=heading.column, end_column=heading.column + 2)
    (span,) = [str(each) for each in sheet.merged_cells.ranges if heading.coordinate in each]
    book.save(path)
    with pytest.raises(costing.Faults) as told:
        costing.read_season(path)
    assert [str(fault) for fault in told.value.faults if "merged" in str(fault)] == [
        f"Purchases, {span}: headings are merged into one cell; split it again, and write back the headings that are lost"
    ]
