"""One price step up or down: how much of its sales may be lost by it, or must be won."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import ratio
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.tables import equations
from costing.tables.deciding.decide_sheet import DECIDE
from costing.tables.lookups import of_price, of_product
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class Step(Record):
    """One price."""

    product: Key = given("Product", "What is sold.")
    channel: Key = given("Channel", "Where.")


class StepRow(Step, Rules):
    """What a price step more or less does to what one brings, and to the sales that bring as much."""

    @worked("Price", "money")
    def price(self, season: Book) -> float:
        """The price used on Prices."""
        return of_price(self.product, self.channel, season, season.prices.used)

    @worked("Spent on one", "money")
    def spent(self, season: Book) -> float:
        """Materials, packaging and power of one, with those unsold, without own work and overheads."""
        return of_product(self.product, season, season.products.cash_cost)

    @worked("Contributes", "money")
    def contribution(self, season: Book) -> float:
        """What one sale leaves after fees, parcel, materials, packaging and power: for your work and the overheads."""
        return of_price(self.product, self.channel, season, season.prices.brings) - self.spent

    @worked("Sales tax", shape="percent")
    def tax(self, season: Book) -> float:
        """The channel's."""
        return of_price(self.product, self.channel, season, season.prices.tax)

    @worked("Fee", shape="percent")
    def fee(self, season: Book) -> float:
        """The channel's, of what the customer pays."""
        return of_price(self.product, self.channel, season, season.prices.fee)

    @worked("A step, without tax", "money", decimals=4)
    def bare_step(self, season: Book) -> float:
        """The price step of Settings, the tax in it taken off."""
        return ratio(season.settings.price_step, of_price(self.product, self.channel, season, season.prices.tax_in_price))

    @worked("A step brings", "money", decimals=4)
    def step(self, _: Book) -> float:
        """What is kept of that after the fee that goes with it."""
        return equations.kept_of_rise(self.bare_step, self.tax, self.fee)

    @worked("A step up may lose", shape="percent")
    def may_lose(self, _: Book) -> float:
        """The part of its sales that may stay away for the same contribution, if its price goes up by a step."""
        return equations.lost_or_won(self.step, self.contribution + self.step)

    @worked("A step down must win", shape="percent")
    def must_win(self, _: Book) -> float:
        """The part by which its sales must go up for the same contribution, if its price goes down by a step."""
        return equations.lost_or_won(self.step, self.contribution - self.step)

    @worked("Planned", decimals=0)
    def planned(self, season: Book) -> float:
        """How many are planned."""
        return of_price(self.product, self.channel, season, season.prices.planned)

    @worked("Contribute together", "money", decimals=0)
    def together(self, _: Book) -> float:
        """The contribution of all that are planned."""
        return self.planned * self.contribution

    @worked("Own hours for them", "hour", decimals=1)
    def hours(self, season: Book) -> float:
        """Hands-on time for all that are planned, with those unsold."""
        minutes = self.planned * of_product(self.product, season, season.products.making_time)
        return minutes / equations.MINUTES_PER_HOUR


def step_rows(source: Source) -> list[Step]:
    """Return every price."""
    return [Step.model_construct(product=row.product, channel=row.channel) for row in source.records.prices]


STEPS = Table(
    "steps_of_price",
    DECIDE,
    "One price step up or down",
    "What of its sales may be lost by a price step up, or must be won by one down, for the same contribution.",
    StepRow,
    spare=0,
    fixed=True,
    rows=step_rows,
    results=("price", "contribution", "may_lose", "must_win"),
)
