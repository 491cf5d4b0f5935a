"""A workbook opened for reading: its sheets, its formulas with their stored results, and what it says of itself."""

from __future__ import annotations

import io
import zipfile
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from costing.errors import Refusal
from costing.records.schema import TABLES_BY_NAME
from costing.season.packing import unpacked
from costing.tables.book import BOOK
from costing.tables.whole.two_seasons import SINCE_TABLES
from costing.tables.written import Origin
from costing.workbook.identity import (
    EXPORT_FORM,
    EXPORT_PROPERTY,
    SCHEMA_PROPERTY,
    SCHEMA_VERSION,
    TOOL_PROPERTY,
    UNTOUCHED_PROPERTY,
    joined,
    parts_digest,
)
from costing.workbook.read.loading import load, titles_in_sight
from costing.workbook.read.safe_opening import checked_bytes, printable


@dataclass
class Book:
    """A workbook opened for reading: of its sheets those that may hold records.

    Stored results are loaded only if a given cell turns out to hold a formula.
    """

    path: Path

    def __post_init__(self) -> None:
        self._data = checked_bytes(self.path)
        self.formulas = load(self.path, self._data, _may_hold_records, results=False)
        self._refuse_newer()

    @property
    def sheets(self) -> list[Any]:
        """The sheets that may hold records."""
        return list(self.formulas.worksheets)

    @cached_property
    def results(self) -> Any:
        """The same workbook with results in place of formulas."""
        return load(self.path, self._data, _may_hold_records, results=True)

    @cached_property
    def in_sight(self) -> tuple[str, ...]:
        """The titles of all sheets that are not hidden."""
        return titles_in_sight(self._data)

    @cached_property
    def properties(self) -> dict[str, str]:
        """The workbook's own properties; of two of one name, the first."""
        return _properties(self.formulas)

    def property_of(self, name: str) -> str:
        """Return one of the workbook's own properties, or nothing."""
        return self.properties.get(name, "")

    @cached_property
    def origin(self) -> Origin | None:
        """The export that the workbook is or comes from, if it says so in due form."""
        export, tables = self.property_of(EXPORT_PROPERTY), unpacked(joined(self.properties))
        return Origin(export, tables, self.in_sight) if tables and EXPORT_FORM.fullmatch(export) else None

    @property
    def untouched(self) -> bool:
        """Whether no program has saved the workbook anew since it was exported."""
        with zipfile.ZipFile(io.BytesIO(self._data)) as archive:
            parts = [(part.filename, part.file_size, part.CRC) for part in archive.infolist()]
        return self.property_of(UNTOUCHED_PROPERTY) == parts_digest(parts)

    def _refuse_newer(self) -> None:
        """Refuse a workbook that a later version wrote: what it holds beyond what is known here would be lost unsaid."""
        tool, schema = self.property_of(TOOL_PROPERTY), self.property_of(SCHEMA_PROPERTY)
        if tool and _is_number(schema) and int(schema) > SCHEMA_VERSION:
            raise Refusal(
                f"{self.path}: was written by {printable(tool[:60])} in workbook schema {int(schema)}, and this version "
                f"reads up to {SCHEMA_VERSION}; install that version or a later one, or export the season anew with this one"
            )


def _properties(book: Any) -> dict[str, str]:
    return {each.name: str(each.value) for each in reversed(book.custom_doc_props.props)}


def _may_hold_records(book: Any, title: str) -> bool:
    """Whether a sheet is to be looked through: of an export, those drawn for records, and those that came in since."""
    passed_by = _worked_sheets() if EXPORT_PROPERTY in _properties(book) else {"notes"}
    return title.strip().lower() not in passed_by


@cache
def _worked_sheets() -> set[str]:
    """Return the titles of the sheets of an export that hold no records, so that none of them is taken for a table."""
    tables = [*BOOK.tables(), *SINCE_TABLES]
    held = {part.sheet.lower() for part in tables if part.cards or part.key in TABLES_BY_NAME}
    return {part.sheet.lower() for part in tables} - held - {"settings"} | {"at a glance", "checks", "notes"}


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) < 10
