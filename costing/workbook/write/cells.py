"""Cells as sheet XML. Formulas carry their results, so that a phone or a mail preview shows figures.

openpyxl writes formulas without results; so the rows are written here and everything around them by openpyxl.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import isfinite
from typing import Any

from openpyxl.utils import get_column_letter

from costing.workbook.write.strings import SharedStrings, escaped

TEXT, FIGURE = ' t="str"', ""  # the sort of a formula's result


class NoResult(ValueError):
    """A formula was to be written without its result, or with one that is no figure."""


def plain(value: Any, strings: SharedStrings) -> str:
    """Return a cell that holds a text, a number or nothing, from behind its style."""
    if value is None or value == "":
        return "/>"
    if isinstance(value, str):
        return f' t="s"><v>{strings[value]}</v></c>'
    return f"><v>{value!r}</v></c>"


def sort_of(result: Any) -> str:
    """Return the sort of a result as an attribute of its cell."""
    return TEXT if isinstance(result, str) else FIGURE


def stored(result: Any) -> str:
    """Return a result from within its element on.

    Raises
    ------
    NoResult
        When it is none that a cell can hold.

    """
    if isinstance(result, str) and result:
        return f' xml:space="preserve">{escaped(result)}'
    if isinstance(result, float | int) and isfinite(result):
        return f">{result!r}"
    raise NoResult(f"a formula came to {result!r}")


PLAIN_ROW = 12.75  # height of a row whose height is left to the program, at ten-point text [point]


class SheetRows:
    """The rows of one sheet: single cells put in any order, and tables, whose rows are made when they are written."""

    def __init__(self, strings: SharedStrings) -> None:
        self.strings = strings
        self._rows: dict[int, list[tuple[int, str]]] = {}
        self._heights: dict[int, float] = {}
        self._tables: dict[int, Callable[[], Iterator[str]]] = {}
        self._width = self._last = 1

    def put(self, row: int, column: int, style: int, value: Any) -> None:
        """Put a plain value: text, number, or None for an empty cell that has a look."""
        self._put(row, column, style, plain(value, self.strings))

    def put_formula(self, row: int, column: int, style: int, formula: str, result: Any) -> None:
        """Put a formula (without its equals sign) and its result.

        Raises
        ------
        NoResult
            When the result is none that a cell can hold.

        """
        self._put(row, column, style, f"{sort_of(result)}><f>{escaped(formula)}</f><v{stored(result)}</v></c>")

    def _put(self, row: int, column: int, style: int, cell: str) -> None:
        place = f"{get_column_letter(column)}{row}"
        self._rows.setdefault(row, []).append((column, f'<c r="{place}" s="{style}"{cell}'))
        self._reach(row, column)

    def put_table(self, first: int, last: int, columns: int, rows: Callable[[], Iterator[str]]) -> None:
        """Put the rows of a table, which are made one by one when they are written, so that they need not be kept."""
        self._tables[first] = rows
        self._reach(last, columns)

    def height(self, row: int, points: float) -> None:
        """Set the height of a row. [point]"""
        self._heights[row] = points

    def height_of(self, first: int, last: int) -> float:
        """Return how high the rows from one to another are together. [point]"""
        return sum(self._heights.get(row) or PLAIN_ROW for row in range(first, last + 1))

    def row_below(self, row: int, height: float) -> int:
        """Return the first row that begins so far below the top of ``row``, or further. [point]"""
        while height > 0:
            height -= self._heights.get(row) or PLAIN_ROW
            row += 1
        return row

    def _reach(self, row: int, column: int) -> None:
        self._last, self._width = max(self._last, row), max(self._width, column)

    @property
    def extent(self) -> str:
        """The range that holds all cells."""
        return f"A1:{get_column_letter(self._width)}{self._last}"

    def xml(self) -> Iterator[str]:
        """Yield the rows from the top."""
        for number in sorted(self._rows.keys() | self._tables.keys()):
            if number in self._tables:
                yield from self._tables[number]()
            else:
                cells = "".join(cell for _, cell in sorted(self._rows[number]))
                yield f'<row r="{number}"{tall(self._heights.get(number, 0))}>{cells}</row>'


def tall(points: float) -> str:
    """Return the height of a row as its attributes; none where the program is to find it. [point]"""
    return f' ht="{points}" customHeight="1"' if points else ""
