"""Cells as sheet XML. Formulas carry their results, so that a phone or a mail preview shows figures.

openpyxl writes formulas without results; so the rows are written here and everything around them by openpyxl.
"""

from __future__ import annotations

import re
from typing import Any
from xml.sax.saxutils import escape

from openpyxl.utils import get_column_letter

_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")


class NoResult(ValueError):
    """A formula was to be written without its result, or with one that is no figure."""


def _text(text: str) -> str:
    return escape(_FORBIDDEN.sub("", text))


class SheetRows:
    """The rows of one sheet, gathered cell by cell in any order."""

    def __init__(self) -> None:
        self._rows: dict[int, list[tuple[int, str]]] = {}
        self._heights: dict[int, float] = {}
        self._width = 1

    def put(self, row: int, column: int, style: int, value: Any) -> None:
        """Put a plain value: text, number, or None for an empty cell that has a look."""
        ref = self._place(row, column)
        if value is None or value == "":
            cell = f'<c r="{ref}" s="{style}"/>'
        elif isinstance(value, str):
            cell = f'<c r="{ref}" s="{style}" t="inlineStr"><is><t xml:space="preserve">{_text(value)}</t></is></c>'
        else:
            cell = f'<c r="{ref}" s="{style}"><v>{value!r}</v></c>'
        self._rows[row].append((column, cell))

    def put_formula(self, row: int, column: int, style: int, formula: str, result: Any) -> None:
        """Put a formula (without its equals sign) and its result.

        Raises
        ------
        NoResult
            When there is no result, or none that a cell can hold.

        """
        ref = self._place(row, column)
        kept = ' xml:space="preserve"' if isinstance(result, str) else ""
        if isinstance(result, str):
            kind, stored = ' t="str"', _text(result)
            if not result:
                raise NoResult(f"{ref}: ={formula} came to no text at all")
        elif isinstance(result, int | float) and result - result == 0:
            kind, stored = "", repr(result)
        else:
            raise NoResult(f"{ref}: ={formula} came to {result!r}")
        cell = f'<c r="{ref}" s="{style}"{kind}><f>{escape(formula)}</f><v{kept}>{stored}</v></c>'
        self._rows[row].append((column, cell))

    def height(self, row: int, points: float) -> None:
        """Set the height of a row. [point]"""
        self._heights[row] = points

    def _place(self, row: int, column: int) -> str:
        self._rows.setdefault(row, [])
        self._width = max(self._width, column)
        return f"{get_column_letter(column)}{row}"

    @property
    def extent(self) -> str:
        """The range that holds all cells."""
        return f"A1:{get_column_letter(self._width)}{max(self._rows, default=1)}"

    def xml(self) -> str:
        """Return the sheetData element."""
        parts = ["<sheetData>"]
        for number in sorted(self._rows):
            height = self._heights.get(number)
            tall = f' ht="{height}" customHeight="1"' if height else ""
            cells = "".join(cell for _, cell in sorted(self._rows[number]))
            parts.append(f'<row r="{number}"{tall}>{cells}</row>')
        parts.append("</sheetData>")
        return "".join(parts)
