"""Texts by table, row and column → records, with every fault told. Where the texts come from is for others to know."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from costing.errors import Fault, Faults, did_you_mean
from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME, RecordTable
from costing.records.surroundings import Surroundings, Unread, season_currency
from costing.records.together import told_together
from costing.tables.written import Rows, SeasonRecords


class UnreadTables(Faults):
    """Faults of single tables, with what could be read beside them, for the faults between tables."""

    def __init__(self, faults: Sequence[Fault], records: SeasonRecords | None, unread: Unread) -> None:
        super().__init__(faults)
        self.records = records
        self.unread = unread


_NAMING_LATE = {"lines", "season"}  # tables that name what later ones list: outputs, channels
MOST_SETTINGS = 500  # rows: many times as many as there are settings
LONGEST_TOLD = 600  # letters of each part of a fault


@dataclass(frozen=True)
class RawRow:
    """One row as it was found: the texts by column, and which row of its source it is."""

    number: int
    cells: Mapping[str, Any]


@dataclass(frozen=True)
class RawTable:
    """One table as it was found, in a file or on a sheet."""

    source: str
    header: tuple[str, ...]
    rows: Sequence[RawRow]
    decimal_comma: bool = False
    faults: tuple[Fault, ...] = field(default=())
    notices: tuple[str, ...] = field(default=())
    labels: Mapping[str, str] = field(default_factory=dict)
    how: str = ""
    letters: Mapping[str, str] = field(default_factory=dict)  # of the columns on a sheet, by key


def parse(
    raw: Mapping[str, RawTable], *, missing: str = "table {name}", known_faults: Sequence[Fault] = ()
) -> SeasonRecords:
    """Return the records that the tables hold.

    ``missing`` says what to name where a required table is not there, such as ``{name}.csv``; ``known_faults`` are
    those of the source itself, to be told with the rest.

    Raises
    ------
    UnreadTables
        With every fault of every table: nothing is costed on half-read records.

    """
    told: dict[str, list[Fault]] = {table.name: [] for table in RECORD_TABLES}
    tables: dict[str, Any] = {}
    settings = raw.get("season")
    around = Surroundings(season_currency(row.cells for row in settings.rows) if settings else "")
    for table in sorted(RECORD_TABLES, key=lambda table: table.name in _NAMING_LATE):
        faults = told[table.name]
        found = raw.get(table.name)
        if found is not None and (stranger := _no_table(table, found)):
            faults.append(stranger)
        elif found is None or not (found.rows or found.faults):
            if table.required:
                faults.append(_absent(table, found, missing.format(name=table.name)))
        else:
            faults += found.faults
            if table.name == "season" and len(found.rows) > MOST_SETTINGS:
                what = f"has {len(found.rows)} rows, and {MOST_SETTINGS} is the limit"
                faults.append(Fault(found.source, what, "keep one row for each setting"))
            elif found.rows and _header_faults(table, found, faults) is not None:
                rows = _season_row(found) if table.name == "season" else found.rows
                tables[table.name] = _records(table, found, rows, around, faults)
    faults = [*known_faults, *(fault for of_table in told.values() for fault in of_table)]
    unread = Unread(frozenset(name for name, of_table in told.items() if of_table), _bought_unread(tables, told, around))
    season = tables.pop("season", Rows()).records
    records = SeasonRecords(season=season[0], **tables, settings_at=_settings_at(settings)) if season else None
    if records is None or faults:
        raise UnreadTables([_showable(fault) for fault in told_together(sorted(faults, key=_of_a_cell))], records, unread)
    return records


def records_from(**tables: Sequence[Mapping[str, Any]] | Mapping[str, Any]) -> SeasonRecords:
    """Return records from Python: each table as a list of rows, ``season`` as one mapping.

    Raises
    ------
    Faults
        As from a file; a row's place is its position in the list.

    """
    unknown = [name for name in tables if name not in TABLES_BY_NAME]
    if unknown:
        raise Faults([Fault(name, "is no table", did_you_mean(name, TABLES_BY_NAME)) for name in unknown])
    raw = {}
    for name, rows in tables.items():
        listed = [{"key": key, "value": value} for key, value in rows.items()] if isinstance(rows, Mapping) else rows
        header = tuple(dict.fromkeys(column for row in listed for column in row))
        raw[name] = RawTable(name, header, [RawRow(at, row) for at, row in enumerate(listed, start=1)])
    return parse(raw)


def _bought_unread(
    tables: Mapping[str, Any], told: Mapping[str, Sequence[Fault]], around: Surroundings
) -> frozenset[str] | None:
    """Return the items named in purchases that could not be read; None where their names could not be read either."""
    if told["purchases"] and "purchases" not in tables:
        return None
    return None if "" in around.unread_items else frozenset(around.unread_items)


def _showable(fault: Fault) -> Fault:
    """Return a fault that a terminal can show on one line: what stands in a file may be of any letters and length."""
    return Fault(*map(printable, (fault.where, fault.what, fault.do)))


def _of_a_cell(fault: Fault) -> bool:
    """Whether a fault is that of a cell: what is missing altogether is to be mended before."""
    return ", row " in fault.where or ", line " in fault.where


def printable(text: str) -> str:
    """Return a text as a terminal can show it on one line, and not for ever."""
    shown = text if text.isprintable() else "".join(map(_visible, text))
    return shown if len(shown) <= LONGEST_TOLD else f"{shown[:LONGEST_TOLD]}…"


def _visible(letter: str) -> str:
    return letter if letter.isprintable() else letter.encode("unicode_escape").decode("ascii")


def _absent(table: RecordTable, found: RawTable | None, name: str) -> Fault:
    needed = ", ".join(key for key, info in table.model.model_fields.items() if info.is_required())
    what = "is missing" if found is None else "has no rows"
    return Fault(found.source if found else name, what, f"fill it in; it needs {needed}")


def _no_table(table: RecordTable, found: RawTable) -> Fault | None:
    """Tell of a file whose only line is no heading: its lines were lost, or it is a page of the web or of another sort."""
    known = ("key", "value") if table.name == "season" else tuple(table.model.model_fields)
    if found.rows or found.faults or set(found.header) <= {*known, ""}:
        return None
    return Fault(found.source, "is no table: its only line is no heading of it", f"begin it with {', '.join(known)}")


def _header_faults(table: RecordTable, found: RawTable, faults: list[Fault]) -> tuple[str, ...] | None:
    """Tell what is wrong with a header; return its columns, or None where the rows cannot be read by it."""
    known = ("key", "value") if table.name == "season" else tuple(table.model.model_fields)
    wrong = [
        Fault(f"{found.source}, heading", f'there is no column "{column}"', did_you_mean(column, known))
        for column in found.header
        if column not in known
    ]
    wrong += [
        Fault(f"{found.source}, heading", f'column "{column}" stands there twice', "delete one of the two")
        for column in sorted({column for column in found.header if found.header.count(column) > 1})
    ]
    needed = [
        column
        for column in known
        if column not in found.header and (table.name == "season" or table.model.model_fields[column].is_required())
    ]
    wrong += [
        Fault(f"{found.source}, heading", f'column "{column}" is missing', "add it; it must be filled in")
        for column in needed
    ]
    faults += wrong
    return None if wrong else known


def _season_row(found: RawTable) -> list[RawRow]:
    """Turn the settings' rows of key and value into the one row that they are."""
    cells = {str(row.cells.get("key", "")).strip(): row.cells.get("value") for row in found.rows}
    return [RawRow(0, cells)]


def _records(
    table: RecordTable, found: RawTable, rows: Sequence[RawRow], around: Surroundings, faults: list[Fault]
) -> Rows[Any]:
    records, places, row_numbers = [], [], []
    context = around.context(table, [row.cells for row in rows], decimal_comma=found.decimal_comma)
    numbers = _setting_rows(found) if table.name == "season" else None
    seen: dict[tuple[Any, ...], str] = {}
    for row in rows:
        place = found.source if numbers is not None else f"{found.source}, row {row.number}"
        filled = {column: cell for column, cell in row.cells.items() if not _blank(cell)}
        around.marked.clear()
        try:
            record = table.model.model_validate(filled, context=context)
        except ValidationError as error:
            around.note_unread(table, row.cells)
            faults += _faults_of(table, error, found, place, numbers)
            continue
        faults += around.faults_of_marks(record, place, found.labels)
        key = tuple(getattr(record, column) for column in table.key)
        if key and key in seen:
            faults.append(_twice(table, key, place, seen[key]))
            continue
        seen[key] = place
        records.append(record)
        places.append(place)
        row_numbers.append(row.number)
    if numbers is not None:
        faults += _repeated_settings(found)
    return Rows(tuple(records), tuple(places), found.source, tuple(row_numbers))


def _blank(cell: Any) -> bool:
    return cell is None or (isinstance(cell, str) and not cell.replace("\u00a0", " ").strip())


def _setting_rows(found: RawTable) -> dict[str, int]:
    return {str(row.cells.get("key", "")).strip(): row.number for row in found.rows}


def _settings_at(found: RawTable | None) -> dict[str, str]:
    """Return where each setting was written."""
    return {key: f"{found.source}, row {number}, {key}" for key, number in _setting_rows(found).items()} if found else {}


def _repeated_settings(found: RawTable) -> list[Fault]:
    keys = Counter(str(row.cells.get("key", "")).strip() for row in found.rows)
    return [
        Fault(f"{found.source}, {key}", "this setting stands there twice", "delete one of the two rows")
        for key in sorted(key for key, times in keys.items() if times > 1)
    ]


def _twice(table: RecordTable, key: tuple[Any, ...], place: str, first: str) -> Fault:
    named = " and ".join(table.key)
    return Fault(place, f'{named} "{" / ".join(key)}" is there already in {first.rsplit(", ", 1)[-1]}', "give each its own")


def _faults_of(
    table: RecordTable, error: ValidationError, found: RawTable, place: str, numbers: Mapping[str, int] | None
) -> list[Fault]:
    faults = []
    for problem in error.errors(include_url=False):
        column = str(problem["loc"][0]) if problem["loc"] else ""
        where = ", ".join(part for part in (place, found.labels.get(column, column)) if part)
        if numbers is not None and column in numbers:
            where = _settings_at(found)[column]
        if problem["type"] == "missing":
            note = table.model.model_fields[column].description or ""
            faults.append(Fault(where, "is empty", f"fill it in: {note[:1].lower()}{note[1:].rstrip('.')}"))
        elif problem["type"] == "extra_forbidden":
            faults.append(Fault(where, "is no setting", did_you_mean(column, table.model.model_fields)))
        elif problem["type"] == "fault":
            context = problem["ctx"]
            named = context["column"]
            if numbers is not None and named in numbers:
                where = _settings_at(found)[named]
            elif named:
                where = f"{place}, {found.labels.get(named, named)}"
            faults.append(Fault(where, context["what"], context["do"]))
        else:
            faults.append(Fault(where, f'"{problem["input"]}" cannot be read: {problem["msg"]}', "write it anew"))
    return faults
