"""A season kept in a workbook: an exported one with its edits, or one filled in by hand, sheet by sheet."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from costing.engine.table import Table
from costing.errors import Fault, did_you_mean
from costing.records.parsing import RawRow, RawTable
from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME, RecordTable
from costing.tables.book import BOOK
from costing.tables.making.recipe_cards import CardEntry
from costing.tables.whole.two_seasons import SINCE_TABLES
from costing.workbook.identity import EXPORT_PROPERTY
from costing.workbook.read.safe_opening import checked_bytes, load
from costing.workbook.read.typed_cells import Unclear, typed_value

SEARCHED_ROWS = 20  # in which a sheet's headings must stand
CARDS = RecordTable("cards", CardEntry, (), "Recipe cards.")
SETTING_COLUMNS = {"key": "key", "value": "value"}


@dataclass
class Book:
    """A workbook opened for reading. Stored results are loaded only if a given cell turns out to hold a formula."""

    path: Path

    def __post_init__(self) -> None:
        self._data = checked_bytes(self.path)
        self.formulas = load(self.path, self._data, results=False)

    @cached_property
    def results(self) -> Any:
        """The same workbook with results in place of formulas."""
        return load(self.path, self._data, results=True)

    @property
    def sheets(self) -> list[Any]:
        """The sheets that hold cells."""
        return list(self.formulas.worksheets)

    def property_of(self, name: str) -> str:
        """Return one of the workbook's own properties, or nothing."""
        found = [each.value for each in self.formulas.custom_doc_props.props if each.name == name]
        return str(found[0]) if found else ""


@dataclass
class Found:
    """A table found on a sheet: where its headings stand and which column holds what."""

    table: RecordTable
    sheet: Any
    heading_row: int
    columns: dict[int, str]
    faults: list[Fault] = field(default_factory=list)
    notices: list[str] = field(default_factory=list)


def raw_tables_of(book: Book) -> dict[str, RawTable]:
    """Return the tables of a workbook as they were typed."""
    raw: dict[str, RawTable] = {}
    for found in _found_tables(book):
        table = _read(book, found)
        if found.table is CARDS:
            raw |= _split_cards(table)
        else:
            raw[found.table.name] = table
    return raw


# -- finding tables --


def _known_headings(table: RecordTable) -> dict[str, str]:
    """Return heading or key → key of a table's given columns, as they are compared."""
    if table.name == "season":
        return SETTING_COLUMNS
    headings = {_plain(info.title or key): key for key, info in table.model.model_fields.items()}
    return headings | {key: key for key in table.model.model_fields}


def _plain(heading: Any) -> str:
    """Return a heading as it is compared: without its unit, in lower case."""
    return re.sub(r"\s*\([^)]*\)\s*$", "", str(heading).replace("\u00a0", " ")).strip().lower()


def _needed(table: RecordTable) -> set[str]:
    if table.name == "season":
        return {"key", "value"}
    return {key for key, info in table.model.model_fields.items() if info.is_required()}


def _titles() -> dict[str, RecordTable]:
    """Return the sheet names under which each table may stand, and the names of its list."""
    drawn = {part.key: part for part in BOOK.tables()}
    titles: dict[str, RecordTable] = {"formulas": CARDS, "list_making": CARDS, "settings": RECORD_TABLES[0]}
    for table in RECORD_TABLES:
        titles.setdefault(table.name, table)
        titles[f"list_{table.name}"] = table
        sheet: Table[Any] | None = drawn.get(table.name)
        if sheet is not None:
            titles.setdefault(sheet.sheet.lower(), table)
    titles["list_settings"] = RECORD_TABLES[0]
    return titles


def _found_tables(book: Book) -> list[Found]:
    titles = _titles()
    claimed: dict[str, Found] = {}
    doubles: list[Found] = []
    bare: list[Found] = []
    waiting = []
    passed_by = _worked_sheets() if book.property_of(EXPORT_PROPERTY) else {"notes"}
    for sheet in (sheet for sheet in book.sheets if sheet.title.strip().lower() not in passed_by):
        names = [sheet.title.strip().lower(), *(name.lower() for name in sheet.tables)]
        named = [titles[name] for name in names if name in titles]
        found = next(filter(None, (_at_headings(sheet, table) for table in _and_plain_formulas(named))), None)
        if found:
            doubles += [found] if found.table.name in claimed else []
            claimed.setdefault(found.table.name, found)
        elif named and sheet.max_row > 1:
            bare.append(_without_headings(sheet, named[0]))
        elif not named:
            waiting.append(sheet)
    for sheet in waiting:
        alike = list(_by_headings_alone(sheet))
        found = next((each for each in alike if each.table.name not in claimed), None)
        if found:
            claimed[found.table.name] = found
        else:
            doubles += alike[:1]
    for found in doubles:
        held = claimed[found.table.name]
        held.notices.append(f"sheet {found.sheet.title} is not read: sheet {held.sheet.title} holds {found.table.name}")
    return [*claimed.values(), *(found for found in bare if not _twins(found) & set(claimed))]


def _without_headings(sheet: Any, table: RecordTable) -> Found:
    """Tell of a sheet that has a table's name but not its headings: what stands there would be lost."""
    do = f"write them back; it needs {', '.join(sorted(_needed(table)))}"
    return Found(table, sheet, 0, {}, [Fault(sheet.title, "has no row of headings", do)])


def _twins(found: Found) -> set[str]:
    """Return the tables that a sheet of some name may hold."""
    return {"cards", "formulas"} if found.table is CARDS else {found.table.name}


def _by_headings_alone(sheet: Any) -> Iterator[Found]:
    """Yield what a sheet of any name may be by its headings."""
    for table in (*RECORD_TABLES, CARDS):
        found = _at_headings(sheet, table) if _telling(table) else None
        if found and set(found.columns.values()) >= _needed(table) and len(found.columns) >= 3:
            yield found


def _worked_sheets() -> set[str]:
    """Return the titles of the sheets of an export that hold no records, so that none of them is taken for a table."""
    tables = [*BOOK.tables(), *SINCE_TABLES]
    held = {part.sheet.lower() for part in tables if part.cards or part.key in TABLES_BY_NAME}
    return {part.sheet.lower() for part in tables} - held - {"settings"} | {"at a glance", "checks", "notes"}


def _and_plain_formulas(named: Sequence[RecordTable]) -> Iterator[RecordTable]:
    """A sheet named Formulas holds recipe cards in an exported workbook, and the plain table in one filled in."""
    for table in named:
        yield table
        if table is CARDS:
            yield next(each for each in RECORD_TABLES if each.name == "formulas")


def _telling(table: RecordTable) -> bool:
    """Whether a table's headings alone tell it from the others."""
    return table.name not in ("season", "steps", "outputs", "formulas")


def _at_headings(sheet: Any, table: RecordTable) -> Found | None:
    known, needed = _known_headings(table), _needed(table)
    for row in sheet.iter_rows(min_row=1, max_row=min(sheet.max_row, SEARCHED_ROWS)):
        texts = {cell.column: _plain(cell.value) for cell in row if isinstance(cell.value, str)}
        columns: dict[int, str] = {}
        for at, text in texts.items():
            if text in known and known[text] not in columns.values():
                columns[at] = known[text]
        if needed <= set(columns.values()) or (table is not CARDS and len(columns) >= max(2, len(needed))):
            found = Found(table, sheet, row[0].row, columns)
            _note_strangers(found, texts, known)
            return found
    return None


def _note_strangers(found: Found, texts: Mapping[int, str], known: Mapping[str, str]) -> None:
    """Tell of a heading that is nearly one of those not found: its column would be lost."""
    drawn = {part.key: part for part in BOOK.tables()}.get("making" if found.table is CARDS else found.table.name)
    worked = {_plain(column.heading) for column in drawn.columns.values()} if drawn else set()
    absent = [text for text, key in known.items() if key not in found.columns.values()]
    for at, text in texts.items():
        if at in found.columns or text in worked or not text:
            continue
        where = f"{found.sheet.title}, row {found.heading_row}"
        meant = did_you_mean(text, absent)
        if meant.startswith("did"):
            found.faults.append(Fault(where, f'there is no column "{text}"', meant))
        elif found.table.name != "season":
            found.notices.append(f'{where}: column "{text}" is not read')


# -- reading cells --


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
    known = RECORD_TABLES[0].model.model_fields
    return _key(row) in known or ("value" in row.cells and did_you_mean(_key(row), known).startswith("did"))


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


# -- recipe cards --

_CARD_CELLS = {
    "formula": ("formulas", {"formula": "formula", "what": "name", "grams": "batch_grams", "note": "note"}),
    "line": ("lines", {"formula": "formula", "step": "step", "what": "item", "percent": "percent", "grams": "grams"}),
    "step": (
        "steps",
        {
            "formula": "formula",
            "step": "step",
            "percent": "loss_percent",
            "minutes": "minutes",
            "watts": "watts",
            "hours": "hours",
        },
    ),
    "output": (
        "outputs",
        {"formula": "formula", "what": "output", "percent": "percent", "valued": "valued", "price_per_kg": "price_per_kg"},
    ),
}


def _split_cards(cards: RawTable) -> dict[str, RawTable]:
    """Turn the rows of recipe cards into the four tables that they hold."""
    rows: dict[str, list[RawRow]] = {name: [] for name, _ in _CARD_CELLS.values()}
    faults = list(cards.faults)
    for row in cards.rows:
        kind = str(row.cells.get("row") or "").strip().lower()
        if kind == "yield":
            faults += _misplaced(cards, row, kind, ("formula",))
            continue
        if kind not in _CARD_CELLS:
            do = f"write one of {', '.join(_CARD_CELLS)}" if not kind else did_you_mean(kind, [*_CARD_CELLS, "yield"])
            faults.append(Fault(f"{cards.source}, row {row.number}, Row", f'"{kind}" is no kind of row', do))
            continue
        name, places = _CARD_CELLS[kind]
        faults += _misplaced(cards, row, kind, places)
        rows[name].append(RawRow(row.number, {key: row.cells[cell] for cell, key in places.items() if cell in row.cells}))
    labels = {
        name: {key: cards.labels.get(cell, cell) for cell, key in places.items()} for name, places in _CARD_CELLS.values()
    }
    tables = {}
    for name, places in _CARD_CELLS.values():
        told = faults if name == "formulas" else []
        notices = (*cards.notices, *_unkept_notes(cards)) if name == "formulas" else ()
        tables[name] = RawTable(
            cards.source,
            tuple(places.values()),
            rows[name],
            faults=tuple(told),
            notices=notices,
            labels=labels[name],
            how=f"{cards.how}, {len(rows[name])} of them {name}",
        )
    return tables


def _unkept_notes(cards: RawTable) -> Iterator[str]:
    """Tell of a note that stands on a row other than a card's head, where no record keeps it."""
    for row in cards.rows:
        kind = str(row.cells.get("row") or "").strip().lower()
        if kind != "formula" and row.cells.get("note"):
            where = f"{cards.source}, row {row.number}"
            yield f"{where}: a note on a {kind or 'nameless'} row is not kept; write it on the card's head"


def _misplaced(cards: RawTable, row: RawRow, kind: str, places: Container[str]) -> Iterator[Fault]:
    for cell, value in row.cells.items():
        if cell not in places and cell not in ("row", "note") and value not in (None, 0) and str(value).strip():
            where = f"{cards.source}, row {row.number}, {cards.labels.get(cell, cell)}"
            yield Fault(where, f"{value} stands in a {kind} row, which has no such thing", "clear it, or move it to its row")
