"""Tubs: the parts of each package."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import both, count_both_same, is_missing, or_one, sum_where
from costing.engine.table import Sheet, Table
from costing.fields.types import Key, NumberField, Record, given
from costing.fields.views import Number
from costing.tables import row_remarks
from costing.tables.ones import ONE_PIECE
from costing.tables.row_remarks import Tests
from costing.tables.usual_values import says_unusual

if TYPE_CHECKING:
    from costing.tables.book import Book


class Tub(Record):
    """One part of a tub."""

    tub: Key = given("Tub", "The key under which products name it.")
    part: Key = given("Part", "An item bought by the piece: jar, lid, label, spoon.", refers="items.item")
    count: Number = given("Count", "How many of it.", NumberField("piece", above=0), default=Decimal(1))


def _names(row: TubRow, season: Book) -> Tests:
    yield from row_remarks.left_empty(row, Tub)
    yield is_missing(season.items.item, row.part), "Unknown part"


def _again(row: TubRow, _: Book) -> Tests:
    yield both(row.part != "", count_both_same(row.through.tub, row.tub, row.through.part, row.part) > 1), "Twice"


def _keys(row: TubRow, _: Book) -> Tests:
    yield from row_remarks.badly_named(row)
    yield from row_remarks.zeros(row, "count")


_WRONG = ("wrong_cells", "wrong_names", "wrong_key", "wrong_again")


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

    @worked("For the plan", "piece", decimals=0)
    def for_plan(self, season: Book) -> float:
        """How many of the part all tubs take that are still to be filled."""
        tubs = sum_where(season.products.to_make, season.products.tub, self.tub)
        return or_one(self.count, self.part, ONE_PIECE) * tubs

    name_flaws = row_remarks.name_flaws("tub")
    used_row = row_remarks.used_row(Tub)
    wrong_cells = row_remarks.wrong_cells(Tub)
    wrong_names = row_remarks.says("Wrong names", "Names that are empty, lead nowhere or stand there twice.", _names)
    wrong_key = row_remarks.says("Wrong keys", "Names that a sheet takes for something else.", _keys)
    wrong_again = row_remarks.says("Wrongly again", "What stands there twice.", _again)
    unusual_count = says_unusual("tubs", "count", "count")
    looked_at = row_remarks.looked_at("tubs", "tub", "part")
    to_look_at = row_remarks.to_look_at("unusual_count", seen=True)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, doubts=("unusual_count",))


TUBS = Table(
    "tubs",
    Sheet("Tubs", frozen=2, everyday=True),
    "Tubs",
    "What each tub is put together from: one row for each part.",
    TubRow,
    results=("per_piece", "cost"),
)
