"""Contents: how much of every bought item is in a gram of what is made, through all that it is made from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_where,
    join,
    position_of,
    ratio,
    round_half,
    smaller,
    sum_where,
    value_at,
)
from costing.engine.table import Table
from costing.fields.types import ChoiceField, Key, Record, Reference, given
from costing.fields.views import Cells, Words
from costing.tables.buying.items import PRESERVATIVE
from costing.tables.lookups import of_item, of_keeping
from costing.tables.making.card_entries import card_entries, taken_by_cards
from costing.tables.order_of_making import bought_in, formula_of
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


TOO_MUCH, TOO_MUCH_TOGETHER = "above its highest share", "above the limit together"


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

    @worked("Found as", "text")
    def found_as(self, _: Book) -> str:
        """The made thing and the item, under which formulas further down and tubs find how much it holds."""
        return choose(self.row == "made", join(self.what, "|", self.item), NOTHING)

    @worked("Followed as", "text")
    def followed_as(self, _: Book) -> str:
        """The formula and the item, by which its lines find one another."""
        return join(self.formula, "|", self.item)

    @worked("Rows of it above", decimals=0)
    def rows_above(self, _: Book) -> float:
        """How many rows follow the item in the formula above this one; they stand together."""
        return count_where(self.above.formula, self.formula, self.above.item, self.item)

    @worked("Place of the first row", decimals=0)
    def first_row(self, _: Book) -> float:
        """In which row of this sheet the first of them stands, the heading being 1; 0 where this is the first."""
        return position_of(self.above.followed_as, self.followed_as)

    @worked("Place of the row before", decimals=0)
    def before(self, _: Book) -> float:
        """In which row of this sheet the row before stands, the heading being 1; 0 where this is the item's first."""
        return choose(self.rows_above > 0, self.first_row + self.rows_above - 1, 0)

    @worked("Place above", decimals=0)
    def made_row(self, _: Book) -> float:
        """In which row of this sheet a line's made thing holds the item, the heading being 1; 0 for the item itself."""
        return position_of(self.above.found_as, join(self.what, "|", self.item))

    @worked("Place on Formulas", decimals=0)
    def card_row(self, season: Book) -> float:
        """In which row on Formulas the figures of a made thing stand, the heading being 1."""
        return position_of(season.making.found_as, self.what)

    @worked("Put in of the line", "gram", decimals=1)
    def put_in(self, season: Book) -> float:
        """Grams that the formula takes of the line's item."""
        added = sum_where(season.making.added, season.making.formula, self.formula, season.making.what, self.what)
        return choose(self.row == "line", added, 0)

    @worked("Of it the item", decimals=4)
    def part(self, _: Book) -> float:
        """Grams of the item in a gram of the line: all of it where the line is the item itself."""
        return _of_the_line(self, self.above.per_gram)

    @worked("Item in the batch", "gram", decimals=2)
    def grams(self, _: Book) -> float:
        """Grams of the item that the formula's lines down to this one bring."""
        return self.put_in * self.part + value_at(self.above.grams, self.before)

    @worked("Bears of batch", shape="percent")
    def bears(self, season: Book) -> float:
        """The part of the batch that the yield or output bears."""
        return _on_its_card(self, season.making.bears)

    @worked("Yields", "gram", decimals=1)
    def yields(self, season: Book) -> float:
        """What a batch yields of what is made."""
        return _on_its_card(self, season.making.yields)

    @worked("Item per gram", decimals=5)
    def per_gram(self, _: Book) -> float:
        """Grams of the item in a gram of what is made."""
        return ratio(self.bears * self.grams, self.yields)

    @worked("Takes of a change", shape="percent")
    def takes(self, season: Book) -> float:
        """The part of a change in the batch's cost that the yield or output takes."""
        return _on_its_card(self, season.making.takes)

    @worked("Moving in the batch", "gram", decimals=2)
    def moving(self, _: Book) -> float:
        """Grams of the item that the lines down to this one bring and whose price their cost follows."""
        return _so_far(self, self.above.moving_per_gram, self.above.moving)

    @worked("Moving per gram", decimals=5)
    def moving_per_gram(self, _: Book) -> float:
        """Grams of the item whose price a gram of what is made follows: fewer than are in it where a worth is set."""
        return ratio(self.takes * self.moving, self.yields)


class SharesRow(ContentRow):
    """What share an item has of all that is put in and of what is made, its water, what it keeps, and what to look at."""

    @worked("Put in by the lines", "gram", decimals=2)
    def brought(self, _: Book) -> float:
        """Grams that the lines down to this one bring when nothing is taken off for losses, nor by what outputs bear."""
        return _so_far(self, self.above.share, self.above.brought)

    @worked("All put in", "gram", decimals=1)
    def all_added(self, season: Book) -> float:
        """All that goes into the batch of what is made."""
        return _on_its_card(self, season.making.all_added)

    @worked("Share put in", shape="percent", decimals=2)
    def share(self, _: Book) -> float:
        """The item's share of all that is put in, through what it is made from. Steam lost raises it."""
        return ratio(self.brought, self.all_added)

    @worked("Brought, losses off", "gram", decimals=2)
    def brought_made(self, _: Book) -> float:
        """Grams that the lines down to this one bring when all that was lost before is taken for steam."""
        return _so_far(self, self.above.made_share, self.above.brought_made)

    @worked("All that is left", "gram", decimals=1)
    def all_left(self, season: Book) -> float:
        """All that a batch of what is made yields, its outputs together."""
        return choose(self.row == "made", of_keeping(self.formula, season, season.keeping.left), 0)

    @worked("Weighed in by the lines", "gram", decimals=2)
    def weighed(self, _: Book) -> float:
        """Grams weighed in for what the lines down to this one bring, what was lost on the way among them."""
        return _so_far(self, self.above.weighed_per_gram, self.above.weighed)

    @worked("Weighed in per gram", decimals=5)
    def weighed_per_gram(self, _: Book) -> float:
        """Grams of the item weighed in for a gram of what is made, whatever of their cost its outputs bear."""
        return ratio(self.weighed, self.all_left)

    @worked("Share of what is made", shape="percent", decimals=2)
    def made_share(self, _: Book) -> float:
        """The item's share of what is left, when all that is lost is taken for steam; all of it at most."""
        return smaller(ratio(self.brought_made, self.all_left), 1)

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
        """Its share of what is made, counted as the acid whose limit it shares."""
        shared = season.shared_limits
        return choose(self.group > 0, self.made_share * sum_where(shared.acid_in, shared.item, self.item), 0)

    @worked("Acid of all", shape="percent", decimals=2)
    def acid_of_all(self, season: Book) -> float:
        """That of all in the formula that share the limit."""
        mine = season.contents
        return choose(self.group > 0, sum_where(mine.acid, mine.formula, self.formula, mine.group, self.group), 0)

    @worked("Acid together", shape="percent", decimals=2)
    def acid_together(self, season: Book) -> float:
        """The same, where there are several."""
        return choose(self.acid_of_all > self.acid + season.settings.tolerance, self.acid_of_all, 0)

    @worked("Water that it brings", "gram", decimals=2)
    def water_brought(self, season: Book) -> float:
        """Water of the item that the line brings; what is made before and dried brings none."""
        own = choose(self.what == self.item, of_item(self.item, season, season.items.water_share), 0)
        return self.put_in * (own + value_at(self.above.water_share, self.made_row))

    @worked("Water of the lines", "gram", decimals=2)
    def water_so_far(self, _: Book) -> float:
        """Water of the item that the lines down to this one bring."""
        return self.water_brought + value_at(self.above.water_so_far, self.before)

    @worked("Its water, of all put in", shape="percent", decimals=2)
    def water_share(self, season: Book) -> float:
        """The item's water in what is made, of all that is put in: none in a bar that dries, by Keeping."""
        return ratio(self.water_so_far, self.all_added) * (1 - of_keeping(self.formula, season, season.keeping.dries))

    @worked("Least working share", shape="percent", decimals=2)
    def least(self, season: Book) -> float:
        """Of a preservative, where it is known."""
        return of_item(self.item, season, season.items.least_share)

    @worked("Preserves, of its working share", shape="percent", decimals=0)
    def preserves(self, season: Book) -> float:
        """Of a preservative, in what a formula makes as a whole, how much of its least working share is there."""
        keeps = count_where(season.items.item, self.item, season.items.kind, PRESERVATIVE)
        there = choose(both(self.what == self.formula, self.made_share > 0), keeps, 0)
        return there * ratio(self.made_share, self.least, 1)

    @worked("Of that acting", shape="percent", decimals=0)
    def acting(self, season: Book) -> float:
        """The same, and nothing in a soap for one that does not work at the pH of soap."""
        idle = of_item(self.item, season, season.items.idle_in_soap)
        return self.preserves * (1 - idle * of_keeping(self.formula, season, season.keeping.is_soap))

    @worked("Grains", shape="percent", decimals=2)
    def grains(self, season: Book) -> float:
        """Sugar or salt, of all put in, on what a formula makes as a whole."""
        grainy = both(self.what == self.formula, of_item(self.item, season, season.items.dissolves) > 0)
        return choose(grainy, self.share, 0)

    @worked("Water to dissolve them", shape="percent", decimals=2)
    def dissolving(self, season: Book) -> float:
        """How much water, of all put in, would dissolve that sugar or salt."""
        return ratio(self.grains, of_item(self.item, season, season.items.dissolves))

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so, on what a formula makes as a whole, when the item's share of it is above its highest one."""
        above = _above(self.made_share - self.highest, season)
        return choose(both(self.what == self.formula, above), TOO_MUCH, NOTHING)

    @worked("Look at its group", "text", role=REMARK)
    def group_remark(self, season: Book) -> str:
        """Says so when all that share a limit are above it together, though maybe none of them alone."""
        shared = season.shared_limits
        above = _above(self.acid_together - sum_where(shared.highest, shared.item, self.item), season)
        return choose(above, TOO_MUCH_TOGETHER, NOTHING)


def _of_the_line(row: ContentRow, held_above: Cells[float]) -> float:
    """Return how much of the item is in a gram of the line: all of it where the line is the item itself."""
    return choose(row.what == row.item, 1, 0) + value_at(held_above, row.made_row)


def _so_far(row: ContentRow, held_above: Cells[float], brought_above: Cells[float]) -> float:
    """Return the grams that a line brings, and those of the item's lines before it in the formula."""
    return row.put_in * _of_the_line(row, held_above) + value_at(brought_above, row.before)


def _on_its_card(row: ContentRow, values: Cells[float]) -> float:
    return choose(row.row == "made", value_at(values, row.card_row), 0)


def _above(over: float, season: Book) -> bool:
    return round_half(over, season.settings.step_decimals) > 0


def content_rows(source: Source) -> list[Content]:
    """Return every bought item on its way through the formulas, in the order of the cards, and in each item by item.

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
        lines: dict[str, list[str]] = {}
        for what in dict.fromkeys(named):
            for item in inside.get(formula_of(what), [what]):
                lines.setdefault(item, []).append(what)
        for item in inside[formula]:
            rows += [_content(formula, "line", what, item) for what in lines[item]]
            rows += [_content(formula, "made", made, item) for made in (formula, *outputs.get(formula, ()))]
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
    results=("per_gram", "share", "made_share", "highest"),
)
