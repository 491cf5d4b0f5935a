"""Shared limits: acids and their salts, which count together, as the acid, against one highest share."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import both, choose, count_where, largest_where, ratio
from costing.engine.table import Table
from costing.fields.catalogue import Ingredient, ingredients
from costing.fields.types import Key, NumberField, PercentField, Record, Text, given
from costing.fields.views import Number
from costing.tables.buying.items import item_rows
from costing.tables.looked_up import LOOK_UPS
from costing.tables.lookups import of_item
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book

COUNT = NumberField("", least=1)


class SharedLimit(Record):
    """One acid or salt of the packaged list, and the acid that it counts as."""

    item: Key = given("Item", "The key under which formulas name it.")
    acid: Key = given("Counts as", "The acid whose limit it shares.")
    group: Number = given("Group", "One number for all that share a limit.", COUNT)
    salt_grams: Number = given("Grams for one of acid", "Grams of it that hold one gram of the acid.", COUNT)
    packaged: Number = given("Packaged limit", "Its own highest share, as in the packaged list.", PercentField())
    together: Number = given("Packaged limit of the acid", "The highest share of the acid itself there.", PercentField())
    source: Text = given("Source", "Where the grams for one of acid are from.")


class SharedLimitRow(SharedLimit, Rules):
    """What a limit of the maker's own does to all that share it."""

    @worked("Acid in a gram", decimals=4)
    def acid_in(self, _: Book) -> float:
        """Grams of the acid that a gram of it holds."""
        return ratio(1, self.salt_grams)

    @worked("Left out by your own limit", shape="percent", decimals=4)
    def shut_out(self, season: Book) -> float:
        """What your own limit for it, if it differs from the packaged one, leaves of the whole, counted as acid."""
        highest = of_item(self.item, season, season.items.highest_share)
        own = both(count_where(season.items.item, self.item) > 0, highest != self.packaged)
        return choose(own, 1 - highest * self.acid_in, 0)

    @worked("Highest together", shape="percent", decimals=2)
    def highest(self, season: Book) -> float:
        """The limit for all of the group, as acid: the strictest of your own, else the packaged one of the acid."""
        strictest = largest_where(season.shared_limits.shut_out, season.shared_limits.acid, self.acid)
        return choose(strictest > 0, 1 - strictest, self.together)


def shared_limit_rows(source: Source) -> list[SharedLimit]:
    """Return the packaged ingredients that share a limit with others, each also under the season's names for it."""
    listed = ingredients()
    called: dict[str, list[str]] = defaultdict(list)
    for item in source.of(item_rows):
        called[item.same_as].append(item.item)
    grouped = [each for each in listed.values() if each.limit_group]
    groups = list(dict.fromkeys(each.limit_group for each in grouped))
    return [
        _shared(name, each, listed[each.limit_group], groups.index(each.limit_group) + 1)
        for each in grouped
        for name in (each.item, *called[each.item])
    ]


def _shared(name: str, each: Ingredient, acid: Ingredient, group: int) -> SharedLimit:
    return SharedLimit.model_construct(
        item=name,
        acid=acid.item,
        group=group,
        salt_grams=each.limit_factor or 1,
        packaged=100 if each.highest_percent is None else each.highest_percent,
        together=100 if acid.highest_percent is None else acid.highest_percent,
        source=each.limit_source,
    )


SHARED_LIMITS = Table(
    "shared_limits",
    LOOK_UPS,
    "What shares a limit",
    "Acids and their salts count together against the limit of the acid.",
    SharedLimitRow,
    spare=0,
    fixed=True,
    rows=shared_limit_rows,
)
