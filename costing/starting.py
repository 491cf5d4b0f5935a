"""A new season's folder: every table with its headings, and a page that explains every column."""

from __future__ import annotations

import csv
import io
import textwrap
from collections.abc import Iterator
from pathlib import Path

from costing.errors import Refusal
from costing.saving import write_atomically
from costing.schema import RECORD_TABLES, RecordTable

GUIDE = "COLUMNS.txt"


def start_folder(folder: Path) -> list[Path]:
    """Make a season's folder to fill in, and return the files written.

    Raises
    ------
    Refusal
        When the folder holds any of these files already, or cannot be made.

    """
    files = {f"{table.name}.csv": _headings(table) for table in RECORD_TABLES} | {GUIDE: guide()}
    there = [name for name in files if (folder / name).exists()]
    if there:
        raise Refusal(f"{folder}: holds {', '.join(there)} already; name a new folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refusal(f"{folder}: cannot be made ({error.strerror})") from None
    for name, text in files.items():
        write_atomically(folder / name, text.encode("utf-8"))
    return [folder / name for name in files]


def _headings(table: RecordTable) -> str:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    if table.name != "season":
        writer.writerow(table.model.model_fields)
        return text.getvalue()
    writer.writerow(("key", "value"))
    for key, info in table.model.model_fields.items():
        writer.writerow((key, "" if info.is_required() else info.default))
    return text.getvalue()


def guide() -> str:
    """Return the page that explains every table and column."""
    return "\n".join(_guide_lines()) + "\n"


def _guide_lines() -> Iterator[str]:
    yield "What to write where. Each table is a CSV file that any spreadsheet program opens; save it as CSV again."
    yield "Columns marked * must be filled in; the others may stay blank. Percentages: 40 or 40 % is forty in a hundred."
    yield "Keys (item, formula, step, output, tub, product, channel) are lower-case letters, digits and hyphens."
    yield "Weigh everything: spoons and cups are not accepted."
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
