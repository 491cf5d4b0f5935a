"""A sheet is a table, a table is a list of columns, and a column is given by the maker or worked out by one rule.

A table's columns are the attributes of one class: the fields of the record that the maker writes, and under them a method
for each worked column. Its name is the column's key, its docstring what the maker reads about it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Generic, TypeVar, cast

from costing.engine.declared import GIVEN, KEPT, TOLD, WORKED, Rule, Worked
from costing.engine.expressions import Above, Figure, Here, Whole, leaves
from costing.fields.types import FieldType, Record

RowType = TypeVar("RowType", bound=Record)
FiguresType = TypeVar("FiguresType")


@dataclass(frozen=True)
class Sheet:
    """One sheet of the workbook. Its title and what is on it are those of the first table where it says none itself.

    protected: nothing there is typed in, but for dials; frozen: columns that stay in sight; notes_run_on: explanations of
    figures are one line each, running on over the columns to their right; cut_apart: rows are large, printed without key
    columns and remark, and cut apart; one_page: printed on one page, whatever is on it; new_page: the key of the table or
    list with which a new page begins; everyday: in sight in every workbook, where others are out of sight or left out until
    they are asked for.
    """

    name: str
    title: str = ""
    about: str = ""
    protected: bool = False
    frozen: int = 1
    notes_run_on: bool = False
    cut_apart: bool = False
    one_page: bool = False
    new_page: str = ""
    everyday: bool = False


@dataclass(eq=False)
class Column:
    """One column of a table.

    kind: GIVEN by the maker, WORKED out by ``rule(row, season)``, or KEPT as it was when the workbook was written.
    """

    table: Table[Any]
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
    role: str = ""

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

    @property
    def may_be_blank(self) -> bool:
        """Whether a cell may hold no text, as in a free row."""
        return self.holds_text and self.kind != WORKED


@dataclass(eq=False)
class Table(Generic[RowType]):
    """The columns of one table, what its rows are, and how its sheet presents them.

    face: the sheet it stands on, or its name; row: the class whose attributes are the columns; rows: what fills a table
    that the maker does not write, made from the records; chart_rows: rows that a chart beside it is high; cards: rows
    belong together in their order, each group opened and closed by a row of its own; fixed: a packaged table, whose rows
    nobody fills in; results: the worked columns that a maker looks for, the others being folded away, and with them what
    Remarks gathers; None folds none; aside: given columns that are folded away too; seldom: those that are while all blank;
    on_paper: whether it is printed.
    """

    key: str
    face: Sheet | str
    title: str
    about: str
    row: type[RowType]
    spare: int = 12
    chart_rows: int = 0
    cards: bool = False
    fixed: bool = False
    rows: Callable[[Any], Sequence[Record]] | None = None
    results: tuple[str, ...] | None = None
    aside: tuple[str, ...] = ()
    seldom: tuple[str, ...] = ()
    on_paper: bool = True
    columns: dict[str, Column] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        for key, heading, unit, note, reader, extra in _given(self.row):
            self.columns[key] = Column(self, key, heading, unit, note, GIVEN, reader.shape, field=reader, **extra)
        for each in sorted(_following(self.row), key=lambda each: each.role != TOLD):
            self.columns[each.key] = self._column(each)
        if unknown := {*(self.results or ()), *self.aside, *self.seldom} - set(self.columns):
            raise KeyError(f"{self.key} has no {', '.join(sorted(unknown))}")

    def is_working(self, column: Column) -> bool:
        """Whether a column is a step on the way: worked, no result, and said nowhere else."""
        if self.results is None or column.kind != WORKED:
            return column.key in self.aside
        return column.key in self._gathered if column.role else column.key not in self.results

    @cached_property
    def _gathered(self) -> set[str]:
        """The keys of the columns whose words another column of the table gathers."""
        told = [column for column in self.columns.values() if column.role == TOLD]
        return {leaf.place.key for column in told for leaf in leaves(column.expression) if isinstance(leaf, Here)}

    def insert(self, after: str, worked_out: Sequence[Worked[Any]]) -> None:
        """Put further worked columns behind one."""
        keys = list(self.columns)
        behind = keys[keys.index(after) + 1 :]
        moved = {key: self.columns.pop(key) for key in behind}
        self.columns |= {each.key: self._column(each) for each in worked_out} | moved

    def _column(self, each: Worked[Any]) -> Column:
        return Column(
            self, each.key, each.heading, each.unit, each.note, each.kind,
            shape=each.shape, rule=each.rule, decimals=each.decimals, role=each.role,
        )  # fmt: skip

    @property
    def sheet(self) -> str:
        """The sheet on which the table stands."""
        return _name_of(self.face)

    @property
    def given(self) -> list[Column]:
        """The columns that the maker fills in."""
        return [column for column in self.columns.values() if column.kind == GIVEN]

    @property
    def ruled(self) -> list[Column]:
        """The columns that follow from others, in the order in which they do: what gathers what others say comes last."""
        ruled = [column for column in self.columns.values() if column.kind != GIVEN]
        return sorted(ruled, key=lambda column: column.role == TOLD)

    @cached_property
    def groups(self) -> list[list[Column]]:
        """The ruled columns in the order in which they are worked out, each group from its first row to its last.

        Mostly a group is one column. Where a column looks at what stands above in one to its right, all from the one to
        the other are worked out together, row by row.
        """
        ruled = self.ruled
        place = {column.key: at for at, column in enumerate(ruled)}
        groups: list[list[Column]] = []
        last = -1  # the place at which the group ends that is being gathered
        for at, column in enumerate(ruled):
            if at > last:
                groups.append([])
            groups[-1].append(column)
            last = max(last, at, *(place.get(key, at) for key in _looked_at_above(column)))
        return groups


def _given(row: type[Any]) -> Iterator[tuple[str, str, str, str, FieldType, dict[str, Any]]]:
    """Yield each given column of a class: key, heading, unit, note, how it is read, what it refers to and its decimals."""
    for key, info in getattr(row, "model_fields", {}).items():
        reader: FieldType = info.metadata[0]
        yield key, info.title or key, reader.unit, info.description or "", reader, info.json_schema_extra


def _following(row: type) -> list[Worked[Any]]:
    """Return what a class declares beside its given columns, in order; first what it takes over from other classes."""
    found = {each.key: each for base in reversed(row.__mro__) for each in vars(base).values() if isinstance(each, Worked)}
    return list(found.values())


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
        order = [column.key for column in (*self._column.table.given, *self._column.table.ruled)]
        if order.index(key) >= order.index(self._column.key):
            raise AttributeError(f"{self._column.name} looks at {wanted.name}, which does not stand to its left")
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

    table: Table[Any]
    through: bool

    def __getattr__(self, key: str) -> Above:
        return Above(_column(self.table, key), self.through)


class TracedTable:
    """Stands for a whole table: its attributes are whole columns."""

    def __init__(self, table: Table[Any]) -> None:
        self._table = table

    def __getattr__(self, key: str) -> Whole:
        return Whole(_column(self._table, key))


@dataclass(eq=False)
class Entry:
    """One named figure of a list: given by the maker, fixed, or worked out by ``rule(figures, season)``."""

    figures: FigureList[Any]
    key: str
    heading: str
    unit: str
    note: str
    shape: str = "number"
    rule: Rule | None = None
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
        return self.rule(TracedFigures(self.figures), BOOK)

    @property
    def kind(self) -> str:
        """Whether the figure is given, kept or worked."""
        return GIVEN if self.field else KEPT if self.fixed is not None else WORKED

    @property
    def holds_text(self) -> bool:
        """Whether the cell holds text."""
        return self.unit == "text"

    @property
    def may_be_blank(self) -> bool:
        """Whether the maker may leave out its text."""
        record = getattr(self.figures.described, "model_fields", {})
        return self.holds_text and self.key in record and not record[self.key].is_required()


@dataclass(eq=False)
class FigureList(Generic[FiguresType]):
    """Named figures under one another, such as the settings and the season's totals.

    headings: those above figures that stand one under the other; without any they stand side by side; described: the
    class whose attributes are the figures; record: what the given ones are from, made from the records; on_paper: whether
    they are printed.
    """

    key: str
    face: Sheet | str
    prefix: str
    described: type[FiguresType]
    title: str = ""
    headings: tuple[str, ...] = ()
    record: Callable[[Any], Record] | None = None
    on_paper: bool = True
    entries: dict[str, Entry] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        for key, heading, unit, note, reader, extra in _given(self.described):
            self.entries[key] = Entry(
                self, key, heading, unit, note, shape=reader.shape, field=reader, refers=extra["refers"]
            )
        for each in _following(self.described):
            self.entries[each.key] = Entry(
                self, each.key, each.heading, each.unit, each.note, shape=each.shape,
                rule=None if each.number is not None else each.rule, fixed=each.number, decimals=each.decimals,
            )  # fmt: skip

    @property
    def sheet(self) -> str:
        """The sheet on which the figures stand."""
        return _name_of(self.face)


def _name_of(face: Sheet | str) -> str:
    return face if isinstance(face, str) else face.name


class TracedFigures:
    """Stands for a list of figures while a rule is traced."""

    def __init__(self, figures: FigureList[Any]) -> None:
        self._figures = figures

    def __getattr__(self, key: str) -> Figure:
        if key not in self._figures.entries:
            raise AttributeError(f"{self._figures.key} has no figure {key}")
        return Figure(self._figures.entries[key])


class TracedBook:
    """Stands for the season while a rule is traced: its attributes are the tables and the lists of figures."""

    def __init__(self) -> None:
        self.parts: dict[str, Table[Any] | FigureList[Any]] = {}

    def __getattr__(self, key: str) -> TracedTable | TracedFigures:
        part = self.parts.get(key)
        if part is None:
            raise AttributeError(f"there is no table {key}")
        return TracedTable(part) if isinstance(part, Table) else TracedFigures(part)

    def tables(self) -> Iterator[Table[Any]]:
        """Yield the tables in the order in which they were made known."""
        return (part for part in self.parts.values() if isinstance(part, Table))

    def lists(self) -> Iterator[FigureList[Any]]:
        """Yield the lists of figures in the order in which they were made known."""
        return (part for part in self.parts.values() if isinstance(part, FigureList))


BOOK: TracedBook = TracedBook()


def whole(table: Table[RowType]) -> type[RowType]:
    """Make a table known to rules, and return what stands for it there: its attributes are whole columns."""
    BOOK.parts[table.key] = table
    return cast("type[RowType]", TracedTable(table))


def named(figures: FigureList[FiguresType]) -> FiguresType:
    """Make a list of figures known to rules, and return what stands for it there."""
    BOOK.parts[figures.key] = figures
    return cast("FiguresType", TracedFigures(figures))


def _column(table: Table[Any], key: str) -> Column:
    if key not in table.columns:
        raise AttributeError(f"{table.key} has no column {key}")
    return table.columns[key]
