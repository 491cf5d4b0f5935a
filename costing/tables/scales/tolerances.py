"""What a prepacked tub may weigh less than its label: packaged bands of the law, and factors of its mean test."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.operations import at_step
from costing.engine.table import Table
from costing.fields.catalogue import mean_factors, tolerances
from costing.fields.types import NumberField, PercentField, Record, Text, given
from costing.fields.views import Number, OptionalNumber
from costing.tables import equations
from costing.tables.looked_up import LOOK_UPS
from costing.tables.sources import packaged

if TYPE_CHECKING:
    from costing.tables.book import Book


class Tolerance(Record):
    """One band of label weights."""

    from_grams: Number = given(
        "Label from",
        "The least label weight of the band. At an edge both bands give the same.",
        NumberField("gram", least=0),
    )
    percent: OptionalNumber = given("Of the label", "Tolerable shortfall.", PercentField(), default=None)
    grams: OptionalNumber = given("Or", "The same in grams.", NumberField("gram", above=0), default=None)
    how_known: Text = given("How known", "Whether the figure was read in its source.")
    source: Text = given("Source", "Where the figure stands.")


class MeanFactor(Record):
    """One sample of the reference test."""

    weighed: Number = given("Weighed", "So many or more.", NumberField("", least=0))
    plan: Text = given("Plan", "The sample of the reference test that so many fill.")
    factor: Number = given("Factor", "Spreads by which the mean may lie under the label.", NumberField("", least=0))
    how_known: Text = given("How known", "Whether the figure was read in its source.")
    source: Text = given("Source", "Where the figure stands.")


@packaged
def tolerance_records() -> list[Tolerance]:
    """Return the packaged bands as rows."""
    return [Tolerance.model_validate({column: cell for column, cell in row.items() if cell}) for row in tolerances()]


TOLERANCES = Table(
    "tolerances",
    LOOK_UPS,
    "Tolerable shortfall by label weight",
    "In the European Union and the United Kingdom. Elsewhere look up your local law.",
    Tolerance,
    spare=0,
    fixed=True,
    rows=tolerance_records,
)


@packaged
def mean_factor_records() -> list[MeanFactor]:
    """Return the packaged factors as rows."""
    return [MeanFactor.model_validate(row) for row in mean_factors()]


MEAN_FACTORS = Table(
    "mean_factors",
    LOOK_UPS,
    "Mean test by number weighed",
    "Factors of the reference test that an inspector makes.",
    MeanFactor,
    spare=0,
    fixed=True,
    rows=mean_factor_records,
)


def tolerable(label: float, season: Book) -> float:
    """Return the tolerable shortfall of a label."""
    bands = season.tolerances
    percent = at_step(bands.percent, bands.from_grams, label)
    grams = at_step(bands.grams, bands.from_grams, label)
    return equations.tolerable_shortfall(label, percent, grams, season.settings.fine_decimals)
