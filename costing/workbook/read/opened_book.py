"""A workbook opened for reading: its sheets, its formulas with their stored results, and what it says of itself."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from costing.errors import Refusal
from costing.workbook.identity import SCHEMA_PROPERTY, SCHEMA_VERSION, TOOL_PROPERTY
from costing.workbook.read.safe_opening import checked_bytes, load


@dataclass
class Book:
    """A workbook opened for reading. Stored results are loaded only if a given cell turns out to hold a formula."""

    path: Path

    def __post_init__(self) -> None:
        self._data = checked_bytes(self.path)
        self.formulas = load(self.path, self._data, results=False)
        self._refuse_newer()

    @cached_property
    def results(self) -> Any:
        """The same workbook with results in place of formulas."""
        return load(self.path, self._data, results=True)

    @property
    def sheets(self) -> list[Any]:
        """The sheets that hold cells."""
        return list(self.formulas.worksheets)

    def property_of(self, name: str) -> str:
        """Return one of the workbook's own properties, or nothing."""
        found = [each.value for each in self.formulas.custom_doc_props.props if each.name == name]
        return str(found[0]) if found else ""

    def _refuse_newer(self) -> None:
        """Refuse a workbook that a later version wrote: what it holds beyond what is known here would be lost unsaid."""
        tool, schema = self.property_of(TOOL_PROPERTY), self.property_of(SCHEMA_PROPERTY)
        if tool and _is_number(schema) and int(schema) > SCHEMA_VERSION:
            raise Refusal(
                f"{self.path}: was written by {_shown(tool)} in workbook schema {int(schema)}, and this version reads up to "
                f"{SCHEMA_VERSION}; install that version or a later one, or export the season anew with this one"
            )


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) < 10


def _shown(text: str) -> str:
    return "".join(letter if letter.isprintable() else "?" for letter in text[:60])
