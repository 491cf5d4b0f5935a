"""What carrying should do, said once more and plainly: a model of two copies of one export and the records, cell by cell."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

Row = dict[str, str]
Rows = dict[tuple[str, ...], Row]
State = dict[str, Rows]
Cell = tuple[str, tuple[str, ...], str]  # table, key, column; no column for a whole row


def copied(state: State) -> State:
    """Return a copy that can be changed alone."""
    return {table: {key: dict(row) for key, row in rows.items()} for table, rows in state.items()}


@dataclass
class Model:
    """The records, and what was exported and carried; ``carried``: each copy's state then, the latest last."""

    records: State
    exported: State
    carried: dict[str, State] = field(default_factory=dict)

    def expected(self, copy: str, workbook: State, settle: str = "") -> tuple[State, set[Cell]]:
        """Return the records as they are to be, and the cells in conflict."""
        base, doubted = self._ancestor(copy, workbook)
        found, conflicts = _merged(base, workbook, self.records, settle)
        if not doubted:
            return found, conflicts
        other, others = _merged(self.exported, workbook, self.records, settle)
        together = conflicts | others | set(_differing(found, other))
        return (found if settle == "workbook" else other), together

    def carry(self, copy: str, workbook: State, result: State) -> None:
        """Note that a copy was carried."""
        if self._ancestor(copy, workbook)[0] != workbook:
            self.carried.pop(copy, None)
            self.carried[copy] = copied(workbook)
        self.records = copied(result)

    def _ancestor(self, copy: str, workbook: State) -> tuple[State, bool]:
        """Return the state that a copy goes back to, and whether it may be another copy instead."""
        if copy in self.carried:
            state = self.carried[copy]
            edits = list(_differing(self.exported, state))
            undone = all(_held(workbook, edit) == _held(self.exported, edit) for edit in edits)
            return state, bool(edits) and undone and workbook != self.exported
        for state in reversed(self.carried.values()):
            edits = list(_differing(self.exported, state))
            if all(_held(workbook, edit) == _held(state, edit) for edit in edits):
                return state, False
        return self.exported, False


def _held(state: State, cell: Cell) -> object:
    """Return what a cell or row is."""
    table, key, column = cell
    row = state[table].get(key)
    return row if not column else (row or {}).get(column)


def _differing(one: State, other: State) -> Iterator[Cell]:
    """Yield the cells that differ, or the rows that only one side has."""
    for table in one:
        for key in {**one[table], **other[table]}:
            before, after = one[table].get(key), other[table].get(key)
            if before is None or after is None:
                yield table, key, ""
            else:
                yield from (
                    (table, key, column) for column in {**before, **after} if before.get(column) != after.get(column)
                )


def _merged(base: State, workbook: State, records: State, settle: str) -> tuple[State, set[Cell]]:
    found: State = {}
    conflicts: set[Cell] = set()
    for table in base:
        found[table] = {}
        for key in {**base[table], **records[table], **workbook[table]}:
            base_row, ours, theirs = (state[table].get(key) for state in (base, workbook, records))
            if table == "items":
                bare: Row = {"item": key[0]}
                base_row, ours, theirs = base_row or bare, ours or bare, theirs or bare
            row, told = _row(base_row, ours, theirs, settle)
            conflicts |= {(table, key, column) for column in told}
            if row is not None and not (table == "items" and len(row) == 1):
                found[table][key] = row
    _count_steps(found["steps"])
    return found, conflicts


def _row(base: Row | None, workbook: Row | None, records: Row | None, settle: str) -> tuple[Row | None, list[str]]:
    """Return a row as it is to be, and its columns in conflict: an empty one where one side removed it."""
    if workbook == base:
        return records, []
    if records in (base, workbook):
        return workbook, []
    if workbook is None or records is None:
        return (workbook if settle == "workbook" else records), [""]
    row, told = {}, []
    for column in {**workbook, **records}:
        ours, theirs, was = workbook.get(column), records.get(column), (base or {}).get(column)
        wanted = theirs if ours == was else ours
        if ours not in (was, theirs) and theirs != was:
            told.append(column)
            wanted = ours if settle == "workbook" else theirs
        if wanted is not None:
            row[column] = wanted
    return row, told


def _count_steps(steps: Rows) -> None:
    """Steps are not put in or taken out here, so their order stays."""
    assert all(row["order"].isdigit() for row in steps.values())
