"""Made: what has been made and not yet used or sold. The plan uses it first; it is worth no more than it brings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_where,
    largest_where,
    pick,
    position_of,
    read_as,
    smaller,
    value_at,
)
from costing.engine.table import Table
from costing.fields.types import DayField, NumberField, Record, Reference, Text, given
from costing.fields.views import DayWritten, Number
from costing.tables import row_remarks
from costing.tables.row_remarks import Tests

if TYPE_CHECKING:
    from costing.tables.book import Book


class Made(Record):
    """Something that was made and is still there."""

    what: Reference = given("What", "A formula, formula/output, or a product.")
    on_hand: Number = given(
        "On hand", "Grams of it; products in pieces.", NumberField("", least=0, also=("gram",)),
    )  # fmt: skip
    made_on: DayWritten = given("Made on", "The day, where it matters.", DayField(), default=None)
    note: Text = given("Note", "Anything worth remembering.", default="")


def _names(row: MadeRow, _: Book) -> Tests:
    yield from row_remarks.left_empty(row, Made)
    yield from row_remarks.twice(row, "what")


def _unknown(row: MadeRow, _: Book) -> Tests:
    yield both(row.what != "", row.card_row + row.product_row == 0), "Neither made nor sold"
    yield both(row.card_row > 0, row.product_row > 0), "A formula and a product"


_WRONG = ("wrong_cells", "wrong_names", "wrong_unknown")


class MadeRow(Made, Rules):
    """What it is worth."""

    @worked("Place on Formulas", decimals=0)
    def card_row(self, season: Book) -> float:
        """In which row on Formulas its figures stand, the heading being 1; 0 for a product."""
        return position_of(season.making.found_as, self.what)

    @worked("Place on Products", decimals=0)
    def product_row(self, season: Book) -> float:
        """In which row on Products it stands, the heading being 1; 0 for what is no product."""
        return position_of(season.products.found_as, self.what)

    @worked("Counted in", "text")
    def counted_in(self, _: Book) -> str:
        """g, or piece for a product."""
        return pick(1 + choose(self.card_row > 0, 1, 0) + choose(self.product_row > 0, 2, 0), NOTHING, "g", "piece", NOTHING)

    @worked("Cost of one", "money/each", decimals=4)
    def cost_each(self, season: Book) -> float:
        """Materials, packaging, work and power of a gram or a piece (IAS 2 paragraph 10)."""
        of_piece = read_as(value_at(season.products.made_cost, self.product_row), "money/each")
        return read_as(value_at(season.making.per_gram, self.card_row), "money/each") + of_piece

    @worked("Brings", "money/each", decimals=4)
    def brings(self, season: Book) -> float:
        """What one brings in its best channel, after tax, fees and parcel (IAS 2 paragraph 6)."""
        return read_as(largest_where(season.prices.brings, season.prices.product, self.what), "money/each")

    @worked("Channels", decimals=0)
    def channels(self, season: Book) -> float:
        """In how many channels it is priced; in none, its cost stands."""
        return choose(self.product_row > 0, count_where(season.prices.product, self.what), 0)

    @worked("Worth of one", "money/each", decimals=4)
    def each(self, _: Book) -> float:
        """Its cost, and of a tub no more than it brings (IAS 2 paragraphs 9 and 28 to 33)."""
        return choose(self.channels > 0, smaller(self.cost_each, self.brings), self.cost_each)

    @worked("At cost", "money")
    def at_cost(self, _: Book) -> float:
        """What all that is there cost."""
        return read_as(self.on_hand, "each") * self.cost_each

    @worked("Worth", "money")
    def worth(self, _: Book) -> float:
        """What all that is there is worth: the lower of its cost and what it brings."""
        return read_as(self.on_hand, "each") * self.each

    used_row = row_remarks.used_row(Made)
    wrong_cells = row_remarks.wrong_cells(Made)
    wrong_names = row_remarks.says("Wrongly empty", "What is empty or stands there twice.", _names)
    wrong_unknown = row_remarks.says("Wrong names", "Names that lead nowhere, or to two things.", _unknown)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG)


MADE = Table(
    "made",
    "Made",
    "Made and on hand",
    "What was made and is not yet used or sold: grams of formulas and outputs, pieces of products. The plan uses it first.",
    MadeRow,
    results=("counted_in", "cost_each", "brings", "at_cost", "worth"),
)
