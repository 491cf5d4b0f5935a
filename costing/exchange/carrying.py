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

from costing.errors import Fault, Faults, FileTrouble, Refusal
from costing.exchange.edited_files import TableEdit, edited_file
from costing.exchange.season_files import Source, open_season
from costing.folder.reading import raw_table_of, raw_tables
from costing.folder.safe_writing import kept_copy, write_atomically
from costing.records.faults import faults_between
from costing.records.parsing import parse
from costing.records.schema import RECORD_TABLES
from costing.season.changes import Change, differences
from costing.season.comparable import Cells, digest, normal_tables
from costing.tables.written import Rows, SeasonRecords
from costing.workbook.identity import EXPORT_PROPERTY, TABLE_PROPERTY
from costing.workbook.read.opened_book import Book
from costing.workbook.read.readback import raw_tables_of

LOG = "carried.csv"
LOG_COLUMNS = ("export", "table", "digest", "carried_on")


@dataclass(frozen=True)
class PlannedCarrying:
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


def plan_carrying(workbook: str | Path, folder: str | Path) -> PlannedCarrying:
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
    workbook, folder = Path(workbook), Path(folder)
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
    return PlannedCarrying(
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


def carry(planned: PlannedCarrying, *, now: datetime | None = None) -> list[Path]:
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
    now = now or datetime.now()
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


def _written(planned: PlannedCarrying) -> dict[str, bytes]:
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


def _records_with(planned: PlannedCarrying, written: Mapping[str, bytes]) -> SeasonRecords:
    """Return the records as they would be with some files written."""
    tables, strays = raw_tables(planned.folder)
    tables |= {name: raw_table_of(data, f"{name}.csv") for name, data in written.items()}
    return parse(tables, missing="{name}.csv", known_faults=strays)


def _steps_moved(planned: PlannedCarrying, after: Sequence[Cells]) -> list[str]:
    """Return the formulas whose steps only their lines tell, and would now tell otherwise: they must be written out."""
    wanted, found = _by_formula(planned.tables["steps"]), _by_formula(after)
    kept = {step.formula for step in planned.records.steps} if planned.records else set()
    return [formula for formula, rows in wanted.items() if formula not in kept and found.get(formula) != rows]


def _by_formula(steps: Sequence[Cells]) -> dict[str, list[Cells]]:
    found: dict[str, list[Cells]] = defaultdict(list)
    for cells in steps:
        found[cells["formula"]].append(cells)
    return found


def _file_of(planned: PlannedCarrying, name: str) -> Path:
    """Return the file that holds a table, whatever capitals its name has."""
    wanted = f"{name}.csv"
    found = [file for file in sorted(planned.folder.iterdir()) if file.name.lower() == wanted]
    return found[-1] if found else planned.folder / wanted


def _edited(planned: PlannedCarrying, name: str, anew: Sequence[str] = ()) -> bytes:
    """Return a table's file with the changes in it; of the formulas in ``anew``, all steps are written."""
    changes = [change for change in planned.changes if change.table == name]
    records: Rows[Any] = Rows() if planned.records is None or name == "season" else getattr(planned.records, name)
    return edited_file(_file_of(planned, name), TableEdit(name, changes, records, planned.tables[name], tuple(anew)))


def _remember(planned: PlannedCarrying, names: Iterable[str], now: datetime) -> None:
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
        raise FileTrouble(
            f"{path.parent}: cannot be made ({error.strerror}); the records are written, but not the log"
        ) from None
    write_atomically(path, text.getvalue().encode("utf-8"), replace=True)
