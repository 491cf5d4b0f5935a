"""The answers that a maker opens the workbook for, in words: prices, what the season leaves, own or bought."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, worked
from costing.engine.operations import (
    NOTHING,
    choose,
    join,
    ratio,
    round_half,
    sentence,
    size_of,
)
from costing.engine.table import FigureList, Sheet

if TYPE_CHECKING:
    from costing.tables.book import Book

PERCENT = 100


class Answers(Figures):
    """What the figures below say, one sentence each."""

    @worked("What must a tub sell for?", "text")
    def prices(self, season: Book) -> str:
        """Whether each price leaves the margin wanted of its channel."""
        missed = season.looks.under_floor + season.looks.under_target
        told = sentence("Own prices that miss their margin: ", missed, ". See Look at.")
        return choose(missed == 0, "Each price leaves its channel's margin.", told)

    @worked("What does the season leave?", "text")
    def plan(self, season: Book) -> str:
        """What the plan leaves after every cost."""
        mine = season.totals
        says = choose(mine.profit < 0, "The plan loses ", "The plan leaves ")
        told = sentence(says, round_half(size_of(mine.profit), 0), " ", season.settings.currency, " after all costs.")
        return choose(mine.revenue == 0, "Nothing is planned yet.", told)

    @worked("How much of it must be sold?", "text")
    def even(self, season: Book) -> str:
        """How much of the plan must be sold to pay the overheads."""
        mine = season.totals
        told = sentence(
            round_half(ratio(mine.overheads, mine.contribution) * PERCENT, 0), " % of the plan pays the overheads."
        )
        return choose(mine.contribution > 0, told, "The plan does not pay the overheads.")

    @worked("Own or bought?", "text")
    def own_or_bought(self, season: Book) -> str:
        """How many of the tubs compared are cheaper made, and how many bought."""
        mine = season.choice
        start = sentence("Of ", mine.compared, " tubs, ", mine.own, " cost less from your own base, ")
        return choose(mine.compared == 0, NOTHING, join(start, sentence(mine.bought, " from a bought one.")))

    @worked("What would the cheaper of both save?", "text")
    def others(self, season: Book) -> str:
        """What choosing the cheaper for each would save over the plan, which makes them all."""
        mine = season.choice
        saved = round_half(mine.saved, 0)
        told = sentence("Choosing the cheaper for each would save ", saved, " ", season.settings.currency, " over the plan.")
        return choose(mine.bought > 0, told, NOTHING)

    @worked("What does making it earn?", "text")
    def own_hour(self, season: Book) -> str:
        """What an hour that making takes more earns over the plan: the cash saving in it."""
        mine = season.choice
        says = choose(mine.earns < 0, "Each hour more of making loses ", "Each hour more of making earns ")
        earned = round_half(size_of(mine.earns), 0)
        return choose(mine.hours > 0, sentence(says, earned, " ", season.settings.currency, "."), NOTHING)


ANSWERS = FigureList("answers", Sheet("At a glance", protected=True, everyday=True), "answer_", Answers, "In words")
