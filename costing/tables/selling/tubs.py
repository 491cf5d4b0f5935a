"""Tubs: the parts of each package."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import or_one, sum_where
from costing.engine.table import Sheet, Table
from costing.fields.types import Key, NumberField, Record, given
from costing.fields.views import Number
from costing.tables.ones import ONE_PIECE

if TYPE_CHECKING:
    from costing.tables.book import Book


class Tub(Record):
    """One part of a tub."""

    tub: Key = given("Tub", "The key under which products name it.")
    part: Key = given("Part", "An item bought by the piece: jar, lid, label, spoon.", refers="items.item")
    count: Number = given("Count", "How many of it.", NumberField("piece", above=0), default=Decimal(1))


class TubRow(Tub, Rules):
    """What a part costs in its tub."""

    @worked("Cost per piece", "money/piece", decimals=4)
    def per_piece(self, season: Book) -> float:
        """What one of the part costs."""
        return sum_where(season.items.per_piece, season.items.item, self.part)

    @worked("Cost in tub", "money")
    def cost(self, _: Book) -> float:
        """What the part adds to one tub; a blank count is one."""
        return or_one(self.count, self.part, ONE_PIECE) * self.per_piece


TUBS = Table("tubs", Sheet("Tubs", frozen=2), "Tubs", "What each tub is put together from: one row for each part.", TubRow)
