"""Carrying the edits made in a pricing workbook back into the season's folder, row by row, and nothing else."""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from costing.checking import faults_between
from costing.csv_writing import CsvFile, unquoted
from costing.errors import Fault, Faults, Refusal
from costing.files import open_season
from costing.folders import raw_table_of, raw_tables
from costing.normal import ORDER, Cells, Change, differences, digest, normal_tables, shown, written_cells
from costing.reading import parse
from costing.saving import kept_copy, write_atomically
from costing.schema import RECORD_TABLES, TABLES_BY_NAME, SeasonRecords
from costing.workbook.book import EXPORT_PROPERTY, TABLE_PROPERTY
from costing.workbook.readback import Book

LOG = "carried.csv"
LOG_COLUMNS = ("export", "table", "digest", "carried_on")


@dataclass(frozen=True)
class Plan:
    """What carrying would do: the changes by row, and the tables that were changed on both sides."""

    folder: Path
    export: str
    changes: tuple[Change, ...] = ()
    conflicts: tuple[Change, ...] = ()
    states: Mapping[str, str] = field(default_factory=dict)
    records: SeasonRecords | None = None
    tables: Mapping[str, Sequence[Cells]] = field(default_factory=dict)


def plan(workbook: Path, folder: Path) -> Plan:
    """Return what carrying a workbook's edits into a season's folder would change.

    A table is carried when the records are as they were at the export (or after the last carrying from it). Where both
    sides were changed, the differences are conflicts, and are not guessed at.

    Raises
    ------
    Faults
        When either side has faults, or the records would have them after the carrying.
    Refusal
        When the season is no folder, or the workbook was not written by an export.

    """
    if not folder.is_dir():
        raise Refusal(f"{folder}: is no folder; a workbook's edits are carried into a season's folder")
    book = Book(workbook)
    export = book.property_of(EXPORT_PROPERTY)
    if not export:
        raise Refusal(f"{workbook}: was not written by costing export, so its edits cannot be told from what was there")
    season = open_season(folder).records()
    edited = open_season(workbook).records()
    theirs, ours = normal_tables(edited), normal_tables(season)
    bases = _bases(book, folder, export)
    carried, conflicts, states = [], [], {}
    for table in RECORD_TABLES:
        name = table.name
        before, after, base = digest(ours[name]), digest(theirs[name]), bases.get(name, "")
        if after in (before, base):
            continue
        if before == base:
            carried.append(name)
            states[name] = after
        else:
            conflicts.append(name)
    changes = differences(ours, theirs)
    return Plan(
        folder,
        export,
        tuple(change for change in changes if change.table in carried),
        tuple(change for change in changes if change.table in conflicts),
        states,
        season,
        theirs,
    )


def _bases(book: Book, folder: Path, export: str) -> dict[str, str]:
    """Return the digest of each table as both sides last knew it: at the export, or after the last carrying."""
    bases = {table.name: book.property_of(f"{TABLE_PROPERTY}{table.name}") for table in RECORD_TABLES}
    for row in _log(folder):
        if row.get("export") == export:
            bases[str(row.get("table"))] = str(row.get("digest"))
    return bases


def _log(folder: Path) -> list[dict[str, str]]:
    path = folder / "kept" / LOG
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def carry(planned: Plan, *, now: datetime) -> list[Path]:
    """Write the planned changes into the folder, and return the copies kept of what was there.

    Every file is written whole or not at all. If the machine stops in between, carrying again does the rest: a table
    that was written already equals the workbook's and has nothing left to carry.

    Raises
    ------
    Faults
        When the records would have faults afterwards; nothing is written then.
    Refusal
        When a file cannot be written.

    """
    if planned.conflicts or planned.records is None:
        raise Refusal("the records were changed too since the export; nothing was carried")
    written = {name: _edited(planned, name) for name in planned.states}
    _check_afterwards(planned, written)
    kept = []
    for name, data in written.items():
        path = planned.folder / f"{name}.csv"
        if path.exists():
            kept.append(kept_copy(path, planned.folder / "kept" / f"{now:%Y-%m-%d %H%M%S}"))
        write_atomically(path, data, replace=True)
        _remember(planned, name, now)
    return kept


def _check_afterwards(planned: Plan, written: Mapping[str, bytes]) -> None:
    """Read the records as they would be, so that carrying never leaves a season that cannot be costed."""
    tables, strays = raw_tables(planned.folder)
    tables |= {name: raw_table_of(data, f"{name}.csv") for name, data in written.items()}
    records = parse(tables, missing="{name}.csv", known_faults=strays)
    faults = faults_between(records)
    if faults:
        raise Faults(faults)
    after = normal_tables(records)
    missed = [name for name, state in planned.states.items() if digest(after[name]) != state]
    if missed:
        raise Faults(
            [Fault(f"{name}.csv", "would not become what the workbook says", "change it by hand") for name in missed]
        )


def _edited(planned: Plan, name: str) -> bytes:
    """Return a table's file with the changes in it."""
    path = planned.folder / f"{name}.csv"
    columns = ("key", "value") if name == "season" else tuple(TABLES_BY_NAME[name].model.model_fields)
    file = CsvFile.parse(path.read_bytes(), path.name) if path.exists() else CsvFile.fresh(columns)
    if not file.rows:
        file = CsvFile.fresh(columns)
    changes = [change for change in planned.changes if change.table == name]
    if name == "season":
        _change_settings(file, changes)
    else:
        _change_rows(file, planned, name, changes)
    return file.bytes()


def _change_settings(file: CsvFile, changes: Sequence[Change]) -> None:
    at = file.columns(("key", "value"))["key"]
    rows = {unquoted(cells[at]).strip(): number for number, (cells, _) in enumerate(file.rows, 1) if len(cells) > at}
    model = TABLES_BY_NAME["season"].model.model_fields
    for change in changes:
        for column in change.columns:
            text = (change.new or {}).get(column, shown(model[column].default))
            value = _spelled(file, "season", column, text)
            if column in rows:
                file.change(rows[column], {"value": value})
            else:
                file.add({"key": column, "value": value}, after=len(file.rows))


def _spelled(file: CsvFile, name: str, column: str, text: str) -> str:
    shape = TABLES_BY_NAME[name].model.model_fields[column].metadata[0].shape
    return file.number(text) if shape in ("number", "percent") else text


@dataclass(frozen=True)
class _Edit:
    """One change to one row of a file: new cells, or None to take it out; ``below`` to add a row under it instead."""

    number: int
    cells: Cells | None
    below: bool = False


def _change_rows(file: CsvFile, planned: Plan, name: str, changes: Sequence[Change]) -> None:
    """Change, add and remove rows, from the bottom up, so that row numbers hold until they are used."""
    rows = _Rows(planned, name, len(file.rows))
    edits = rows.steps(changes) if name == "steps" else [rows.edit(change) for change in changes][::-1]
    for edit in sorted(edits, key=lambda edit: (-edit.number, not edit.below)):
        if edit.cells is None:
            file.remove(edit.number)
            continue
        cells = {c: _spelled(file, name, c, text) for c, text in edit.cells.items() if c != ORDER}
        if edit.below:
            file.add(cells, after=edit.number)
        else:
            file.change(edit.number, cells)


class _Rows:
    """Where the records of one table stand in its file."""

    def __init__(self, planned: Plan, name: str, last: int) -> None:
        self.name = name
        self.last = last
        records = getattr(planned.records, name)
        self.key = TABLES_BY_NAME[name].key
        self.new = planned.tables[name]
        self.places: dict[tuple[Any, ...], list[int]] = defaultdict(list)
        self.below: dict[tuple[str, ...], int] = {}
        for record, number in zip(records.records, records.numbers, strict=True):
            cells = written_cells(record)
            self.places[self._place(cells)].append(number)
            for length in (1, 2):
                group = self._group(cells, length)
                self.below[group] = max(number, self.below.get(group, 0))

    def _place(self, cells: Cells) -> tuple[Any, ...]:
        """Return what tells a row from the others: its key, or all of it."""
        return tuple(cells.get(column) for column in self.key) if self.key else tuple(sorted(cells.items()))

    def _group(self, cells: Cells, length: int) -> tuple[str, ...]:
        """Return the formula, or formula and step, under whose rows a new one belongs."""
        return tuple(cells[column] for column in ("formula", "step")[:length] if column in cells)

    def edit(self, change: Change) -> _Edit:
        """Return the edit that makes one change."""
        cells = change.old or change.new or {}
        places = self.places.get(self._place(cells), [])
        if self.name == "items" and places:
            return _Edit(
                places[0], {column: (change.new or {}).get(column, "") for column in change.columns if column != "item"}
            )
        if change.old is None:
            return _Edit(self._under(cells), change.new, below=True)
        number = places.pop(0)
        if change.new is None:
            return _Edit(number, None)
        return _Edit(number, {column: change.new.get(column, "") for column in change.columns})

    def _under(self, cells: Cells) -> int:
        if "formula" not in cells:
            return self.last
        return self.below.get(self._group(cells, 2)) or self.below.get(self._group(cells, 1)) or self.last

    def steps(self, changes: Sequence[Change]) -> list[_Edit]:
        """Return the edits of steps: cell by cell where a formula keeps its steps, else all of its rows anew."""
        edits: list[_Edit] = []
        by_formula: dict[str, list[Change]] = defaultdict(list)
        for change in changes:
            by_formula[(change.old or change.new or {})["formula"]].append(change)
        for formula, own in by_formula.items():
            stays = all(
                change.old and change.new and ORDER not in change.columns and self.places.get(self._place(change.old))
                for change in own
            )
            edits += [self.edit(change) for change in own] if stays else self._anew(formula)
        return edits

    def _anew(self, formula: str) -> list[_Edit]:
        numbers = sorted(number for key, places in self.places.items() if key[0] == formula for number in places)
        rows = [cells for cells in self.new if cells["formula"] == formula]
        under = numbers[-1] if numbers else self.last
        added = [_Edit(under, cells, below=True) for cells in reversed(rows)]
        return [*added, *(_Edit(number, None) for number in numbers)]


def _remember(planned: Plan, name: str, now: datetime) -> None:
    """Log the state up to which a workbook's edits were carried, so that later edits can be told from them."""
    rows = [row for row in _log(planned.folder) if (row.get("export"), row.get("table")) != (planned.export, name)]
    rows.append(
        dict(zip(LOG_COLUMNS, (planned.export, name, planned.states[name], f"{now:%Y-%m-%d %H:%M:%S}"), strict=True))
    )
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, LOG_COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    path = planned.folder / "kept" / LOG
    path.parent.mkdir(exist_ok=True)
    write_atomically(path, text.getvalue().encode("utf-8"), replace=True)
