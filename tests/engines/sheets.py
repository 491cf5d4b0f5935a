"""A workbook as an engine takes it, cell by cell, and the engine's results held against those that are stored."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, time
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.utils.datetime import to_excel

from tests.workbook.libreoffice import Difference, same
from tests.workbook.lint import cells_of

Place = tuple[str, int, int]  # sheet, row, column
# How many worked cells were typed over: HyperFormula asks that of one cell only and the package formulas of none, so here
# none was. LibreOffice tells it.
TYPED_OVER = re.compile(r"SUMPRODUCT\(1-_xlfn\.ISFORMULA\(\w+\)\)")


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
        self.book = openpyxl.load_workbook(path)
        self._stored = openpyxl.load_workbook(path, data_only=True)
        for sheet in self.book:
            for cell in cells_of(sheet):
                if cell.data_type == "f" and "ISFORMULA" in str(cell.value):
                    cell.value = TYPED_OVER.sub("0", str(cell.value))

    @property
    def names(self) -> dict[str, str]:
        """The workbook's names, and what each stands for."""
        return {name: f"={defined.attr_text}" for name, defined in self.book.defined_names.items()}

    def rows(self) -> dict[str, list[list[Any]]]:
        """Return what stands in the cells of each sheet, from its first row and column on."""
        return {sheet.title: [[_typed(cell) for cell in row] for row in sheet.iter_rows()] for sheet in self.book}

    def values(self) -> dict[Place, Any]:
        """Return what stands in the cells without a formula that are not blank."""
        return {
            (sheet.title, cell.row, cell.column): _number_of(cell.value)
            for sheet in self.book
            for cell in cells_of(sheet)
            if cell.data_type != "f" and cell.value is not None
        }

    def formulas(self) -> Iterator[FormulaCell]:
        """Yield every cell with a formula."""
        for sheet in self.book:
            stored = self._stored[sheet.title]
            for cell in cells_of(sheet):
                if cell.data_type == "f":
                    result = _number_of(stored.cell(cell.row, cell.column).value)
                    yield FormulaCell((sheet.title, cell.row, cell.column), cell.coordinate, str(cell.value), result)

    def spoil(self, sheet: str, coordinate: str, old: str, new: str) -> None:
        """Change a formula, without its result."""
        cell = self.book[sheet][coordinate]
        assert old in str(cell.value)
        cell.value = str(cell.value).replace(old, new, 1)


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


def _typed(cell: Any) -> Any:
    return str(cell.value) if cell.data_type == "f" else typed_in(cell.value, formula=False)


def typed_in(value: Any, *, formula: bool = True) -> Any:
    """Return a content as typed in: a formula as it is, a text behind an apostrophe."""
    if not isinstance(value, str):
        return _number_of(value)
    return TYPED_OVER.sub("0", value) if formula and value.startswith("=") else f"'{value}"


def _number_of(value: Any) -> Any:
    number: Any = to_excel  # it has no types
    return number(value) if isinstance(value, date | time) else value
