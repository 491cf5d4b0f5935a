"""Prices: for each product and channel what it should sell for, and what that earns."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, keeps, worked
from costing.engine.operations import NOTHING, both, choose, count_both_same, either, is_missing, pick, ratio, ratio_if
from costing.engine.table import Sheet, Table
from costing.fields.types import Count, Key, NumberField, Record, given
from costing.fields.views import OptionalNumber
from costing.tables import equations, row_remarks
from costing.tables.lookups import of_channel, of_product
from costing.tables.ones import ONE_MONEY
from costing.tables.row_remarks import Tests
from costing.tables.selling.price_points import point_at, steps_to

if TYPE_CHECKING:
    from costing.tables.book import Book


class Price(Record):
    """One product in one channel."""

    product: Key = given("Product", "What is sold.", refers="products.product")
    channel: Key = given("Channel", "Where.", refers="channels.channel")
    planned: Count = given("Planned", "How many this season.", default=Decimal(0))
    price: OptionalNumber = given(
        "Own price",
        "Your own price as it is shown; blank for the suggested one.",
        NumberField("money", above=0),
        default=None,
    )


UNDER_FLOOR, UNDER_TARGET = "under the floor", "under the target"


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

    @worked("Cost of one", "money")
    def cost(self, season: Book) -> float:
        """Everything that one costs before it is sold."""
        return of_product(self.product, season, season.products.total)

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
        """The channel's."""
        return of_channel(self.channel, season, season.channels.fee_each)

    @worked("Parcel", "money")
    def parcel(self, season: Book) -> float:
        """The channel's."""
        return of_channel(self.channel, season, season.channels.parcel_each)

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

    @worked("Suggested", "money")
    def suggested(self, season: Book) -> float:
        """The next price point up from there."""
        return choose(self.product == "", 0, point_at(self.steps, season))

    @worked("Floor", "money")
    def floor(self, _: Book) -> float:
        """The price at which nothing is left: below it each sale loses money."""
        return equations.price_for(self.costs, self.kept + self.wanted, self.tax_in_price)

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
        """Says so when your own price lies under the floor, or leaves less than the margin wanted."""
        tolerance = season.settings.tolerance
        under_floor = self.used < self.floor - tolerance * ONE_MONEY
        under_target = both(self.margin < self.wanted - tolerance, self.used >= self.floor - tolerance * ONE_MONEY)
        own = self.price > 0
        place = 1 + choose(both(own, under_floor), 1, 0) + choose(both(own, under_target), 2, 0)
        return pick(place, NOTHING, UNDER_FLOOR, UNDER_TARGET)

    @worked("Mark-up", shape="percent")
    def markup(self, _: Book) -> float:
        """Profit as a part of the cost."""
        return ratio_if(self.cost > 0, self.profit, self.cost)

    @worked("Work in one", "money")
    def work(self, season: Book) -> float:
        """The work already priced into one."""
        return of_product(self.product, season, season.products.work)

    @worked("Hands-on", "minute", decimals=1)
    def hands_on(self, season: Book) -> float:
        """All hands-on minutes in one."""
        return of_product(self.product, season, season.products.hands_on)

    @worked("Pay per hour", "money/hour")
    def pay_per_hour(self, _: Book) -> float:
        """What an hour of hands-on work earns: the profit and the work already priced in."""
        return equations.hourly_pay(self.profit + self.work, self.hands_on)

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
        return self.planned * (self.profit + of_product(self.product, season, season.products.overheads))

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
    results=("cost", "suggested", "floor", "used", "profit", "margin", "pay_per_hour", "per_100g"),
)
