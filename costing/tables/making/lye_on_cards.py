"""The recipe cards' lye: what each line brings, and the shares of what is made, so that Lye only reads them off.

They are followed on the cards, since a formula takes what was made further up, lye solutions and mixes of oils too.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import worked
from costing.engine.operations import choose, either, ratio, sum_where, value_at
from costing.fields.views import Cells
from costing.tables.making.planned_cards import PlannedCardRow

if TYPE_CHECKING:
    from costing.tables.book import Book


class LyeCardRow(PlannedCardRow):
    """Lye, and what takes it up, in a line and in what is made."""

    @worked("All put in", "gram", decimals=1)
    def all_added(self, _: Book) -> float:
        """On the yield and outputs, all that goes into the batch."""
        batch = sum_where(self.through.added, self.through.formula, self.formula)
        return choose(either(self.row == "yield", self.row == "output"), batch, 0)

    @worked("Lye brought", "gram", decimals=2)
    def lye_added(self, season: Book) -> float:
        """Lye that a line brings, as sodium hydroxide, its own and that in what was made before."""
        return _brought(self, value_at(season.items.lye, self.item_row), self.above.lye_share)

    @worked("Lye in it", shape="percent", decimals=2)
    def lye_share(self, _: Book) -> float:
        """Lye of all that is put in."""
        return _share(self, self.through.lye_added)

    @worked("Can take up of a line, low", "gram", decimals=2)
    def low_added(self, season: Book) -> float:
        """Lye that a line can take up at the low end of the ranges, as sodium hydroxide."""
        return _brought(self, value_at(season.items.takes_low, self.item_row), self.above.low_share)

    @worked("Can take up, low", shape="percent", decimals=2)
    def low_share(self, _: Book) -> float:
        """What can be taken up at the low end, of all that is put in."""
        return _share(self, self.through.low_added)

    @worked("Can take up of a line, high", "gram", decimals=2)
    def high_added(self, season: Book) -> float:
        """The same of a line at the high end."""
        return _brought(self, value_at(season.items.takes_high, self.item_row), self.above.high_share)

    @worked("Can take up, high", shape="percent", decimals=2)
    def high_share(self, _: Book) -> float:
        """What can be taken up at the high end, of all that is put in."""
        return _share(self, self.through.high_added)

    @worked("Not known of a line", "gram", decimals=2)
    def unknown_added(self, season: Book) -> float:
        """Oils without a range and lyes of unknown strength that a line brings."""
        return _brought(self, value_at(season.items.lye_unknown, self.item_row), self.above.unknown_share)

    @worked("Not known", shape="percent", decimals=2)
    def unknown_share(self, _: Book) -> float:
        """Oils without a range and lyes of unknown strength, of all that is put in."""
        return _share(self, self.through.unknown_added)


def _brought(row: PlannedCardRow, own: float, share_above: Cells[float]) -> float:
    return row.added * (own + value_at(share_above, row.made_row))


def _share(row: LyeCardRow, brought: Cells[float]) -> float:
    return ratio(sum_where(brought, row.through.formula, row.formula), row.all_added)
