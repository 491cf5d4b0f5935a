"""Price shock: one item's price changed, and which products then miss their margin."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from costing.engine.operations import NOTHING, both, choose, pick, ratio, sum_where
from costing.engine.table import FigureList, Table
from costing.fields.types import Key, PercentField, Record, given
from costing.tables import equations
from costing.tables.lookups import of_price


class Shock(Record):
    """Whose price changes, and how far."""

    item: Key = given("Item", "The item whose price changes. Choose another: all below follows.", refers="items.item")
    change: Annotated[Decimal, PercentField(least=-100, most=None)] = given(
        "Change", "How far its price changes: 25 % for a quarter more, -10 % for a tenth less.", default=Decimal(25)
    )


SHOCK = FigureList("shock", "Price shock", "shock_")
SHOCK.take(Shock)


@SHOCK.works_out("Its price now", "money/each", decimals=5)
def price_now(season: Any) -> Any:
    """Per gram or piece, on the cost basis."""
    return sum_where(season.items.price, season.items.item, season.shock.item)


@SHOCK.works_out("Its price then", "money/each", decimals=5)
def price_then(season: Any) -> Any:
    """Per gram or piece, after the change."""
    return season.shock.price_now * (1 + season.shock.change)


class Shocked(Record):
    """One product in one channel."""

    product: Key = given("Product", "What is sold.")
    channel: Key = given("Channel", "Where.")


SHOCKED = Table(
    "shocked",
    "Price shock",
    "Price by price",
    "What the change does to each price on Prices: those under their target are named, with the price that reaches it.",
    Shocked,
    spare=0,
    fixed=True,
)


@SHOCKED.works_out("Cost of one now", "money")
def cost_now(row: Any, season: Any) -> Any:
    """Everything that one costs."""
    return sum_where(season.products.total, season.products.product, row.product)


@SHOCKED.works_out("Costs more", "money", decimals=3)
def dearer(row: Any, season: Any) -> Any:
    """What the change adds to it."""
    mine = season.in_tubs
    return sum_where(mine.moving, mine.product, row.product, mine.item, season.shock.item) * season.shock.change


@SHOCKED.works_out("Price", "money")
def price(row: Any, season: Any) -> Any:
    """The price used on Prices."""
    return of_price(row, season, "used")


@SHOCKED.works_out("Without tax", "money")
def net(row: Any, season: Any) -> Any:
    """The price without tax."""
    return of_price(row, season, "net")


@SHOCKED.works_out("Margin now", shape="percent")
def margin_now(row: Any, season: Any) -> Any:
    """What is left of it now."""
    return of_price(row, season, "margin")


@SHOCKED.works_out("Margin then", shape="percent")
def margin_then(row: Any, _: Any) -> Any:
    """What is left of it after the change, at the same price."""
    return row.margin_now - ratio(row.dearer, row.net)


@SHOCKED.works_out("Margin wanted", shape="percent")
def wanted(row: Any, season: Any) -> Any:
    """The channel's."""
    return of_price(row, season, "wanted")


@SHOCKED.works_out("Kept for costs", shape="percent")
def kept(row: Any, season: Any) -> Any:
    """The part of the price without tax that is left for costs, after margin and fee."""
    return of_price(row, season, "kept")


@SHOCKED.works_out("Costs to cover then", "money")
def costs(row: Any, season: Any) -> Any:
    """The cost of one after the change, the parcel and the fee for each sale."""
    return of_price(row, season, "costs") + row.dearer


@SHOCKED.works_out("Exact price then", "money", decimals=4)
def exact(row: Any, season: Any) -> Any:
    """The price at which exactly the margin wanted would be left."""
    return equations.price_for(row.costs, row.kept, of_price(row, season, "tax_in_price"))


@SHOCKED.works_out("In price steps")
def steps(row: Any, season: Any) -> Any:
    """How many of the season's price steps that is."""
    settings = season.settings
    return equations.price_steps(row.exact, settings.price_step, settings.price_ending, settings.fine_decimals)


@SHOCKED.works_out("Suggested then", "money")
def suggested(row: Any, season: Any) -> Any:
    """The next price point up from there."""
    settings = season.settings
    return equations.price_point(row.steps, settings.price_step, settings.price_ending, settings.fine_decimals)


@SHOCKED.works_out("Look at", "text")
def remark(row: Any, season: Any) -> Any:
    """Says so where the margin wanted is missed after the change, though it is reached now."""
    tolerance = season.settings.tolerance
    missed = row.margin_then < row.wanted - tolerance
    already = row.margin_now < row.wanted - tolerance
    place = 1 + choose(both(missed, row.margin_now >= row.wanted - tolerance), 1, 0) + choose(already, 2, 0)
    return pick(place, NOTHING, "falls under its target", "under its target already")
