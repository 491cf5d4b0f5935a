"""Traced arithmetic: an equation called with numbers returns a number; called with cells it returns the expression.

A cell here is a place in a table, not a value: "this row's landed cost", "every landed cost", "the landed costs above".
A rule is traced once for its column, since every row of a column holds the same formula.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol, TypeVar

Result = TypeVar("Result")


class Place(Protocol):
    """What an expression may point at: a column of a table, or a named figure."""

    key: str
    heading: str
    unit: str

    @property
    def may_be_blank(self) -> bool:
        """Whether a cell of it may hold no key where one belongs."""

    @property
    def name(self) -> str:
        """Its name in the workbook."""

    @property
    def sheet(self) -> str:
        """The sheet it stands on."""


class Factor(float):
    """A fixed number with a unit, such as 60 minutes in an hour. In a sheet it is the bare number."""

    unit: str

    def __new__(cls, number: float, unit: str) -> Factor:
        """Make a float that remembers its unit."""
        factor = super().__new__(cls, number)
        factor.unit = unit
        return factor


@dataclass(frozen=True)
class Operation:
    """One spreadsheet operation. This is the only place where its meanings stand side by side.

    sign: how a sheet writes it; work_out: what it does to numbers; measure: what it does to units; words: how it is
    said; binds: how tightly it binds (functions bind tightest); template: its spelling where it is no plain function
    or sign; body: whether its ranges must leave the heading out; matched: which operands are keys, of which a blank one
    matches nothing.
    """

    sign: str
    work_out: Callable[..., Any]
    measure: Callable[..., Any]
    words: Callable[..., str]
    binds: int
    template: str = ""
    body: bool = False
    matched: slice | None = None

    def __call__(self, *operands: Any) -> Any:
        """Work out at once with numbers; as soon as a cell takes part, keep the expression."""
        for operand in operands:  # not any(): this is passed a million times in a large season
            if isinstance(operand, Node):
                return Applied(self, operands)
        return self.work_out(*operands)


class Node:
    """Arithmetic and comparison on a node write the expression down instead of working it out."""

    __hash__ = object.__hash__

    def __add__(self, other: Any) -> Any:
        return _ARITHMETIC["add"](self, other)

    def __radd__(self, other: Any) -> Any:
        return _ARITHMETIC["add"](other, self)

    def __sub__(self, other: Any) -> Any:
        return _ARITHMETIC["subtract"](self, other)

    def __rsub__(self, other: Any) -> Any:
        return _ARITHMETIC["subtract"](other, self)

    def __mul__(self, other: Any) -> Any:
        return _ARITHMETIC["multiply"](self, other)

    def __rmul__(self, other: Any) -> Any:
        return _ARITHMETIC["multiply"](other, self)

    def __truediv__(self, other: Any) -> Any:
        return _ARITHMETIC["divide"](self, other)

    def __rtruediv__(self, other: Any) -> Any:
        return _ARITHMETIC["divide"](other, self)

    def __eq__(self, other: object) -> Any:
        return _ARITHMETIC["equal"](self, other)

    def __ne__(self, other: object) -> Any:
        return _ARITHMETIC["unequal"](self, other)

    def __lt__(self, other: Any) -> Any:
        return _ARITHMETIC["less"](self, other)

    def __le__(self, other: Any) -> Any:
        return _ARITHMETIC["at_most"](self, other)

    def __gt__(self, other: Any) -> Any:
        return _ARITHMETIC["more"](self, other)

    def __ge__(self, other: Any) -> Any:
        return _ARITHMETIC["at_least"](self, other)

    def __bool__(self) -> bool:
        raise TypeError("a cell is neither true nor false: use choose()")


_ARITHMETIC: dict[str, Operation] = {}


def teach_arithmetic(**operations: Operation) -> None:
    """Give nodes their signs: which operation stands behind +, −, ×, ÷ and the comparisons."""
    _ARITHMETIC.update(operations)


@dataclass(frozen=True, eq=False)
class Applied(Node):
    """An operation over operands."""

    operation: Operation
    operands: tuple[Any, ...]


@dataclass(frozen=True, eq=False)
class Here(Node):
    """This row's cell of a column."""

    place: Place


@dataclass(frozen=True, eq=False)
class Whole(Node):
    """All cells of a column, spare rows too."""

    place: Place


@dataclass(frozen=True, eq=False)
class Above(Node):
    """The cells of a column from the first row down to the row above; with ``through``, to this row."""

    place: Place
    through: bool


@dataclass(frozen=True, eq=False)
class Figure(Node):
    """A single named figure, such as the hourly rate."""

    place: Place


Leaf = Here | Whole | Above | Figure


def fold(
    node: Any,
    at_leaf: Callable[[Leaf], Result],
    at_constant: Callable[[Any], Result],
    combine: Callable[[Applied, list[Result]], Result],
) -> Result:
    """Read an expression from its leaves up."""
    if isinstance(node, Applied):
        return combine(node, [fold(operand, at_leaf, at_constant, combine) for operand in node.operands])
    if isinstance(node, Here | Whole | Above | Figure):
        return at_leaf(node)
    return at_constant(node)


def leaves(node: Any) -> list[Leaf]:
    """Return every cell, range and figure that an expression points at."""

    def gather(_: Applied, parts: Sequence[list[Leaf]]) -> list[Leaf]:
        return [leaf for part in parts for leaf in part]

    return fold(node, lambda leaf: [leaf], lambda _: [], gather)
