"""Since last season: what items, products and prices were then, beside what they are now.

What was then, and what each change did, is kept: it follows from another season's records. All else follows this book.
"""

from __future__ import annotations

from typing import Annotated, Any

from costing.engine.operations import NOTHING, both, choose, ratio, read_as, round_half, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, NumberField, Record, Reference, Text, given
from costing.tables.lookups import of_price, of_product

Amount = Annotated[float, NumberField("money")]
Part = Annotated[float, NumberField("", shape="percent")]

EFFECTS = ("purchases", "formulas", "rates", "packaging", "overheads")
ORDER = (
    "One after the other, last season's are replaced by this season's: the prices of everything bought, then formulas, "
    "fills and minutes, then the rates for work and power, then the tubs, and overheads last."
)
PER_KG, PER_PIECE = "kg", "piece"
THIN = "under the margin wanted"


class ProductSince(Record):
    """A product of both seasons: what one cost then, and what each change did to that."""

    product: Key = given("Product", "A product of both seasons.")
    then: Amount = given("Cost then", "What one cost last season, overheads included.")
    purchases: Amount = given("Purchases did", "What the prices of everything bought, jars and labels too, changed.")
    formulas: Amount = given("Formulas did", "What lines, steps, losses, outputs, fill, waste and minutes changed.")
    rates: Amount = given("Rates did", "What the prices of an hour of work and of power changed.")
    packaging: Amount = given("Packaging did", "What another tub, or other parts in it, changed.")
    overheads: Amount = given("Overheads did", "What its part of the overheads changed: their sums, and the plan.")


class ItemSince(Record):
    """An item of both seasons with its price then."""

    item: Key = given("Item", "An item that both seasons price.")
    per: Text = given("Per", "What the price is for: a kilogram, or a piece.")
    then: Amount = given("Price then", "What it counted at last season.", decimals=4)


class PriceSince(Record):
    """A product in a channel of both seasons, with its price and margin then."""

    product: Key = given("Product", "A product of both seasons.")
    channel: Key = given("Channel", "A channel of both seasons.")
    then: Amount = given("Price then", "The price that was shown last season.")
    margin_then: Part = given("Margin then", "The part of it that was left last season, without tax.")


class OnlyOnce(Record):
    """Something that only one of the two seasons has."""

    what: Text = given("What", "An item, a product, or a product in a channel.")
    key: Reference = given("Which", "Its key.")
    status: Text = given("New or gone", "Whether only this season has it (new), or only last season had it (gone).")
    per: Text = given("Per", "What the amount is for: a kilogram, a piece, or one product.")
    amount: Amount = given("Amount", "An item's price, a product's cost, or the price shown, in the season that has it.")


def _fixed(key: str, title: str, about: str, model: type[Record]) -> Table:
    return Table(key, "Since last season", title, about, model, spare=0, fixed=True, workbook=None)


PRODUCTS_SINCE = _fixed("since_products", "What one costs, then and now", ORDER, ProductSince)
ITEMS_SINCE = _fixed("since_items", "What items cost, then and now", "Every item that both seasons price.", ItemSince)
PRICES_SINCE = _fixed(
    "since_prices", "Last season's prices at this season's costs", "What would be left at the price of then.", PriceSince
)
ONLY_ONCE = _fixed("since_only", "New and gone", "What only one of the two seasons has.", OnlyOnce)
SINCE_TABLES = (PRODUCTS_SINCE, PRICES_SINCE, ITEMS_SINCE, ONLY_ONCE)


@PRODUCTS_SINCE.works_out("Cost now", "money")
def now(row: Any, season: Any) -> Any:
    """What one costs in this book."""
    return of_product(row, season, "total")


@PRODUCTS_SINCE.works_out("Changed by", "money")
def changed(row: Any, _: Any) -> Any:
    """Cost now less cost then."""
    return row.now - row.then


@PRODUCTS_SINCE.works_out("Of cost then", shape="percent")
def changed_part(row: Any, _: Any) -> Any:
    """The change as a part of the cost then."""
    return ratio(row.changed, row.then)


@PRODUCTS_SINCE.works_out("Your edits did", "money")
def edits(row: Any, season: Any) -> Any:
    """What is left of the change after the five: what was edited in this book since it was written."""
    five = row.purchases + row.formulas + row.rates + row.packaging + row.overheads
    return round_half(row.changed - five, season.settings.fine_decimals)


@ITEMS_SINCE.works_out("Price now", "money", decimals=4)
def item_now(row: Any, season: Any) -> Any:
    """What it counts at in this book."""
    mine = season.items
    each = read_as(sum_where(mine.per_piece, mine.item, row.item), "money")
    per_kg = read_as(sum_where(mine.per_kg, mine.item, row.item), "money")
    return choose(row.per == PER_PIECE, each, per_kg)


@ITEMS_SINCE.works_out("Changed by", "money", decimals=4)
def item_changed(row: Any, _: Any) -> Any:
    """Price now less price then."""
    return row.item_now - row.then


@ITEMS_SINCE.works_out("Of price then", shape="percent")
def item_changed_part(row: Any, _: Any) -> Any:
    """The change as a part of the price then."""
    return ratio(row.item_changed, row.then)


@PRICES_SINCE.works_out("Then without tax", "money")
def net(row: Any, season: Any) -> Any:
    """What the price of then is without this season's tax."""
    return ratio(row.then, of_price(row, season, "tax_in_price"))


@PRICES_SINCE.works_out("Fees take", shape="percent")
def fee_part(row: Any, season: Any) -> Any:
    """The channel's fee as a part of the price without tax."""
    return of_price(row, season, "fee") * (1 + of_price(row, season, "tax"))


@PRICES_SINCE.works_out("Costs to cover now", "money")
def costs(row: Any, season: Any) -> Any:
    """What one costs in this book, with the parcel and the fee for each sale."""
    return of_price(row, season, "costs")


@PRICES_SINCE.works_out("Left at that price", "money")
def left(row: Any, _: Any) -> Any:
    """What the price of then would leave at the costs of now."""
    return row.net - row.fee_part * row.net - row.costs


@PRICES_SINCE.works_out("Margin at that price", shape="percent")
def margin(row: Any, _: Any) -> Any:
    """The same as a part of the price without tax."""
    return ratio(row.left, row.net)


@PRICES_SINCE.works_out("Margin wanted", shape="percent")
def wanted(row: Any, season: Any) -> Any:
    """The channel's, in this book."""
    return of_price(row, season, "wanted")


@PRICES_SINCE.works_out("Suggested now", "money")
def suggested(row: Any, season: Any) -> Any:
    """The price that this book suggests."""
    return of_price(row, season, "suggested")


@PRICES_SINCE.works_out("Price now", "money")
def used(row: Any, season: Any) -> Any:
    """The price that this book uses: your own, else the suggested one."""
    return of_price(row, season, "used")


@PRICES_SINCE.works_out("Look at", "text")
def remark(row: Any, season: Any) -> Any:
    """Says so when the price of then would leave less than the margin wanted."""
    below = row.margin < row.wanted - season.settings.tolerance
    return choose(both(row.net > 0, below), THIN, NOTHING)
