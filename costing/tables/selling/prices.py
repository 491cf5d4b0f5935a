"""Prices: for each product and channel what it should sell for, and what that earns."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from costing.engine.expressions import Factor
from costing.engine.operations import NOTHING, both, choose, pick, ratio
from costing.engine.table import Table
from costing.fields.types import Count, Key, NumberField, Record, given
from costing.tables import equations
from costing.tables.lookups import of_channel, of_product


class Price(Record):
    """One product in one channel."""

    product: Key = given("Product", "What is sold.", refers="products.product")
    channel: Key = given("Channel", "Where.", refers="channels.channel")
    planned: Count = given("Planned", "How many this season.", default=Decimal(0))
    price: Annotated[Decimal | None, NumberField("money", above=0)] = given(
        "Own price", "Your own price as it is shown; blank for the suggested one.", default=None
    )


ONE_MONEY = Factor(1, "money")
UNDER_FLOOR, UNDER_TARGET = "under the floor", "under the target"

PRICES = Table(
    "prices",
    "Prices",
    "Prices",
    "What each product should sell for. Fill in your own price where you want another; everything follows.",
    Price,
)


@PRICES.works_out("Cost of one", "money")
def cost(row: Any, season: Any) -> Any:
    """Everything that one costs before it is sold."""
    return of_product(row, season, "total")


@PRICES.works_out("Sales tax", shape="percent")
def tax(row: Any, season: Any) -> Any:
    """The channel's."""
    return of_channel(row, season, "sales_tax_percent")


@PRICES.works_out("Fee", shape="percent")
def fee(row: Any, season: Any) -> Any:
    """The channel's, of what the customer pays."""
    return of_channel(row, season, "fee_percent")


@PRICES.works_out("Fee each", "money")
def fee_each(row: Any, season: Any) -> Any:
    """The channel's."""
    return of_channel(row, season, "fee_each")


@PRICES.works_out("Parcel", "money")
def parcel(row: Any, season: Any) -> Any:
    """The channel's."""
    return of_channel(row, season, "parcel_each")


@PRICES.works_out("Margin wanted", shape="percent")
def wanted(row: Any, season: Any) -> Any:
    """The channel's."""
    return of_channel(row, season, "margin_percent")


@PRICES.works_out("Tax in price", decimals=4)
def tax_in_price(row: Any, season: Any) -> Any:
    """What the price without tax is multiplied by to give the price shown."""
    return choose(row.product == "", 0, 1 + of_channel(row, season, "tax_shown"))


@PRICES.works_out("Kept for costs", shape="percent")
def kept(row: Any, season: Any) -> Any:
    """The part of the price without tax that is left for costs, after margin and fee."""
    return of_channel(row, season, "kept")


@PRICES.works_out("Costs to cover", "money")
def costs(row: Any, _: Any) -> Any:
    """The cost of one, the parcel and the fee for each sale."""
    return row.cost + row.parcel + row.fee_each


@PRICES.works_out("Exact price", "money", decimals=4)
def exact(row: Any, _: Any) -> Any:
    """The price, as shown, at which exactly the margin wanted is left."""
    return equations.price_for(row.costs, row.kept, row.tax_in_price)


@PRICES.works_out("In price steps")
def steps(row: Any, season: Any) -> Any:
    """How many of the season's price steps that is, above the price ending."""
    settings = season.settings
    return equations.price_steps(row.exact, settings.price_step, settings.price_ending, settings.fine_decimals)


@PRICES.works_out("Suggested", "money")
def suggested(row: Any, season: Any) -> Any:
    """The next price point up from there."""
    settings = season.settings
    point = equations.price_point(row.steps, settings.price_step, settings.price_ending, settings.step_decimals)
    return choose(row.product == "", 0, point)


@PRICES.works_out("Floor", "money")
def floor(row: Any, _: Any) -> Any:
    """The price at which nothing is left: below it each sale loses money."""
    return equations.price_for(row.costs, row.kept + row.wanted, row.tax_in_price)


@PRICES.works_out("Price", "money")
def used(row: Any, _: Any) -> Any:
    """Your own price, else the suggested one."""
    return choose(row.price > 0, row.price, row.suggested)


PRICES.keeps("as_exported", "Price as exported", "used", "The price on the day this workbook was written.")


@PRICES.works_out("Changed by", "money")
def changed(row: Any, _: Any) -> Any:
    """What your edits in this workbook did to the price."""
    return row.used - row.as_exported


@PRICES.works_out("Without tax", "money")
def net(row: Any, _: Any) -> Any:
    """What the price is without tax."""
    return ratio(row.used, row.tax_in_price)


@PRICES.works_out("Fees", "money")
def fees(row: Any, _: Any) -> Any:
    """What the channel takes of one sale."""
    return choose(row.product == "", 0, equations.selling_fees(row.net, row.tax, row.fee, row.fee_each))


@PRICES.works_out("Profit", "money")
def profit(row: Any, _: Any) -> Any:
    """What is left of one sale after fees, parcel and cost."""
    return row.net - row.fees - row.parcel - row.cost


@PRICES.works_out("Margin", shape="percent")
def margin(row: Any, _: Any) -> Any:
    """Profit as a part of the price without tax."""
    return ratio(row.profit, row.net)


@PRICES.works_out("Look at", "text")
def remark(row: Any, season: Any) -> Any:
    """Says so when your own price lies under the floor, or leaves less than the margin wanted."""
    tolerance = season.settings.tolerance
    under_floor = row.used < row.floor - tolerance * ONE_MONEY
    under_target = both(row.margin < row.wanted - tolerance, row.used >= row.floor - tolerance * ONE_MONEY)
    own = row.price > 0
    place = 1 + choose(both(own, under_floor), 1, 0) + choose(both(own, under_target), 2, 0)
    return pick(place, NOTHING, UNDER_FLOOR, UNDER_TARGET)


@PRICES.works_out("Mark-up", shape="percent")
def markup(row: Any, _: Any) -> Any:
    """Profit as a part of the cost."""
    return ratio(row.profit, row.cost)


@PRICES.works_out("Work in one", "money")
def work(row: Any, season: Any) -> Any:
    """The work already priced into one."""
    return of_product(row, season, "work")


@PRICES.works_out("Hands-on", "minute", decimals=1)
def hands_on(row: Any, season: Any) -> Any:
    """All hands-on minutes in one."""
    return of_product(row, season, "hands_on")


@PRICES.works_out("Pay per hour", "money/hour")
def pay_per_hour(row: Any, _: Any) -> Any:
    """What an hour of hands-on work earns: the profit and the work already priced in."""
    return equations.hourly_pay(row.profit, row.work, row.hands_on)


@PRICES.works_out("On the label", "gram", decimals=0)
def on_label(row: Any, season: Any) -> Any:
    """The weight on the label."""
    return of_product(row, season, "on_label")


@PRICES.works_out("Per 100 g", "money")
def per_100g(row: Any, _: Any) -> Any:
    """The price of 100 g, by the weight on the label."""
    return equations.per_hundred_grams(row.used, row.on_label)


@PRICES.works_out("Season's sales", "money")
def season_net(row: Any, _: Any) -> Any:
    """All planned sales, without tax."""
    return row.planned * row.net


@PRICES.works_out("Season's profit", "money")
def season_profit(row: Any, _: Any) -> Any:
    """What is left of all planned sales."""
    return row.planned * row.profit


@PRICES.works_out("Season's profit before overheads", "money")
def season_contribution(row: Any, season: Any) -> Any:
    """What planned sales leave to carry the overheads."""
    return row.planned * (row.profit + of_product(row, season, "overheads"))
