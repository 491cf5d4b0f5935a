"""Recipes as the maker writes them: formulas, their steps and lines, and the several things that a formula yields."""

from __future__ import annotations

from decimal import Decimal

from pydantic import model_validator

from costing.fields.types import ChoiceField, Key, Minutes, NumberField, PercentField, Record, Reference, Text, fault, given
from costing.fields.views import Number, OptionalNumber, Words

VALUED = ("weight", "sales", "set", "nothing")
WATTS = NumberField("watt", least=0)
HOURS = NumberField("hour", least=0)
WAIT = NumberField("day", least=0, most=1000)  # far beyond any soap's cure, and within what dates can be
PRICE_PER_KG = NumberField("money/kilogram", least=0)
OPTIONAL_GRAMS = NumberField("gram", above=0)


class Formula(Record):
    """One formula."""

    formula: Key = given("Formula", "What it is called in lines and products.")
    name: Text = given("Name", "A longer name; blank where there is none.", default="")
    batch_grams: OptionalNumber = given(
        "Batch", "What one batch weighs; needed where lines are in percent.", OPTIONAL_GRAMS, default=None
    )
    note: Text = given("Note", "Anything worth remembering.", default="")


class Step(Record):
    """One step of a formula, in the order in which it is done."""

    formula: Key = given("Formula", "The formula that the step belongs to.", refers="formulas.formula")
    step: Key = given("Step", "What the step is called.")
    minutes: Minutes = given("Minutes", "Hands-on minutes for the batch.", default=Decimal(0))
    watts: Number = given("Watts", "Power drawn.", WATTS, default=Decimal(0))
    hours: Number = given("Hours", "How long it is drawn.", HOURS, default=Decimal(0))
    loss_percent: Number = given(
        "Loss",
        "Weight lost in this step: drying, steam, what stays in pot and bowl.",
        PercentField(most=99),
        default=Decimal(0),
    )
    days: Number = given("Days", "Waiting after it: setting, curing.", WAIT, default=Decimal(0))


class Line(Record):
    """One thing that goes into a formula."""

    formula: Key = given("Formula", "The formula that the line belongs to.", refers="formulas.formula")
    step: Key = given("Step", "The step in which it is added.")
    item: Reference = given("Item", "A bought item, a formula, or formula/output.")
    percent: OptionalNumber = given("Percent", "Of the batch.", PercentField(), default=None)
    grams: OptionalNumber = given("Grams", "Instead of a percentage.", OPTIONAL_GRAMS, default=None)

    @model_validator(mode="after")
    def _one_amount(self) -> Line:
        if (self.percent is None) == (self.grams is None):
            found = "neither percent nor grams" if self.percent is None else "both percent and grams"
            raise fault(found, "write one of the two")
        return self


class Output(Record):
    """One of several things that a formula yields, such as bars and trimmings."""

    formula: Key = given("Formula", "The formula that yields it.", refers="formulas.formula")
    output: Key = given("Output", "What it is called; formula/output names it elsewhere.")
    percent: Number = given("Percent", "Of what the formula yields.", PercentField())
    valued: Words = given(
        "Valued", "How the batch's cost is shared: weight, sales, set or nothing.", ChoiceField(VALUED), default="weight"
    )
    price_per_kg: OptionalNumber = given("Price per kg", "What it is worth, for sales and set.", PRICE_PER_KG, default=None)

    @model_validator(mode="after")
    def _priced(self) -> Output:
        if self.valued in ("sales", "set") and self.price_per_kg is None:
            raise fault(f"valued {self.valued}, but price_per_kg is empty", "write what a kilogram of it is worth")
        return self
