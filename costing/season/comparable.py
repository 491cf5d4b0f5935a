"""Records in a form that can be compared: what the maker wrote, without defaults, spelling and the order of rows."""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from costing.fields.types import Record
from costing.records.schema import RECORD_TABLES
from costing.tables.buying.items import Item, packaged_item
from costing.tables.making.recipes import Step
from costing.tables.written import SeasonRecords

Cells = Mapping[str, str]
ORDER = "order"  # of a step among its formula's: the one place where the order of rows means something


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
    key = next(iter(fields))
    found = {}
    for column, info in fields.items():
        value = getattr(record, column)
        if value in (None, "") or (not info.is_required() and value == info.default):
            continue
        if column == "name" and column != key and value == getattr(record, key):
            continue  # earlier workbooks gave a thing without a longer name its key; the season has its name only
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
    if value is None:  # the default of a day that may be blank
        return ""
    return value.isoformat() if isinstance(value, date) else str(value)


def _own_figures(item: Item) -> dict[str, str]:
    """Return what an item's row says beyond the packaged list."""
    packaged = written_cells(packaged_item(item.item, item.same_as))
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
