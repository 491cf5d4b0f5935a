"""Price shock: one item's price changed, and which products then miss their margin."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Figures, Rules, worked
from costing.engine.operations import NOTHING, both, choose, pick, ratio, sum_where
from costing.engine.table import FigureList, Sheet, Table
from costing.fields.types import Key, PercentField, Record, given
from costing.fields.views import Number
from costing.tables import equations
from costing.tables.buying.items import item_rows
from costing.tables.deciding.dials import HEADINGS
from costing.tables.lookups import of_price, of_product
from costing.tables.selling.price_points import point_at, steps_to
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class Shock(Record):
    """Whose price changes, and how far."""

    item: Key = given("Item", "The item whose price changes. Choose another: all below follows.", refers="items.item")
    change: Number = given(
        "Change",
        "How far its price changes: 25 % for a quarter more, -10 % for a tenth less.",
        PercentField(least=-100, most=None),
        default=Decimal(25),
    )


class ShockFigures(Shock, Figures):
    """The chosen item, and its price then."""

    @worked("Its price now", "money/each", decimals=5)
    def price_now(self, season: Book) -> float:
        """Per gram or piece, on the cost basis."""
        return sum_where(season.items.price, season.items.item, self.item)

    @worked("Its price then", "money/each", decimals=5)
    def price_then(self, season: Book) -> float:
        """Per gram or piece, after the change."""
        return self.price_now * (1 + self.change)


def first_shock(source: Source) -> Shock:
    """Return a bought base, or the first item, a quarter dearer."""
    items = source.of(item_rows)
    named = [*(row.item for row in items if row.kind == "base"), *(row.item for row in items), ""]
    return Shock.model_construct(item=named[0], change=Decimal(25))


SHOCK_SHEET = Sheet(
    "Price shock",
    "Price shock",
    "If one item's price changes – the bought base's, say – which products miss their margin, and what they then need.",
    notes_run_on=True,
)

SHOCK = FigureList("shock", SHOCK_SHEET, "shock_", ShockFigures, "The change", HEADINGS, record=first_shock)


class Shocked(Record):
    """One product in one channel."""

    product: Key = given("Product", "What is sold.")
    channel: Key = given("Channel", "Where.")


class ShockedRow(Shocked, Rules):
    """A price after the change."""

    @worked("Cost of one now", "money")
    def cost_now(self, season: Book) -> float:
        """Everything that one costs."""
        return of_price(self.product, self.channel, season, season.prices.cost)

    @worked("Costs more", "money", decimals=3)
    def dearer(self, season: Book) -> float:
        """What the change adds to it, with those unsold."""
        mine = season.in_tubs
        moved = sum_where(mine.moving, mine.product, self.product, mine.item, season.shock.item) * season.shock.change
        return moved * of_product(self.product, season, season.products.made_for_one)

    @worked("Price", "money")
    def price(self, season: Book) -> float:
        """The price used on Prices."""
        return of_price(self.product, self.channel, season, season.prices.used)

    @worked("Without tax", "money")
    def net(self, season: Book) -> float:
        """The price without tax."""
        return of_price(self.product, self.channel, season, season.prices.net)

    @worked("Margin now", shape="percent")
    def margin_now(self, season: Book) -> float:
        """What is left of it now."""
        return of_price(self.product, self.channel, season, season.prices.margin)

    @worked("Margin then", shape="percent")
    def margin_then(self, _: Book) -> float:
        """What is left of it after the change, at the same price."""
        return self.margin_now - ratio(self.dearer, self.net)

    @worked("Margin wanted", shape="percent")
    def wanted(self, season: Book) -> float:
        """The channel's."""
        return of_price(self.product, self.channel, season, season.prices.wanted)

    @worked("Kept for costs", shape="percent")
    def kept(self, season: Book) -> float:
        """The part of the price without tax that is left for costs, after margin and fee."""
        return of_price(self.product, self.channel, season, season.prices.kept)

    @worked("Costs to cover then", "money")
    def costs(self, season: Book) -> float:
        """The cost of one after the change, the parcel and the fee for each sale."""
        return of_price(self.product, self.channel, season, season.prices.costs) + self.dearer

    @worked("Exact price then", "money", decimals=4)
    def exact(self, season: Book) -> float:
        """The price at which exactly the margin wanted would be left."""
        return equations.price_for(
            self.costs, self.kept, of_price(self.product, self.channel, season, season.prices.tax_in_price)
        )

    @worked("In price steps")
    def steps(self, season: Book) -> float:
        """How many of the season's price steps that is."""
        return steps_to(self.exact, season)

    @worked("Suggested then", "money")
    def suggested(self, season: Book) -> float:
        """The next price point up from there, which would leave the margin wanted."""
        return point_at(self.steps, season)

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so where the margin wanted is missed after the change, though it is reached now."""
        tolerance = season.settings.tolerance
        missed = self.margin_then < self.wanted - tolerance
        already = self.margin_now < self.wanted - tolerance
        place = 1 + choose(both(missed, self.margin_now >= self.wanted - tolerance), 1, 0) + choose(already, 2, 0)
        return pick(place, NOTHING, "falls under its target", "under its target already")


def shocked_rows(source: Source) -> list[Shocked]:
    """Return every price, to be looked at after a change."""
    return [Shocked.model_construct(product=row.product, channel=row.channel) for row in source.records.prices]


SHOCKED = Table(
    "shocked",
    SHOCK_SHEET,
    "Price by price",
    "What the change does to each price on Prices: those under their target are named, with the price that reaches it.",
    ShockedRow,
    spare=0,
    fixed=True,
    rows=shocked_rows,
    results=("cost_now", "dearer", "price", "margin_now", "margin_then", "wanted", "suggested"),
)
