"""The Python package formulas (PyPI) as an engine: its parser and its functions, one compiled formula for each column.

The package works a whole workbook out by itself, but compiles every cell anew, which takes minutes. Here a formula that
differs from the one above only in its row is compiled once, and cells are worked out as they are needed.
"""

from __future__ import annotations

import re
import sys
import threading
from collections.abc import Callable
from typing import Any

import formulas
import numpy as np
from formulas.functions import Array
from openpyxl.utils import range_boundaries
from schedula import EMPTY

from tests.engines.sheets import Place, Sheets

# A reference outside of texts, and the cells in it: column, sign of a fixed row, row.
REFERENCE = re.compile(
    r'"(?:[^"]|"")*"|(?<![\w.])(\$?[A-Z]{1,3}\$?(?:\d+|\[-?\d+\])(?::\$?[A-Z]{1,3}\$?(?:\d+|\[-?\d+\]))?)(?![\w(])'
)
CELL = re.compile(r"([A-Z]{1,3})(\$?)(\d+)")
FAR = 5000  # rows down, where a formula is compiled: there no range is a single cell, which would be told as one


CIRCLE = "circle"


class Circle(Exception):
    """A cell that needs itself."""


class Engine:
    """Works the cells of a workbook out, each once and when it is first needed."""

    def __init__(self, sheets: Sheets) -> None:
        self.cells = {cell.place: cell.formula for cell in sheets.formulas()}
        self.names = {name.upper(): text.removeprefix("=") for name, text in sheets.names.items()}
        self.typed = sheets.values()
        self.results: dict[Place, Any] = {}
        self._ranges: dict[tuple[str, str], Any] = {}
        self._compiled: dict[str, tuple[Callable[..., Any], list[str]]] = {}
        self._known: dict[tuple[Any, ...], Any] = {}  # by formula and inputs: free rows are alike
        self._going: set[Place] = set()

    def result(self, place: Place) -> Any:
        """Return what a cell comes to.

        Raises
        ------
        Circle
            When it needs itself.

        """
        if place not in self.cells:
            return self.typed.get(place, EMPTY)
        if place not in self.results:
            if place in self._going:
                raise Circle(place)
            self._going.add(place)
            self.results[place] = self._worked_out(place)
            self._going.remove(place)
        return self.results[place]

    def _worked_out(self, place: Place) -> Any:
        sheet, row, _ = place
        work_out, needed = self._shape(self.cells[place], row)
        inputs = [self._input(sheet, row, each) for each in needed]
        same = (work_out, *map(_mark, inputs))
        if same not in self._known:
            found = np.asarray(work_out(*inputs), dtype=object).ravel()
            value = found[0].item() if isinstance(found[0], np.generic) else found[0]
            self._known[same] = value if isinstance(value, bool | int | float | str) else str(value)
        return self._known[same]

    def _shape(self, formula: str, row: int) -> tuple[Callable[..., Any], list[str]]:
        """Return a formula compiled, and what it needs, with rows as distances from its own in square brackets."""
        shape = _with_rows(formula, lambda at: f"[{at - row}]")
        if shape not in self._compiled:
            moved = _with_rows(formula, lambda at: str(at + FAR))
            compiled = formulas.Parser().ast(moved)[1].compile()
            needs = dict(zip(_references(moved), _references(shape), strict=True))
            self._compiled[shape] = compiled, [needs.get(each, each) for each in compiled.inputs]
        return self._compiled[shape]

    def _input(self, sheet: str, row: int, needed: str) -> Any:
        if needed in self.names:
            sheet, _, needed = self.names[needed].replace("$", "").rpartition("!")
            return self._range(sheet.strip("'"), needed)
        return self._range(sheet, re.sub(r"\[(-?\d+)\]", lambda distance: str(row + int(distance[1])), needed))

    def _range(self, sheet: str, reference: str) -> Any:
        key = sheet, reference
        if key not in self._ranges:
            left, top, right, bottom = (int(each or 0) for each in range_boundaries(reference))
            cells = np.empty((bottom - top + 1, right - left + 1), dtype=object)
            for row in range(top, bottom + 1):
                for column in range(left, right + 1):
                    cells[row - top, column - left] = self.result((sheet, row, column))
            self._ranges[key] = cells.view(Array)
        return self._ranges[key]


def _mark(cells: Any) -> tuple[type, Any]:
    """Return what tells an input from another: the value of one cell, or which range it is, each of which is kept."""
    value = cells.item() if cells.size == 1 else id(cells)
    return (type(value) if cells.size == 1 else np.ndarray), value


def _with_rows(formula: str, write: Callable[[int], str]) -> str:
    """Return a formula with the rows that are not fixed written in another way."""

    def rewritten(found: re.Match[str]) -> str:
        if not found[1]:
            return found[0]
        return CELL.sub(lambda cell: cell[0] if cell[2] else f"{cell[1]}{write(int(cell[3]))}", found[1])

    return REFERENCE.sub(rewritten, formula)


def _references(formula: str) -> list[str]:
    """Return a formula's references without the signs of what is fixed."""
    return [found[1].replace("$", "") for found in REFERENCE.finditer(formula) if found[1]]


def worked_out(sheets: Sheets) -> dict[Place, Any]:
    """Return what the package works out for each formula."""
    engine = Engine(sheets)

    def work() -> None:
        for place in engine.cells:
            try:
                engine.result(place)
            except Circle:
                engine.results[place] = CIRCLE

    deep, stack = sys.getrecursionlimit(), threading.stack_size(512 * 1024 * 1024)
    sys.setrecursionlimit(1_000_000)  # a cell may wait for one that waits for one, through a thousand rows
    try:
        thread = threading.Thread(target=work)
        thread.start()
        thread.join()
    finally:
        sys.setrecursionlimit(deep)
        threading.stack_size(stack)
    return engine.results
