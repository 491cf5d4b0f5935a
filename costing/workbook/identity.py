"""By what an exported workbook is known again: the names of its own document properties, and the version of its layout."""

from __future__ import annotations

from importlib.metadata import version

SCHEMA_VERSION = 1  # of sheets, headings and properties; a higher one is refused, see "What others may build on"
SCHEMA_PROPERTY = "schema"
TOOL_PROPERTY = "tool"  # what wrote the workbook, and its version
EXPORT_PROPERTY = "records"  # one digest of all records, as they were at the export
TABLE_PROPERTY = "records_"  # with a table's name behind it: the digest of its records


def own_marks() -> dict[str, str]:
    """Return the properties that say what wrote a workbook, and in which layout."""
    return {SCHEMA_PROPERTY: str(SCHEMA_VERSION), TOOL_PROPERTY: f"costing {version('costing')}"}
