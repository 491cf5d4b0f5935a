"""Break-even: how many of each product pay all costs at the planned mix, and what an hour of each earns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import choose, ratio, round_half, round_up, sum_where, total
from costing.engine.table import Sheet, Table
from costing.fields.types import Key, Record, given
from costing.fields.views import Cells
from costing.tables import equations
from costing.tables.lookups import of_product
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class BreakEven(Record):
    """One line of the break-even: a product."""

    product: Key = given("Product", "A product. To see a new one here, choose it in a free line.", refers="products.product")


def _prices(row: BreakEvenRow, season: Book, values: Cells[float]) -> float:
    return sum_where(values, season.prices.product, row.product)


class BreakEvenRow(BreakEven, Rules):
    """How many must be sold to pay all overheads."""

    @worked("Planned", decimals=0)
    def planned(self, season: Book) -> float:
        """How many are planned over all channels."""
        return of_product(self.product, season, season.products.planned)

    @worked("Part of the plan", shape="percent")
    def part(self, season: Book) -> float:
        """Its part of all tubs planned: the mix."""
        return ratio(self.planned, total(season.products.planned))

    @worked("Towards the overheads", "money")
    def contribution(self, season: Book) -> float:
        """What all planned sales of it leave before overheads."""
        return _prices(self, season, season.prices.season_contribution)

    @worked("Of it, one", "money")
    def contribution_each(self, _: Book) -> float:
        """What one leaves before overheads, over the plan."""
        return ratio(self.contribution, self.planned)

    @worked("Break-even", decimals=0)
    def even(self, season: Book) -> float:
        """How many of it pay all costs together with the others, in whole tubs. Blank where the plan never does."""
        totals = season.totals
        units = equations.break_even_units(self.planned, totals.overheads, totals.contribution)
        return round_up(round_half(units, season.settings.fine_decimals), 0)

    @worked("Above it", decimals=0)
    def spare(self, season: Book) -> float:
        """How many of the plan may stay unsold before the season loses. Below zero the plan is too small."""
        return choose(season.totals.contribution > 0, self.planned - self.even, 0)

    @worked("Season's profit", "money")
    def profit(self, season: Book) -> float:
        """What is left of all planned sales of it after every cost."""
        return _prices(self, season, season.prices.season_profit)

    @worked("Minutes", "minute", decimals=0)
    def minutes(self, season: Book) -> float:
        """Your own minutes for all planned: with those unsold, and their part of the hours in overheads."""
        return _prices(self, season, season.prices.season_time)

    @worked("Hours", "hour", decimals=1)
    def hours(self, _: Book) -> float:
        """The same in hours."""
        return self.minutes / equations.MINUTES_PER_HOUR

    @worked("An hour earns", "money/hour")
    def pay_per_hour(self, season: Book) -> float:
        """What an hour of your own on it earns over the plan: the profit and the work already priced in."""
        earned = self.profit + _prices(self, season, season.prices.season_work)
        return equations.hourly_pay(earned, self.minutes)


def even_rows(source: Source) -> list[BreakEven]:
    """Return a line of the break-even for each product that is planned."""
    planned = {row.product for row in source.records.prices if row.planned}
    return [BreakEven(product=row.product) for row in source.records.products if row.product in planned]


EVEN = Table(
    "even",
    Sheet("Break-even", protected=True),
    "Break-even",
    "How many of each must be sold to pay all costs, if all are sold in the proportions of the plan on Prices.",
    BreakEvenRow,
    spare=6,
    rows=even_rows,
)
