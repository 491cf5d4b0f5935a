"""A workbook as an engine takes it, cell by cell, and the engine's results held against those that are stored."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, time
from pathlib import Path
from typing import Any

from openpyxl.utils.cell import coordinate_to_tuple
from openpyxl.utils.datetime import to_excel

from tests.workbook.libreoffice import Difference, same
from tests.workbook.stored_cells import StoredCell, defined_names, stored_cells

Place = tuple[str, int, int]  # sheet, row, column
# How many worked cells were typed over: HyperFormula asks that of one cell only and the package formulas of none, so here
# none was. LibreOffice tells it.
TYPED_OVER = re.compile(r"SUMPRODUCT\(1-_xlfn\.ISFORMULA\(\w+\)\)|MAX\(0,\w+-SUMPRODUCT\(_xlfn\.ISFORMULA\(\w+\)\*1\)\)")


@dataclass(frozen=True)
class FormulaCell:
    """A cell with a formula and the result stored beside it."""

    place: Place
    coordinate: str
    formula: str
    stored: Any


class Sheets:
    """The sheets of a workbook with their formulas, names and stored results."""

    def __init__(self, path: Path) -> None:
        self._cells = {
            title: {place: _asking_nothing(cell) for place, cell in cells.items()}
            for title, cells in stored_cells(path).items()
        }
        names = defined_names(path).items()
        self.names = {name: f"={place}" for name, place in names if not name.endswith("_filled")}  # those are in no formula

    def rows(self) -> dict[str, list[list[Any]]]:
        """Return what stands in the cells of each sheet, from its first row and column on."""
        return {title: _grid(cells) for title, cells in self._cells.items()}

    def values(self) -> dict[Place, Any]:
        """Return what stands in the cells without a formula that are not blank."""
        return {
            (title, *coordinate_to_tuple(coordinate)): cell.value
            for title, cells in self._cells.items()
            for coordinate, cell in cells.items()
            if not cell.formula
        }

    def formulas(self) -> Iterator[FormulaCell]:
        """Yield every cell with a formula."""
        for title, cells in self._cells.items():
            for coordinate, cell in cells.items():
                if cell.formula:
                    yield FormulaCell((title, *coordinate_to_tuple(coordinate)), coordinate, cell.formula, cell.value)

    def spoil(self, sheet: str, coordinate: str, old: str, new: str) -> None:
        """Change a formula, and keep its result."""
        cell = self._cells[sheet][coordinate]
        assert old in cell.formula
        self._cells[sheet][coordinate] = cell._replace(formula=cell.formula.replace(old, new, 1))


def _grid(cells: Mapping[str, StoredCell]) -> list[list[Any]]:
    """Return cells as rows, each as typed in: a formula as it is, a text behind an apostrophe."""
    placed = {coordinate_to_tuple(coordinate): cell for coordinate, cell in cells.items()}
    grid: list[list[Any]] = [[None] * max(column for _, column in placed) for _ in range(max(row for row, _ in placed))]
    for (row, column), cell in placed.items():
        grid[row - 1][column - 1] = cell.formula or (f"'{cell.value}" if isinstance(cell.value, str) else cell.value)
    return grid


def differing(sheets: Sheets, results: Mapping[Place, Any]) -> tuple[int, list[Difference]]:
    """Return how many formulas there are, and those whose stored result is not the engine's."""
    cells = list(sheets.formulas())
    found = [
        Difference(f"{cell.place[0]}!{cell.coordinate}", cell.formula, cell.stored, results.get(cell.place))
        for cell in cells
        if not _agree(cell.stored, results.get(cell.place))
    ]
    return len(cells), found


def _agree(stored: Any, result: Any) -> bool:
    """Say whether two results are of one kind and equal, numbers to nine digits. An error is a text of its own."""
    kinds = [
        bool if isinstance(each, bool) else float if isinstance(each, int | float) else str for each in (stored, result)
    ]
    return kinds[0] is kinds[1] and same(stored, result)


def _asking_nothing(cell: StoredCell) -> StoredCell:
    return cell._replace(formula=TYPED_OVER.sub("0", cell.formula)) if "ISFORMULA" in cell.formula else cell


def typed_in(value: Any) -> Any:
    """Return a content as typed in: a formula as it is, a text behind an apostrophe."""
    if not isinstance(value, str):
        number: Any = to_excel  # it has no types
        return number(value) if isinstance(value, date | time) else value
    return TYPED_OVER.sub("0", value) if value.startswith("=") else f"'{value}"
