"""What was carried from which workbook before, so that what was edited since can be told from it."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from costing.errors import Refusal
from costing.season.changes import Change, differences, whole
from costing.season.packing import Tables, packed, unpacked
from costing.tables.written import Origin
from costing.workbook.identity import EXPORT_FORM

LOG = "kept/carried.json"
_FORM = re.compile(r"[0-9a-f]{16}")


@dataclass(frozen=True)
class CarriedState:
    """A workbook as it was when it was carried: of which export, in which file, and its tables."""

    export: str
    file: str
    tables: Tables
    carried_on: str


@dataclass(frozen=True)
class Ancestor:
    """The state of its tables that a workbook goes back to.

    doubted: where the edits carried from this file are all gone, and others are there: they may have been taken back, or
    another copy of the export was put in its place.
    """

    tables: Tables
    doubted: bool = False


def file_mark(workbook: Path) -> str:
    """Return by what a workbook's file is known in the log: no name, since a spreadsheet might run what it finds there."""
    return hashlib.sha256(str(workbook.resolve()).encode("utf-8", "surrogateescape")).hexdigest()[:16]


def states_in(data: bytes | None, log: Path) -> list[CarriedState]:
    """Return what the log of a season's folder holds, the latest last.

    Raises
    ------
    Refusal
        When it does not have the form of such a log.

    """
    if data is None:
        return []
    try:
        return [_state(row) for row in json.loads(data)["carried"]]
    except (ValueError, TypeError, KeyError, RecursionError):
        raise Refusal(f"{log}: is no log of what was carried; put back what it was, or move it elsewhere") from None


def _state(row: Mapping[str, Any]) -> CarriedState:
    export, file, tables = row["export"], row["file"], unpacked(row["tables"])
    if tables is None or not (EXPORT_FORM.fullmatch(export) and _FORM.fullmatch(file)):
        raise ValueError(row)
    return CarriedState(export, file, tables, str(row["carried_on"]))


def log_with(states: Iterable[CarriedState], origin: Origin, workbook: Path, tables: Tables, now: datetime) -> bytes:
    """Return the log with what is carried from a workbook now, in place of what was carried from it before."""
    file = file_mark(workbook)
    kept = [state for state in states if (state.export, state.file) != (origin.export, file)]
    kept.append(CarriedState(origin.export, file, tables, f"{now:%Y-%m-%d %H:%M:%S}"))
    rows = [
        {"export": each.export, "file": each.file, "carried_on": each.carried_on, "tables": packed(each.tables)}
        for each in kept
    ]
    return (json.dumps({"carried": rows}, indent=1) + "\n").encode("utf-8")


def ancestor_of(origin: Origin, workbook: Path, tables: Tables, states: Sequence[CarriedState]) -> Ancestor:
    """Return which state a workbook goes back to: what was carried from its file last, else what it was exported with.

    A copy of the export that nothing was carried from goes back to the export, so that it does not take back what was
    carried from another; unless it holds all that was: then it is that workbook under another name.
    """
    own = [state for state in states if state.export == origin.export]
    file = file_mark(workbook)
    for state in reversed(own):
        if state.file == file:
            others = differences(origin.tables, tables)
            return Ancestor(state.tables, doubted=bool(others) and _all_taken_back(origin, state, tables))
    held = _edits(differences(origin.tables, tables))
    for state in reversed(own):
        if _edits(differences(origin.tables, state.tables)) <= held:
            return Ancestor(state.tables)
    return Ancestor(origin.tables)


def _all_taken_back(origin: Origin, state: CarriedState, tables: Tables) -> bool:
    """Whether a workbook holds none of the edits that were carried from it, as the export did not."""
    carried = differences(origin.tables, state.tables)
    taken_back = _edits(Change(change.table, change.new, change.old) for change in carried)
    return bool(taken_back) and taken_back <= _edits(differences(state.tables, tables))


def _edits(changes: Iterable[Change]) -> set[tuple[Any, ...]]:
    """Return changes cell by cell, as what can be looked for among others."""
    found: set[tuple[Any, ...]] = set()
    for change in changes:
        if change.old is None or change.new is None:
            found.add((change.table, change.old and whole(change.old), change.new and whole(change.new)))
        else:
            old = whole(change.old)
            found |= {(change.table, old, column, change.new.get(column)) for column in change.columns}
    return found
