"""The profit wanted: how far all prices, or all sales, must go up to leave it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, worked
from costing.engine.operations import choose, only_if, total
from costing.engine.table import FigureList
from costing.tables import equations
from costing.tables.deciding.decide_sheet import DECIDE

if TYPE_CHECKING:
    from costing.tables.book import Book


def _if_wanted(figure: float, season: Book) -> float:
    """Return a figure, or nothing where no profit is wanted."""
    return only_if(season.settings.wanted_profit > 0, figure)


class Reach(Figures):
    """What is missing of the profit wanted, and two ways to it."""

    @worked("Profit of the plan", "money", decimals=0)
    def profit(self, season: Book) -> float:
        """What the plan leaves after every cost."""
        return season.totals.profit

    @worked("Profit wanted", "money", decimals=0)
    def wanted(self, season: Book) -> float:
        """As written on Settings; blank where none is."""
        return _if_wanted(season.settings.wanted_profit, season)

    @worked("Still missing", "money", decimals=0)
    def missing(self, season: Book) -> float:
        """What the plan leaves too little. Below zero it leaves more than is wanted; 0 where nothing is said."""
        wanted = season.settings.wanted_profit
        return choose(wanted > 0, wanted - self.profit, 0)

    @worked("All prices twice would bring", "money", decimals=0)
    def of_prices(self, season: Book) -> float:
        """What is kept of all sales after the fees that go with the price."""
        return total(season.prices.season_kept)

    @worked("Prices up by", shape="percent", decimals=2)
    def prices_up(self, season: Book) -> float:
        """By how much all prices must go up, as many being sold, to leave the profit wanted."""
        return _if_wanted(equations.missing_part(self.missing, self.of_prices), season)

    @worked("Or sales up by", shape="percent", decimals=2)
    def sales_up(self, season: Book) -> float:
        """By how much all sales must go up, prices and overheads as they are; the hours for them go up with them."""
        return _if_wanted(equations.missing_part(self.missing, season.totals.contribution), season)

    @worked("The plan may miss", shape="percent")
    def safe(self, season: Book) -> float:
        """The part of the planned sales that may stay away before the season loses: the margin of safety."""
        return equations.missing_part(self.profit, season.totals.contribution)


REACH = FigureList("reach", DECIDE, "reach_", Reach, "The profit wanted")
