"""Weighings: filled tubs put on the scales one by one, and whether each weighs what its label says."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from pydantic import model_validator

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import NOTHING, both, choose, count_where, is_missing, pick, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import Day, Grams, Key, NumberField, Record, fault, given
from costing.fields.views import Number
from costing.tables import row_remarks
from costing.tables.ones import ONE_GRAM
from costing.tables.row_remarks import Tests
from costing.tables.scales.tolerances import tolerable

if TYPE_CHECKING:
    from costing.tables.book import Book

SHORT, FAR_SHORT = "short", "far short"


class Weighing(Record):
    """One filled tub on the scales."""

    product: Key = given("Product", "What was weighed.", refers="products.product")
    weighed_on: Day = given("Weighed on", "The day.")
    gross_grams: Grams = given("Gross", "What the scales show with the tub.")
    tare_grams: Number = given(
        "Tare", "What the empty tub weighs with lid and label; blank if the scales were set to zero with it.",
        NumberField("gram", least=0), default=Decimal(0),
    )  # fmt: skip

    @model_validator(mode="after")
    def _something_in_it(self) -> Weighing:
        if self.tare_grams >= self.gross_grams:
            what = f"a tare of {self.tare_grams} in {self.gross_grams} gross leaves nothing in the tub"
            raise fault(what, "write the full tub in gross_grams, the empty one in tare_grams")
        return self


def _names(row: WeighingRow, season: Book) -> Tests:
    yield from row_remarks.left_empty(row, Weighing)
    yield is_missing(season.products.product, row.product), "Unknown product"


def _nothing(row: WeighingRow, _: Book) -> Tests:
    yield both(row.gross_grams != 0, row.net <= 0), "Nothing in it"


_WRONG = ("wrong_cells", "wrong_names", "wrong_grams")


class WeighingRow(Weighing, Rules):
    """One weighed tub against its label."""

    @worked("Net", "gram")
    def net(self, _: Book) -> float:
        """What is in the tub."""
        return self.gross_grams - self.tare_grams

    @worked("Counts for", "text")
    def counts_for(self, season: Book) -> str:
        """Its product, if it was weighed since the season began."""
        counts = both(self.product != "", self.weighed_on >= season.settings.began_on)
        return pick(1 + choose(counts, 1, 0), NOTHING, self.product)

    @worked("Mean of its product", "gram")
    def product_mean(self, season: Book) -> float:
        """The mean of the season's weighings of the product."""
        mine = season.weighings
        return ratio(sum_where(mine.net, mine.counts_for, self.product), count_where(mine.counts_for, self.product))

    @worked("Off the mean, squared", "gram**2", decimals=4)
    def squared(self, _: Book) -> float:
        """How far the tub lies from that mean, times itself: the spread is worked from these."""
        return (self.net - self.product_mean) * (self.net - self.product_mean)

    @worked("On the label", "gram", decimals=0)
    def on_label(self, season: Book) -> float:
        """The weight on the label."""
        return sum_where(season.products.on_label, season.products.product, self.product)

    @worked("Tolerable shortfall", "gram", decimals=1)
    def tolerable_grams(self, season: Book) -> float:
        """By how much a single tub may fall short, by the bands on Settings."""
        return tolerable(self.on_label, season)

    @worked("Under the label by", "gram")
    def missing(self, _: Book) -> float:
        """What is missing to the label; below zero, what is in it above the label."""
        return self.on_label - self.net

    @worked("Short", decimals=0)
    def short(self, season: Book) -> float:
        """1 if more is missing than the tolerable shortfall."""
        return choose(self.missing > self.tolerable_grams + season.settings.tolerance * ONE_GRAM, 1, 0)

    @worked("Far short", decimals=0)
    def far_short(self, season: Book) -> float:
        """1 if more is missing than twice the tolerable shortfall."""
        return choose(self.missing > 2 * self.tolerable_grams + season.settings.tolerance * ONE_GRAM, 1, 0)

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so when a tub of this season is short or far short."""
        counts = choose(self.weighed_on < season.settings.began_on, 0, 1)
        return pick(1 + counts * (self.short + self.far_short), NOTHING, SHORT, FAR_SHORT)

    used_row = row_remarks.used_row(Weighing)
    wrong_cells = row_remarks.wrong_cells(Weighing)
    wrong_names = row_remarks.says("Wrong names", "What is empty or leads nowhere.", _names)
    wrong_grams = row_remarks.says("Wrong grams", "Tubs with nothing in them.", _nothing)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, looks=("remark",))


WEIGHINGS = Table(
    "weighings",
    "Weighings",
    "Weighings",
    "One row for each tub weighed after filling. What they come to stands on Fill. Scales must show a fifth of the "
    "tolerable shortfall or less.",
    WeighingRow,
    spare=60,
    results=("net", "on_label", "missing"),
)
