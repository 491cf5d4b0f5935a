"""How dear a season buys altogether: its prices against rough usual ones, so that neither currency nor shop matters."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property

from costing.fields.catalogue import currency_worths, usual_prices
from costing.season.costed import Season
from costing.season.doubts.places import numbered
from costing.season.robust import Crowd, usual
from costing.tables.buying.items import ITEMS
from costing.tables.buying.purchases import PURCHASES, Purchase

ENOUGH = 5  # known things bought: with fewer, one slip among them would move the middle
UNSURE = 2.0  # how many times wider everything is judged where only the currency tells how dear things are
RUNNING = "water"  # tap water is so cheap that it says nothing about a maker's prices


@dataclass(frozen=True)
class Paid:
    """One purchase of goods that was paid for and came in, with what a gram or piece of it cost and its row's number."""

    row: Purchase
    number: int
    each: float
    amount: float
    times_usual: float  # as times the middle of the item's prices, and whether that is out of line with the others
    is_unlike: bool


@dataclass(frozen=True)
class PriceLevel:
    """What is paid for each item, and how many units of the season's money buy what one euro usually does."""

    paid: dict[str, list[Paid]]
    known: dict[str, str]  # the packaged ingredient that an item is, of those with a usual price
    currency: str

    @cached_property
    def middles(self) -> dict[str, float]:
        """What a gram or piece of each item usually cost. [money/gram or money/piece]"""
        return {item: usual([paid.each for paid in bought]) for item, bought in self.paid.items()}

    @cached_property
    def _ratios(self) -> dict[str, float]:
        priced = usual_prices()
        held = {item: known for item, known in self.known.items() if item in self.middles and known != RUNNING}
        return {item: 1000 * self.middles[item] / priced[known].euros_per_kg for item, known in held.items()}

    @cached_property
    def _crowd(self) -> Crowd:
        return Crowd(list(self._ratios.values()))

    @cached_property
    def _worth(self) -> float | None:
        return currency_worths().get(self.currency)

    @property
    def is_sure(self) -> bool:
        """Whether so many known things were bought that no single one of them sways the level."""
        return len(self._ratios) >= ENOUGH

    @cached_property
    def level(self) -> float | None:
        """What stands for one euro: by the things bought, else by the currency; None where neither tells. [money]"""
        return usual(list(self._ratios.values())) if self.is_sure else self._worth

    def judged(self, value: float, low: float, high: float) -> float | None:
        """Return how many times an amount of money is above or below a range in euros; None within it, or untold."""
        if self.level is None:
            return None
        room = 1 if self.is_sure else UNSURE
        euros = value / self.level
        return euros / high if euros > high * room else euros / low if euros < low / room else None

    def times_usual(self, item: str, each: float) -> float | None:
        """Return what a gram of an item costs, times the usual of it at this season's level; None where that is untold."""
        level = self._level_without(item)
        if level is None or item not in self.known:
            return None
        return 1000 * each / (usual_prices()[self.known[item]].euros_per_kg * level)

    def _level_without(self, item: str) -> float | None:
        """Return the level by all other things bought, which an item's own slip does not move. [money]"""
        if not self.is_sure or item not in self._ratios:
            return self.level
        return self._ratios[item] / self._crowd.times_the_usual(self._ratios[item])

    def room(self, item: str) -> float:
        """Return how many times more or less than usual an item may cost without being doubted."""
        return usual_prices()[self.known[item]].within * (1 if self.is_sure else UNSURE)


def price_level(season: Season) -> PriceLevel:
    """Return what the season paid for each item, and how dear that is altogether."""
    paid: dict[str, list[Paid]] = defaultdict(list)
    for (record, number), row in zip(numbered(season.records.purchases), season[PURCHASES].rows, strict=True):
        if record.is_goods and row.paid > 0 and row.amount > 0 and row.landed > 0:
            paid[record.item].append(Paid(record, number, row.landed_each, row.amount, row.times_usual, row.unlike == 1))
    priced = usual_prices()
    known = {row.item: row.known_as for row in season[ITEMS].rows if row.known_as in priced and row.counted_in == "g"}
    return PriceLevel(dict(paid), known, season.records.season.currency)
