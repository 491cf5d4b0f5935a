"""Own or bought: each product beside the one that would be made from a bought base."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import (
    NOTHING,
    choose,
    is_missing,
    only_if,
    pick,
    ratio,
    ratio_if,
    size_of,
    sum_where,
)
from costing.engine.table import Sheet, Table
from costing.fields.types import Key, Record, given
from costing.fields.views import Cells
from costing.tables import equations, row_remarks
from costing.tables.ones import ONE_MONEY
from costing.tables.row_remarks import Tests

if TYPE_CHECKING:
    from costing.tables.book import Book


OWN, BOUGHT, ALIKE = "own", "bought", "even"


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
    """What making it saves on one, against a bought base. Only what the choice changes counts: overheads stay either way."""

    @worked("Own costs", "money")
    def own_cost(self, season: Book) -> float:
        """Materials, packaging, work, power and unsold of one of your own. Overheads are not in it: they stay."""
        return _of(season, season.products.direct, self.product)

    @worked("Bought costs", "money")
    def bought_cost(self, season: Book) -> float:
        """The same of one from the bought base."""
        return _of(season, season.products.direct, self.bought)

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

    @worked("Saved on unsold", "money")
    def unsold(self, season: Book) -> float:
        """What the bought one bears of those unsold, less your own."""
        return _saved(self, season, season.products.unsold)

    @worked("Saving", "money")
    def saving(self, _: Book) -> float:
        """What making it yourself saves on one. Below zero the bought one is cheaper."""
        return self.bought_cost - self.own_cost

    @worked("Cash saving", "money")
    def cash_saving(self, season: Book) -> float:
        """The same without your own work, that in those unsold too: what stays in your purse."""
        return self.saving - _saved(self, season, season.products.making_work)

    @worked("Cheaper", "text")
    def cheaper(self, season: Book) -> str:
        """Which of the two costs less; even where a price could not show it: within half of the smallest coin."""
        shown = season.beside.coin * ONE_MONEY / 2
        apart = choose(size_of(self.saving) > shown, 1, 0) + choose(self.saving < 0 - shown, 1, 0)
        return pick(1 + choose(self.product == "", 0, 1) + apart, NOTHING, ALIKE, OWN, BOUGHT)

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

    @worked("Season's cash saving", "money")
    def season_cash(self, _: Book) -> float:
        """The cash saving on all that are planned."""
        return self.planned * self.cash_saving

    @worked("Extra minutes", "minute", decimals=1)
    def extra_minutes(self, season: Book) -> float:
        """Hands-on minutes that your own takes more, with those unsold."""
        mine = season.products
        return _of(season, mine.making_time, self.product) - _of(season, mine.making_time, self.bought)

    @worked("Season's extra minutes", "minute", decimals=0)
    def season_minutes(self, _: Book) -> float:
        """The extra minutes of all that are planned."""
        return self.planned * self.extra_minutes

    @worked("Pay per extra hour", "money/hour")
    def pay_per_extra_hour(self, _: Book) -> float:
        """What an hour of that extra work earns: the cash saving in it."""
        return equations.hourly_pay(self.cash_saving, self.extra_minutes)

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

    @worked("Overheads, beside it", "money")
    def overheads(self, season: Book) -> float:
        """What the bought one bears of the overheads, less your own. They stay either way, so the saving has none."""
        return _saved(self, season, season.products.overheads)

    used_row = row_remarks.used_row(Alternative)
    wrong_names = row_remarks.says("Wrong names", "Names that are empty, lead nowhere or stand there twice.", _names)
    wrong_again = row_remarks.says("Wrongly again", "What stands there twice.", _again)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG)


ALTERNATIVES = Table(
    "alternatives",
    Sheet("Own or bought", frozen=2),
    "Own or bought",
    "What making it yourself saves on each tub, overheads aside: they stay. Below zero the bought base is cheaper.",
    AlternativeRow,
    results=(
        "own_cost",
        "bought_cost",
        "saving",
        "cash_saving",
        "cheaper",
        "saving_percent",
        "season_saving",
        "extra_minutes",
        "pay_per_extra_hour",
        "base_break_even",
        "overheads",
    ),
)
