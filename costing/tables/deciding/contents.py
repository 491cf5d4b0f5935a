"""Contents: how much of every bought item is in a gram of what is made, through all that it is made from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import choose, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import ChoiceField, Key, Record, Reference, given
from costing.fields.views import Words
from costing.tables.making.recipe_cards import card_entries
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


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


def content_rows(source: Source) -> list[Content]:
    """Return every bought item on its way through the formulas, in the order of the cards.

    A formula that takes a made thing takes all that is in it; so each formula's items are those of its lines together.
    """
    cards = source.of(card_entries)
    inside: dict[str, list[str]] = {}
    rows: list[Content] = []
    for formula in dict.fromkeys(card.formula for card in cards):
        own = [card for card in cards if card.formula == formula]
        items: dict[str, None] = {}
        for what in dict.fromkeys(card.what for card in own if card.row == "line"):
            for item in inside.get(what, [what]):
                items[item] = None
                rows.append(_content(formula, "line", what, item))
        outputs = [f"{formula}/{card.what}" for card in own if card.row == "output"]
        for made in (formula, *outputs):
            inside[made] = list(items)
            rows += [_content(formula, "made", made, item) for item in items]
    return rows


def _content(formula: str, row: str, what: str, item: str) -> Content:
    return Content.model_construct(formula=formula, row=row, what=what, item=item)


CONTENTS = Table(
    "contents",
    "Contents",
    "What is in it",
    "Every bought item followed through the formulas, in the order of making. Each output counts the part of the batch "
    "that it bears.",
    ContentRow,
    spare=0,
    fixed=True,
    rows=content_rows,
)
