"""Products: a tub filled and ready to sell, and everything that one costs."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from costing.engine.operations import NOTHING, choose, sum_where
from costing.engine.operations import total as sum_of
from costing.engine.table import Table
from costing.fields.types import Grams, Key, Minutes, NumberField, PercentField, Record, Reference, Text, given
from costing.tables import equations


class Product(Record):
    """One product."""

    product: Key = given("Product", "The key under which prices name it.")
    name: Text = given("Name", "Its name in full.")
    filled_with: Reference = given("Filled with", "A formula, or formula/output.", refers="making.made")
    tub: Key = given("Tub", "The package.", refers="tubs.tub")
    fill_grams: Grams = given("Fill", "What is filled in.")
    label_grams: Annotated[Decimal | None, NumberField("gram", above=0, suffix="g")] = given(
        "Label", "The weight on the label; blank for the fill.", default=None
    )
    minutes: Minutes = given("Minutes", "Hands-on minutes to fill, label and pack one.", default=Decimal(0))
    waste_percent: Annotated[Decimal, PercentField(most=99)] = given("Waste", "Lost while filling.", default=Decimal(0))


OVER_LABELLED = "label above fill"

PRODUCTS = Table("products", "Products", "Products", "What is sold, and what one costs, part by part.", Product)


@PRODUCTS.works_out("Used", "gram", decimals=1)
def used(row: Any, _: Any) -> Any:
    """What filling one takes, with what is lost while filling."""
    return equations.weight_used(row.fill_grams, row.waste_percent)


def _of_formula(row: Any, season: Any, per_gram: Any) -> Any:
    return row.used * sum_where(per_gram, season.making.made, row.filled_with)


@PRODUCTS.works_out("Materials", "money")
def materials(row: Any, season: Any) -> Any:
    """Bought things in the filling."""
    return _of_formula(row, season, season.making.gram_materials)


@PRODUCTS.works_out("Packaging", "money")
def packaging(row: Any, season: Any) -> Any:
    """All parts of the tub."""
    return sum_where(season.tubs.cost, season.tubs.tub, row.tub)


@PRODUCTS.works_out("Work", "money")
def work(row: Any, season: Any) -> Any:
    """Work in the filling, and the minutes for this one tub at the hourly rate."""
    return _of_formula(row, season, season.making.gram_work) + equations.wage(row.minutes, season.settings.hourly_rate)


@PRODUCTS.works_out("Power", "money")
def power(row: Any, season: Any) -> Any:
    """Power in the filling."""
    return _of_formula(row, season, season.making.gram_power)


@PRODUCTS.works_out("Hands-on", "minute", decimals=1)
def hands_on(row: Any, season: Any) -> Any:
    """All hands-on minutes in one, from the bar to the label."""
    return row.minutes + _of_formula(row, season, season.making.gram_minutes)


@PRODUCTS.works_out("Planned", decimals=0)
def planned(row: Any, season: Any) -> Any:
    """How many are planned for the season, over all channels."""
    return sum_where(season.prices.planned, season.prices.product, row.product)


@PRODUCTS.works_out("Planned fill", "gram", decimals=0)
def planned_grams(row: Any, _: Any) -> Any:
    """Their fill together."""
    return row.planned * row.fill_grams


@PRODUCTS.works_out("Planned hands-on", "minute", decimals=0)
def planned_minutes(row: Any, _: Any) -> Any:
    """Their hands-on minutes together."""
    return row.planned * row.hands_on


@PRODUCTS.works_out("Planned work", "money")
def planned_work(row: Any, _: Any) -> Any:
    """The work priced into them together."""
    return row.planned * row.work


@PRODUCTS.works_out("Overheads", "money")
def overheads(row: Any, season: Any) -> Any:
    """The tub's part of the season's overheads: per unit, by its grams, by its minutes."""
    mine = season.overheads
    each = choose(row.product == "", 0, sum_of(mine.per_unit))
    return each + row.fill_grams * sum_of(mine.per_gram) + row.hands_on * sum_of(mine.per_minute)


@PRODUCTS.works_out("Cost of one", "money")
def total(row: Any, _: Any) -> Any:
    """Everything that one costs before it is sold."""
    return row.materials + row.packaging + row.work + row.power + row.overheads


@PRODUCTS.works_out("On the label", "gram", decimals=0)
def on_label(row: Any, _: Any) -> Any:
    """The weight on the label."""
    return choose(row.label_grams > 0, row.label_grams, row.fill_grams)


@PRODUCTS.works_out("Bought base in it", "gram", decimals=1)
def base_grams(row: Any, season: Any) -> Any:
    """Grams of bought base that one takes."""
    return _of_formula(row, season, season.making.gram_base)


@PRODUCTS.works_out("Cost of that base", "money")
def base_cost(row: Any, season: Any) -> Any:
    """What that bought base costs."""
    return _of_formula(row, season, season.making.gram_base_cost)


@PRODUCTS.works_out("Look at", "text")
def remark(row: Any, _: Any) -> Any:
    """Says so when the label promises more than is filled in."""
    return choose(row.on_label > row.fill_grams, OVER_LABELLED, NOTHING)
