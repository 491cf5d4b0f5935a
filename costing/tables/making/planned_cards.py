"""The recipe cards' part in the plan: what all planned batches take of each line, and which line stops more of them now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import worked
from costing.engine.operations import NOTHING, both, choose, count_where, ratio, read_as, sum_where, value_at
from costing.tables.buying.items import WATER
from costing.tables.lookups import of_made
from costing.tables.making.recipe_cards import CardRow

if TYPE_CHECKING:
    from costing.tables.book import Book


class PlannedCardRow(CardRow):
    """What the plan takes of a line, and how far what is on hand goes."""

    @worked("For the plan", "gram", decimals=0)
    def for_plan(self, season: Book) -> float:
        """Grams of a line for all batches of its formula on From plan to pot."""
        return self.added * sum_where(season.plan.batches, season.plan.what, self.formula)

    @worked("There for a line", "gram", decimals=0)
    def there(self, season: Book) -> float:
        """Grams of a line's thing that are on hand, by Items or Made."""
        made = choose(self.row == "line", read_as(of_made(self.what, season), "gram"), 0)
        return made + read_as(value_at(season.items.on_hand, self.item_row), "gram")

    @worked("Tight", decimals=6)
    def tight(self, season: Book) -> float:
        """How tight a line is: what a batch takes, of that and what is on hand; 0 for water, which is there."""
        water = count_where(season.items.item, self.what, season.items.kind, WATER)
        return choose(both(self.row == "line", water == 0), ratio(self.added, self.added + self.there), 0)

    @worked("Stops", "text")
    def stops(self, season: Book) -> str:
        """The formula, on the line that stops more batches of it now."""
        tightest = sum_where(season.plan.tightest, season.plan.what, self.formula)
        return choose(both(self.tight > 0, self.tight >= tightest), self.formula, NOTHING)
