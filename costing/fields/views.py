"""How one given column reads, by who looks: decimals as written in a record, a number in a rule, all its cells in a table.

A rule asks ``self.fill_grams`` and gets a number; another table's rule asks ``season.products.fill_grams`` and gets the
column; the reader of records gets the decimals that the maker wrote. The type checker knows the three apart, so that a
misspelt column, or a column where a number belongs, is found before anything is run.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Generic, TypeVar

Held = TypeVar("Held")


class Cells(Generic[Held]):
    """All cells of a column, or those down to some row: what sums and look-ups run over."""


class Following:
    """What stands among the given columns of a class and is none: worked, kept and fixed ones."""


class InRules:
    """Marks the classes whose attributes are figures of a rule, not what somebody wrote."""


if TYPE_CHECKING:
    from typing import Any, overload

    class Words:
        """A column of texts."""

        @overload
        def __get__(self, row: None, owner: object) -> Cells[str]: ...
        @overload
        def __get__(self, row: object, owner: object) -> str: ...
        def __get__(self, row: object, owner: object) -> Any: ...
        def __set__(self, row: object, value: str) -> None: ...

    class Number:
        """A column of numbers that is never blank."""

        @overload
        def __get__(self, row: None, owner: object) -> Cells[float]: ...
        @overload
        def __get__(self, row: InRules, owner: object) -> float: ...
        @overload
        def __get__(self, row: object, owner: object) -> Decimal: ...
        def __get__(self, row: object, owner: object) -> Any: ...
        def __set__(self, row: object, value: Decimal) -> None: ...

    class OptionalNumber:
        """A column of numbers that may be blank; in a rule a blank counts as 0."""

        @overload
        def __get__(self, row: None, owner: object) -> Cells[float]: ...
        @overload
        def __get__(self, row: InRules, owner: object) -> float: ...
        @overload
        def __get__(self, row: object, owner: object) -> Decimal | None: ...
        def __get__(self, row: object, owner: object) -> Any: ...
        def __set__(self, row: object, value: Decimal | None) -> None: ...

    class Figured:
        """A column of figures that the program itself writes down, in binary."""

        @overload
        def __get__(self, row: None, owner: object) -> Cells[float]: ...
        @overload
        def __get__(self, row: object, owner: object) -> float: ...
        def __get__(self, row: object, owner: object) -> Any: ...
        def __set__(self, row: object, value: float) -> None: ...

    class DayWritten:
        """A column of days; in a rule a day is its number."""

        @overload
        def __get__(self, row: None, owner: object) -> Cells[float]: ...
        @overload
        def __get__(self, row: InRules, owner: object) -> float: ...
        @overload
        def __get__(self, row: object, owner: object) -> date: ...
        def __get__(self, row: object, owner: object) -> Any: ...
        def __set__(self, row: object, value: date) -> None: ...

else:
    Words, Number, OptionalNumber, Figured, DayWritten = str, Decimal, Decimal | None, float, date
