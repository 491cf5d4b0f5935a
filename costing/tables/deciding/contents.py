"""Contents: how much of every bought item is in a gram of what is made, through all that it is made from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import NOTHING, both, choose, count_where, pick, ratio, round_half, sum_where
from costing.engine.table import Table
from costing.fields.types import ChoiceField, Key, Record, Reference, given
from costing.fields.views import Words
from costing.tables.buying.items import LYE, PRESERVATIVE, WATER
from costing.tables.lookups import of_item, put_in
from costing.tables.making.recipe_cards import card_entries, taken_by_cards
from costing.tables.order_of_making import bought_in, formula_of
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


TOO_MUCH, TOO_MUCH_TOGETHER = "above its highest share", "above the limit together"
UNPRESERVED, BAR_UNPRESERVED = "water, no preservative", "a bar with water, no preservative"


class Content(Record):
    """One bought item on its way: in a line of a formula, or in what that formula makes."""

    formula: Key = given("Formula", "The formula.")
    row: Words = given(
        "Row",
        "A line brings the item into the formula; what is made then holds it, in the yield or an output.",
        ChoiceField(("line", "made")),
    )
    what: Reference = given("Through", "The line's item, or the thing made.")
    item: Key = given("Item", "The bought item that is followed.")


class ContentRow(Content, Rules):
    """How much of an item a made thing holds."""

    @worked("Put in of the line", "gram", decimals=1)
    def put_in(self, season: Book) -> float:
        """Grams that the formula takes of the line's item."""
        added = sum_where(season.making.added, season.making.formula, self.formula, season.making.what, self.what)
        return choose(self.row == "line", added, 0)

    @worked("Of it the item", decimals=4)
    def part(self, _: Book) -> float:
        """Grams of the item in a gram of the line: all of it where the line is the item itself."""
        return choose(self.what == self.item, 1, 0) + sum_where(
            self.above.per_gram, self.above.what, self.what, self.above.item, self.item
        )

    @worked("Item in the batch", "gram", decimals=2)
    def grams(self, _: Book) -> float:
        """Grams of the item that the line brings."""
        return self.put_in * self.part

    @worked("Bears of batch", shape="percent")
    def bears(self, season: Book) -> float:
        """The part of the batch that the yield or output bears."""
        borne = sum_where(season.making.bears, season.making.made, self.what)
        return choose(self.row == "made", borne, 0)

    @worked("Item per gram", decimals=5)
    def per_gram(self, season: Book) -> float:
        """Grams of the item in a gram of what is made."""
        batch = sum_where(self.through.grams, self.through.formula, self.formula, self.through.item, self.item)
        return ratio(self.bears * batch, sum_where(season.making.yields, season.making.made, self.what))

    @worked("Takes of a change", shape="percent")
    def takes(self, season: Book) -> float:
        """The part of a change in the batch's cost that the yield or output takes."""
        taken = sum_where(season.making.takes, season.making.made, self.what)
        return choose(self.row == "made", taken, 0)

    @worked("Moving in the batch", "gram", decimals=2)
    def moving(self, _: Book) -> float:
        """Grams of the item that the line brings and whose price its cost follows."""
        own = choose(self.what == self.item, 1, 0)
        made = sum_where(self.above.moving_per_gram, self.above.what, self.what, self.above.item, self.item)
        return self.put_in * (own + made)

    @worked("Moving per gram", decimals=5)
    def moving_per_gram(self, season: Book) -> float:
        """Grams of the item whose price a gram of what is made follows: fewer than are in it where a worth is set."""
        batch = sum_where(self.through.moving, self.through.formula, self.formula, self.through.item, self.item)
        return ratio(self.takes * batch, sum_where(season.making.yields, season.making.made, self.what))


class SharesRow(ContentRow):
    """What share of all that is put in an item has, and what is to be looked at in that."""

    @worked("Put in by the line", "gram", decimals=2)
    def brought(self, _: Book) -> float:
        """Grams of the item that the line brings when nothing is taken off for losses, nor by what outputs bear."""
        own = choose(self.what == self.item, 1, 0)
        return self.put_in * (own + sum_where(self.above.share, self.above.what, self.what, self.above.item, self.item))

    @worked("Share put in", shape="percent", decimals=2)
    def share(self, season: Book) -> float:
        """The item's share of all that is put in, through what it is made from. Steam lost raises it."""
        batch = sum_where(self.through.brought, self.through.formula, self.formula, self.through.item, self.item)
        return choose(self.row == "made", ratio(batch, put_in(self.formula, season)), 0)

    @worked("Highest share", shape="percent", decimals=2)
    def highest(self, season: Book) -> float:
        """The share above which you get a caution."""
        return of_item(self.item, season, season.items.highest_share)

    @worked("Shares a limit", decimals=0)
    def group(self, season: Book) -> float:
        """The number of the group that shares a limit with it; on what a formula makes as a whole."""
        shared = season.shared_limits
        return choose(self.what == self.formula, sum_where(shared.group, shared.item, self.item), 0)

    @worked("As acid", shape="percent", decimals=2)
    def acid(self, season: Book) -> float:
        """Its share counted as the acid whose limit it shares."""
        shared = season.shared_limits
        return choose(self.group > 0, self.share * sum_where(shared.acid_in, shared.item, self.item), 0)

    @worked("Acid together", shape="percent", decimals=2)
    def acid_together(self, season: Book) -> float:
        """That of all that share the limit, where there are several."""
        mine = season.contents
        same = sum_where(mine.acid, mine.formula, self.formula, mine.group, self.group)
        return choose(same > self.acid + season.settings.tolerance, same, 0)

    @worked("Water of its own", decimals=0)
    def own_water(self, season: Book) -> float:
        """1 where a formula takes something watery itself."""
        return choose(self.what == self.item, _of_kind(self, season, WATER), 0)

    @worked("Lye of its own", decimals=0)
    def own_lye(self, season: Book) -> float:
        """1 where a formula takes lye itself."""
        return choose(self.what == self.item, _of_kind(self, season, LYE), 0)

    @worked("Preserves", decimals=0)
    def preserves(self, season: Book) -> float:
        """1 for a preservative, also in what the formula is made from."""
        return _of_kind(self, season, PRESERVATIVE)

    @worked("Water not preserved", decimals=0)
    def open_water(self, season: Book) -> float:
        """1, on what a formula makes as a whole, for water of its own where nothing in it preserves."""
        mine = season.contents
        water = sum_where(mine.own_water, mine.formula, self.formula, mine.item, self.item)
        preserved = sum_where(mine.preserves, mine.formula, self.formula)
        return choose(both(self.what == self.formula, water > 0, preserved == 0), 1, 0)

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so, on what a formula makes as a whole, when the item's share is above its highest one."""
        above = _above(self.share - self.highest, season)
        return choose(both(self.what == self.formula, above), TOO_MUCH, NOTHING)

    @worked("Look at its group", "text", role=REMARK)
    def group_remark(self, season: Book) -> str:
        """Says so when all that share a limit are above it together, though maybe none of them alone."""
        shared = season.shared_limits
        above = _above(self.acid_together - sum_where(shared.highest, shared.item, self.item), season)
        return choose(both(self.acid_together > 0, above), TOO_MUCH_TOGETHER, NOTHING)

    @worked("Look at its keeping", "text", role=REMARK)
    def water_remark(self, season: Book) -> str:
        """Says so when a formula takes water of its own and nothing in it preserves; a bar, with lye, has its own words."""
        lye = choose(sum_where(season.contents.own_lye, season.contents.formula, self.formula) > 0, 1, 0)
        return pick(1 + self.open_water * (1 + lye), NOTHING, UNPRESERVED, BAR_UNPRESERVED)


def _of_kind(row: SharesRow, season: Book, kind: str) -> float:
    """Return 1 for an item of a kind in a line, else 0."""
    found = count_where(season.items.item, row.item, season.items.kind, kind)
    return choose(row.row == "line", found, 0)


def _above(over: float, season: Book) -> bool:
    return round_half(over, season.settings.step_decimals) > 0


def content_rows(source: Source) -> list[Content]:
    """Return every bought item on its way through the formulas, in the order of the cards.

    A formula that takes a made thing takes all that is in it; so each formula's items are those of its lines together.
    """
    taken = source.of(taken_by_cards)
    inside = bought_in(taken)
    outputs: dict[str, list[str]] = {}
    for card in source.of(card_entries):
        if card.row == "output":
            outputs.setdefault(card.formula, []).append(f"{card.formula}/{card.what}")
    rows: list[Content] = []
    for formula, named in taken.items():
        for what in dict.fromkeys(named):
            rows += [_content(formula, "line", what, item) for item in inside.get(formula_of(what), [what])]
        for made in (formula, *outputs.get(formula, ())):
            rows += [_content(formula, "made", made, item) for item in inside[formula]]
    return rows


def _content(formula: str, row: str, what: str, item: str) -> Content:
    return Content.model_construct(formula=formula, row=row, what=what, item=item)


CONTENTS = Table(
    "contents",
    "Contents",
    "What is in it",
    "Every bought item followed through the formulas, in the order of making. Each output counts the part of the batch "
    "that it bears.",
    SharesRow,
    spare=0,
    fixed=True,
    rows=content_rows,
)
