"""A sheet is a table, a table is a list of columns, and a column is given by the maker or worked out by one rule."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from costing.engine.expressions import Above, Figure, Here, Whole, leaves
from costing.fields.types import FieldType, Record

Rule = Callable[[Any, Any], Any]

GIVEN, WORKED, KEPT = "given", "worked", "kept"


@dataclass(eq=False)
class Column:
    """One column of a table.

    kind: GIVEN by the maker, WORKED out by ``rule(row, season)``, or KEPT as it was when the workbook was written.
    """

    table: Table
    key: str
    heading: str
    unit: str
    note: str
    kind: str = GIVEN
    shape: str = "number"
    rule: Rule | None = None
    field: FieldType | None = None
    refers: str = ""
    decimals: int | None = None

    @property
    def name(self) -> str:
        """The name of the whole column in the workbook."""
        return f"{self.table.key}_{self.key}"

    @property
    def sheet(self) -> str:
        """The sheet on which the column stands."""
        return self.table.sheet

    @cached_property
    def expression(self) -> Any:
        """What the column's rule says, traced once for all its rows."""
        if self.rule is None:
            raise TypeError(f"{self.name} is given by the maker and has no rule")
        return self.rule(TracedRow(self), BOOK)

    @property
    def holds_text(self) -> bool:
        """Whether the cells hold text."""
        return self.unit == "text"


@dataclass(eq=False)
class Table:
    """The columns of one table, and how its sheet presents them."""

    key: str
    sheet: str
    title: str
    about: str
    model: type[Record]
    spare: int = 12
    cards: bool = False  # rows that belong together in their order, each group opened and closed by a row of its own
    fixed: bool = False  # a packaged table, whose rows nobody fills in
    columns: dict[str, Column] = field(default_factory=dict)
    workbook: TracedBook | None = field(default_factory=lambda: BOOK)

    def __post_init__(self) -> None:
        for key, info in self.model.model_fields.items():
            reader: FieldType = info.metadata[0]
            extra: dict[str, Any] = info.json_schema_extra  # type: ignore[assignment]  # always given by given()
            self.columns[key] = Column(
                self, key, info.title or key, reader.unit, info.description or "",
                shape=reader.shape, field=reader, refers=extra["refers"], decimals=extra["decimals"],
            )  # fmt: skip
        if self.workbook is not None:
            self.workbook.add(self)

    def works_out(
        self, heading: str, unit: str = "", *, shape: str = "", decimals: int | None = None
    ) -> Callable[[Rule], Column]:
        """Add a worked column: the function's name is its key, its docstring what the maker reads about it."""

        def add(rule: Rule) -> Column:
            key, note = rule.__name__, " ".join((rule.__doc__ or "").split())
            shown = shape or ("text" if unit == "text" else "number")
            self.columns[key] = Column(self, key, heading, unit, note, WORKED, shape=shown, rule=rule, decimals=decimals)
            return self.columns[key]

        return add

    def keeps(self, key: str, heading: str, of: str, note: str) -> None:
        """Add a column that keeps another one's figures as they were when the workbook was written."""
        source = self.columns[of]
        self.columns[key] = Column(
            self, key, heading, source.unit, note, KEPT,
            shape=source.shape, rule=lambda row, _: getattr(row, of), decimals=source.decimals,
        )  # fmt: skip

    @property
    def given(self) -> list[Column]:
        """The columns that the maker fills in."""
        return [column for column in self.columns.values() if column.kind == GIVEN]

    @property
    def ruled(self) -> list[Column]:
        """The columns that follow from others."""
        return [column for column in self.columns.values() if column.kind != GIVEN]

    @cached_property
    def groups(self) -> list[list[Column]]:
        """The ruled columns in the order in which they are worked out.

        Mostly a group is one column, worked out from top to bottom. Columns that look at what stands above them in one
        another go together, row by row.
        """
        ruled = self.ruled
        position = {column.key: at for at, column in enumerate(ruled)}
        groups: list[list[Column]] = []
        end = -1
        for at, column in enumerate(ruled):
            if at > end:
                groups.append([])
            groups[-1].append(column)
            end = max(end, at, *(position[key] for key in _looked_at_above(column) if key in position))
        return groups


def _looked_at_above(column: Column) -> list[str]:
    if column.kind == KEPT:
        return []
    return [leaf.place.key for leaf in leaves(column.expression) if isinstance(leaf, Above)]


class TracedRow:
    """Stands for any row while a rule is traced: its attributes are this row's cells."""

    def __init__(self, column: Column) -> None:
        self._column = column

    def __getattr__(self, key: str) -> Here:
        wanted = _column(self._column.table, key)
        order = list(self._column.table.columns)
        if order.index(key) >= order.index(self._column.key):
            raise AttributeError(f"{self._column.name} looks at {wanted.name}, which stands to its right")
        return Here(wanted)

    @property
    def above(self) -> TracedAbove:
        """The rows above this one."""
        return TracedAbove(self._column.table, through=False)

    @property
    def through(self) -> TracedAbove:
        """The rows above and this one."""
        return TracedAbove(self._column.table, through=True)


@dataclass(frozen=True)
class TracedAbove:
    """Stands for the rows above: its attributes are their columns."""

    table: Table
    through: bool

    def __getattr__(self, key: str) -> Above:
        return Above(_column(self.table, key), self.through)


class TracedTable:
    """Stands for a whole table: its attributes are whole columns."""

    def __init__(self, table: Table) -> None:
        self._table = table

    def __getattr__(self, key: str) -> Whole:
        return Whole(_column(self._table, key))


@dataclass(eq=False)
class Entry:
    """One named figure of a list: given by the maker, fixed, or worked out by ``rule(season)``."""

    figures: FigureList
    key: str
    heading: str
    unit: str
    note: str
    shape: str = "number"
    rule: Callable[[Any], Any] | None = None
    field: FieldType | None = None
    fixed: float | None = None
    decimals: int | None = None
    refers: str = ""

    @property
    def name(self) -> str:
        """The figure's name in the workbook."""
        return f"{self.figures.prefix}{self.key}"

    @property
    def sheet(self) -> str:
        """The sheet on which the figure stands."""
        return self.figures.sheet

    @cached_property
    def expression(self) -> Any:
        """What the figure's rule says."""
        if self.rule is None:
            raise TypeError(f"{self.name} has no rule")
        return self.rule(BOOK)

    @property
    def kind(self) -> str:
        """Whether the figure is given, kept or worked."""
        return GIVEN if self.field else KEPT if self.fixed is not None else WORKED

    @property
    def holds_text(self) -> bool:
        """Whether the cell holds text."""
        return self.unit == "text"


@dataclass(eq=False)
class FigureList:
    """Named figures under one another, such as the settings and the season's totals."""

    key: str
    sheet: str
    prefix: str
    entries: dict[str, Entry] = field(default_factory=dict)
    workbook: TracedBook | None = field(default_factory=lambda: BOOK)

    def __post_init__(self) -> None:
        if self.workbook is not None:
            self.workbook.add(self)

    def take(self, model: type[Record]) -> None:
        """Add the fields of a record as given figures."""
        for key, info in model.model_fields.items():
            reader: FieldType = info.metadata[0]
            extra: dict[str, Any] = info.json_schema_extra  # type: ignore[assignment]  # always given by given()
            self.entries[key] = Entry(
                self, key, info.title or key, reader.unit, info.description or "",
                shape=reader.shape, field=reader, refers=extra["refers"],
            )  # fmt: skip

    def fix(self, key: str, heading: str, number: float, note: str) -> None:
        """Add a figure that never changes, so that formulas can name it."""
        self.entries[key] = Entry(self, key, heading, "", note, fixed=number)

    def works_out(
        self, heading: str, unit: str = "", *, shape: str = "", decimals: int | None = None
    ) -> Callable[[Callable[[Any], Any]], Entry]:
        """Add a worked figure: the function's name is its key, its docstring what the maker reads about it."""

        def add(rule: Callable[[Any], Any]) -> Entry:
            key, note = rule.__name__, " ".join((rule.__doc__ or "").split())
            shown = shape or ("text" if unit == "text" else "number")
            self.entries[key] = Entry(self, key, heading, unit, note, shape=shown, rule=rule, decimals=decimals)
            return self.entries[key]

        return add


class TracedFigures:
    """Stands for a list of figures while a rule is traced."""

    def __init__(self, figures: FigureList) -> None:
        self._figures = figures

    def __getattr__(self, key: str) -> Figure:
        if key not in self._figures.entries:
            raise AttributeError(f"{self._figures.key} has no figure {key}")
        return Figure(self._figures.entries[key])


class TracedBook:
    """Stands for the season while a rule is traced: its attributes are the tables and the lists of figures."""

    def __init__(self) -> None:
        self.parts: dict[str, Table | FigureList] = {}

    def add(self, part: Table | FigureList) -> None:
        """Make a table or a list of figures known under its key."""
        self.parts[part.key] = part

    def __getattr__(self, key: str) -> TracedTable | TracedFigures:
        part = self.parts.get(key)
        if part is None:
            raise AttributeError(f"there is no table {key}")
        return TracedTable(part) if isinstance(part, Table) else TracedFigures(part)

    def tables(self) -> Iterator[Table]:
        """Yield the tables in the order in which they were described."""
        return (part for part in self.parts.values() if isinstance(part, Table))

    def lists(self) -> Iterator[FigureList]:
        """Yield the lists of figures in the order in which they were described."""
        return (part for part in self.parts.values() if isinstance(part, FigureList))


def _column(table: Table, key: str) -> Column:
    if key not in table.columns:
        raise AttributeError(f"{table.key} has no column {key}")
    return table.columns[key]


BOOK: TracedBook = TracedBook()
