"""Tables of records as one short text, and back: so an export knows each cell that it was written with."""

from __future__ import annotations

import base64
import binascii
import json
import zlib
from collections.abc import Mapping, Sequence
from typing import Any

from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME
from costing.season.comparable import ORDER, Cells

Tables = Mapping[str, Sequence[Cells]]
MOST_LETTERS = 60_000_000  # of unpacked tables: a hundred thousand purchases


def packed(tables: Tables) -> str:
    """Return tables in their normal form as one text of letters and digits.

    >>> unpacked(packed({"season": [{"name": "Spring"}]}))["season"]
    [{'name': 'Spring'}]
    """
    filled = {name: list(rows) for name, rows in tables.items() if rows}
    text = json.dumps(filled, ensure_ascii=False, separators=(",", ":"))
    return base64.b64encode(zlib.compress(text.encode("utf-8"), 9)).decode("ascii")


def unpacked(text: str) -> Tables | None:
    """Return the tables that a text holds; None where it does not have their form, whoever wrote it."""
    try:
        opener = zlib.decompressobj()
        data = opener.decompress(base64.b64decode(text, validate=True), MOST_LETTERS)
        found = json.loads(data) if opener.eof else None
    except (binascii.Error, zlib.error, ValueError, RecursionError):
        return None
    if not isinstance(found, dict) or not all(_has_form(name, rows) for name, rows in found.items()):
        return None
    tables = {table.name: found.get(table.name, []) for table in RECORD_TABLES}
    return tables if len(tables["season"]) == 1 else None


def _has_form(name: str, rows: Any) -> bool:
    """Whether rows are those of a table: texts under its columns."""
    if name not in TABLES_BY_NAME or not isinstance(rows, list):
        return False
    columns, key = {*TABLES_BY_NAME[name].model.model_fields}, TABLES_BY_NAME[name].key
    if name == "steps":
        columns |= {ORDER}
        key = (*key, ORDER)
    return all(isinstance(row, dict) and row.keys() <= columns and row.keys() >= set(key) and _of_texts(row) for row in rows)


def _of_texts(row: Mapping[str, Any]) -> bool:
    """Whether a row holds texts, and a number where it is counted."""
    counted = str(row.get(ORDER, "1"))
    return (
        all(isinstance(cell, str) for cell in row.values()) and counted.isascii() and counted.isdigit() and len(counted) < 7
    )
