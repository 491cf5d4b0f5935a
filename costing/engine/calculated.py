"""Tables worked out with a season's records: every worked column when it is first needed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Generic, cast

from costing.engine.ranges import Store, Values
from costing.engine.table import Column, FigureList, FiguresType, RowType, Table
from costing.fields.types import Record


class Circular(RuntimeError):
    """A column or figure needs itself, over others: an equation is written wrongly."""


class Blank(float):
    """An empty cell among figures: as in a sheet it counts as 0, and equals both 0 and no text."""

    def __eq__(self, other: object) -> bool:
        return other in ("", 0.0)

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash(0.0)


BLANK = Blank(0.0)


class Row:
    """One row's values by column; blanks count as 0 in figures and as "" in texts."""

    def __init__(self, filled: CalculatedTable[Any], position: int, values: dict[str, Any]) -> None:
        self.__dict__.update(values)
        self.__dict__["_filled"] = filled
        self.__dict__["_position"] = position

    def __getattr__(self, key: str) -> Any:
        raise AttributeError(f"{self._filled.table.key} has no column {key} at this point")

    def __repr__(self) -> str:
        table = self._filled.table
        first = ", ".join(f"{key}={self.__dict__[key]!r}" for key in list(table.columns)[:2] if key in self.__dict__)
        return f"<row {self._position + 1} of {table.key}: {first}>"

    @property
    def above(self) -> RowsAbove:
        """The rows above this one."""
        return RowsAbove(self._filled, self._position)

    @property
    def through(self) -> RowsAbove:
        """The rows above and this one."""
        return RowsAbove(self._filled, self._position + 1)


class RowsAbove:
    """The columns of the rows above some row."""

    __slots__ = ("_filled", "_limit")

    def __init__(self, filled: CalculatedTable[Any], limit: int) -> None:
        self._filled = filled
        self._limit = limit

    def __getattr__(self, key: str) -> Values:
        return Values(self._filled.stores[key], self._limit)


class CalculatedTable(Generic[RowType]):
    """One table with its records. ``calculated.landed`` is the whole column, worked out when it is first asked for."""

    def __init__(self, table: Table[RowType], records: Sequence[Record], season: Any) -> None:
        self.table = table
        self.records = tuple(records)
        self._season = season
        self._waiting = list(table.groups)
        self._under_way: list[Column] = []
        self.stores = {key: Store() for key in table.columns}
        self.cells = [_cells(table, record) for record in records]
        self._rows = [Row(self, at, _blanks_filled(table, cells)) for at, cells in enumerate(self.cells)]
        for column in table.given:
            self.stores[column.key].values = [row.__dict__[column.key] for row in self._rows]
        self._show(table.given)

    def __repr__(self) -> str:
        return f"<{self.table.key}: {len(self._rows)} rows of {len(self.table.columns)} columns>"

    @property
    def rows(self) -> list[RowType]:
        """The rows, with the figures worked out so far."""
        return cast("list[RowType]", self._rows)

    def __getattr__(self, key: str) -> Values:
        if key.startswith("_") or key not in self.stores:
            raise AttributeError(f"{self.table.key} has no column {key}")
        self.work_out(key)
        return Values(self.stores[key])

    def work_out(self, key: str) -> None:
        """Work out the columns up to and including one.

        Raises
        ------
        Circular
            When that is asked for by a column that must be there first.

        """
        column = self.table.columns[key]
        if column in self._under_way:
            around = " needs ".join(each.name for each in (*self._under_way, column))
            raise Circular(f"{around}: a column cannot need itself")
        while self._waiting and any(column in group for group in self._waiting):
            self._work_out_next()

    def _work_out_next(self) -> None:
        group = self._waiting.pop(0)
        self._under_way += group
        for row in self._rows:
            self._fill(row, group, stored=True)
        del self._under_way[-len(group) :]
        self._show(group)

    def _show(self, columns: Sequence[Column]) -> None:
        """Make finished columns attributes, so that rules find them without a search."""
        for column in columns:
            self.__dict__.setdefault(column.key, Values(self.stores[column.key]))

    def _fill(self, row: Row, group: Sequence[Column], *, stored: bool) -> None:
        for column in group:
            value = column.rule(row, self._season)  # type: ignore[misc]  # every ruled column has one
            row.__dict__[column.key] = value
            if stored:
                self.stores[column.key].values.append(value)

    def finish(self) -> None:
        """Work out all columns."""
        while self._waiting:
            self._work_out_next()

    def blank_row(self) -> Row:
        """Return what a row without records works out to: the results that stand in spare rows."""
        self.finish()
        row = Row(self, len(self._rows), _blanks_filled(self.table, dict.fromkeys(self.table.columns)))
        self._fill(row, self.table.ruled, stored=False)
        return row


def _cells(table: Table[Any], record: Record) -> dict[str, Any]:
    """Return what the given cells of a record's row hold in a sheet: None for blanks and for zeros nobody wrote."""
    cells = {}
    for column in table.given:
        value = getattr(record, column.key)
        unwritten = column.key not in record.model_fields_set and not value
        cells[column.key] = None if value in (None, "") or unwritten else column.field.cell(value)  # type: ignore[union-attr]
    return cells


def _blanks_filled(table: Table[Any], cells: dict[str, Any]) -> dict[str, Any]:
    filled = {}
    for column in table.given:
        value = cells[column.key]
        filled[column.key] = value if value is not None else "" if column.holds_text else BLANK
    return filled


class CalculatedFigures(Generic[FiguresType]):
    """A list of figures with their values."""

    def __init__(self, figures: FigureList[FiguresType], record: Record | None, season: Any) -> None:
        self.figures = figures
        self._season = season
        self._under_way: list[str] = []
        self._values: dict[str, Any] = {}
        for key, entry in figures.entries.items():
            if entry.field:
                value = getattr(record, key)
                self._values[key] = BLANK if value is None else entry.field.cell(value)
            elif entry.fixed is not None:
                self._values[key] = entry.fixed

    def __repr__(self) -> str:
        return f"<{self.figures.key}: {len(self.figures.entries)} figures>"

    def __getattr__(self, key: str) -> Any:
        if key.startswith("_") or key not in self.figures.entries:
            raise AttributeError(f"{self.figures.key} has no figure {key}")
        if key not in self._values:
            self._values[key] = self._worked_out(key)
        return self._values[key]

    def _worked_out(self, key: str) -> Any:
        if key in self._under_way:
            around = " needs ".join(self.figures.entries[each].name for each in (*self._under_way, key))
            raise Circular(f"{around}: a figure cannot need itself")
        self._under_way.append(key)
        value = self.figures.entries[key].rule(self, self._season)  # type: ignore[misc]  # neither given nor fixed: it has one
        self._under_way.pop()
        return value
