"""What leads from one set of records to another, row by row: which row became which, and what is new or gone."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from costing.records.parsing import printable
from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME
from costing.season.comparable import ORDER, Cells

# By what rows of a table without a key are taken to be the same one, before it is looked which are most alike.
LIKENESS = {
    "purchases": ("bought_on", "supplier", "invoice", "item"), "lines": ("formula", "step", "item"),
    "weighings": ("product", "weighed_on"), "batch_lines": ("batch", "step", "item"),
}  # fmt: skip
_MOST_PAIRS = 250_000  # of rows compared each with each
_ALIKE_ENOUGH = 0.5  # of the cells


@dataclass(frozen=True)
class Change:
    """One row that differs: added (no old cells), removed (no new cells), or changed."""

    table: str
    old: Cells | None
    new: Cells | None

    def __str__(self) -> str:
        if self.old is None or self.new is None:
            sign, row = ("added", self.new) if self.old is None else ("removed", self.old)
            return printable(f"{self.table}: {sign} {_named(row or {})}")
        return printable(f"{self.table}: {label(self.table, self.old)}: {self.cells}")

    @property
    def cells(self) -> str:
        """What the cells were and what they became, in words."""
        old, new = self.old or {}, self.new or {}
        return ", ".join(f"{column} {old.get(column, 'blank')} → {new.get(column, 'blank')}" for column in self.columns)

    @property
    def columns(self) -> list[str]:
        """The columns in which the two rows differ."""
        old, new = self.old or {}, self.new or {}
        return [column for column in {**old, **new} if old.get(column) != new.get(column)]


def _named(cells: Cells) -> str:
    return ", ".join(f"{column} {text}" for column, text in cells.items() if column != ORDER)


def label(table: str, cells: Cells) -> str:
    """Return by what a row of a table is told from the others, in words."""
    keys = TABLES_BY_NAME[table].key or LIKENESS.get(table, ())
    return " ".join(cells[key] for key in keys if key in cells) or "settings"


def differences(old: Mapping[str, Sequence[Cells]], new: Mapping[str, Sequence[Cells]]) -> list[Change]:
    """Return what leads from one set of tables to another, row by row."""
    return [change for table in RECORD_TABLES for change in changes_of(table.name, old[table.name], new[table.name])]


def changes_of(name: str, old: Sequence[Cells], new: Sequence[Cells]) -> list[Change]:
    """Return the changes of one table: rows are matched by the surest sign first, and what is left is gone or added."""
    matching = _Matching(old, new)
    key = TABLES_BY_NAME[name].key
    if name == "season":
        matching.pair_by(())  # its one row of settings
    elif key:
        matching.pair_by(key)
    else:
        matching.pair_by(LIKENESS[name])
        matching.pair_most_alike()
    changed = [Change(name, before, after) for before, after in matching.pairs]
    gone = [Change(name, row, None) for row in matching.gone]
    return [*changed, *gone, *(Change(name, None, row) for row in matching.come)]


class _Matching:
    """The rows of one table before and after: pairs that are one row changed, and those not matched yet.

    Rows that stand on both sides, as often, are no change; they are left out from the start.
    """

    def __init__(self, old: Sequence[Cells], new: Sequence[Cells]) -> None:
        both = Counter(map(whole, old)) & Counter(map(whole, new))
        self.gone = without(old, both)
        self.come = without(new, both)
        self.pairs: list[tuple[Cells, Cells]] = []

    def pair_by(self, columns: Sequence[str]) -> None:
        """Pair rows that have the same in some columns; of several, the most alike, and the first of those."""
        before, after = (_grouped(rows, columns) for rows in (self.gone, self.come))
        found: dict[int, int] = {}
        for shared, gone in before.items():
            come = after.get(shared, [])
            few = len(gone) * len(come) <= _MOST_PAIRS
            found |= self._most_alike(gone, come) if few else dict(zip(gone, come, strict=False))
        self._take(found)

    def pair_most_alike(self) -> None:
        """Pair rows that agree in more than half of their cells, the most alike first, as long as they are not too many."""
        if len(self.gone) * len(self.come) <= _MOST_PAIRS:
            self._take(self._most_alike(range(len(self.gone)), range(len(self.come)), _ALIKE_ENOUGH))

    def _most_alike(self, gone: Sequence[int], come: Sequence[int], more_than: float = -1) -> dict[int, int]:
        """Return pairs of positions, the most alike first."""
        scored = [(-_alike(self.gone[at], self.come[to]), at, to) for at in gone for to in come]
        found: dict[int, int] = {}
        taken: set[int] = set()
        for unlike, at, to in sorted(scored):
            if -unlike > more_than and at not in found and to not in taken:
                found[at] = to
                taken.add(to)
        return found

    def _take(self, found: Mapping[int, int]) -> None:
        """Make pairs of the rows at some positions, and leave the others."""
        taken = set(found.values())
        self.pairs += [(self.gone[at], self.come[to]) for at, to in found.items()]
        self.gone = [row for at, row in enumerate(self.gone) if at not in found]
        self.come = [row for to, row in enumerate(self.come) if to not in taken]


def whole(row: Cells) -> tuple[tuple[str, str], ...]:
    """Return a row as a key: all that it says."""
    return tuple(sorted(row.items()))


def _grouped(rows: Sequence[Cells], columns: Sequence[str]) -> dict[tuple[str | None, ...], list[int]]:
    """Return the positions of rows by what they have in some columns."""
    found: dict[tuple[str | None, ...], list[int]] = defaultdict(list)
    for at, row in enumerate(rows):
        found[tuple(row.get(column) for column in columns)].append(at)
    return found


def without(rows: Sequence[Cells], both: Mapping[tuple[tuple[str, str], ...], int]) -> list[Cells]:
    """Leave out the rows that stand on both sides, each as often as it does."""
    left, kept = Counter(both), []
    for row in rows:
        if left[whole(row)]:
            left[whole(row)] -= 1
        else:
            kept.append(row)
    return kept


def _alike(one: Cells, other: Cells) -> float:
    """Return the part of their cells in which two rows agree."""
    return len(one.items() & other.items()) / max(len(one), len(other), 1)
