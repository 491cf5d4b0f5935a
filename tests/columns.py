"""What makers and earlier workbooks hold on to: each column's heading, unit, decimals, bounds, what a blank is, its place.

``python -m tests.columns`` writes the list anew. Workbooks of earlier versions are read back by headings, makers' own lists
and habits hang on them, and a bound or a default that moves changes what is accepted: each is changed on purpose only, and
the change is seen in ``columns.csv``.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from costing.engine.table import Column, Entry, Sheet, Table
from costing.records.schema import RECORD_TABLES
from costing.tables.book import BOOK
from costing.tables.whole.at_a_glance import glance_table
from costing.tables.whole.two_seasons import SINCE_TABLES

LIST = Path(__file__).with_suffix(".csv")
HEADINGS = ("name", "kind", "heading", "unit", "shape", "decimals")
GIVEN = ("column", "heading", "least", "above", "most", "units", "blank")
SPECIAL = ("column", "what it says or holds", "folded away", "refers to", "words", "number")
TABLES = ("table", "sheet", "title", "free rows", "rows beside a chart", "cards", "packaged", "protected", "in sight")
FIGURES = ("figures", "sheet", "title", "prefix", "headings")


def as_described() -> str:
    """Return the list as the tables describe themselves now: columns, figures, fields, and how all of it stands."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADINGS)
    writer.writerows(sorted(_shown(part) for part in _parts()))
    writer.writerow(GIVEN)
    writer.writerows(_bounds())
    writer.writerow(SPECIAL)
    writer.writerows(row for row in map(_special, _parts()) if any(row[1:]))
    writer.writerow(TABLES)
    writer.writerows(_presented(table) for table in _tables())
    writer.writerow(FIGURES)
    for figures in BOOK.lists():
        writer.writerow([figures.key, figures.sheet, figures.title, figures.prefix, ", ".join(figures.headings)])
    return text.getvalue()


def _tables() -> Iterator[Table[Any]]:
    yield from (*BOOK.tables(), glance_table([]), *SINCE_TABLES)


def _presented(table: Table[Any]) -> list[Any]:
    """Return how a table stands on its sheet."""
    face = table.face
    kept = (face.protected, face.frozen) if isinstance(face, Sheet) else ("", "")
    return [table.key, table.sheet, table.title, table.spare, table.chart_rows, table.cards, table.fixed, *kept]


def _parts() -> Iterator[Column | Entry]:
    for table in _tables():
        yield from table.columns.values()
    for figures in BOOK.lists():
        yield from figures.entries.values()


def _shown(part: Column | Entry) -> list[str]:
    decimals = "" if part.decimals is None else f"{part.decimals}"
    return [part.name, part.kind, part.heading, part.unit, part.shape, decimals]


def _special(part: Column | Entry) -> list[str]:
    """Return what only some columns are: remarks, steps on the way, names of others, words of a list, fixed numbers."""
    words = " ".join(getattr(part.field, "choices", ()))
    if not isinstance(part, Column):
        return [part.name, "", "", part.refers, words, "" if part.fixed is None else f"{part.fixed:g}"]
    return [part.name, part.role, "folded" if part.table.is_working(part) else "", part.refers, words, ""]


def _bounds() -> Iterator[list[Any]]:
    """Yield the bounds of each field, and what a blank in it stands for."""
    for table in RECORD_TABLES:
        for key, info in table.model.model_fields.items():
            field = info.metadata[0]
            limits = [getattr(field, limit, None) for limit in ("least", "above", "most")]
            limits.append(" or ".join(filter(None, getattr(field, "units", ()))))
            blank = "must be filled in" if info.is_required() else info.default
            yield [f"{table.name}.{key}", info.title, *limits, blank]


if __name__ == "__main__":
    LIST.write_text(as_described(), encoding="utf-8")
