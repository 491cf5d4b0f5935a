"""By what an exported workbook is known again: the names of its own document properties, and the version of its layout."""

from __future__ import annotations

SCHEMA_VERSION = "1"
SCHEMA_PROPERTY = "schema"
EXPORT_PROPERTY = "records"  # one digest of all records, as they were at the export
TABLE_PROPERTY = "records_"  # with a table's name behind it: the digest of its records
