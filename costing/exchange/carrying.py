"""Carrying the edits made in a pricing workbook back into the season's folder, cell by cell, and nothing else."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import Any

from costing.errors import Fault, Faults, Refusal
from costing.exchange.carried_states import LOG, Ancestor, CarriedState, ancestor_of, log_with, states_in
from costing.exchange.edited_files import TableEdit, edited_file
from costing.exchange.places import Places
from costing.exchange.season_files import Source, folder_source, workbook_source
from costing.folder.one_step import Step, in_one_step, settle
from costing.folder.reading import table_files
from costing.records.parsing import printable
from costing.records.schema import TABLES_BY_NAME
from costing.season.changes import Change, differences, whole
from costing.season.comparable import Cells, digest, normal_tables
from costing.season.merging import WORKBOOK, Conflict, Merged, merged
from costing.season.packing import Tables
from costing.season.working_out import cost
from costing.tables.written import Origin, Rows, SeasonRecords
from costing.workbook.read.opened_book import Book

SIDES = ("workbook", "records")


@dataclass(frozen=True)
class PlannedCarrying:
    """What carrying would do: the changes by row, and the cells that were changed on both sides.

    differing: rows that were changed in the records alone, and stay; notices: what was passed over in the workbook, or
    taken in a way worth knowing.
    """

    folder: Path
    changes: tuple[Change, ...]
    conflicts: tuple[Conflict, ...]
    differing: int
    notices: tuple[str, ...]
    sides: _Sides = field(repr=False)
    tables: Tables = field(repr=False)


@dataclass(frozen=True)
class _Sides:
    """Both sides as they were read, with the bytes of the folder's files."""

    workbook: Path
    origin: Origin
    edited: Source
    files: Mapping[str, bytes]
    log: bytes | None
    records: SeasonRecords
    theirs: Tables
    states: Sequence[CarriedState]
    places: Places
    places_in_folder: Places

    @cached_property
    def ancestor(self) -> Ancestor:
        """The state of its tables that the workbook goes back to."""
        return ancestor_of(self.origin, self.workbook, self.theirs, self.states)

    @property
    def seen(self) -> dict[str, bytes]:
        """The files of the folder that the plan was made from."""
        tables = {name: data for name, data in self.files.items() if Path(name).stem.lower() in TABLES_BY_NAME}
        return tables if self.log is None else tables | {LOG: self.log}


def plan_carrying(workbook: str | Path, folder: str | Path, *, settle_with: str = "") -> PlannedCarrying:
    """Return what carrying a workbook's edits into a season's folder would change.

    A cell that was changed in the workbook since its export (or since it was carried) is carried. Where the records'
    cell was changed too, and not to the same, it is a conflict, unless ``settle_with`` says which side is wanted:
    workbook or records.

    Raises
    ------
    Faults
        When either side has faults.
    Refusal
        When the season is no folder, or the workbook was not exported from this season.

    """
    workbook, folder = Path(workbook), Path(folder)
    if settle_with not in ("", *SIDES):
        raise Refusal(f"{settle_with}: is no side; name one of {', '.join(SIDES)}")
    if not folder.is_dir():
        raise Refusal(f"{folder}: is no folder; a workbook's edits are carried into a season's folder")
    book = Book(workbook)
    if book.origin is None:
        raise Refusal(f"{workbook}: was not written by costing export, so its edits cannot be told from what was there")
    settled = settle(folder)
    sides = _sides(book, book.origin, folder)
    ours = normal_tables(sides.records)
    _refuse_another_season(workbook, sides.origin.tables, ours)
    result = _brought_together(sides, ours, settle_with)
    changes = tuple(differences(ours, result.tables))
    conflicts = () if settle_with else tuple(_placed(conflict, sides) for conflict in result.conflicts)
    differing = len(differences(result.tables, sides.theirs))
    notices = (*([settled] if settled else []), *sides.edited.notices)
    return PlannedCarrying(folder, changes, conflicts, differing, notices, sides, result.tables)


def _sides(book: Book, origin: Origin, folder: Path) -> _Sides:
    files, log = table_files(folder), folder / LOG
    logged = log.read_bytes() if log.is_file() else None
    source, edited = folder_source(files), workbook_source(book)
    records, written = source.records(), edited.records()
    return _Sides(
        book.path, origin, edited, files, logged, records, normal_tables(written), states_in(logged, log),
        Places(written, edited.tables), Places(records, source.tables),
    )  # fmt: skip


def _refuse_another_season(workbook: Path, exported: Tables, ours: Tables) -> None:
    """Refuse a workbook of another name most of whose rows these records never had."""
    names = [tables["season"][0].get("name", "") for tables in (exported, ours) if tables["season"]]
    rows, there = (
        Counter((name, whole(row)) for name, rows in tables.items() if name != "season" for row in rows)
        for tables in (exported, ours)
    )
    if len(set(names)) > 1 and 2 * (rows & there).total() < rows.total():
        raise Refusal(
            f'{workbook}: was exported from another season, "{printable(names[0])}"; this one is "{printable(names[1])}". '
            f"Carry it into the folder that it was exported from"
        )


def _brought_together(sides: _Sides, ours: Tables, settle_with: str) -> Merged:
    """Return the tables as they are to be, and the conflicts.

    Where nobody can tell whether edits were taken back or another copy was put in the place of the workbook, what would
    differ is a conflict.
    """
    ancestor = sides.ancestor
    result = merged(ancestor.tables, sides.theirs, ours, settle_with)
    if not ancestor.doubted:
        return result
    other = merged(sides.origin.tables, sides.theirs, ours, settle_with)
    doubts = [
        Conflict(change.table, column, change.new, change.new, change.old)
        for change in differences(other.tables, result.tables)
        for column in (change.columns if change.old and change.new else [""])
    ]
    told = (*doubts, *result.conflicts, *other.conflicts)
    found = {(each.table, each.column, whole(each.workbook or {}), whole(each.records or {})): each for each in told}
    return Merged((result if settle_with == WORKBOOK else other).tables, tuple(found.values()))


def _placed(conflict: Conflict, sides: _Sides) -> Conflict:
    found = (
        sides.places.of(conflict.table, conflict.workbook, conflict.column),
        sides.places_in_folder.of(conflict.table, conflict.records, conflict.column),
    )
    return replace(conflict, places=tuple(place for place in found if place))


def carry(planned: PlannedCarrying, *, now: datetime | None = None) -> list[Path]:
    """Write the planned changes into the folder, all or none of them, and return the copies kept of what was there.

    Raises
    ------
    Faults
        When the records would have faults afterwards; nothing is written then.
    Refusal
        When there are conflicts, the folder was changed since it was looked at, or a file cannot be written.

    """
    if planned.conflicts:
        raise Refusal("the records were changed too since the export; nothing was carried")
    sides = planned.sides
    now = now or datetime.now()
    written = {_file_of(planned, name): data for name, data in _written(planned).items()}
    new = dict(written)
    if differences(sides.ancestor.tables, sides.theirs):
        new[LOG] = log_with(sides.states, sides.origin, sides.workbook, sides.theirs, now)
    if not new:
        return []
    copied = tuple(name for name in written if name in sides.files)
    return in_one_step(Step(planned.folder, sides.seen, new, copied, f"{now:%Y-%m-%d %H%M%S}"))


def _written(planned: PlannedCarrying) -> dict[str, bytes]:
    """Return the files to write, read and costed once more, so that carrying never leaves a season that cannot be costed."""
    changed = dict.fromkeys(change.table for change in planned.changes)
    written = {name: _edited(planned, name) for name in changed}
    if not written:
        return {}
    after = _records_with(planned, written)
    moved = _steps_moved(planned, normal_tables(after)["steps"])
    if moved:
        written["steps"] = _edited(planned, "steps", moved)
        after = _records_with(planned, written)
    tables = normal_tables(after)
    missed = [name for name, rows in planned.tables.items() if digest(tables[name]) != digest(rows)]
    if missed:
        raise Faults(
            [Fault(f"{name}.csv", "would not become what was shown", "carry again, or change it by hand") for name in missed]
        )
    _refuse_faults(planned, after)
    return written


def _refuse_faults(planned: PlannedCarrying, after: SeasonRecords) -> None:
    """Refuse what a check of the records would, naming the workbook's cells."""
    places = planned.sides.places
    try:
        cost(places.put_into(after, but=planned.sides.records))
    except Faults as error:
        raise Faults([places.cell_of(fault) for fault in error.faults]) from None


def _records_with(planned: PlannedCarrying, written: Mapping[str, bytes]) -> SeasonRecords:
    """Return the records as they would be with some files written."""
    files = {_file_of(planned, name): data for name, data in written.items()}
    try:
        return folder_source({**planned.sides.files, **files}).records()
    except Faults as error:  # the one clear date that told how to read the others, say, was changed
        told = [replace(fault, what=f"{fault.what}, once the workbook's edits are in it") for fault in error.faults]
        raise Faults(told) from None


def _steps_moved(planned: PlannedCarrying, after: Sequence[Cells]) -> list[str]:
    """Return the formulas whose steps only their lines tell, and would now tell otherwise: they must be written out."""
    wanted, found = _by_formula(planned.tables["steps"]), _by_formula(after)
    kept = {step.formula for step in planned.sides.records.steps}
    return [formula for formula, rows in wanted.items() if formula not in kept and found.get(formula) != rows]


def _by_formula(steps: Sequence[Cells]) -> dict[str, list[Cells]]:
    found: dict[str, list[Cells]] = defaultdict(list)
    for cells in steps:
        found[cells["formula"]].append(cells)
    return found


def _file_of(planned: PlannedCarrying, name: str) -> str:
    """Return the file that holds a table, whatever capitals its name has."""
    found = [file for file in planned.sides.files if file.lower() == f"{name}.csv"]
    return found[-1] if found else f"{name}.csv"


def _edited(planned: PlannedCarrying, name: str, anew: Sequence[str] = ()) -> bytes:
    """Return a table's file with the changes in it; of the formulas in ``anew``, all steps are written."""
    changes = [change for change in planned.changes if change.table == name]
    records: Rows[Any] = Rows() if name == "season" else getattr(planned.sides.records, name)
    file = _file_of(planned, name)
    edit = TableEdit(name, changes, records, planned.tables[name], tuple(anew))
    return edited_file(file, planned.sides.files.get(file), edit)
