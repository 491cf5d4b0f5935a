"""The sheet Weigh out follows its dials: typed there, every cell of it is what Python works out, in two engines."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

import costing
from costing.tables.deciding.weigh_out import Weigh
from tests.engines.hyperformula import after_edits, fetched
from tests.engines.sheets import Sheets
from tests.small_season import small_folder
from tests.workbook.books import Book, typed_into
from tests.workbook.libreoffice import recalculated, same
from tests.workbook.stored_cells import stored_cells

pytestmark = pytest.mark.slow

SHEET = "Weigh out"
DIALS: list[dict[str, Any]] = [
    {"formula": "scrub", "batches": 2.5, "grams": None},
    {"formula": "bar", "batches": 1, "grams": 333},
    {"formula": "whip", "batches": 0.013, "grams": None},
]


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> costing.SeasonRecords:
    """A season of three formulas, each made from the one before."""
    return costing.read_season(small_folder(tmp_path_factory.mktemp("weigh") / "season"))


def exported(records: costing.SeasonRecords, path: Path, dial: dict[str, Any] | None = None) -> Path:
    """Write the season's workbook, with the dials turned to something."""
    weigh = None
    if dial:
        grams = None if dial["grams"] is None else Decimal(dial["grams"])
        weigh = Weigh.model_construct(formula=dial["formula"], batches=Decimal(str(dial["batches"])), grams=grams)
    costing.export(costing.cost(records, weigh=weigh), path, all_sheets=True)
    return path


def turned(book: Book, dial: dict[str, Any]) -> dict[tuple[str, str], Any]:
    """Return what is typed to turn the dials, by sheet and address."""
    return {(SHEET, book.place(SHEET, "Value", book.row(SHEET, "Value", {"Key": key}))): to for key, to in dial.items()}


def formulas(path: Path) -> dict[str, Any]:
    """Return the stored results of the sheet's formulas by address."""
    return {place: cell.value for place, cell in stored_cells(path)[SHEET].items() if cell.formula}


@pytest.mark.parametrize(
    "dial",
    [DIALS[0], *(pytest.param(dial, marks=pytest.mark.long) for dial in DIALS[1:])],
    ids=[dial["formula"] for dial in DIALS],
)
def test_libreoffice_agrees_wherever_the_dials_are_turned(
    dial: dict[str, Any], season: costing.SeasonRecords, tmp_path: Path
) -> None:
    book = exported(season, tmp_path / "book.xlsx")
    typed_into(book, tmp_path / "turned.xlsx", turned(Book.at(book), dial))
    ours = formulas(exported(season, tmp_path / "anew.xlsx", dial))
    found = recalculated(tmp_path / "turned.xlsx")[0].cells[SHEET]
    assert [place for place, value in ours.items() if not same(value, found[place].value)] == []
    assert len(ours) > 60
    assert ours != formulas(book)


def test_hyperformula_agrees_wherever_the_dials_are_turned(season: costing.SeasonRecords, tmp_path: Path) -> None:
    book = exported(season, tmp_path / "book.xlsx")
    sheets = Sheets(book)
    cells = [cell for cell in sheets.formulas() if cell.place[0] == SHEET]
    where = {cell.coordinate: cell.place for cell in sheets.formulas() if cell.place[0] == SHEET}
    cells_of = Book.at(book)
    edits = [{place_of(address): to for (_, address), to in turned(cells_of, dial).items()} for dial in DIALS]
    before, after = after_edits(sheets, edits, [cell.place for cell in cells], fetched(tmp_path), tmp_path)
    assert len(before) == len(where) > 60
    for dial, found in zip(DIALS, after, strict=True):
        ours = formulas(exported(season, tmp_path / f"{dial['formula']}.xlsx", dial))
        assert [
            cell.coordinate for cell, value in zip(cells, found, strict=True) if not same(ours[cell.coordinate], value)
        ] == []


def place_of(address: str) -> tuple[str, int, int]:
    """Return the place of a cell of the sheet."""
    from openpyxl.utils.cell import coordinate_to_tuple  # noqa: PLC0415

    return (SHEET, *coordinate_to_tuple(address))
