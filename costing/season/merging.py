"""Three states of the same tables brought together cell by cell: as exported, in the workbook now, in the records now."""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from costing.records.parsing import printable
from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME
from costing.season.changes import LIKENESS, Change, changes_of, label, whole, without
from costing.season.comparable import ORDER, Cells

WORKBOOK, RECORDS = "workbook", "records"  # the sides
_TOGETHER = {"unit": "size"}  # columns that mean something only beside another, and are taken from one side with it
_MANY_ALIKE = {"weighings"}  # where two new rows that look the same are usual, and are two rows
Row = Cells | None


@dataclass(frozen=True)
class Conflict:
    """A cell, or a whole row, that was changed on both sides and not to the same.

    column: which cell; empty where one side removed the row; places: where it stands, as far as it does.
    """

    table: str
    column: str
    exported: Row
    workbook: Row
    records: Row
    places: tuple[str, ...] = field(default=(), compare=False)

    def __str__(self) -> str:
        row = self.exported or self.workbook or self.records or {}
        stands = f" ({'; '.join(self.places)})" if self.places else ""
        return printable(f"{self.table}: {label(self.table, row)}: {self._told()}") + stands

    def _told(self) -> str:
        if self.column:
            held = [(row or {}).get(self.column, "blank") for row in (self.workbook, self.records, self.exported)]
            return f"{self.column} is {held[0]} in the workbook, {held[1]} in the records, and was {held[2]} at the export"
        gone, kept, row = (RECORDS, WORKBOOK, self.workbook) if self.records is None else (WORKBOOK, RECORDS, self.records)
        change = Change(self.table, self.exported, row)
        return f"was removed in the {gone}, and changed in the {kept}: {change.cells}"


@dataclass(frozen=True)
class Merged:
    """What came of bringing tables together: their rows as they are to be, and what was changed on both sides."""

    tables: Mapping[str, Sequence[Cells]]
    conflicts: tuple[Conflict, ...]


def merged(
    exported: Mapping[str, Sequence[Cells]],
    workbook: Mapping[str, Sequence[Cells]],
    records: Mapping[str, Sequence[Cells]],
    settle: str = "",
) -> Merged:
    """Return tables in which each cell has what the side that changed it says.

    A cell changed on both sides to the same is no conflict. In a conflict the records' cell stays, unless ``settle``
    says that the workbook's is wanted.
    """
    tables: dict[str, Sequence[Cells]] = {}
    conflicts: list[Conflict] = []
    for table in RECORD_TABLES:
        merging = _Merging(table.name, settle)
        tables[table.name] = merging.rows(exported[table.name], workbook[table.name], records[table.name])
        conflicts += merging.conflicts
    return Merged(tables, tuple(conflicts))


class _Merging:
    """One table being brought together."""

    def __init__(self, name: str, settle: str) -> None:
        self._name = name
        self._settle = settle
        self._key = TABLES_BY_NAME[name].key
        self.conflicts: list[Conflict] = []

    def rows(self, exported: Sequence[Cells], workbook: Sequence[Cells], records: Sequence[Cells]) -> list[Cells]:
        """Return the rows as they are to be, those of the export first."""
        edits = [_Edits(changes_of(self._name, exported, side)) for side in (workbook, records)]
        found = [self._row(row, *(each.became(row) for each in edits)) for row in exported]
        found += self._added(*(each.added for each in edits))
        rows = [row for row in found if row is not None and not self._says_nothing(row)]
        return _numbered(rows) if self._name == "steps" else rows

    def _says_nothing(self, row: Cells) -> bool:
        """Whether an item's row corrects nothing of the packaged list."""
        return self._name == "items" and row.keys() <= set(self._key)

    def _row(self, exported: Cells, workbook: Row, records: Row) -> Row:
        if self._name == "items":  # a row that is gone is one that corrects nothing
            bare = {column: exported[column] for column in self._key}
            workbook, records = workbook or bare, records or bare
        if workbook == exported:
            return records
        if records in (exported, workbook):
            return workbook
        if workbook is None or records is None:
            self.conflicts.append(Conflict(self._name, "", exported, workbook, records))
            return workbook if self._settle == WORKBOOK else records
        return self._cells(exported, workbook, records)

    def _cells(self, exported: Cells, workbook: Cells, records: Cells) -> Cells:
        """Return a row that is there on both sides, cell by cell."""
        groups: dict[str, list[str]] = defaultdict(list)
        for column in {**records, **workbook, **exported}:
            groups[_TOGETHER.get(column, column)].append(column)
        row: dict[str, str] = {}
        for columns in groups.values():
            was, ours, theirs = ([side.get(column) for column in columns] for side in (exported, workbook, records))
            wanted = workbook
            if ours == was:
                wanted = records
            elif theirs not in (was, ours):
                differing = [column for column in columns if workbook.get(column) != records.get(column)]
                self.conflicts += [Conflict(self._name, column, exported, workbook, records) for column in differing]
                wanted = workbook if self._settle == WORKBOOK else records
            row |= {column: wanted[column] for column in columns if column in wanted}
        return row

    def _added(self, workbook: Sequence[Cells], records: Sequence[Cells]) -> Iterator[Cells]:
        """Yield the rows that were added on either side; of one that was added on both, its cells brought together."""
        both = Counter(map(whole, workbook)) & Counter(map(whole, records))
        waiting: dict[tuple[str | None, ...], deque[Cells]] = defaultdict(deque)
        for row in without(workbook, both):
            waiting[self._likeness(row)].append(row)
        seen = Counter(both)
        for row in records:
            alike = waiting[self._likeness(row)]
            if seen[whole(row)]:
                seen[whole(row)] -= 1
            elif alike and None not in self._likeness(row) and self._name not in _MANY_ALIKE:
                shared = {column: row[column] for column in self._columns if column in row}
                yield self._cells(shared, alike.popleft(), row)
                continue
            yield row
        for rows in waiting.values():
            yield from rows

    @property
    def _columns(self) -> Sequence[str]:
        return self._key or LIKENESS.get(self._name, ())

    def _likeness(self, row: Cells) -> tuple[str | None, ...]:
        return tuple(row.get(column) for column in self._columns)


class _Edits:
    """What one side did to the rows of the export: what each became, and which were added."""

    def __init__(self, changes: Iterable[Change]) -> None:
        self.added: list[Cells] = []
        self._became: dict[tuple[tuple[str, str], ...], deque[Row]] = defaultdict(deque)
        for change in changes:
            if change.old is not None:
                self._became[whole(change.old)].append(change.new)
            elif change.new is not None:
                self.added.append(change.new)

    def became(self, row: Cells) -> Row:
        """Return what a row became; of several alike, each is asked for once."""
        changed = self._became[whole(row)]
        return changed.popleft() if changed else row


def _numbered(steps: Sequence[Cells]) -> list[Cells]:
    """Return steps in their order, counted anew, since both sides may have put some in or taken some out."""
    by_formula: dict[str, list[Cells]] = defaultdict(list)
    for step in sorted(steps, key=lambda step: int(step[ORDER])):
        by_formula[step["formula"]].append(step)
    return [{**step, ORDER: str(at)} for own in by_formula.values() for at, step in enumerate(own, start=1)]
