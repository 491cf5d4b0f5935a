"""Weighings: filled tubs put on the scales one by one, and whether each weighs what its label says."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import model_validator

from costing.engine.expressions import Factor
from costing.engine.operations import NOTHING, choose, count_where, pick, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import Day, Grams, Key, NumberField, Record, fault, given
from costing.tables.scales.tolerances import tolerable

ONE_GRAM = Factor(1, "gram")
SHORT, FAR_SHORT = "short", "far short"


class Weighing(Record):
    """One filled tub on the scales."""

    product: Key = given("Product", "What was weighed.", refers="products.product")
    weighed_on: Day = given("Weighed on", "The day.")
    gross_grams: Grams = given("Gross", "What the scales show with the tub.")
    tare_grams: Annotated[Decimal, NumberField("gram", least=0, suffix="g")] = given(
        "Tare", "What the empty tub weighs with lid and label; blank if the scales were set to zero with it.",
        default=Decimal(0),
    )  # fmt: skip

    @model_validator(mode="after")
    def _something_in_it(self) -> Weighing:
        if self.tare_grams >= self.gross_grams:
            what = f"a tare of {self.tare_grams} in {self.gross_grams} gross leaves nothing in the tub"
            raise fault(what, "write the full tub in gross_grams, the empty one in tare_grams")
        return self


WEIGHINGS = Table(
    "weighings",
    "Weighings",
    "Weighings",
    "One row for each tub weighed after filling. What they come to stands on Fill. Scales must show a fifth of the "
    "tolerable shortfall or less.",
    Weighing,
    spare=60,
)


@WEIGHINGS.works_out("Net", "gram")
def net(row: Any, _: Any) -> Any:
    """What is in the tub."""
    return row.gross_grams - row.tare_grams


@WEIGHINGS.works_out("Mean of its product", "gram")
def product_mean(row: Any, season: Any) -> Any:
    """The mean of all weighings of the product."""
    mine = season.weighings
    return ratio(sum_where(mine.net, mine.product, row.product), count_where(mine.product, row.product))


@WEIGHINGS.works_out("Off the mean, squared", "gram**2", decimals=4)
def squared(row: Any, _: Any) -> Any:
    """How far the tub lies from that mean, times itself: the spread is worked from these."""
    return (row.net - row.product_mean) * (row.net - row.product_mean)


@WEIGHINGS.works_out("On the label", "gram", decimals=0)
def on_label(row: Any, season: Any) -> Any:
    """The weight on the label."""
    return sum_where(season.products.on_label, season.products.product, row.product)


@WEIGHINGS.works_out("Tolerable shortfall", "gram", decimals=1)
def tolerable_grams(row: Any, season: Any) -> Any:
    """By how much a single tub may fall short, by the bands on Settings."""
    return tolerable(row.on_label, season)


@WEIGHINGS.works_out("Under the label by", "gram")
def missing(row: Any, _: Any) -> Any:
    """What is missing to the label; below zero, what is in it above the label."""
    return row.on_label - row.net


@WEIGHINGS.works_out("Short", decimals=0)
def short(row: Any, season: Any) -> Any:
    """1 if more is missing than the tolerable shortfall."""
    return choose(row.missing > row.tolerable_grams + season.settings.tolerance * ONE_GRAM, 1, 0)


@WEIGHINGS.works_out("Far short", decimals=0)
def far_short(row: Any, season: Any) -> Any:
    """1 if more is missing than twice the tolerable shortfall."""
    return choose(row.missing > 2 * row.tolerable_grams + season.settings.tolerance * ONE_GRAM, 1, 0)


@WEIGHINGS.works_out("Look at", "text")
def remark(row: Any, _: Any) -> Any:
    """Says so when the tub is short or far short."""
    return pick(1 + row.short + row.far_short, NOTHING, SHORT, FAR_SHORT)
