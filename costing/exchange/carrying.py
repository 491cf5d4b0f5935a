"""Carrying the edits made in a pricing workbook back into the season's folder, row by row, and nothing else."""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from costing.errors import Fault, Faults, Refusal
from costing.exchange.season_files import Source, open_season
from costing.folder.csv_editing import CsvFile, unquoted
from costing.folder.reading import raw_table_of, raw_tables
from costing.folder.safe_writing import kept_copy, write_atomically
from costing.records.faults import faults_between
from costing.records.parsing import parse
from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME
from costing.season.comparable import ORDER, Cells, Change, differences, digest, normal_tables, shown, written_cells
from costing.tables.written import SeasonRecords
from costing.workbook.identity import EXPORT_PROPERTY, TABLE_PROPERTY
from costing.workbook.read.readback import Book, raw_tables_of

LOG = "carried.csv"
LOG_COLUMNS = ("export", "table", "digest", "carried_on")


@dataclass(frozen=True)
class Plan:
    """What carrying would do: the changes by row, and the tables that were changed on both sides.

    states: the digest of each table that both sides will agree on; tables: every table's rows as they are to become;
    notices: what was passed over in the workbook, or taken in a way worth knowing.
    """

    folder: Path
    export: str
    changes: tuple[Change, ...] = ()
    conflicts: tuple[Change, ...] = ()
    states: Mapping[str, str] = field(default_factory=dict)
    records: SeasonRecords | None = None
    tables: Mapping[str, Sequence[Cells]] = field(default_factory=dict)
    notices: tuple[str, ...] = ()


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
    export = _identity(book)
    if not export:
        raise Refusal(f"{workbook}: was not written by costing export, so its edits cannot be told from what was there")
    season = open_season(folder).records()
    edited = Source(raw_tables_of(book), (), f"{workbook.name}, sheet {{name}}")
    theirs, ours = normal_tables(edited.records()), normal_tables(season)
    bases = _bases(book, folder, export)
    carried, conflicts, states = [], [], {}
    for table in RECORD_TABLES:
        name = table.name
        before, after, base = digest(ours[name]), digest(theirs[name]), bases.get(name, "")
        if after == base:
            continue
        if before in (after, base):
            states[name] = after
            carried.append(name)
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
        {name: theirs[name] if name in carried else ours[name] for name in ours},
        tuple(edited.notices),
    )


def _identity(book: Book) -> str:
    """Return by what an export is known: its records, and when it was written, since the same ones can be exported twice."""
    records = book.property_of(EXPORT_PROPERTY)
    return f"{records} {book.formulas.properties.created}" if records else ""


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
    try:
        with path.open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise Refusal(f"{path}: cannot be read ({error}); put back what it was, or move it elsewhere") from None


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
    written = _written(planned)
    kept = []
    for name, data in written.items():
        path = _file_of(planned, name)
        if path.exists():
            kept.append(kept_copy(path, planned.folder / "kept" / f"{now:%Y-%m-%d %H%M%S}"))
        write_atomically(path, data, replace=True)
        _remember(planned, [name], now)
    _remember(planned, planned.states.keys() - written.keys(), now)
    return kept


def _written(planned: Plan) -> dict[str, bytes]:
    """Return the files to write, read once more, so that carrying never leaves a season that cannot be costed."""
    changed = dict.fromkeys(change.table for change in planned.changes)
    written = {name: _edited(planned, name) for name in changed}
    after = _records_with(planned, written)
    moved = _steps_moved(planned, normal_tables(after)["steps"])
    if moved:
        written["steps"] = _edited(planned, "steps", moved)
        after = _records_with(planned, written)
    faults = faults_between(after)
    if faults:
        raise Faults(faults)
    tables = normal_tables(after)
    missed = [name for name, rows in planned.tables.items() if digest(tables[name]) != digest(rows)]
    if missed:
        raise Faults(
            [Fault(f"{name}.csv", "would not become what was shown", "carry again, or change it by hand") for name in missed]
        )
    return written


def _records_with(planned: Plan, written: Mapping[str, bytes]) -> SeasonRecords:
    """Return the records as they would be with some files written."""
    tables, strays = raw_tables(planned.folder)
    tables |= {name: raw_table_of(data, f"{name}.csv") for name, data in written.items()}
    return parse(tables, missing="{name}.csv", known_faults=strays)


def _steps_moved(planned: Plan, after: Sequence[Cells]) -> list[str]:
    """Return the formulas whose steps only their lines tell, and would now tell otherwise: they must be written out."""
    wanted, found = _by_formula(planned.tables["steps"]), _by_formula(after)
    kept = {step.formula for step in planned.records.steps} if planned.records else set()
    return [formula for formula, rows in wanted.items() if formula not in kept and found.get(formula) != rows]


def _by_formula(steps: Sequence[Cells]) -> dict[str, list[Cells]]:
    found: dict[str, list[Cells]] = defaultdict(list)
    for cells in steps:
        found[cells["formula"]].append(cells)
    return found


def _file_of(planned: Plan, name: str) -> Path:
    """Return the file that holds a table, whatever capitals its name has."""
    wanted = f"{name}.csv"
    found = [file for file in sorted(planned.folder.iterdir()) if file.name.lower() == wanted]
    return found[-1] if found else planned.folder / wanted


def _edited(planned: Plan, name: str, anew: Sequence[str] = ()) -> bytes:
    """Return a table's file with the changes in it; of the formulas in ``anew``, all steps are written."""
    path = _file_of(planned, name)
    columns = ("key", "value") if name == "season" else tuple(TABLES_BY_NAME[name].model.model_fields)
    file = CsvFile.parse(path.read_bytes(), path.name) if path.exists() else CsvFile.fresh(columns)
    if not file.rows:
        file = CsvFile.fresh(columns)
    changes = [change for change in planned.changes if change.table == name]
    if name == "season":
        _change_settings(file, changes)
    else:
        _change_rows(file, planned, name, changes, anew)
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


def _change_rows(file: CsvFile, planned: Plan, name: str, changes: Sequence[Change], anew: Sequence[str]) -> None:
    """Change, add and remove rows, from the bottom up, so that row numbers hold until they are used."""
    rows = _Rows(planned, name, len(file.rows))
    edits = rows.steps(changes, anew) if name == "steps" else [rows.edit(change) for change in changes][::-1]
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

    def steps(self, changes: Sequence[Change], anew: Sequence[str]) -> list[_Edit]:
        """Return the edits of steps: cell by cell where a formula keeps its steps, else all of its rows anew."""
        edits: list[_Edit] = []
        by_formula: dict[str, list[Change]] = {formula: [] for formula in anew}
        for change in changes:
            by_formula.setdefault((change.old or change.new or {})["formula"], []).append(change)
        for formula, own in by_formula.items():
            stays = formula not in anew and all(
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


def _remember(planned: Plan, names: Iterable[str], now: datetime) -> None:
    """Log the state up to which a workbook's edits were carried, so that later edits can be told from them."""
    told = {(planned.export, name): planned.states[name] for name in names if name in planned.states}
    if not told:
        return
    rows = [row for row in _log(planned.folder) if (row.get("export"), row.get("table")) not in told]
    rows += [
        dict(zip(LOG_COLUMNS, (*which, state, f"{now:%Y-%m-%d %H:%M:%S}"), strict=True)) for which, state in told.items()
    ]
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, LOG_COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    path = planned.folder / "kept" / LOG
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise Refusal(
            f"{path.parent}: cannot be made ({error.strerror}); the records are written, but not the log"
        ) from None
    write_atomically(path, text.getvalue().encode("utf-8"), replace=True)
