"""A season kept in a workbook: an exported one with its edits, or one filled in by hand, sheet by sheet."""

from __future__ import annotations

from typing import Any

from openpyxl.utils import get_column_letter
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from costing.errors import Fault, suggestion
from costing.records.parsing import RawRow, RawTable
from costing.records.schema import RecordTable
from costing.tables.book import BOOK
from costing.workbook.read.finding_tables import CARDS, SETTINGS, Found, found_tables
from costing.workbook.read.opened_book import Book
from costing.workbook.read.split_cards import split_cards
from costing.workbook.read.typed_cells import Unclear, typed_value

DAYS_TO_1904 = 1462  # by which a workbook that counts its days from 1904 is behind one from 1900


def raw_tables_of(book: Book) -> dict[str, RawTable]:
    """Return the tables of a workbook as they were typed."""
    raw: dict[str, RawTable] = {}
    for found in found_tables(book):
        table = _read(book, found)
        if found.table is CARDS:
            raw |= split_cards(table)
        else:
            raw[found.table.name] = table
    return raw


def _read(book: Book, found: Found) -> RawTable:
    shapes = _shapes(found.table)
    rows = []
    for row in found.sheet.iter_rows(min_row=found.heading_row + 1):
        cells = {}
        for cell in row:
            key = found.columns.get(cell.column)
            if key is not None and cell.value is not None:
                cells[key] = _cell(book, found, cell, shapes.get(key, "text"))
        if any(value is not None and str(value).strip() for value in cells.values()):
            rows.append(RawRow(row[0].row, cells))
    _tell_merged(found)
    labels = {key: str(found.sheet.cell(found.heading_row, at).value).split(" (")[0] for at, key in found.columns.items()}
    if found.table.name == "season":
        rows, labels = _settings_only(rows), {}
    return RawTable(
        f"sheet {found.sheet.title}", tuple(found.columns.values()), rows,
        faults=tuple(found.faults), notices=tuple(found.notices), labels=labels,
        how=f"sheet {found.sheet.title}: headings in row {found.heading_row}, {len(rows)} rows",
        letters={key: get_column_letter(at) for at, key in found.columns.items()},
    )  # fmt: skip


def _shapes(table: RecordTable) -> dict[str, str]:
    if table.name == "season":
        return {"key": "key", "value": "setting"}
    return {key: info.metadata[0].shape for key, info in table.model.model_fields.items()}


def _settings_only(rows: list[RawRow]) -> list[RawRow]:
    """Leave out the fixed figures listed among the settings, and what stands below them but is no setting."""
    fixed = {
        entry.key for part in BOOK.lists() if part.key == "settings" for entry in part.entries.values() if not entry.field
    }
    own = [row for at, row in enumerate(rows) if row.number == rows[0].number + at or _meant(row)]
    return [row for row in own if _key(row) not in fixed]


def _key(row: RawRow) -> str:
    return str(row.cells.get("key") or "").strip()


def _meant(row: RawRow) -> bool:
    """Whether a row below a blank one is a setting still, perhaps misspelt, and not part of another list."""
    known = SETTINGS.model.model_fields
    return _key(row) in known or ("value" in row.cells and suggestion(_key(row), known).nearest is not None)


def _cell(book: Book, found: Found, cell: Any, shape: str) -> Any:
    where = f"{found.sheet.title}, {cell.coordinate}"
    value, kind = cell.value, cell.data_type
    if kind == "f":
        result = book.results[found.sheet.title][cell.coordinate]
        value, kind = result.value, result.data_type
        formula = str(getattr(cell.value, "text", cell.value))[:60]
        if value is None:
            do = "open the workbook in a spreadsheet program and save it, or write the figure itself"
            found.faults.append(Fault(where, f"{formula} has no result", do))
            return None
        found.notices.append(f"{where}: {formula} counts as {value}")
    if kind == "e":  # and not by its look: #A12 may be an invoice
        found.faults.append(Fault(where, f"{value} is an error", "write the figure itself, or clear the cell"))
        return None
    if shape == "date" and isinstance(value, int | float) and found.sheet.parent.epoch == CALENDAR_MAC_1904:
        value += DAYS_TO_1904
    typed = typed_value(value, cell.number_format, _setting_shape(shape, value))
    if isinstance(typed, Unclear):
        found.faults.append(Fault(where, typed.what, typed.do))
        return None
    return typed


def _setting_shape(shape: str, value: Any) -> str:
    """Settings of all shapes stand in one column: a date there is a date, a figure a figure."""
    if shape != "setting":
        return shape
    return "choice" if isinstance(value, bool) else "date" if hasattr(value, "year") else "number"


def _tell_merged(found: Found) -> None:
    letters = set(found.columns)
    for merged in found.sheet.merged_cells.ranges:
        if merged.max_row > found.heading_row and letters & set(range(merged.min_col, merged.max_col + 1)):
            where = f"{found.sheet.title}, {merged.coord}"
            found.faults.append(Fault(where, "cells are merged", "split them, and fill in each row"))
