"""What a prepacked tub may weigh less than its label: packaged bands of the law, and factors of its mean test."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from costing.engine.operations import at_step
from costing.engine.table import Table
from costing.fields.catalogue import mean_factors, tolerances
from costing.fields.types import NumberField, PercentField, Record, Text, given
from costing.tables import equations


class Tolerance(Record):
    """One band of label weights."""

    from_grams: Annotated[Decimal, NumberField("gram", least=0)] = given(
        "Label from", "The least label weight of the band. At an edge both bands give the same."
    )
    percent: Annotated[Decimal | None, PercentField()] = given("Of the label", "Tolerable shortfall.", default=None)
    grams: Annotated[Decimal | None, NumberField("gram", above=0)] = given("Or", "The same in grams.", default=None)
    how_known: Text = given("How known", "Whether the figure was read in its source.")
    source: Text = given("Source", "Where the figure stands.")


class MeanFactor(Record):
    """One sample of the reference test."""

    weighed: Annotated[Decimal, NumberField("", least=0)] = given("Weighed", "So many or more.")
    plan: Text = given("Plan", "The sample of the reference test that so many fill.")
    factor: Annotated[Decimal, NumberField("", least=0)] = given(
        "Factor", "Spreads by which the mean may lie under the label."
    )
    how_known: Text = given("How known", "Whether the figure was read in its source.")
    source: Text = given("Source", "Where the figure stands.")


TOLERANCES = Table(
    "tolerances",
    "Settings",
    "Tolerable shortfall by label weight",
    "In the European Union and the United Kingdom. Elsewhere look up your local law.",
    Tolerance,
    spare=0,
    fixed=True,
)
MEAN_FACTORS = Table(
    "mean_factors",
    "Settings",
    "Mean test by number weighed",
    "Factors of the reference test that an inspector makes.",
    MeanFactor,
    spare=0,
    fixed=True,
)


def tolerance_records() -> list[Tolerance]:
    """Return the packaged bands as rows."""
    return [Tolerance.model_validate({column: cell for column, cell in row.items() if cell}) for row in tolerances()]


def mean_factor_records() -> list[MeanFactor]:
    """Return the packaged factors as rows."""
    return [MeanFactor.model_validate(row) for row in mean_factors()]


def tolerable(label: Any, season: Any) -> Any:
    """Return the tolerable shortfall of a label."""
    bands = season.tolerances
    percent = at_step(bands.percent, bands.from_grams, label)
    grams = at_step(bands.grams, bands.from_grams, label)
    return equations.tolerable_shortfall(label, percent, grams, season.settings.fine_decimals)
