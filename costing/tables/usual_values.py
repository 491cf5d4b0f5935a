"""Usual values: between what bounds small makers write a figure, as a table, so that what lies outside is told at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from costing.engine.declared import Worked
from costing.engine.operations import both, is_outside
from costing.engine.table import Table
from costing.fields.catalogue import usual_ranges
from costing.fields.types import NumberField, Record, Text, given
from costing.fields.views import Number
from costing.tables.looked_up import LOOK_UPS
from costing.tables.row_remarks import Tests, says
from costing.tables.sources import packaged

if TYPE_CHECKING:
    from costing.tables.book import Book


class UsualValue(Record):
    """The usual values of one column."""

    what: Text = given("Figure", "The table and column of records that it is about.")
    low: Number = given("From", "The lowest that small makers write.", NumberField("", least=0))
    high: Number = given("To", "The highest.", NumberField("", least=0))
    measured_in: Text = given("Measured in", "The unit of both; 1 is 100 %.")
    source: Text = given("Source", "Where the figures are from.")


@packaged
def usual_records() -> list[UsualValue]:
    """Return the packaged ranges as rows, with percentages as cells hold them."""
    rows = []
    for usual in usual_ranges():
        share = usual.unit == "%"
        low, high = (bound / 100 if share else bound for bound in (usual.low, usual.high))
        what, unit = f"{usual.table} {usual.column}", "1" if share else usual.unit
        rows.append(UsualValue(what=what, low=low, high=high, measured_in=unit, source=usual.source))
    return rows


USUAL_VALUES = Table(
    "usual",
    LOOK_UPS,
    "What small makers write",
    "A figure outside is marked in its row: it may be right, and is often a slip of the unit.",
    UsualValue,
    spare=0,
    fixed=True,
    rows=usual_records,
)


def says_unusual(table: str, column: str, called: str, of: str = "") -> Worked[str]:
    """Return a column that says when a figure is outside what small makers write; of: its column, if called otherwise."""

    def tests(row: Any, season: Book) -> Tests:
        mine, figure = season.usual, getattr(row, of or column)
        yield both(figure != 0, is_outside(mine.what, f"{table} {column}", mine.low, mine.high, figure)), f"Unusual {called}"

    return says(f"Unusual {called}", "Says so when it is outside what small makers write.", tests)
