"""A new export takes over what a maker put into the workbook that it replaces: sheets, comments, widths of columns."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.comments import Comment
from openpyxl.styles import Font

import costing
from tests.workbook.small_season import TABLES, few_free_rows

pytestmark = pytest.mark.slow


def _exported(path: Path, tables: dict[str, Any], *, replace: bool = True) -> costing.Written:
    with few_free_rows():
        return costing.export(costing.cost(costing.records_from(**tables)), path, replace=replace)


def _made_own(path: Path) -> None:
    book = openpyxl.load_workbook(path)
    own = book.create_sheet("Ideas")
    own["A1"], own["B2"], own["C3"], own["A4"] = "orange peel", 12.5, "=SUM(purchases_paid)+B2", "=no formula"
    own["A4"].data_type = "s"
    own["A1"].font, own["B2"].number_format = Font(bold=True, color="FF0000FF"), "0.00"
    own.column_dimensions["A"].width, own.row_dimensions[2].height = 33, 40
    own.merge_cells("A6:C6")
    own["B2"].comment = Comment("a guess", "me")
    purchases = book["Purchases"]
    row = next(cell.row for cell in purchases["D"] if cell.value == "jar")
    purchases.cell(row, 8).comment = Comment("ask again in May", "me")
    purchases.column_dimensions["B"].width = 47
    book["At a glance"].column_dimensions["A"].width = 51
    book.save(path)


@pytest.fixture(scope="module")
def again(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """Return the workbook after it was made a maker's own, and exported twice with another purchase above the others."""
    path = tmp_path_factory.mktemp("own") / "prices.xlsx"
    _exported(path, TABLES)
    _made_own(path)
    first = {
        "bought_on": "2026-06-01",
        "supplier": "Mill",
        "invoice": "1",
        "item": "sugar",
        "size": 1,
        "unit": "kg",
        "paid": 2,
    }
    more = TABLES | {"purchases": [first, *TABLES["purchases"]]}
    assert _exported(path, more).kept
    assert not _exported(path, more).kept  # which no program saved, and is taken over all the same
    return openpyxl.load_workbook(path), openpyxl.load_workbook(path, data_only=True)


def test_own_sheets_stand_behind_the_others(again: Any) -> None:
    """Values, formulas, formats, widths, heights, merged cells and comments; a text that begins with = stays one."""
    own = again[0]["Ideas"]
    assert again[0].sheetnames[-1] == "Ideas"
    assert (own["A1"].value, own["B2"].value, own["C3"].value, own["A4"].value) == (
        "orange peel", 12.5, "=SUM(purchases_paid)+B2", "=no formula",
    )  # fmt: skip
    assert (own["C3"].data_type, own["A4"].data_type) == ("f", "s")
    assert (own["A1"].font.b, own["B2"].number_format, own["B2"].comment.text) == (True, "0.00", "a guess")
    assert (own.column_dimensions["A"].width, own.row_dimensions[2].height) == (33, 40)
    assert [each.coord for each in own.merged_cells.ranges] == ["A6:C6"]
    assert "purchases_paid" in again[0].defined_names


def test_a_comment_stays_with_its_record(again: Any) -> None:
    """It moves down with its row, and the cells of the sheet are all there."""
    sheet = again[0]["Purchases"]
    found = {(cell.row, cell.column): cell.comment.text for row in sheet.iter_rows() for cell in row if cell.comment}
    row = next(cell.row for cell in sheet["D"] if cell.value == "jar")
    assert found == {(row, 8): "ask again in May"}
    assert sheet.cell(row, 8).value == 16
    assert again[1]["Purchases"].cell(row, 8).value == 16


def test_widths_that_were_changed_are_kept_and_no_others(again: Any, tmp_path: Path) -> None:
    _exported(tmp_path / "new.xlsx", TABLES)
    new = openpyxl.load_workbook(tmp_path / "new.xlsx")
    assert again[0]["Purchases"].column_dimensions["B"].width == 47
    assert again[0]["At a glance"].column_dimensions["A"].width == 51
    same = [again[0]["Purchases"].column_dimensions[letter].width for letter in "ACDE"]
    assert same == [new["Purchases"].column_dimensions[letter].width for letter in "ACDE"]


def test_a_workbook_of_another_season_hands_nothing_over(tmp_path: Path) -> None:
    path = tmp_path / "prices.xlsx"
    _exported(path, TABLES)
    _made_own(path)
    assert _exported(path, TABLES | {"season": TABLES["season"] | {"name": "Another"}}).kept
    assert "Ideas" not in openpyxl.load_workbook(path).sheetnames
