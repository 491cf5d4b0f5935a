"""The season's totals, for the first sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, worked
from costing.engine.operations import ratio_if, total
from costing.engine.table import FigureList, Sheet
from costing.tables import equations

if TYPE_CHECKING:
    from costing.tables.book import Book


class Totals(Figures):
    """What the season comes to."""

    @worked("Sales, without tax", "money", decimals=0)
    def revenue(self, season: Book) -> float:
        """All planned sales at the prices used, without tax."""
        return total(season.prices.season_net)

    @worked("Profit", "money", decimals=0)
    def profit(self, season: Book) -> float:
        """What is left of them after every cost, your own work, the overheads and ruined batches among them."""
        return total(season.prices.season_profit) - total(season.batches.lost_now)

    @worked("Costs, fees and parcels", "money", decimals=0)
    def cost(self, season: Book) -> float:
        """What the planned sales and the ruined batches cost."""
        return self.revenue - self.profit

    @worked("Overheads", "money", decimals=0)
    def overheads(self, season: Book) -> float:
        """The season's costs that no single tub causes."""
        return total(season.overheads.cost)

    @worked("Left for overheads", "money", decimals=0)
    def contribution(self, season: Book) -> float:
        """What the planned sales leave before overheads."""
        return total(season.prices.season_contribution)

    @worked("Break-even at", shape="percent")
    def break_even_share(self, season: Book) -> float:
        """The part of the plan that must be sold to pay all costs: after that the season earns."""
        return ratio_if(self.contribution > 0, self.overheads, self.contribution)

    @worked("Your hours", "hour", decimals=1)
    def hours(self, season: Book) -> float:
        """Your time for the whole plan, with those unsold and the hours in overheads, and in ruined batches."""
        minutes = total(season.prices.season_time) + total(season.batches.minutes_lost)
        return minutes / equations.MINUTES_PER_HOUR

    @worked("Your hour earns", "money/hour")
    def pay_per_hour(self, season: Book) -> float:
        """Profit and the work already priced in, for each of these hours."""
        ruined = equations.wage(total(season.batches.minutes_lost), season.settings.hourly_rate)
        earned = self.profit + total(season.prices.season_work) + ruined
        return ratio_if(self.hours > 0, earned, self.hours)

    @worked("Making it yourself saves", "money", decimals=0)
    def saving(self, season: Book) -> float:
        """Over the plan, against a bought base, for the tubs compared on Own or bought."""
        return total(season.alternatives.season_saving)


TOTALS = FigureList("totals", Sheet("At a glance", protected=True), "season_", Totals, "The season")
