"""Channels: the ways of selling, with what each takes and the margin wanted."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_where,
    either,
    is_missing,
    or_one,
    ratio,
    round_half,
    sum_where,
)
from costing.engine.table import Sheet, Table
from costing.fields.types import Key, Money, NumberField, PercentField, Record, Text, YesNo, given
from costing.fields.views import Number
from costing.tables import equations, row_remarks
from costing.tables.row_remarks import Tests
from costing.tables.usual_values import says_unusual

if TYPE_CHECKING:
    from costing.tables.book import Book


class Channel(Record):
    """One way of selling."""

    channel: Key = given("Channel", "The key under which prices name it.")
    name: Text = given("Name", "A longer name; blank where there is none.", default="")
    sales_tax_percent: Number = given(
        "Sales tax", "Added to what you earn; yours to look up.", PercentField(), default=Decimal(0)
    )
    shown_with_tax: YesNo = given("Shown with tax", "yes if the price that is shown holds the tax.", default="yes")
    fee_percent: Number = given("Fee", "Taken of what the customer pays, tax included.", PercentField(), default=Decimal(0))
    fee_each: Money = given("Fee each", "Taken for each sale, without the tax that you get back.", default=Decimal(0))
    parcel_each: Money = given(
        "Parcel each", "Box, filling and postage of one parcel, without the tax that you get back.", default=Decimal(0)
    )
    sold_together: Number = given(
        "Sold together",
        "How many go in one sale and parcel, on average.",
        NumberField("", least=1),
        default=Decimal(1),
    )
    margin_percent: Number = given(
        "Margin wanted",
        "The part of the price without tax that is to be left after all costs and fees.",
        PercentField(most=99),
    )
    of_channel: Key = given(
        "Sells on at",
        "For a shop that sells on: the channel whose price it asks; blank for all others.",
        default="",
        refers="channels.channel",
    )
    shop_margin_percent: Number = given(
        "Shop keeps", "What such a shop keeps of that price without tax.", PercentField(most=99), default=Decimal(0)
    )


UNREACHABLE = "no price reaches the margin"


def _names(row: ChannelRow, _: Book) -> Tests:
    yield from row_remarks.left_empty(row, Channel)
    yield from row_remarks.twice(row, "channel")


def _keys(row: ChannelRow, _: Book) -> Tests:
    yield from row_remarks.badly_named(row)


def _shops(row: ChannelRow, season: Book) -> Tests:
    yield is_missing(season.channels.channel, row.of_channel), "Unknown channel it sells on at"
    shops = season.channels
    yield count_where(shops.shop, row.of_channel) > 0, "Sells on at a shop that sells on"


def _parts(row: ChannelRow, _: Book) -> Tests:
    yield both(row.of_channel == "", row.shop_margin_percent > 0), "No channel it sells on at"
    yield both(row.of_channel != "", row.shop_margin_percent == 0), "Nothing that the shop keeps"


def _taxes(row: ChannelRow, season: Book) -> Tests:
    tax = row.sales_tax_percent
    yield both(row.channel != "", tax == 0, season.beside.sales_tax > 0), "No sales tax, unlike others"
    yield both(tax > 0, tax < season.settings.one_percent), "Sales tax below 1 %"


def _fees(row: ChannelRow, season: Book) -> Tests:
    fee, steps = row.fee_percent, row.fee_percent * 100 / season.settings.round_fee
    yield both(fee > 0, fee < season.settings.one_percent, season.beside.usual_fees >= 0), "Fee below 1 %"
    odd = either(row.fee_each > 0, steps != round_half(steps, 0))
    yield both(fee > season.settings.most_fee, odd), "Much for a payment"


_DOUBTS = ("unusual_fee", "unusual_margin", "unusual_together", "unusual_keeping", "doubt_of_tax", "doubt_of_fee")
_WRONG = ("wrong_cells", "wrong_words", "wrong_names", "wrong_shop", "wrong_part", "wrong_key")


class ChannelRow(Channel, Rules):
    """What a channel leaves for costs."""

    @worked("Tax in price", shape="percent")
    def tax_shown(self, _: Book) -> float:
        """The sales tax that the shown price holds, on top of the price without it."""
        return choose(self.shown_with_tax == "no", 0, self.sales_tax_percent)

    @worked("Kept for costs", shape="percent")
    def kept(self, _: Book) -> float:
        """The part of the price without tax that is left for costs, after margin and fee."""
        kept_of_net = equations.kept_of_net(self.margin_percent, self.fee_percent, self.sales_tax_percent)
        return choose(self.channel == "", 0, kept_of_net)

    @worked("Parcel for one", "money")
    def parcel_of_one(self, _: Book) -> float:
        """The part of a parcel that each piece in it bears."""
        return ratio(self.parcel_each, or_one(self.sold_together, self.channel))

    @worked("Fee for one", "money")
    def fee_of_one(self, _: Book) -> float:
        """The part of the fee for a sale that each piece in it bears."""
        return ratio(self.fee_each, or_one(self.sold_together, self.channel))

    @worked("Shop that sells on", "text")
    def shop(self, _: Book) -> str:
        """Its own name, where it is a shop that sells on."""
        return choose(self.of_channel == "", NOTHING, self.channel)

    @worked("Asks the price of", "text")
    def asks(self, _: Book) -> str:
        """The channel whose price such a shop asks."""
        return choose(self.of_channel == "", NOTHING, self.of_channel)

    @worked("Of the price asked", shape="percent")
    def sold_on(self, season: Book) -> float:
        """What such a shop pays, without tax, of the price that it asks."""
        tax = sum_where(season.channels.tax_shown, season.channels.channel, self.of_channel)
        return choose(self.of_channel == "", 0, equations.sold_on_part(self.shop_margin_percent, tax))

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so when fees and margin leave nothing to pay the costs from."""
        nothing = equations.nothing_kept(self.kept, season.settings.step_decimals)
        return choose(both(self.channel != "", nothing), UNREACHABLE, NOTHING)

    name_flaws = row_remarks.name_flaws("channel")
    used_row = row_remarks.used_row(Channel)
    wrong_cells = row_remarks.wrong_cells(Channel)
    wrong_words = row_remarks.wrong_words(Channel)
    wrong_names = row_remarks.says("Wrong names", "Names that are empty or stand there twice, a margin left empty.", _names)
    wrong_key = row_remarks.says("Wrong keys", "Names that a sheet takes for something else.", _keys)
    unusual_fee = says_unusual("channels", "fee_percent", "fee")
    wrong_shop = row_remarks.says("Wrong shops", "Shops that sell on at a channel that cannot be.", _shops)
    wrong_part = row_remarks.says("Wrong parts of shops", "Half of what a shop that sells on needs.", _parts)
    unusual_margin = says_unusual("channels", "margin_percent", "margin")
    unusual_together = says_unusual("channels", "sold_together", "number together")
    unusual_keeping = says_unusual("channels", "shop_margin_percent", "part that the shop keeps")
    doubt_of_tax = row_remarks.says("Look at its tax", "A sales tax that looks like a slip.", _taxes)
    doubt_of_fee = row_remarks.says("Look at its fee", "A fee that looks like a slip.", _fees)
    looked_at = row_remarks.looked_at("channels", "channel")
    to_look_at = row_remarks.to_look_at(*_DOUBTS, seen=True)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, looks=("remark",), doubts=_DOUBTS)


CHANNELS = Table(
    "channels",
    Sheet("Channels", everyday=True),
    "Channels",
    "Where you sell. Sales tax is yours to look up: none is built in.",
    ChannelRow,
    results=(),
    seldom=("name", "sold_together", "of_channel", "shop_margin_percent"),
)
