"""Own or bought over the plan: how many are cheaper which way, what choosing the cheaper saves, what making earns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, worked
from costing.engine.operations import count_where, counted, ratio_if, sum_where, total
from costing.engine.table import FigureList
from costing.tables import equations
from costing.tables.deciding.decide_sheet import DECIDE
from costing.tables.selling.own_or_bought import BOUGHT, OWN

if TYPE_CHECKING:
    from costing.tables.book import Book


class OwnChoice(Figures):
    """What the rows of Own or bought come to together."""

    @worked("Compared", decimals=0)
    def compared(self, season: Book) -> float:
        """How many tubs stand on Own or bought."""
        return counted(season.alternatives.product)

    @worked("Cheaper own", decimals=0)
    def own(self, season: Book) -> float:
        """How many of them cost less from your own base."""
        return count_where(season.alternatives.cheaper, OWN)

    @worked("Cheaper bought", decimals=0)
    def bought(self, season: Book) -> float:
        """How many cost less from a bought one. The others are even."""
        return count_where(season.alternatives.cheaper, BOUGHT)

    @worked("Choosing the cheaper saves", "money", decimals=0)
    def saved(self, season: Book) -> float:
        """What buying the base for those would save over the plan, which makes them all."""
        mine = season.alternatives
        return 0 - sum_where(mine.season_saving, mine.cheaper, BOUGHT)

    @worked("Cash saved by making", "money", decimals=0)
    def cash(self, season: Book) -> float:
        """What making all that is planned of them saves, own work left out."""
        return total(season.alternatives.season_cash)

    @worked("Hours more of making", "hour", decimals=1)
    def hours(self, season: Book) -> float:
        """What making them takes more of your time."""
        return total(season.alternatives.season_minutes) / equations.MINUTES_PER_HOUR

    @worked("Such an hour earns", "money/hour")
    def earns(self, _: Book) -> float:
        """The cash saved in each of these hours; 0 where making takes no more."""
        return ratio_if(self.hours > 0, self.cash, self.hours, 0)


OWN_CHOICE = FigureList("choice", DECIDE, "choice_", OwnChoice, "Own or bought, over the plan")
