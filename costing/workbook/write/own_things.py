"""A maker's own sheets, comments and widths, put into a new export in place of the one that had them.

Comments stay with their record, which is known by its names and days; one whose record is gone is left to the dated copy.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from datetime import date, datetime
from typing import Any

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.utils import get_column_letter

from costing.fields.types import day_number
from costing.workbook.own import Own
from costing.workbook.write.layout import Layout, TableBlock, heading_of
from costing.workbook.write.sheet_drawer import SheetDrawer

CHANGED = 1.0  # letters by which a width differs that a maker changed; programs round them
KNOWN_BY = {  # the columns by which a record is known again
    "bought_on", "supplier", "invoice", "item", "formula", "row", "step", "what", "tub", "part", "product", "channel",
    "overhead", "bought", "batch", "weighed_on", "where",
}  # fmt: skip
MOST_COLUMNS = 500  # of which widths are looked at: some programs set those of all to the end of the sheet
LOOKS = ("font", "fill", "border", "alignment", "protection")
Identity = tuple[str, ...]


def take_over(own: Own, book: Workbook, layout: Layout, drawers: Sequence[SheetDrawer]) -> None:
    """Put own sheets behind the others, and comments and widths where they were."""
    for sheet in own.sheets:
        _copy(sheet, book.create_sheet(sheet.title))
        drawers[0].used_names |= _names_in(sheet) & layout.known_names
    for drawer in drawers:
        if old := own.exported.get(drawer.page.sheet):
            for block in drawer.page.blocks:
                if isinstance(block, TableBlock):
                    _take_widths(drawer, block, old, layout.currency)
                    _take_comments(drawer, block, old, layout.currency)


# --- own sheets ------------------------------------------------------------------------------------------------------


def _copy(old: Any, new: Any) -> None:
    for row in old.iter_rows():
        for cell in row:
            if cell.value is not None or cell.has_style or cell.comment:
                _copy_cell(cell, new.cell(cell.row, cell.column))
    for at, width in _widths(old).items():
        new.column_dimensions[get_column_letter(at)].width = width
    for number, height in old.row_dimensions.items():
        if height.height:
            new.row_dimensions[number].height = height.height
    for merged in old.merged_cells.ranges:
        new.merge_cells(merged.coord)
    new.freeze_panes = old.freeze_panes


def _copy_cell(cell: Any, target: Any) -> None:
    if type(cell).__name__ == "MergedCell":
        return
    foreign = cell.data_type == "f" and "[" in str(cell.value)  # leads into another workbook, which is not kept
    target.value = str(cell.value) if foreign else cell.value
    target.data_type = "s" if foreign else cell.data_type
    for look in LOOKS:
        setattr(target, look, copy(getattr(cell, look)))
    target.number_format = cell.number_format
    if cell.comment:
        target.comment = _comment(cell)


def _comment(cell: Any) -> Comment:
    return Comment(cell.comment.text, cell.comment.author, height=cell.comment.height, width=cell.comment.width)


def _names_in(sheet: Any) -> set[str]:
    formulas = (str(cell.value) for row in sheet.iter_rows() for cell in row if cell.data_type == "f")
    return {name for formula in formulas for name in re.findall(r"[A-Za-z_]\w*", formula)}


# --- widths and comments ---------------------------------------------------------------------------------------------


def _take_widths(drawer: SheetDrawer, block: TableBlock, old: Any, currency: str) -> None:
    found = _heading(old, _headings(block, currency))
    if found is None:
        return
    columns = found[1]
    widths = _widths(old)
    for at, heading in enumerate(_headings(block, currency), start=1):
        width = widths.get(columns.get(heading, 0))
        if width and abs(width - drawer.widths.get(at, width)) > CHANGED:
            drawer.widths[at] = width


def _widths(old: Any) -> dict[int, float]:
    """Return the widths that were set, column by column; programs write those side by side together."""
    set_ones = [each for each in old.column_dimensions.values() if each.width and each.min]
    return {at: each.width for each in set_ones for at in range(each.min, min(each.max, MOST_COLUMNS) + 1)}


def _headings(block: TableBlock, currency: str) -> list[str]:
    return [heading_of(column, currency) for column in block.filled.table.columns.values()]


def _heading(old: Any, headings: Sequence[str]) -> tuple[int, Mapping[str, int]] | None:
    """Return the row in which a table's headings stand, and the column of each; None where they stand nowhere."""
    for row in old.iter_rows():
        found = {str(cell.value): cell.column for cell in row if cell.value is not None}
        if headings[0] in found and len(found.keys() & set(headings)) * 2 > len(headings):
            return row[0].row, found
    return None


def _take_comments(drawer: SheetDrawer, block: TableBlock, old: Any, currency: str) -> None:
    found = _heading(old, _headings(block, currency))
    if found is None:
        return
    top, columns = found
    keys = [(column.key, heading_of(column, currency)) for column in block.filled.table.given if column.key in KNOWN_BY]
    places = {heading: at for at, heading in enumerate(_headings(block, currency), start=1)}
    rows = dict(_numbered(tuple(_text(cells[key]) for key, _ in keys) for cells in block.filled.cells))
    old_rows = list(old.iter_rows(min_row=top + 1))
    identities = (
        tuple(_text(row[columns[heading] - 1].value) for _, heading in keys if heading in columns) for row in old_rows
    )
    for identity, at in _numbered(identities):
        for cell in old_rows[at]:
            heading = next((text for text, column in columns.items() if column == cell.column), "")
            if cell.comment and identity in rows and heading in places:
                drawer.sheet.cell(block.first + rows[identity], places[heading]).comment = _comment(cell)


def _numbered(identities: Iterator[Identity]) -> Iterator[tuple[tuple[Identity, int], int]]:
    """Yield each identity with how many like it came before, and its place."""
    before: dict[Identity, int] = defaultdict(int)
    for at, identity in enumerate(identities):
        yield (identity, before[identity]), at
        before[identity] += 1


def _text(value: Any) -> str:
    """Return what a cell holds as it is compared: days as numbers, names without regard to case."""
    if isinstance(value, datetime | date):
        value = day_number(value.date() if isinstance(value, datetime) else value)
    if isinstance(value, int | float):
        return f"{value:g}" if value < 1e5 else str(int(value))
    return str(value or "").strip().casefold()
