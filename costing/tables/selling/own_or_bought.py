"""Own or bought: each product beside the one that would be made from a bought base."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import NOTHING, choose, is_missing, only_if, pick, ratio, ratio_if, sum_where
from costing.engine.table import Sheet, Table
from costing.fields.types import Key, Record, given
from costing.fields.views import Cells
from costing.tables import equations, row_remarks
from costing.tables.row_remarks import Tests

if TYPE_CHECKING:
    from costing.tables.book import Book


OWN, BOUGHT = "own", "bought"


class Alternative(Record):
    """One product and its twin from a bought base."""

    product: Key = given("Own", "The product you make from the bar.", refers="products.product")
    bought: Key = given("From bought base", "The product that would take its place.", refers="products.product")


def _of(season: Book, values: Cells[float], product: str) -> float:
    return sum_where(values, season.products.product, product)


def _saved(row: AlternativeRow, season: Book, values: Cells[float]) -> float:
    return _of(season, values, row.bought) - _of(season, values, row.product)


def _names(row: AlternativeRow, season: Book) -> Tests:
    yield from row_remarks.left_empty(row, Alternative)
    yield is_missing(season.products.product, row.product), "Unknown product"


def _again(row: AlternativeRow, season: Book) -> Tests:
    yield is_missing(season.products.product, row.bought), "Unknown base one"
    yield from row_remarks.twice(row, "product")


_WRONG = ("wrong_names", "wrong_again")


class AlternativeRow(Alternative, Rules):
    """What making it saves on one, against a bought base."""

    @worked("Own costs", "money")
    def own_cost(self, season: Book) -> float:
        """One of your own."""
        return _of(season, season.products.total, self.product)

    @worked("Bought costs", "money")
    def bought_cost(self, season: Book) -> float:
        """One from the bought base."""
        return _of(season, season.products.total, self.bought)

    @worked("Saved on materials", "money")
    def materials(self, season: Book) -> float:
        """Materials of the bought one less your own."""
        return _saved(self, season, season.products.materials)

    @worked("Saved on packaging", "money")
    def packaging(self, season: Book) -> float:
        """Packaging of the bought one less your own."""
        return _saved(self, season, season.products.packaging)

    @worked("Saved on work", "money")
    def work(self, season: Book) -> float:
        """Work on the bought one less your own."""
        return _saved(self, season, season.products.work)

    @worked("Saved on power", "money")
    def power(self, season: Book) -> float:
        """Power of the bought one less your own."""
        return _saved(self, season, season.products.power)

    @worked("Saved on overheads", "money")
    def overheads(self, season: Book) -> float:
        """Overheads of the bought one less your own."""
        return _saved(self, season, season.products.overheads)

    @worked("Saving", "money")
    def saving(self, _: Book) -> float:
        """What making it yourself saves on one."""
        return self.bought_cost - self.own_cost

    @worked("Cheaper", "text")
    def cheaper(self, _: Book) -> str:
        """Which of the two costs less."""
        return pick(1 + choose(self.saving > 0, 1, 0) + choose(self.saving < 0, 2, 0), NOTHING, OWN, BOUGHT)

    @worked("Saving of bought cost", shape="percent")
    def saving_percent(self, _: Book) -> float:
        """The saving as a part of what the bought one costs."""
        return ratio_if(self.bought_cost > 0, self.saving, self.bought_cost)

    @worked("Planned", decimals=0)
    def planned(self, season: Book) -> float:
        """How many of your own are planned."""
        return _of(season, season.products.planned, self.product)

    @worked("Season's saving", "money")
    def season_saving(self, _: Book) -> float:
        """The saving on all that are planned."""
        return self.planned * self.saving

    @worked("Extra minutes", "minute", decimals=1)
    def extra_minutes(self, season: Book) -> float:
        """Hands-on minutes that your own takes more."""
        return _of(season, season.products.hands_on, self.product) - _of(season, season.products.hands_on, self.bought)

    @worked("Pay per extra hour", "money/hour")
    def pay_per_extra_hour(self, _: Book) -> float:
        """What an hour of that extra work earns: the saving with work left out of both."""
        return equations.hourly_pay(self.saving - self.work, self.extra_minutes)

    @worked("Base in the bought one", "gram", decimals=1)
    def base_grams(self, season: Book) -> float:
        """Grams of bought base whose price the bought one follows."""
        return _of(season, season.products.base_grams, self.bought)

    @worked("Base costs now, per kg", "money/kilogram")
    def base_per_kg(self, season: Book) -> float:
        """What a kilogram of the base counts at."""
        return ratio(_of(season, season.products.base_cost, self.bought) * equations.GRAMS_PER_KILOGRAM, self.base_grams)

    @worked("Base that the bought one takes more", "gram", decimals=1)
    def base_more(self, season: Book) -> float:
        """Its base less what your own holds of a bought base."""
        return self.base_grams - _of(season, season.products.base_grams, self.product)

    @worked("Even price, worked out", "money/kilogram")
    def even_price(self, _: Book) -> float:
        """What the base costs now, less the saving on each kilogram that the bought one takes more."""
        saved = self.saving * equations.GRAMS_PER_KILOGRAM
        return ratio_if(self.base_more > 0, self.base_per_kg * self.base_more - saved, self.base_more, 0)

    @worked("Base price at which both are even", "money/kilogram")
    def base_break_even(self, _: Book) -> float:
        """Below this price per kg the bought base is cheaper, above it your own; nothing where there is no such price."""
        return only_if(self.even_price > 0, self.even_price)

    used_row = row_remarks.used_row(Alternative)
    wrong_names = row_remarks.says("Wrong names", "Names that are empty, lead nowhere or stand there twice.", _names)
    wrong_again = row_remarks.says("Wrongly again", "What stands there twice.", _again)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG)


ALTERNATIVES = Table(
    "alternatives",
    Sheet("Own or bought", frozen=2),
    "Own or bought",
    "What making it yourself saves on each tub. Below zero the bought base is cheaper.",
    AlternativeRow,
    results=(
        "own_cost",
        "bought_cost",
        "saving",
        "saving_percent",
        "planned",
        "season_saving",
        "extra_minutes",
        "pay_per_extra_hour",
        "base_per_kg",
        "base_break_even",
    ),
)
