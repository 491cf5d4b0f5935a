"""What tubs can be filled with, one under the other without gaps: the list that Products chooses from."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import look_up
from costing.engine.table import Table
from costing.fields.types import NumberField, Record, given
from costing.fields.views import Number
from costing.tables.looked_up import LOOK_UPS
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book

ROOM = 20  # for what is typed into the workbook


class Filling(Record):
    """A place in the list."""

    number: Number = given("Number", "Its place in this list.", NumberField("", least=0))


class FillingRow(Filling, Rules):
    """What is made there."""

    @worked("Made", "text")
    def what(self, season: Book) -> str:
        """The formula, or the output of one, with this number on Formulas."""
        return look_up(season.making.found_as, season.making.made_number, self.number)


def filling_rows(source: Source) -> list[Filling]:
    """Return a place for everything made, and some for what comes."""
    number = len(source.records.formulas) + len(source.records.outputs) + ROOM
    return [Filling(number=Decimal(at)) for at in range(1, number + 1)]


FILLINGS = Table(
    "fillings",
    LOOK_UPS,
    "What tubs can be filled with",
    "Every formula and output on Formulas, in their order; new ones come in by themselves.",
    FillingRow,
    spare=0,
    fixed=True,
    rows=filling_rows,
)
