"""The answers that a maker opens the workbook for, in words: prices, what the season leaves, own or bought."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, worked
from costing.engine.operations import NOTHING, choose, count_where, counted, ratio, round_half, sentence, size_of, sum_where
from costing.engine.table import FigureList, Sheet
from costing.tables.selling.own_or_bought import BOUGHT, OWN

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

    @worked("Does making it save?", "text")
    def own_or_bought(self, season: Book) -> str:
        """How many of the tubs compared are cheaper from the own base."""
        mine = season.alternatives
        compared = counted(mine.product)
        told = sentence(
            "From your own base ", count_where(mine.cheaper, OWN), " of ", compared, " tubs cost less than bought."
        )
        return choose(compared == 0, NOTHING, told)

    @worked("What would the cheaper of both save?", "text")
    def others(self, season: Book) -> str:
        """What buying the base would save over the plan, where it is cheaper."""
        mine = season.alternatives
        saved = round_half(0 - sum_where(mine.season_saving, mine.cheaper, BOUGHT), 0)
        told = sentence("Buying base for the others would save ", saved, " ", season.settings.currency, ".")
        return choose(count_where(mine.cheaper, BOUGHT) > 0, told, NOTHING)


ANSWERS = FigureList("answers", Sheet("At a glance", protected=True, everyday=True), "answer_", Answers, "In words")
