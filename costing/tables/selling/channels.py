"""Channels: the ways of selling, with what each takes and the margin wanted."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from costing.engine.operations import NOTHING, both, choose
from costing.engine.table import Table
from costing.fields.types import Key, Money, PercentField, Record, Text, YesNo, given
from costing.tables import equations


class Channel(Record):
    """One way of selling."""

    channel: Key = given("Channel", "The key under which prices name it.")
    name: Text = given("Name", "Its name in full.", default="")
    sales_tax_percent: Annotated[Decimal, PercentField()] = given(
        "Sales tax", "Added to what you earn; yours to look up.", default=Decimal(0)
    )
    shown_with_tax: YesNo = given("Shown with tax", "yes if the price that is shown holds the tax.", default="yes")
    fee_percent: Annotated[Decimal, PercentField()] = given(
        "Fee", "Taken of what the customer pays, tax included.", default=Decimal(0)
    )
    fee_each: Money = given("Fee each", "Taken for each sale.", default=Decimal(0))
    parcel_each: Money = given("Parcel each", "Box, filling and postage for each tub.", default=Decimal(0))
    margin_percent: Annotated[Decimal, PercentField(most=99)] = given(
        "Margin wanted", "The part of the price without tax that is to be left after all costs and fees."
    )


UNREACHABLE = "no price reaches the margin"

CHANNELS = Table(
    "channels", "Channels", "Channels", "Where you sell. Sales tax is yours to look up: none is built in.", Channel
)


@CHANNELS.works_out("Tax in price", shape="percent")
def tax_shown(row: Any, _: Any) -> Any:
    """The sales tax that the shown price holds, on top of the price without it."""
    return choose(row.shown_with_tax == "no", 0, row.sales_tax_percent)


@CHANNELS.works_out("Kept for costs", shape="percent")
def kept(row: Any, _: Any) -> Any:
    """The part of the price without tax that is left for costs, after margin and fee."""
    kept_of_net = equations.kept_of_net(row.margin_percent, row.fee_percent, row.sales_tax_percent)
    return choose(row.channel == "", 0, kept_of_net)


@CHANNELS.works_out("Look at", "text")
def remark(row: Any, _: Any) -> Any:
    """Says so when fees and margin leave nothing to pay the costs from."""
    return choose(both(row.channel != "", row.kept <= 0), UNREACHABLE, NOTHING)
