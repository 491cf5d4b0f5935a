"""What rows are held against to tell slips: figures of whole columns, worked out once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, worked
from costing.engine.operations import (
    both,
    choose,
    count_larger,
    count_where,
    counted,
    days_up_to,
    first_day,
    highest_of,
    is_unlisted,
)
from costing.engine.table import FigureList
from costing.fields.catalogue import currencies
from costing.tables.looked_up import LOOK_UPS
from costing.tables.ones import ONE_DAY

if TYPE_CHECKING:
    from costing.tables.book import Book


def _written_with(digits: int) -> str:
    """Return the currencies with so many digits after the point, as words between blanks."""
    return f" {' '.join(code.lower() for code, its in currencies().items() if its == digits)} "


class Beside(Figures):
    """What is usual, as far as a sheet tells it."""

    @worked("First day of all purchases", "day", shape="date")
    def first_day(self, season: Book) -> float:
        """The first day on Purchases."""
        return first_day(season.purchases.bought_on)

    @worked("Purchases of that day", decimals=0)
    def of_first_day(self, season: Book) -> float:
        """How many rows are of it."""
        return count_where(season.purchases.bought_on, season.beside.first_day)

    @worked("Day that stands alone", "day", shape="date")
    def alone_on(self, season: Book) -> float:
        """That day, where all others come more than a year later."""
        mine, a_year = season.beside, season.settings.a_year * ONE_DAY
        soon = days_up_to(season.purchases.bought_on, mine.first_day + a_year)
        alone = both(soon == mine.of_first_day, counted(season.purchases.item) > soon)
        return choose(alone, mine.first_day, 0)

    @worked("Purchases of one rate of tax", decimals=0)
    def same_tax(self, season: Book) -> float:
        """How many have the commonest rate of tax."""
        return highest_of(season.tax_rates.purchases)

    @worked("Channels with sales tax", decimals=0)
    def taxed_channels(self, season: Book) -> float:
        """How many there are."""
        return count_larger(season.channels.sales_tax_percent, 0)

    @worked("Their one sales tax", shape="percent")
    def sales_tax(self, season: Book) -> float:
        """What all of them have; 0 where they differ, or none has any."""
        highest = highest_of(season.channels.sales_tax_percent)
        return choose(count_where(season.channels.sales_tax_percent, highest) == season.beside.taxed_channels, highest, 0)

    @worked("Fees that are usual", decimals=0)
    def usual_fees(self, season: Book) -> float:
        """How many channels take a fee of more than one in a hundred, less those that take a smaller one."""
        fees, least = season.channels.fee_percent, season.settings.one_percent
        return count_larger(fees, least) * 2 - count_larger(fees, 0)

    @worked("Products without minutes", decimals=0)
    def without_minutes(self, season: Book) -> float:
        """How many products have no minutes, where others have."""
        with_minutes = count_larger(season.products.minutes, 0)
        return choose(with_minutes > 2, counted(season.products.product) - with_minutes, 0)

    @worked("Coins of one, three decimals aside", decimals=0)
    def most_coins(self, season: Book) -> float:
        """1 where ISO 4217 knows the currency without decimals, else the 100 of most."""
        return choose(is_unlisted(season.settings.currency, _written_with(0)), 100, 1)

    @worked("Coins of one", decimals=0)
    def coins(self, season: Book) -> float:
        """How many of its smallest coins make one of the currency."""
        return choose(is_unlisted(season.settings.currency, _written_with(3)), season.beside.most_coins, 1000)

    @worked("Smallest coin of a price", decimals=3)
    def coin(self, season: Book) -> float:
        """What two ways are even within half of: no price could show less."""
        return 1 / season.beside.coins


BESIDE = FigureList(
    "beside", LOOK_UPS, "beside_", Beside, "What rows are held against",
    ("Key", "What", "How much", "Unit", "What it means"),
)  # fmt: skip
