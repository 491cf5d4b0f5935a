"""How a class declares the columns that follow from others: worked by a method, kept from the day of export, or fixed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, Self, overload

from costing.fields.views import Cells, Following, Held, InRules

GIVEN, WORKED, KEPT = "given", "worked", "kept"
REMARK = "remark"  # the role of a column that says in words what is to be looked at in its row
TOLD = "told"  # the same, where it gathers what others say, and so stands in sight, before all that is worked out

Rule = Callable[..., Any]


class Rules(InRules):
    """A row as the rules of its table see it: its attributes are this row's figures, those to the left of the rule's own."""

    if TYPE_CHECKING:

        @property
        def above(self) -> type[Self]:
            """The rows above this one: its attributes are their columns."""

        @property
        def through(self) -> type[Self]:
            """The rows above and this one."""


class Figures(InRules):
    """Single named figures under one another, such as the season's totals."""


@dataclass(eq=False)
class Worked(Following, Generic[Held]):
    """A worked column or figure as its class declares it. ``number`` is that of a figure that never changes."""

    rule: Rule
    heading: str
    unit: str
    note: str
    shape: str = "number"
    decimals: int | None = None
    kind: str = WORKED
    number: float | None = None
    role: str = ""
    key: str = ""

    def __set_name__(self, owner: type, name: str) -> None:
        self.key = name

    if TYPE_CHECKING:

        @overload
        def __get__(self, row: None, owner: object) -> Cells[Held]: ...
        @overload
        def __get__(self, row: object, owner: object) -> Held: ...
        def __get__(self, row: object, owner: object) -> Any: ...


def worked(
    heading: str, unit: str = "", *, shape: str = "", decimals: int | None = None, role: str = ""
) -> Callable[[Callable[[Any, Any], Held]], Worked[Held]]:
    """Make a method a worked column (or figure) with this heading and unit, and a role where it is more than a figure."""

    def make(rule: Callable[[Any, Any], Held]) -> Worked[Held]:
        note = " ".join((rule.__doc__ or "").split())
        shown = shape or ("text" if unit == "text" else "number")
        return Worked(rule, heading, unit, note, shown, decimals, role=role)

    return make


def keeps(of: Worked[Held], heading: str, note: str) -> Worked[Held]:
    """Return a column that keeps another one's figures as they were when the workbook was written."""
    return Worked(lambda row, _: getattr(row, of.key), heading, of.unit, note, of.shape, of.decimals, KEPT)


def fixed(heading: str, number: float, note: str) -> Worked[float]:
    """Return a figure that never changes, so that formulas can name it."""
    return Worked(lambda *_: number, heading, "", note, kind=KEPT, number=number)
