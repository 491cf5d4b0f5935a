"""What Decide says in words, above its tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, worked
from costing.engine.operations import NOTHING, choose, round_half, sentence
from costing.engine.table import FigureList
from costing.tables.deciding.decide_sheet import DECIDE

if TYPE_CHECKING:
    from costing.tables.book import Book


class DecideWords(Figures):
    """One sentence for each question."""

    @worked("What does the profit wanted take?", "text")
    def reach(self, season: Book) -> str:
        """What the plan leaves too little, if anything."""
        mine, said = season.reach, season.settings.wanted_profit > 0
        missing = round_half(mine.missing, 0)
        told = sentence(missing, " ", season.settings.currency, " are missing for the profit wanted.")
        reached = choose(said, "The plan leaves what you want.", "Write the profit wanted on Settings.")
        return choose(mine.missing > 0, told, reached)

    @worked("What comes first when hours are short?", "text")
    def first(self, season: Book) -> str:
        """On what an own hour brings most, and on what least."""
        mine = season.hours
        told = sentence("An hour of yours brings most on ", mine.first, ", least on ", mine.last, ".")
        return choose(mine.plan > 0, told, NOTHING)


DECIDE_WORDS = FigureList("decide", DECIDE, "decide_", DecideWords, "In words")
