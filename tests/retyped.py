"""A season in whose sheets something was typed, unread, and worked out as a workbook does it, by no spreadsheet program.

Reading refuses most of what can be typed wrongly. In a workbook it stands in its cell, and the row says what is wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

import costing
from costing.engine.calculated import BLANK, CalculatedFigures, CalculatedTable, Row
from costing.season.costed import Season

Key = Mapping[str, Any]  # cells of a row by heading, which tell it from the others


class Unworked(Season):
    """A season's tables once more, nothing worked out yet and nothing refused."""

    def __init__(self, season: Season) -> None:
        self.records = season.records
        self.cautions = ()
        self._parts = {part.table.key if isinstance(part, CalculatedTable) else part.figures.key: self._again(part)
                       for part in season.parts()}  # fmt: skip
        self.__dict__.update(self._parts)

    def _again(self, part: Any) -> Any:
        if isinstance(part, CalculatedTable):
            return CalculatedTable(part.table, part.records, self)
        again = object.__new__(CalculatedFigures)
        again.__dict__ |= part.__dict__ | {"_season": self, "_under_way": [], "_values": dict(part.__dict__["_values"])}
        return again


def unworked(records: costing.SeasonRecords) -> Callable[[], Season]:
    """Return what makes the tables of some records, as often as it is asked."""
    season = Season(records, {})
    return lambda: Unworked(season)


def retyped(season: Season, sheet: str, row: Key | None, typed: Key) -> Row | None:
    """Type something into the row with the given cells, or into a free one; return the row, or none on Settings."""
    if sheet == "Settings":
        values = season.__dict__["settings"].__dict__["_values"]
        assert row is not None
        values[row["Key"]] = "" if typed["Value"] is None else typed["Value"]
        return None
    table = next(
        table for table in season.tables()
        if table.table.sheet == sheet and {*(row or ()), *typed} <= _headings(table).keys()
    )  # fmt: skip
    keys = _headings(table)
    found = _free_row(table) if row is None else _row(table.rows, {keys[heading]: value for heading, value in row.items()})
    at = found.__dict__["_position"]
    for heading, value in typed.items():
        column = table.table.columns[keys[heading]]
        filled = value if value is not None else "" if column.holds_text else BLANK
        found.__dict__[column.key] = table.stores[column.key].values[at] = filled
    return found


def _headings(table: CalculatedTable[Any]) -> dict[str, str]:
    return {column.heading: column.key for column in table.table.given}


def _row(rows: Iterable[Row], cells: Key) -> Row:
    return next(row for row in rows if all(row.__dict__[key] == value for key, value in cells.items()))


def _free_row(table: CalculatedTable[Any]) -> Row:
    blank = {column.key: "" if column.holds_text else BLANK for column in table.table.given}
    row = Row(table, len(table.rows), blank)
    table.__dict__["_rows"].append(row)
    for key, value in blank.items():
        table.stores[key].values.append(value)
    return row
