"""Making: each formula as a recipe card – its lines and steps in order, what it yields, and what a gram of that costs.

Formulas stand in the order in which they are made, and look for made things only in the rows above. So no cell depends
on itself, even for programs that take a formula to need every cell of each range it names.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import model_validator

from costing.engine.expressions import Factor
from costing.engine.operations import NOTHING, both, choose, count_where, either, join, pick, ratio, size_of, sum_where
from costing.engine.table import Table
from costing.fields.types import (
    ChoiceField,
    Key,
    Minutes,
    Name,
    NumberField,
    PercentField,
    Record,
    Reference,
    Text,
    fault,
    given,
)
from costing.tables import equations

VALUED = ("weight", "sales", "set", "nothing")
ROW_KINDS = ("formula", "line", "step", "yield", "output")

Watts = Annotated[Decimal, NumberField("watt", least=0, suffix="W")]
Hours = Annotated[Decimal, NumberField("hour", least=0, suffix="h")]
Share = Annotated[Decimal | None, PercentField()]
PricePerKg = Annotated[Decimal | None, NumberField("money/kilogram", least=0)]
OptionalGrams = Annotated[Decimal | None, NumberField("gram", above=0, suffix="g")]
Valued = Annotated[str, ChoiceField(VALUED)]


class Formula(Record):
    """One formula."""

    formula: Key = given("Formula", "The key under which lines and products name it.")
    name: Text = given("Name", "Its name in full.")
    batch_grams: OptionalGrams = given("Batch", "What one batch weighs; needed where lines are in percent.", default=None)
    note: Text = given("Note", "Anything worth remembering.", default="")


class Step(Record):
    """One step of a formula, in the order in which it is done."""

    formula: Key = given("Formula", "The formula that the step belongs to.", refers="formulas.formula")
    step: Key = given("Step", "What the step is called.")
    minutes: Minutes = given("Minutes", "Hands-on minutes for the batch.", default=Decimal(0))
    watts: Watts = given("Watts", "Power drawn.", default=Decimal(0))
    hours: Hours = given("Hours", "How long it is drawn.", default=Decimal(0))
    loss_percent: Annotated[Decimal, PercentField(most=99)] = given(
        "Loss", "Weight lost in this step: drying, steam, what stays in pot and bowl.", default=Decimal(0)
    )


class Line(Record):
    """One thing that goes into a formula."""

    formula: Key = given("Formula", "The formula that the line belongs to.", refers="formulas.formula")
    step: Key = given("Step", "The step in which it is added.")
    item: Reference = given("Item", "A bought item, a formula, or formula/output.")
    percent: Annotated[Decimal | None, PercentField()] = given("Percent", "Of the batch.", default=None)
    grams: OptionalGrams = given("Grams", "Instead of a percentage.", default=None)

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
    percent: Annotated[Decimal, PercentField()] = given("Percent", "Of what the formula yields.")
    valued: Valued = given("Valued", "How the batch's cost is shared: weight, sales, set or nothing.", default="weight")
    price_per_kg: PricePerKg = given("Price per kg", "What it is worth, for sales and set.", default=None)

    @model_validator(mode="after")
    def _priced(self) -> Output:
        if self.valued in ("sales", "set") and self.price_per_kg is None:
            raise fault(f"valued {self.valued}, but price_per_kg is empty", "write what a kilogram of it is worth")
        return self


class MakingRow(Record):
    """One row of the recipe cards: a formula's head, a line, a step, the yield, or an output."""

    formula: Key = given("Formula", "The formula that the row belongs to.")
    row: Annotated[str, ChoiceField((*ROW_KINDS, ""))] = given(
        "Row",
        "formula heads a card; line adds something; step closes a step; yield is what is made; output a part of it.",
    )
    step: Name = given("Step", "The step of a line or step row.", default="")
    what: Text = given("What", "The formula's name on its head, the item of a line, the name of an output.", default="")
    percent: Share = given("Percent", "Of the batch on lines, of the yield on outputs, lost on steps.", default=None)
    grams: OptionalGrams = given(
        "Grams", "The batch on the head of a card; a line's grams in place of a percentage.", default=None
    )
    minutes: Annotated[Decimal | None, NumberField("minute", least=0)] = given(
        "Minutes", "Hands-on minutes of a step.", default=None
    )
    watts: Annotated[Decimal | None, NumberField("watt", least=0)] = given("Watts", "Power drawn in a step.", default=None)
    hours: Annotated[Decimal | None, NumberField("hour", least=0)] = given("Hours", "How long it is drawn.", default=None)
    valued: Annotated[str, ChoiceField((*VALUED, ""))] = given("Valued", "How an output is valued.", default="")
    price_per_kg: PricePerKg = given("Worth per kg", "What an output is worth, for sales and set.", default=None)
    note: Text = given("Note", "On the head of a card, anything worth remembering.", default="")


UNPRICED, OFF = "not found above", "not 100 %"
ONE_GRAM = Factor(1, "gram")
ONE_MONEY = Factor(1, "money")

MAKING = Table(
    "making",
    "Formulas",
    "Formulas",
    "Recipe cards in the order of making: what goes in, step by step; what is left; what a gram of it costs.",
    MakingRow,
    spare=24,
    cards=True,
)


@MAKING.works_out("Makes", "text")
def made(row: Any, _: Any) -> Any:
    """The key under which what is made can be used further down."""
    place = 1 + choose(row.formula == "", 0, 1) + choose(row.row == "output", 1, 0)
    return pick(place, NOTHING, row.formula, join(row.formula, "/", row.what))


@MAKING.works_out("Steps done", decimals=0)
def steps_done(row: Any, _: Any) -> Any:
    """How many steps of the card are behind this row."""
    return count_where(row.through.formula, row.formula, row.through.row, "step")


@MAKING.works_out("Put in", "gram", decimals=1)
def added(row: Any, _: Any) -> Any:
    """The grams of a line: its percentage of the batch, or as given."""
    batch = sum_where(row.through.grams, row.through.formula, row.formula, row.through.row, "formula")
    return choose(row.row == "line", row.percent * batch + row.grams, 0)


@MAKING.works_out("Weight after step", "gram", decimals=1)
def weight_after(row: Any, _: Any) -> Any:
    """What is in the pot after a step: what was there, what was added, less the step's loss."""
    before = sum_where(row.above.weight_after, row.above.formula, row.formula, row.above.steps_done, row.steps_done - 1)
    put_in = sum_where(row.through.added, row.through.formula, row.formula, row.through.step, row.step)
    return choose(row.row == "step", equations.weight_after(before, put_in, row.percent), 0)


@MAKING.works_out("Yields", "gram", decimals=1)
def yields(row: Any, _: Any) -> Any:
    """What is left after the last step, and each output's part of it."""
    share = choose(row.row == "output", row.percent, 0) + choose(row.row == "yield", 1, 0)
    return share * sum_where(
        row.through.weight_after, row.through.formula, row.formula, row.through.steps_done, row.steps_done
    )


@MAKING.works_out("Set worth", "money")
def set_value(row: Any, _: Any) -> Any:
    """What an output of a set worth takes out of the batch's cost before the rest is shared."""
    return choose(row.valued == "set", equations.value_at(row.yields, row.price_per_kg), 0)


@MAKING.works_out("Shares as")
def basis(row: Any, _: Any) -> Any:
    """What the rest of the cost is shared by: the output's weight, or its sales value."""
    by_sales = equations.value_at(row.yields, row.price_per_kg) / ONE_MONEY
    by_weight = both(row.row == "output", either(row.valued == "weight", row.valued == ""))
    return choose(by_weight, row.yields / ONE_GRAM, 0) + choose(row.valued == "sales", by_sales, 0)


@MAKING.works_out("All set worth", "money")
def all_set(row: Any, season: Any) -> Any:
    """The set worth of all outputs of the formula."""
    return sum_where(season.making.set_value, season.making.formula, row.formula)


@MAKING.works_out("All shares")
def all_basis(row: Any, season: Any) -> Any:
    """What all outputs of the formula share as."""
    return sum_where(season.making.basis, season.making.formula, row.formula)


def _cost_of_item(row: Any, bought: Any, made_above: Any) -> Any:
    return row.added * (bought + sum_where(made_above, row.above.made, row.what))


@MAKING.works_out("Materials", "money")
def materials(row: Any, season: Any) -> Any:
    """What a line costs in bought things, its own and those in what was made before."""
    bought = sum_where(season.items.per_gram, season.items.item, row.what)
    return _cost_of_item(row, bought, row.above.gram_materials)


@MAKING.works_out("Work", "money")
def work(row: Any, season: Any) -> Any:
    """Hands-on time of a step at the hourly rate, and the work in what was made before."""
    return _cost_of_item(row, 0, row.above.gram_work) + equations.wage(row.minutes, season.settings.hourly_rate)


@MAKING.works_out("Power", "money")
def power(row: Any, season: Any) -> Any:
    """Power of a step, and that in what was made before."""
    used = equations.energy_cost(row.watts, row.hours, season.settings.power_price)
    return _cost_of_item(row, 0, row.above.gram_power) + used


@MAKING.works_out("Cost of row", "money")
def cost(row: Any, _: Any) -> Any:
    """Materials, work and power of a line or step."""
    return row.materials + row.work + row.power


@MAKING.works_out("Hands-on", "minute", decimals=1)
def hands_on(row: Any, _: Any) -> Any:
    """Minutes of a step, and those in what was made before."""
    return row.minutes + _cost_of_item(row, 0, row.above.gram_minutes)


@MAKING.works_out("Batch so far", "money")
def batch_cost(row: Any, _: Any) -> Any:
    """Materials, work and power of the formula down to this row; on yields and outputs, of the whole batch."""
    return sum_where(row.through.cost, row.through.formula, row.formula)


@MAKING.works_out("Bears of batch", shape="percent")
def bears(row: Any, _: Any) -> Any:
    """The part of the batch's cost that the yield or an output bears."""
    shared = equations.share_of_joint_cost(row.set_value, row.all_set, row.basis, row.all_basis, row.batch_cost)
    return shared + choose(row.row == "yield", 1, 0)


def _per_gram(row: Any, of: Any) -> Any:
    return ratio(row.bears * sum_where(of, row.through.formula, row.formula), row.yields)


@MAKING.works_out("Materials per gram", "money/gram", decimals=5)
def gram_materials(row: Any, _: Any) -> Any:
    """Bought things in a gram of what is made."""
    return _per_gram(row, row.through.materials)


@MAKING.works_out("Work per gram", "money/gram", decimals=5)
def gram_work(row: Any, _: Any) -> Any:
    """Work in a gram of what is made."""
    return _per_gram(row, row.through.work)


@MAKING.works_out("Power per gram", "money/gram", decimals=5)
def gram_power(row: Any, _: Any) -> Any:
    """Power in a gram of what is made."""
    return _per_gram(row, row.through.power)


@MAKING.works_out("Cost per gram", "money/gram", decimals=5)
def per_gram(row: Any, _: Any) -> Any:
    """What a gram of what is made costs."""
    return row.gram_materials + row.gram_work + row.gram_power


@MAKING.works_out("Minutes per gram", "minute/gram", decimals=5)
def gram_minutes(row: Any, _: Any) -> Any:
    """Hands-on minutes in a gram of what is made."""
    return _per_gram(row, row.through.hands_on)


@MAKING.works_out("Takes of a change", shape="percent")
def takes(row: Any, _: Any) -> Any:
    """The part of a change in the batch's cost that the yield or an output takes: nothing where its worth is set."""
    return ratio(row.basis, row.all_basis) + choose(row.row == "yield", 1, 0)


@MAKING.works_out("Bought base put in", "gram", decimals=1)
def base_grams(row: Any, season: Any) -> Any:
    """Grams of bought base in a line, its own and those in what was made before."""
    own = sum_where(season.items.base_share, season.items.item, row.what)
    return _cost_of_item(row, own, row.above.gram_base)


@MAKING.works_out("Cost of that base", "money")
def base_cost(row: Any, season: Any) -> Any:
    """What that bought base costs."""
    own = sum_where(season.items.per_gram, season.items.item, row.what, season.items.base_share, 1)
    return _cost_of_item(row, own, row.above.gram_base_cost)


def _changing(row: Any, of: Any) -> Any:
    return ratio(row.takes * sum_where(of, row.through.formula, row.formula), row.yields)


@MAKING.works_out("Base per gram", decimals=5)
def gram_base(row: Any, _: Any) -> Any:
    """Grams of bought base whose price a gram of what is made follows: an output of set worth follows none."""
    return _changing(row, row.through.base_grams)


@MAKING.works_out("Base cost per gram", "money/gram", decimals=5)
def gram_base_cost(row: Any, _: Any) -> Any:
    """Cost of that base in a gram of what is made."""
    return _changing(row, row.through.base_cost)


@MAKING.works_out("Percent on card", shape="percent")
def percent_total(row: Any, _: Any) -> Any:
    """On the yield, the percentages of all the card's lines together."""
    lines = sum_where(row.through.percent, row.through.formula, row.formula, row.through.row, "line")
    return choose(row.row == "yield", lines, 0)


@MAKING.works_out("Has outputs", decimals=0)
def first_output(row: Any, _: Any) -> Any:
    """1 on the first output of a card."""
    so_far = count_where(row.through.formula, row.formula, row.through.row, "output")
    return choose(both(row.row == "output", so_far == 1), 1, 0)


@MAKING.works_out("Look at", "text")
def remark(row: Any, season: Any) -> Any:
    """Says so when a line's item is neither on Items nor made further up, or percentages do not add up to 100."""
    known = count_where(season.items.item, row.what) + count_where(row.above.made, row.what)
    off = both(row.percent_total > 0, size_of(row.percent_total - 1) > season.settings.percent_slack)
    lost = both(row.row == "line", known == 0)
    return pick(1 + choose(lost, 1, 0) + choose(off, 2, 0), NOTHING, UNPRICED, OFF)
