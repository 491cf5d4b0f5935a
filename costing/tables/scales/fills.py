"""Fill: what the weighings of each product come to, against the packer's three rules, and what is given away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import NOTHING, at_step, both, choose, count_where, larger, pick, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.fields.views import Cells
from costing.tables import equations
from costing.tables.lookups import of_product, text_of_product
from costing.tables.ones import ONE_GRAM
from costing.tables.scales.tolerances import tolerable
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book

UNDER_LABEL, FAILS_MEAN, MANY_SHORT, ONE_FAR_SHORT = (
    "mean under the label", "mean fails the test", "more than 1 in 40 short", "one far short",
)  # fmt: skip


FILL_REMARKS = (UNDER_LABEL, FAILS_MEAN, MANY_SHORT, ONE_FAR_SHORT)


class Fill(Record):
    """One product."""

    product: Key = given("Product", "A product. To see a new one here, choose it in a free line.", refers="products.product")


def _weighed(row: FillRow, season: Book, values: Cells[float]) -> float:
    return sum_where(values, season.weighings.counts_for, row.product)


class FillRow(Fill, Rules):
    """What the weighings of a product say."""

    @worked("Weighed", decimals=0)
    def number(self, season: Book) -> float:
        """How many were weighed since the season began. A spread says little before 20 or so."""
        return count_where(season.weighings.counts_for, self.product)

    @worked("On the label", "gram", decimals=0)
    def on_label(self, season: Book) -> float:
        """The weight on the label."""
        return of_product(self.product, season, season.products.on_label)

    @worked("Meant", "gram", decimals=1)
    def meant(self, season: Book) -> float:
        """The fill that Products says."""
        return of_product(self.product, season, season.products.fill_grams)

    @worked("Mean", "gram")
    def mean(self, season: Book) -> float:
        """What is in a tub on average."""
        return ratio(_weighed(self, season, season.weighings.net), self.number)

    @worked("Spread", "gram")
    def spread(self, season: Book) -> float:
        """How far single tubs lie from the mean: the sample standard deviation."""
        return equations.spread(_weighed(self, season, season.weighings.squared), self.number)

    @worked("Mean above the label", "gram")
    def over(self, _: Book) -> float:
        """What a tub holds on average beyond its label; below zero, what it lacks."""
        return choose(self.number > 0, self.mean - self.on_label, 0)

    @worked("Filled with", "text")
    def filled_with(self, season: Book) -> str:
        """The formula in the tub."""
        return text_of_product(self.product, season, season.products.filled_with)

    @worked("Given away in each", "money", decimals=4)
    def given_away(self, season: Book) -> float:
        """What the grams above the label cost, with what is lost while filling them."""
        grams = equations.weight_used(larger(self.over, 0), of_product(self.product, season, season.products.waste_percent))
        return grams * sum_where(season.making.per_gram, season.making.made, self.filled_with)

    @worked("Given away in the season", "money")
    def season_given_away(self, season: Book) -> float:
        """The same for all that are planned."""
        return self.given_away * of_product(self.product, season, season.products.made)

    @worked("Tolerable shortfall", "gram", decimals=1)
    def tolerable_grams(self, season: Book) -> float:
        """By how much a single tub may fall short of its label, by the bands on Settings."""
        return tolerable(self.on_label, season)

    @worked("Short", decimals=0)
    def short(self, season: Book) -> float:
        """Tubs that lack more than the tolerable shortfall: at most one in 40 may."""
        return _weighed(self, season, season.weighings.short)

    @worked("Far short", decimals=0)
    def far_short(self, season: Book) -> float:
        """Tubs that lack more than twice the tolerable shortfall: none may, and none may be sold."""
        return _weighed(self, season, season.weighings.far_short)

    @worked("Mean test needs", "gram")
    def mean_needed(self, season: Book) -> float:
        """The least mean that the reference test lets pass: the label, less the factor on Look-ups times the spread."""
        factor = at_step(season.mean_factors.factor, season.mean_factors.weighed, self.number)
        return choose(self.number > 0, equations.mean_needed(self.on_label, factor, self.spread), 0)

    @worked("Aim at least at", "gram", decimals=1)
    def least_aim(self, season: Book) -> float:
        """The least fill to aim at that keeps all three rules at the spread seen, in all but one of 40 lots as large."""
        label, spread, settings = self.on_label, self.spread, season.settings
        short, far_short = settings.short_spreads, settings.far_short_spreads
        for_mean = equations.aim_for_mean(label, spread, self.number, short)
        aim = larger(for_mean, equations.aim_for_each(label, self.tolerable_grams, spread, short, far_short))
        return choose(self.number > 1, aim, 0)

    @worked("Mean breaks", decimals=0)
    def mean_breaks(self, season: Book) -> float:
        """1 where the mean lies under the label, 2 where it lies so low that the mean test fails too."""
        slack = season.settings.tolerance * ONE_GRAM
        under_label = choose(both(self.number > 0, self.mean < self.on_label - slack), 1, 0)
        fails = both(self.mean_needed < self.on_label, self.mean < self.mean_needed - slack)
        return under_label + choose(fails, 1, 0)

    @worked("Tubs break", decimals=0)
    def tubs_break(self, season: Book) -> float:
        """1 where more than one in 40 is short, 2 where any is far short."""
        many = self.short * season.settings.short_one_in > self.number
        return larger(choose(many, 1, 0), choose(self.far_short > 0, 2, 0))

    @worked("Look at", "text", role=REMARK)
    def remark(self, _: Book) -> str:
        """Says which of the packer's rules the weighings break, single tubs first."""
        return pick(1 + choose(self.tubs_break == 0, self.mean_breaks, 2 + self.tubs_break), NOTHING, *FILL_REMARKS)


def fill_rows(source: Source) -> list[Fill]:
    """Return a line of Fill for each product."""
    return [Fill(product=row.product) for row in source.records.products]


FILLS = Table(
    "fills",
    "Fill",
    "Fill",
    "What the weighings say by the packer's rules of the European Union and the United Kingdom. Elsewhere look up your "
    "local law. No substitute for the reference test.",
    FillRow,
    spare=6,
    rows=fill_rows,
    results=(
        "number",
        "on_label",
        "mean",
        "spread",
        "over",
        "season_given_away",
        "short",
        "far_short",
        "mean_needed",
        "least_aim",
    ),
)
