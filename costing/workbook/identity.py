"""By what an exported workbook is known again: the names of its own document properties, and the version of its layout."""

from __future__ import annotations

import hashlib
import re
import secrets
from collections.abc import Iterable, Mapping
from importlib.metadata import version

SCHEMA_VERSION = 1  # of sheets, headings and properties; a higher one is refused, see "What others may build on"
SCHEMA_PROPERTY = "schema"
TOOL_PROPERTY = "tool"  # what wrote the workbook, and its version
EXPORT_PROPERTY = "export"  # what an export is known by: letters drawn by lot
GIVEN_PROPERTY = "given_"  # with a number behind it: a piece of all the cells that the export was written with, packed
UNTOUCHED_PROPERTY = "untouched"  # a digest of all other parts: as long as it fits, no program saved the workbook anew
OWN_PROPERTY = "own"  # says that own sheets, comments or widths of a maker were taken over into the export
PROPERTIES_PART = "docProps/custom.xml"
PIECE = 240  # letters of a piece: programs let people see and edit 255 of a property
EXPORT_FORM = re.compile(r"[0-9a-f]{16}")


def new_export() -> str:
    """Return what a new export is to be known by."""
    return secrets.token_hex(8)


def in_pieces(packed: str) -> dict[str, str]:
    """Return the properties that together hold a packed text."""
    starts = range(0, len(packed), PIECE)
    return {f"{GIVEN_PROPERTY}{at}": packed[start : start + PIECE] for at, start in enumerate(starts, start=1)}


def joined(properties: Mapping[str, str]) -> str:
    """Return the packed text that is held in pieces, up to the first that is missing."""
    found: list[str] = []
    while (name := f"{GIVEN_PROPERTY}{len(found) + 1}") in properties:
        found.append(properties[name])
    return "".join(found)


def parts_digest(parts: Iterable[tuple[str, int, int]]) -> str:
    """Return a digest of a workbook's parts, each with its name, its length and its checksum, but for its properties."""
    listed = sorted(f"{name} {length} {checksum}" for name, length, checksum in parts if name != PROPERTIES_PART)
    return hashlib.sha256("\n".join(listed).encode()).hexdigest()


def own_marks() -> dict[str, str]:
    """Return the properties that say what wrote a workbook, and in which layout."""
    return {SCHEMA_PROPERTY: str(SCHEMA_VERSION), TOOL_PROPERTY: f"costing {version('costing')}"}
