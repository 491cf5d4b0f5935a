"""Records in a form that can be compared: what the maker wrote, without defaults, spelling and the order of rows."""

from __future__ import annotations

import hashlib
import json
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from costing.fields.types import Record
from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME
from costing.tables.buying.items import Item, packaged_item
from costing.tables.making.recipe_cards import Step
from costing.tables.written import SeasonRecords

Cells = Mapping[str, str]
ORDER = "order"  # of a step among its formula's: the one place where the order of rows means something
_MOST_PAIRS = 250_000


def normal_tables(records: SeasonRecords) -> dict[str, list[Cells]]:
    """Return each table's rows as texts by column, blanks and defaults left out, in the order written."""
    tables: dict[str, list[Cells]] = {
        table.name: [written_cells(record) for record in records.rows(table.name)] for table in RECORD_TABLES
    }
    tables["items"] = [cells for cells in map(_own_figures, records.items) if len(cells) > 1]
    tables["steps"] = _steps(records)
    return tables


def written_cells(record: Record) -> dict[str, str]:
    """Return what a record says, as texts by column, blanks and defaults left out."""
    fields = type(record).model_fields
    found = {}
    for column, info in fields.items():
        value = getattr(record, column)
        if value in (None, "") or (not info.is_required() and value == info.default):
            continue
        found[column] = shown(value)
    return found


def shown(value: Any) -> str:
    """Return a value as it is written in a record: plain digits, a date as year-month-day.

    >>> shown(Decimal("12.500")), shown(date(2026, 11, 1))
    ('12.5', '2026-11-01')
    """
    if isinstance(value, Decimal):
        text = f"{value:f}"
        return (text.rstrip("0").rstrip(".") if "." in text else text) if value else "0"
    return value.isoformat() if isinstance(value, date) else str(value)


def _own_figures(item: Item) -> dict[str, str]:
    """Return what an item's row says beyond the packaged list."""
    packaged = written_cells(packaged_item(item.item))
    return {column: text for column, text in written_cells(item).items() if column == "item" or packaged.get(column) != text}


def _steps(records: SeasonRecords) -> list[Cells]:
    """Return the steps with their order, those that a formula's lines imply among them."""
    named: dict[str, list[str]] = defaultdict(list)
    for line in records.lines:
        if line.step not in named[line.formula]:
            named[line.formula].append(line.step)
    written: dict[str, list[Step]] = defaultdict(list)
    for step in records.steps:
        written[step.formula].append(step)
    rows: list[Cells] = []
    for formula in named | written:
        steps = written[formula] or [Step(formula=formula, step=name) for name in named[formula]]
        rows += [written_cells(step) | {ORDER: str(at)} for at, step in enumerate(steps, start=1)]
    return rows


def digest(rows: Iterable[Cells]) -> str:
    """Return a digest of a table's rows that does not depend on their order."""
    listed = sorted(json.dumps(row, sort_keys=True) for row in rows)
    return hashlib.sha256("\n".join(listed).encode()).hexdigest()


def digests(records: SeasonRecords) -> dict[str, str]:
    """Return the digest of every table."""
    return {name: digest(rows) for name, rows in normal_tables(records).items()}


@dataclass(frozen=True)
class Change:
    """One row that differs: added (no old cells), removed (no new cells), or changed."""

    table: str
    old: Cells | None
    new: Cells | None

    def __str__(self) -> str:
        if self.old is None or self.new is None:
            sign, row = ("added", self.new) if self.old is None else ("removed", self.old)
            return f"{self.table}: {sign} {_named(row or {})}"
        cells = ", ".join(
            f"{column} {self.old.get(column, 'blank')} → {self.new.get(column, 'blank')}" for column in self.columns
        )
        return f"{self.table}: {_label(self.table, self.old)}: {cells}"

    @property
    def columns(self) -> list[str]:
        """The columns in which the two rows differ."""
        old, new = self.old or {}, self.new or {}
        return [column for column in {**old, **new} if old.get(column) != new.get(column)]


def _named(cells: Cells) -> str:
    return ", ".join(f"{column} {text}" for column, text in cells.items() if column != ORDER)


def _label(table: str, cells: Cells) -> str:
    keys = TABLES_BY_NAME[table].key or _LIKENESS.get(table, ())
    return " ".join(cells[key] for key in keys if key in cells) or "settings"


_LIKENESS = {
    "purchases": ("bought_on", "supplier", "invoice", "item"), "lines": ("formula", "step", "item"),
    "weighings": ("product", "weighed_on"), "batch_lines": ("batch", "step", "item"),
}  # fmt: skip


def differences(old: Mapping[str, Sequence[Cells]], new: Mapping[str, Sequence[Cells]]) -> list[Change]:
    """Return what leads from one set of tables to another, row by row."""
    return [change for table in RECORD_TABLES for change in _table(table.name, old[table.name], new[table.name])]


def _table(name: str, old: Sequence[Cells], new: Sequence[Cells]) -> list[Change]:
    gone, come = _unmatched(old, new)
    changes: list[Change] = []
    for keys in _matchings(name):
        pairs, gone, come = _paired(gone, come, keys)
        changes += [Change(name, before, after) for before, after in pairs]
    if not TABLES_BY_NAME[name].key and len(gone) * len(come) <= _MOST_PAIRS:
        pairs, gone, come = _most_alike(gone, come)
        changes += [Change(name, before, after) for before, after in pairs]
    return changes + [Change(name, row, None) for row in gone] + [Change(name, None, row) for row in come]


def _matchings(name: str) -> list[tuple[str, ...]]:
    """Return by which columns rows are taken to be the same, the surest first."""
    if name == "season":
        return [()]
    keys = TABLES_BY_NAME[name].key
    return [keys] if keys else [_LIKENESS[name]]


def _unmatched(old: Sequence[Cells], new: Sequence[Cells]) -> tuple[list[Cells], list[Cells]]:
    """Leave out the rows that stand on both sides."""

    def frozen(row: Cells) -> tuple[tuple[str, str], ...]:
        return tuple(sorted(row.items()))

    both = Counter(map(frozen, old)) & Counter(map(frozen, new))
    sides = []
    for rows in (old, new):
        left, kept = Counter(both), []
        for row in rows:
            if left[frozen(row)]:
                left[frozen(row)] -= 1
            else:
                kept.append(row)
        sides.append(kept)
    return sides[0], sides[1]


Pairs = list[tuple[Cells, Cells]]


def _paired(old: list[Cells], new: list[Cells], keys: tuple[str, ...]) -> tuple[Pairs, list[Cells], list[Cells]]:
    waiting: dict[tuple[str | None, ...], list[Cells]] = defaultdict(list)
    for row in new:
        waiting[tuple(row.get(key) for key in keys)].append(row)
    pairs: Pairs = []
    gone = []
    for row in old:
        same = waiting[tuple(row.get(key) for key in keys)]
        if same:
            pairs.append((row, same.pop(0)))
        else:
            gone.append(row)
    taken = {id(after) for _, after in pairs}
    return pairs, gone, [row for row in new if id(row) not in taken]


def _most_alike(old: list[Cells], new: list[Cells]) -> tuple[Pairs, list[Cells], list[Cells]]:
    """Pair rows without a key that agree in more than half of their cells, the most alike first."""
    scored = sorted(
        ((_alike(before, after), i, j) for i, before in enumerate(old) for j, after in enumerate(new)),
        key=lambda each: (-each[0], each[1], each[2]),
    )
    pairs: Pairs = []
    used_old: set[int] = set()
    used_new: set[int] = set()
    for score, i, j in scored:
        if score > 0.5 and i not in used_old and j not in used_new:
            used_old.add(i)
            used_new.add(j)
            pairs.append((old[i], new[j]))
    gone = [row for i, row in enumerate(old) if i not in used_old]
    return pairs, gone, [row for j, row in enumerate(new) if j not in used_new]


def _alike(one: Cells, other: Cells) -> float:
    return len(one.items() & other.items()) / max(len(one), len(other), 1)
