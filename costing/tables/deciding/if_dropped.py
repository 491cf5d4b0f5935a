"""Keep or drop: what each product and each channel contributes, and the own hours that it takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import choose, count_larger, count_same, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.tables import equations
from costing.tables.deciding.decide_sheet import DECIDE
from costing.tables.lookups import of_product
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class Droppable(Record):
    """A product that could be dropped."""

    product: Key = given("Product", "A product that is planned.")


class DroppableRow(Droppable, Rules):
    """What goes with a product."""

    @worked("Planned", decimals=0)
    def planned(self, season: Book) -> float:
        """How many are planned over all channels."""
        return of_product(self.product, season, season.products.planned)

    @worked("Would be missing", "money", decimals=0)
    def contribution(self, season: Book) -> float:
        """What its sales leave for your work and the overheads, which stay: the season loses this if it is dropped."""
        return sum_where(season.steps_of_price.together, season.steps_of_price.product, self.product)

    @worked("Own hours freed", "hour", decimals=1)
    def hours(self, season: Book) -> float:
        """Hands-on time that it takes over the plan, with those unsold."""
        minutes = self.planned * of_product(self.product, season, season.products.making_time)
        return minutes / equations.MINUTES_PER_HOUR

    @worked("Such an hour brings", "money/hour")
    def per_hour(self, _: Book) -> float:
        """What it contributes in each of these hours; 0 where it takes none."""
        return ratio(self.contribution, self.hours)

    @worked("Rank", decimals=0)
    def rank(self, season: Book) -> float:
        """Its place by what an hour on it brings."""
        better = count_larger(season.droppable.per_hour, self.per_hour)
        return choose(self.product != "", better + count_same(self.through.per_hour, self.per_hour), 0)


def droppable_rows(source: Source) -> list[Droppable]:
    """Return every product that is planned."""
    planned = {row.product for row in source.records.prices if row.planned}
    return [Droppable.model_construct(product=row.product) for row in source.records.products if row.product in planned]


DROPPABLE = Table(
    "droppable",
    DECIDE,
    "If a product is dropped",
    "What would be missing, and the own hours that would be free, if a product is no longer made. Overheads stay.",
    DroppableRow,
    spare=0,
    fixed=True,
    rows=droppable_rows,
    results=("contribution", "hours", "per_hour"),
)


class Leavable(Record):
    """A channel that could be left."""

    channel: Key = given("Channel", "A channel.")


class LeavableRow(Leavable, Rules):
    """What goes with a channel."""

    @worked("Its own overheads", "money", decimals=0)
    def overheads(self, season: Book) -> float:
        """What is paid for this channel alone, and is saved if it is left; own hours aside."""
        return sum_where(season.overheads.amount, season.overheads.channel, self.channel)

    @worked("Would be missing", "money", decimals=0)
    def contribution(self, season: Book) -> float:
        """What its sales, less its own overheads, leave for your work and the rest: the season loses this if it is left."""
        return sum_where(season.steps_of_price.together, season.steps_of_price.channel, self.channel) - self.overheads

    @worked("Own hours freed", "hour", decimals=1)
    def hours(self, season: Book) -> float:
        """Hands-on time for what is sold there, and the hours of its own overheads."""
        making = sum_where(season.steps_of_price.hours, season.steps_of_price.channel, self.channel)
        return making + sum_where(season.overheads.hours, season.overheads.channel, self.channel)

    @worked("Such an hour brings", "money/hour")
    def per_hour(self, _: Book) -> float:
        """What it contributes in each of these hours; 0 where it takes none."""
        return ratio(self.contribution, self.hours)


def leavable_rows(source: Source) -> list[Leavable]:
    """Return every channel."""
    return [Leavable.model_construct(channel=row.channel) for row in source.records.channels]


LEAVABLE = Table(
    "leavable",
    DECIDE,
    "If a channel is left",
    "The same for a channel, whose own overheads are saved with it.",
    LeavableRow,
    spare=0,
    fixed=True,
    rows=leavable_rows,
    results=("contribution", "hours", "per_hour"),
)
