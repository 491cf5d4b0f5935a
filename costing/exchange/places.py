"""Where rows stand: the cell of a workbook's sheet, or the row of a season's file, that holds some figure."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from costing.errors import Fault
from costing.records.parsing import RawTable
from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME
from costing.season.comparable import Cells, written_cells
from costing.tables.written import Rows, SeasonRecords

_IN_A_ROW = re.compile(r"sheet (?P<sheet>.*), row (?P<row>\d+), (?P<column>\w+)", re.DOTALL)
_Sign = tuple[Any, ...]


class Places:
    """The places of one side's rows."""

    def __init__(self, records: SeasonRecords, tables: Mapping[str, RawTable]) -> None:
        self._tables = tables
        self._rows: dict[tuple[str, _Sign], tuple[str, int]] = {}
        for table in RECORD_TABLES:
            rows = getattr(records, table.name)
            if isinstance(rows, Rows):
                for record, number in zip(rows.records, rows.numbers, strict=True):
                    self._rows.setdefault((table.name, _sign(table.name, written_cells(record))), (rows.source, number))

    def of(self, table: str, row: Cells | None, column: str) -> str:
        """Return where a cell stands, as ``sheet Products, cell C6``; nothing where it stands nowhere."""
        if row is None:
            return ""
        if table == "season":
            return self._setting(column)
        source, number = self._rows.get((table, _sign(table, row)), ("", 0))
        letter = self._tables[table].letters.get(column, "") if table in self._tables else ""
        if not source:
            return ""
        return f"{source}, cell {letter}{number}" if letter else f"{source}, row {number}"

    def _setting(self, key: str) -> str:
        found = self._tables.get("season")
        rows = [row.number for row in found.rows if str(row.cells.get("key") or "").strip() == key] if found else []
        if not found or not rows:
            return ""
        letter = found.letters.get("value", "")
        return f"{found.source}, cell {letter}{rows[0]}" if letter else f"{found.source}, row {rows[0]}"

    def put_into(self, records: SeasonRecords, but: SeasonRecords) -> SeasonRecords:
        """Return records with the places of this side, where a row stands here and is not one of the other records."""
        placed: dict[str, Any] = {}
        for table in RECORD_TABLES:
            rows = getattr(records, table.name)
            if isinstance(rows, Rows):
                there = {_whole(record) for record in getattr(but, table.name)}
                placed[table.name] = replace(
                    rows,
                    places=tuple(
                        place if _whole(record) in there else self._place(table.name, record) or place
                        for record, place in rows.placed()
                    ),
                )
        return replace(records, **placed)

    def _place(self, table: str, record: Any) -> str:
        source, number = self._rows.get((table, _sign(table, written_cells(record))), ("", 0))
        return f"{source}, row {number}" if source else ""

    def cell_of(self, fault: Fault) -> Fault:
        """Return a fault that names the cell, where it names a row and a column of a sheet."""
        found = _IN_A_ROW.fullmatch(fault.where)
        source = f"sheet {found['sheet']}" if found else ""
        letters = [table.letters for table in self._tables.values() if table.source == source]
        letter = next((each[found["column"]] for each in letters if found and found["column"] in each), "")
        if not found or not letter:
            return fault
        return replace(fault, where=f"{source}, cell {letter}{found['row']}, {found['column']}")


def _sign(table: str, row: Cells) -> _Sign:
    """Return what tells a row from the others: its key, or all of it."""
    key = TABLES_BY_NAME[table].key
    return tuple(row.get(column) for column in key) if key else tuple(sorted(row.items()))


def _whole(record: Any) -> _Sign:
    return tuple(sorted(written_cells(record).items()))
