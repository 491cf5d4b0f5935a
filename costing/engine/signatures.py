"""How each operation is called, for the type checker: a rule that gives it the wrong thing is found before it is run.

In a rule, a figure is a number to the type checker and a text a text, whether the rule is worked out or traced.
"""

from __future__ import annotations

from typing import Protocol, TypeVar

from costing.fields.views import Cells

Of = TypeVar("Of")


class Joining(Protocol):
    """Texts to a text."""

    def __call__(self, *texts: str) -> str: ...


class Telling(Protocol):
    """Texts and whole numbers to a text."""

    def __call__(self, *parts: str | float) -> str: ...


class Comparing(Protocol):
    """Two of a kind, or a figure and a blank text, to a test."""

    def __call__(self, one: object, other: object, /) -> bool: ...


class Testing(Protocol):
    """Tests to a test."""

    def __call__(self, *tests: bool) -> bool: ...


class TestingCell(Protocol):
    """What stands in a cell to a test."""

    def __call__(self, cell: object, /) -> bool: ...


class TestingWord(Protocol):
    """What stands in a cell, held against words between blanks, to a test."""

    def __call__(self, cell: object, words: str, /) -> bool: ...


class TestingListed(Protocol):
    """A column of names and one that should be among them, to a test."""

    def __call__(self, keys: Cells[str], key: str, /) -> bool: ...


class CountingBetween(Protocol):
    """In how many rows beside a key a column lies within bounds."""

    def __call__(self, keys: Cells[str], key: str, values: Cells[float], low: float, high: float, /) -> float: ...


class Texting(Protocol):
    """A text, and a part of it, to a text."""

    def __call__(self, text: str, part: str, /) -> str: ...


class WritingDay(Protocol):
    """A day to a text."""

    def __call__(self, day: float, /) -> str: ...


class TestingBounds(Protocol):
    """A figure, held against bounds beside a name, to a test."""

    def __call__(self, names: Cells[str], name: str, lows: Cells[float], highs: Cells[float], value: float, /) -> bool: ...


class Choosing(Protocol):
    """One of two by a test."""

    def __call__(self, test: bool, then: Of, otherwise: Of, /) -> Of: ...  # noqa: FBT001  # as IF has it


class Picking(Protocol):
    """One of several by its number."""

    def __call__(self, number: float, /, *several: Of) -> Of: ...


class Combining(Protocol):
    """Figures to a figure."""

    def __call__(self, *figures: float) -> float: ...


class Summing(Protocol):
    """All of a column to a figure."""

    def __call__(self, values: Cells[float], /) -> float: ...


class Counting(Protocol):
    """Columns, and what to hold them against, to a number."""

    def __call__(self, values: Cells[Of], /, *against: object) -> float: ...


class CountingCells(Protocol):
    """Cells of a row, of whatever sort, to a number."""

    def __call__(self, *cells: object) -> float: ...


class CountingFormulas(Protocol):
    """Whatever stands on a sheet to a number."""

    def __call__(self, place: object, /) -> float: ...


class SummingWhere(Protocol):
    """The sum of a column where others equal keys: range, key, range, key …"""

    def __call__(self, values: Cells[float], /, *pairs: object) -> float: ...


class LookingUp(Protocol):
    """What a column holds beside a key."""

    def __call__(self, values: Cells[Of], keys: Cells[str] | Cells[float], key: str | float, /) -> Of: ...


class Positioning(Protocol):
    """Where a key first stands in a column, its heading being 1; 0 where it does not."""

    def __call__(self, keys: Cells[str], key: str, /) -> float: ...


class FindingIn(Protocol):
    """In how many of two columns a name stands."""

    def __call__(self, one: Cells[str], other: Cells[str], key: str, /) -> float: ...


class ValueAt(Protocol):
    """The figure of a column at such a place, 0 at its heading."""

    def __call__(self, values: Cells[float], position: float, /) -> float: ...


class LargestWhere(Protocol):
    """The largest of a column beside a key."""

    def __call__(self, values: Cells[float], keys: Cells[str], key: str, /) -> float: ...


class LargestUpTo(Protocol):
    """The largest of a column beside a key, up to a limit."""

    def __call__(self, values: Cells[float], keys: Cells[str], key: str, limit: float, /) -> float: ...


class AtStep(Protocol):
    """What a column holds at the last step that is reached."""

    def __call__(self, values: Cells[float], steps: Cells[float], reached: float, /) -> float: ...


class SummingAfter(Protocol):
    """The sum of a column beside a key, after a day."""

    def __call__(self, values: Cells[float], keys: Cells[str], key: str, days: Cells[float], day: float, /) -> float: ...
