"""The page that explains every table and column to the maker."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from costing.fields.names import MARKS
from costing.records.schema import RECORD_TABLES, RecordTable


def guide() -> str:
    """Return the page that explains every table and column."""
    return "\n".join(_guide_lines()) + "\n"


def _guide_lines() -> Iterator[str]:
    yield "What to write where. Each table is a CSV file that any spreadsheet program opens; save it as CSV again."
    yield "Columns marked * must be filled in; the others may stay blank. Percentages: 40 or 40 % is forty in a hundred."
    yield "Names (item, formula, step, output, tub, product, channel …) are everyday ones in any language, up to 60 letters:"
    yield f"letters, digits, blanks and {MARKS} may be in them. Capitals and blanks make no difference."
    yield "Weigh everything: spoons and cups are not accepted."
    yield "A figure may bring its unit, which is converted: 1.5 kg in grams is 1500, 2 h in minutes 120."
    for table in RECORD_TABLES:
        yield ""
        yield f"{table.name}.csv{' *' if table.required else ''}: {table.about}"
        for key, note in described(table):
            yield textwrap.fill(note, 110, initial_indent=f"  {key:<18} ", subsequent_indent=" " * 21)


def described(table: RecordTable) -> Iterator[tuple[str, str]]:
    """Yield each column of a table, starred where it must be filled in, with what it means and its default."""
    for key, info in table.model.model_fields.items():
        note = info.description or ""
        choices = [word for word in getattr(info.metadata[0], "choices", ()) if word]
        if choices:
            note += f" One of: {', '.join(choices)}."
        if not info.is_required() and info.default not in (None, ""):
            note += f" Blank: {info.default}."
        yield key + ("*" if info.is_required() else ""), note
