"""The rows of a table as sheet XML: what the cells of a column share is prepared once for the whole column.

A column has one style and one formula, so its cells are alike but for the row's number and their values. The columns'
parts together are the template of every row; a row is the template with its number and values filled in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any
from xml.sax.saxutils import escape

from openpyxl.utils import get_column_letter

from costing.engine.spelling import ROW_ABOVE, THIS_ROW, Spelling
from costing.workbook.write.cells import NoResult, plain, sort_of, stored
from costing.workbook.write.strings import SharedStrings


@dataclass(frozen=True)
class ColumnCells:
    """The cells of one column: their common XML, open where they differ, and what stands there from row to row."""

    template: str
    differing: Sequence[Iterable[str]]


def plain_cells(at: int, style: int, values: Iterable[Any], strings: SharedStrings) -> ColumnCells:
    """Return a column of texts, numbers and blanks."""
    return ColumnCells(f"{_start(at, style)}%s", [(plain(value, strings) for value in values)])


def worked_cells(at: int, style: int, formula: Spelling, results: Sequence[Any]) -> ColumnCells:
    """Return a column of formulas with their results."""
    start, spelled = _start(at, style), escape(formula.pattern).replace("%", "%%")
    sorts = {sort_of(result) for result in results}
    if len(sorts) == 1:
        return ColumnCells(f"{start}{sorts.pop()}><f>{spelled}</f><v%s</v></c>", [_stored(results, at)])
    return ColumnCells(f"{start}%s><f>{spelled}</f><v%s</v></c>", [map(sort_of, results), _stored(results, at)])


def _stored(results: Sequence[Any], at: int) -> Iterator[str]:
    try:
        yield from map(stored, results)
    except NoResult as none:
        raise NoResult(f"column {get_column_letter(at)}: {none}") from None


def _start(at: int, style: int) -> str:
    return f'<c r="{get_column_letter(at)}{THIS_ROW}" s="{style}"'


def rows_of(first: int, heights: Iterable[str], columns: Sequence[ColumnCells]) -> Iterator[str]:
    """Yield the rows from the first on, as many as have a height.

    Raises
    ------
    NoResult
        When a formula has a result that no cell can hold.

    """
    template = f'<row r="{THIS_ROW}"%s>{"".join(column.template for column in columns)}</row>'
    looks_up = ROW_ABOVE in template
    differing = zip(heights, *chain.from_iterable(column.differing for column in columns), strict=True)
    number = first - 1
    try:
        for number, parts in enumerate(differing, first):
            row = template.replace(THIS_ROW, str(number))
            yield (row.replace(ROW_ABOVE, str(number - 1)) if looks_up else row) % parts
    except NoResult as none:
        raise NoResult(f"row {number + 1}: {none}") from none
