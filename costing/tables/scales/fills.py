"""Fill: what the weighings of each product come to, against the packer's three rules, and what is given away."""

from __future__ import annotations

from typing import Any

from costing.engine.expressions import Factor
from costing.engine.operations import NOTHING, at_step, both, choose, count_where, larger, pick, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.tables import equations
from costing.tables.lookups import of_product, text_of_product
from costing.tables.scales.tolerances import tolerable

ONE_GRAM = Factor(1, "gram")
UNDER_LABEL, FAILS_MEAN, MANY_SHORT, ONE_FAR_SHORT = (
    "mean under the label", "mean fails the test", "more than 1 in 40 short", "one far short",
)  # fmt: skip
FILL_REMARKS = (UNDER_LABEL, FAILS_MEAN, MANY_SHORT, ONE_FAR_SHORT)


class FillRow(Record):
    """One product."""

    product: Key = given("Product", "A product. To see a new one here, choose it in a free line.", refers="products.product")


FILLS = Table(
    "fills",
    "Fill",
    "Fill",
    "What the weighings say by the packer's rules of the European Union and the United Kingdom. Elsewhere look up your "
    "local law. No substitute for the reference test.",
    FillRow,
    spare=6,
)


def _weighed(row: Any, season: Any, key: str) -> Any:
    return sum_where(getattr(season.weighings, key), season.weighings.product, row.product)


@FILLS.works_out("Weighed", decimals=0)
def number(row: Any, season: Any) -> Any:
    """How many were weighed. A spread says little before 20 or so."""
    return count_where(season.weighings.product, row.product)


@FILLS.works_out("On the label", "gram", decimals=0)
def on_label(row: Any, season: Any) -> Any:
    """The weight on the label."""
    return of_product(row, season, "on_label")


@FILLS.works_out("Meant", "gram", decimals=1)
def meant(row: Any, season: Any) -> Any:
    """The fill that Products says."""
    return of_product(row, season, "fill_grams")


@FILLS.works_out("Mean", "gram")
def mean(row: Any, season: Any) -> Any:
    """What is in a tub on average."""
    return ratio(_weighed(row, season, "net"), row.number)


@FILLS.works_out("Spread", "gram")
def spread(row: Any, season: Any) -> Any:
    """How far single tubs lie from the mean: the sample standard deviation."""
    return equations.spread(_weighed(row, season, "squared"), row.number)


@FILLS.works_out("Mean above the label", "gram")
def over(row: Any, _: Any) -> Any:
    """What a tub holds on average beyond its label; below zero, what it lacks."""
    return choose(row.number > 0, row.mean - row.on_label, 0)


@FILLS.works_out("Filled with", "text")
def filled_with(row: Any, season: Any) -> Any:
    """The formula in the tub."""
    return text_of_product(row, season, "filled_with")


@FILLS.works_out("Given away in each", "money", decimals=4)
def given_away(row: Any, season: Any) -> Any:
    """What the grams above the label cost, with what is lost while filling them."""
    grams = equations.weight_used(larger(row.over, 0), of_product(row, season, "waste_percent"))
    return grams * sum_where(season.making.per_gram, season.making.made, row.filled_with)


@FILLS.works_out("Given away in the season", "money")
def season_given_away(row: Any, season: Any) -> Any:
    """The same for all that are planned."""
    return row.given_away * of_product(row, season, "planned")


@FILLS.works_out("Tolerable shortfall", "gram", decimals=1)
def tolerable_grams(row: Any, season: Any) -> Any:
    """By how much a single tub may fall short of its label, by the bands on Settings."""
    return tolerable(row.on_label, season)


@FILLS.works_out("Short", decimals=0)
def short(row: Any, season: Any) -> Any:
    """Tubs that lack more than the tolerable shortfall: at most one in 40 may."""
    return _weighed(row, season, "short")


@FILLS.works_out("Far short", decimals=0)
def far_short(row: Any, season: Any) -> Any:
    """Tubs that lack more than twice the tolerable shortfall: none may, and none may be sold."""
    return _weighed(row, season, "far_short")


@FILLS.works_out("Mean test needs", "gram")
def mean_needed(row: Any, season: Any) -> Any:
    """The least mean that the reference test lets pass: the label, less the factor on Settings times the spread."""
    factor = at_step(season.mean_factors.factor, season.mean_factors.weighed, row.number)
    return choose(row.number > 0, equations.mean_needed(row.on_label, factor, row.spread), 0)


@FILLS.works_out("Aim at least at", "gram", decimals=1)
def least_aim(row: Any, season: Any) -> Any:
    """The least mean fill that keeps all three rules at the spread seen, if fills scatter evenly about their mean."""
    settings = season.settings
    aim = equations.least_aim(
        row.on_label, row.tolerable_grams, row.spread, settings.short_spreads, settings.far_short_spreads
    )
    return choose(row.number > 1, aim, 0)


@FILLS.works_out("Mean breaks", decimals=0)
def mean_breaks(row: Any, season: Any) -> Any:
    """1 where the mean lies under the label, 2 where it lies so low that the mean test fails too."""
    slack = season.settings.tolerance * ONE_GRAM
    under_label = choose(both(row.number > 0, row.mean < row.on_label - slack), 1, 0)
    fails = both(row.mean_needed < row.on_label, row.mean < row.mean_needed - slack)
    return under_label + choose(fails, 1, 0)


@FILLS.works_out("Tubs break", decimals=0)
def tubs_break(row: Any, season: Any) -> Any:
    """1 where more than one in 40 is short, 2 where any is far short."""
    many = row.short * season.settings.short_one_in > row.number
    return larger(choose(many, 1, 0), choose(row.far_short > 0, 2, 0))


@FILLS.works_out("Look at", "text")
def remark(row: Any, _: Any) -> Any:
    """Says which of the packer's rules the weighings break, single tubs first."""
    return pick(1 + choose(row.tubs_break == 0, row.mean_breaks, 2 + row.tubs_break), NOTHING, *FILL_REMARKS)
