"""Prices: for each product and channel what it should sell for, and what that earns."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, keeps, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_both_same,
    either,
    is_missing,
    larger,
    look_up,
    pick,
    ratio,
    ratio_if,
    sum_where,
)
from costing.engine.table import Sheet, Table
from costing.fields.types import Count, Key, NumberField, Record, given
from costing.fields.views import OptionalNumber
from costing.tables import equations, row_remarks
from costing.tables.lookups import of_channel, of_product, of_the_channel
from costing.tables.ones import ONE_MONEY
from costing.tables.row_remarks import Tests
from costing.tables.selling.price_points import point_at, steps_to

if TYPE_CHECKING:
    from costing.tables.book import Book


class Price(Record):
    """One product in one channel."""

    product: Key = given("Product", "What is sold.", refers="products.product")
    channel: Key = given("Channel", "Where.", refers="channels.channel")
    planned: Count = given("Planned", "How many you will sell this season.", default=Decimal(0))
    price: OptionalNumber = given(
        "Own price",
        "Your own price as it is shown; blank for the suggested one.",
        NumberField("money", above=0),
        default=None,
    )


UNDER_CASH, UNDER_FLOOR, UNDER_TARGET = "under the cash floor", "under the floor", "under the target"


def _names(row: PriceRow, _: Book) -> Tests:
    yield from row_remarks.left_empty(row, Price)


def _unknown(row: PriceRow, season: Book) -> Tests:
    yield is_missing(season.products.product, row.product), "Unknown product"
    yield is_missing(season.channels.channel, row.channel), "Unknown channel"


def _keys(row: PriceRow, _: Book) -> Tests:
    alike = count_both_same(row.through.product, row.product, row.through.channel, row.channel)
    yield both(row.product != "", alike > 1), "Twice"
    yield from row_remarks.zeros(row, "price")


def _doubts(row: PriceRow, season: Book) -> Tests:
    far, own, suggested = season.settings.far_own_price, row.price, row.suggested
    yield both(own > 0, suggested > 0, either(own >= suggested * far, own * far <= suggested)), "Unlike the suggested price"


_WRONG = ("wrong_cells", "wrong_names", "wrong_unknown", "wrong_key")


class PriceRow(Price, Rules):
    """What a product should sell for in a channel, and what that earns."""

    @worked("Fill", "gram", decimals=0)
    def fill(self, season: Book) -> float:
        """The product's."""
        return of_product(self.product, season, season.products.fill_grams)

    @worked("Hands-on", "minute", decimals=1)
    def hands_on(self, season: Book) -> float:
        """All hands-on minutes in one."""
        return of_product(self.product, season, season.products.hands_on)

    @worked("Planned fill", "gram", decimals=0)
    def planned_grams(self, _: Book) -> float:
        """The fill of all that are planned here."""
        return self.planned * self.fill

    @worked("Planned hands-on", "minute", decimals=0)
    def planned_minutes(self, _: Book) -> float:
        """The hands-on minutes in all that are planned here."""
        return self.planned * self.hands_on

    @worked("Overheads of the channel", "money")
    def channel_overheads(self, season: Book) -> float:
        """Its part of the overheads that this channel alone carries."""
        mine = season.overheads
        per_gram, per_minute = (of_the_channel(self.channel, season, each) for each in (mine.per_gram, mine.per_minute))
        each = of_the_channel(self.channel, season, mine.per_unit)
        return equations.overhead_of_one(each, per_gram, self.fill, per_minute, self.hands_on)

    @worked("Own time in them", "minute", decimals=1)
    def channel_time(self, season: Book) -> float:
        """Its part of the hours in these overheads, shared as they are."""
        mine = season.overheads
        per_gram = of_the_channel(self.channel, season, mine.time_per_gram)
        per_minute = of_the_channel(self.channel, season, mine.time_per_minute)
        each = of_the_channel(self.channel, season, mine.time_per_unit)
        return equations.overhead_time_of_one(each, per_gram, self.fill, per_minute, self.hands_on)

    @worked("Cost of one", "money")
    def cost(self, season: Book) -> float:
        """Everything that one costs before it is sold, with what only this channel costs."""
        return of_product(self.product, season, season.products.total) + self.channel_overheads

    @worked("Sales tax", shape="percent")
    def tax(self, season: Book) -> float:
        """The channel's."""
        return of_channel(self.channel, season, season.channels.sales_tax_percent)

    @worked("Fee", shape="percent")
    def fee(self, season: Book) -> float:
        """The channel's, of what the customer pays."""
        return of_channel(self.channel, season, season.channels.fee_percent)

    @worked("Fee each", "money")
    def fee_each(self, season: Book) -> float:
        """The channel's fee for each sale, by piece."""
        return of_channel(self.channel, season, season.channels.fee_of_one)

    @worked("Parcel", "money")
    def parcel(self, season: Book) -> float:
        """The channel's, by piece."""
        return of_channel(self.channel, season, season.channels.parcel_of_one)

    @worked("Margin wanted", shape="percent")
    def wanted(self, season: Book) -> float:
        """The channel's."""
        return of_channel(self.channel, season, season.channels.margin_percent)

    @worked("Tax in price", decimals=4)
    def tax_in_price(self, season: Book) -> float:
        """What the price without tax is multiplied by to give the price shown."""
        return choose(self.product == "", 0, 1 + of_channel(self.channel, season, season.channels.tax_shown))

    @worked("Kept for costs", shape="percent")
    def kept(self, season: Book) -> float:
        """The part of the price without tax that is left for costs, after margin and fee."""
        return of_channel(self.channel, season, season.channels.kept)

    @worked("Costs to cover", "money")
    def costs(self, _: Book) -> float:
        """The cost of one, the parcel and the fee for each sale."""
        return self.cost + self.parcel + self.fee_each

    @worked("Exact price", "money", decimals=4)
    def exact(self, _: Book) -> float:
        """The price, as shown, at which exactly the margin wanted is left."""
        return equations.price_for(self.costs, self.kept, self.tax_in_price)

    @worked("In price steps")
    def steps(self, season: Book) -> float:
        """How many of the season's price steps that is, above the price ending."""
        return steps_to(self.exact, season)

    @worked("For the margin", "money")
    def by_margin(self, season: Book) -> float:
        """The next price point up from there, which leaves the margin wanted."""
        return choose(self.product == "", 0, point_at(self.steps, season))

    @worked("Asked of customers", "money")
    def asked(self, _: Book) -> float:
        """The price that shops which sell on would ask, if they sell at this channel's price."""
        return choose(self.price > 0, self.price, self.by_margin)

    @worked("Sells on at", "text")
    def sells_on_at(self, season: Book) -> str:
        """The channel whose price a shop that sells on asks."""
        return look_up(season.channels.asks, season.channels.channel, self.channel)

    @worked("Recommended retail", "money")
    def retail(self, season: Book) -> float:
        """For a shop that sells on, the price that it asks, tax in it where that channel shows it so."""
        mine = season.prices
        return sum_where(mine.asked, mine.product, self.product, mine.channel, self.sells_on_at)

    @worked("From it, to the shop", "money")
    def to_shop(self, season: Book) -> float:
        """That price without its tax and what the shop keeps, with this channel's tax where it is shown, to the coin."""
        part = of_channel(self.channel, season, season.channels.sold_on)
        return equations.to_the_coin(self.retail * part * self.tax_in_price, season.beside.coins)

    @worked("Suggested", "money")
    def suggested(self, _: Book) -> float:
        """The price for the margin wanted; to a shop that sells on, what its own price and its part leave."""
        return choose(self.retail > 0, self.to_shop, self.by_margin)

    @worked("Floor, exact", "money", decimals=4)
    def floor(self, _: Book) -> float:
        """The price at which all cost is paid and nothing is left."""
        return equations.price_for(self.costs, self.kept + self.wanted, self.tax_in_price)

    @worked("Floor", "money")
    def floor_shown(self, season: Book) -> float:
        """The same, rounded up to the coin: below it a sale does not pay all its cost."""
        return equations.up_to_the_coin(self.floor, season.beside.coins, season.settings.step_decimals)

    @worked("Paid out for one", "money")
    def cash_cost(self, season: Book) -> float:
        """Materials, packaging and power, with those unsold: without your own work and overheads."""
        return of_product(self.product, season, season.products.cash_cost)

    @worked("Cash floor, exact", "money", decimals=4)
    def cash_floor(self, _: Book) -> float:
        """The price at which a sale brings in what it takes out: what is paid out for one, parcel and fees."""
        costs = self.cash_cost + self.parcel + self.fee_each
        return equations.price_for(costs, self.kept + self.wanted, self.tax_in_price)

    @worked("Cash floor", "money")
    def cash_floor_shown(self, season: Book) -> float:
        """The same, rounded up to the coin: below it each sale loses money, above it one helps to pay overheads."""
        return equations.up_to_the_coin(self.cash_floor, season.beside.coins, season.settings.step_decimals)

    @worked("Price", "money")
    def used(self, _: Book) -> float:
        """Your own price, else the suggested one."""
        return choose(self.price > 0, self.price, self.suggested)

    as_exported = keeps(used, "Price as exported", "The price on the day this workbook was written.")

    @worked("Changed by", "money")
    def changed(self, _: Book) -> float:
        """What your edits in this workbook did to the price."""
        return self.used - self.as_exported

    @worked("Without tax", "money")
    def net(self, _: Book) -> float:
        """What the price is without tax."""
        return ratio(self.used, self.tax_in_price)

    @worked("Fees", "money")
    def fees(self, _: Book) -> float:
        """What the channel takes of one sale."""
        return choose(self.product == "", 0, equations.selling_fees(self.net, self.tax, self.fee, self.fee_each))

    @worked("Brings", "money")
    def brings(self, _: Book) -> float:
        """What one sale brings in: the price without tax, less fees and parcel."""
        return self.net - self.fees - self.parcel

    @worked("Contributes", "money")
    def contribution(self, _: Book) -> float:
        """What one sale leaves for your work, the overheads and profit: what it brings, less what is paid out for one."""
        return self.brings - self.cash_cost

    @worked("Contributes per own minute", "money/minute")
    def contribution_per_minute(self, season: Book) -> float:
        """The same for each hands-on minute in one, with those unsold. Hours in overheads are not in it: they stay."""
        minutes = of_product(self.product, season, season.products.making_time)
        return ratio_if(minutes > 0, self.contribution, minutes)

    @worked("Profit", "money")
    def profit(self, _: Book) -> float:
        """What is left of one sale after fees, parcel and cost."""
        return self.brings - self.cost

    @worked("Margin", shape="percent")
    def margin(self, _: Book) -> float:
        """Profit as a part of the price without tax."""
        return ratio(self.profit, self.net)

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so when your own price, or that to a shop, lies under a floor or leaves less than the margin wanted."""
        tolerance = season.settings.tolerance
        told = choose(either(self.price > 0, self.retail > 0), 1, 0)
        short = choose(self.margin < self.wanted - tolerance, 1, 0)
        floors = choose(self.used < self.floor - tolerance * ONE_MONEY, 1, 0)
        cash = choose(self.used < self.cash_floor - tolerance * ONE_MONEY, 1, 0)
        return pick(1 + told * larger(short, floors * 2 + cash), NOTHING, UNDER_TARGET, UNDER_FLOOR, UNDER_CASH)

    @worked("Misses its margin", decimals=0)
    def misses(self, _: Book) -> float:
        """1 where that is said."""
        return choose(self.remark == NOTHING, 0, 1)

    @worked("Mark-up", shape="percent")
    def markup(self, _: Book) -> float:
        """Profit as a part of all costs: the cost of one, parcel and fees."""
        costs = self.cost + self.parcel + self.fees
        return ratio_if(costs > 0, self.profit, costs)

    @worked("Own work for one", "money")
    def work(self, season: Book) -> float:
        """Your own work already priced in: with those unsold, and the hours in overheads."""
        hours = equations.wage(self.channel_time, season.settings.hourly_rate)
        return of_product(self.product, season, season.products.own_work) + hours

    @worked("Own time for one", "minute", decimals=1)
    def own_time(self, season: Book) -> float:
        """Your own minutes for one: with those unsold, and the hours in overheads."""
        return of_product(self.product, season, season.products.own_time) + self.channel_time

    @worked("Pay per hour", "money/hour")
    def pay_per_hour(self, _: Book) -> float:
        """What an hour of your own earns: the profit and the work already priced in."""
        return equations.hourly_pay(self.profit + self.work, self.own_time)

    @worked("On the label", "gram", decimals=0)
    def on_label(self, season: Book) -> float:
        """The weight on the label."""
        return of_product(self.product, season, season.products.on_label)

    @worked("Per 100 g", "money")
    def per_100g(self, _: Book) -> float:
        """The price of 100 g, by the weight on the label."""
        return equations.per_hundred_grams(self.used, self.on_label)

    @worked("Season's sales", "money")
    def season_net(self, _: Book) -> float:
        """All planned sales, without tax."""
        return self.planned * self.net

    @worked("Season's profit", "money")
    def season_profit(self, _: Book) -> float:
        """What is left of all planned sales."""
        return self.planned * self.profit

    @worked("Season's profit before overheads", "money")
    def season_contribution(self, season: Book) -> float:
        """What planned sales leave to carry the overheads."""
        overheads = of_product(self.product, season, season.products.overheads) + self.channel_overheads
        return self.planned * (self.profit + overheads)

    @worked("Season's own work", "money")
    def season_work(self, _: Book) -> float:
        """Your own work already priced into all planned sales."""
        return self.planned * self.work

    @worked("Season's own time", "minute", decimals=0)
    def season_time(self, _: Book) -> float:
        """Your own minutes for all planned sales."""
        return self.planned * self.own_time

    @worked("Kept of season's sales", "money")
    def season_kept(self, _: Book) -> float:
        """What is left of them after the fees that go with the price: what twice the price would bring more."""
        return self.planned * equations.kept_of_rise(self.net, self.tax, self.fee)

    used_row = row_remarks.used_row(Price)
    wrong_cells = row_remarks.wrong_cells(Price)
    wrong_names = row_remarks.says("Wrongly empty", "Names that are empty.", _names)
    wrong_unknown = row_remarks.says("Wrong names", "Names that lead nowhere.", _unknown)
    wrong_key = row_remarks.says("Wrong keys", "What stands there twice, and a price of 0.", _keys)
    doubt = row_remarks.says("Look at its price", "An own price far from the suggested one.", _doubts)
    looked_at = row_remarks.looked_at("prices", "product", "channel")
    to_look_at = row_remarks.to_look_at("doubt", seen=True)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, looks=("remark",), doubts=("doubt",))


PRICES = Table(
    "prices",
    Sheet("Prices", frozen=2, everyday=True),
    "Prices",
    "What each product should sell for. Fill in your own price where you want another; everything follows.",
    PriceRow,
    results=(
        "cost",
        "suggested",
        "floor_shown",
        "cash_floor_shown",
        "used",
        "profit",
        "margin",
        "pay_per_hour",
    ),
)
