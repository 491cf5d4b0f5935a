"""Which rows the sheets around the price have: what is followed, moved, bought, weighed, stocked and sold."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal

from costing.records.schema import SeasonRecords
from costing.tables.buying.items import Item
from costing.tables.buying.stock import StockRow
from costing.tables.deciding.contents import Content
from costing.tables.deciding.cost_drivers import KINDS, Driver, Place
from costing.tables.deciding.price_shock import Shocked
from costing.tables.deciding.shopping_list import ToBuy
from costing.tables.deciding.tub_contents import InTub
from costing.tables.making.recipe_cards import MakingRow
from costing.tables.scales.fills import FillRow
from costing.tables.selling.break_even import EvenRow
from costing.tables.selling.price_ladder import LadderRow
from costing.tables.selling.prices import Price
from costing.tables.selling.shelf_cards import Card

MOST_PLACES = 15


def content_rows(cards: list[MakingRow]) -> list[Content]:
    """Return every bought item on its way through the formulas, in the order of the cards.

    A formula that takes a made thing takes all that is in it; so each formula's items are those of its lines together.
    """
    inside: dict[str, list[str]] = {}
    rows: list[Content] = []
    for formula in dict.fromkeys(card.formula for card in cards):
        own = [card for card in cards if card.formula == formula]
        items: dict[str, None] = {}
        for what in dict.fromkeys(card.what for card in own if card.row == "line"):
            for item in inside.get(what, [what]):
                items[item] = None
                rows.append(_content(formula, "line", what, item))
        outputs = [f"{formula}/{card.what}" for card in own if card.row == "output"]
        for made in (formula, *outputs):
            inside[made] = list(items)
            rows += [_content(formula, "made", made, item) for item in items]
    return rows


def _content(formula: str, row: str, what: str, item: str) -> Content:
    return Content.model_construct(formula=formula, row=row, what=what, item=item)


def in_tub_rows(records: SeasonRecords, contents: list[Content]) -> list[InTub]:
    """Return every bought item of every product: those in its filling, then the parts of its tub."""
    inside: dict[str, list[str]] = defaultdict(list)
    for row in contents:
        if row.row == "made":
            inside[row.what].append(row.item)
    parts: dict[str, list[str]] = defaultdict(list)
    for part in records.tubs:
        parts[part.tub].append(part.part)
    return [
        InTub.model_construct(product=product.product, item=item)
        for product in records.products
        for item in dict.fromkeys([*inside[product.filled_with], *parts[product.tub]])
    ]


def buying_rows(in_tubs: list[InTub]) -> list[ToBuy]:
    """Return every item that any product takes."""
    return [ToBuy.model_construct(item=item) for item in dict.fromkeys(row.item for row in in_tubs)]


def driver_rows(items: list[ToBuy]) -> list[Driver]:
    """Return all that can move the cost of a tub."""
    prices = [Driver.model_construct(driver=f"price of {row.item}", kind="item", item=row.item) for row in items]
    return prices + [Driver.model_construct(driver=kind, kind=kind, item="") for kind in KINDS if kind != "item"]


def ranked_rows(drivers: list[Driver]) -> list[Place]:
    """Return the places of the sorted list."""
    return [Place.model_construct(place=Decimal(at)) for at in range(1, min(len(drivers), MOST_PLACES) + 1)]


def shocked_rows(records: SeasonRecords) -> list[Shocked]:
    """Return every price, to be looked at after a change."""
    return [Shocked.model_construct(product=row.product, channel=row.channel) for row in records.prices]


def stock_rows(items: Sequence[Item]) -> list[StockRow]:
    """Return a line of the stock for each item."""
    return [StockRow(item=row.item) for row in items]


def ladder_rows(records: SeasonRecords) -> list[LadderRow]:
    """Return each product and channel with a price, the sizes of one filling in one channel under one another."""
    products = {row.product: row for row in records.products}
    lines = {line: at for at, line in enumerate(dict.fromkeys(row.filled_with for row in records.products))}
    channels = {row.channel: at for at, row in enumerate(records.channels)}

    def place(row: Price) -> tuple[int, int, Decimal]:
        product = products[row.product]
        return lines[product.filled_with], channels[row.channel], product.label_grams or product.fill_grams

    return [LadderRow(product=row.product, channel=row.channel) for row in sorted(records.prices, key=place)]


def even_rows(records: SeasonRecords) -> list[EvenRow]:
    """Return a line of the break-even for each product that is planned."""
    planned = {row.product for row in records.prices if row.planned}
    return [EvenRow(product=row.product) for row in records.products if row.product in planned]


def shelf_rows(records: SeasonRecords, ladder: list[LadderRow]) -> list[Card]:
    """Return a card for each planned price of the ladder that stands at a shelf: with all its tax in it, and no parcel."""
    shelves = {
        row.channel
        for row in records.channels
        if (row.shown_with_tax == "yes" or not row.sales_tax_percent) and not row.parcel_each
    }
    planned = {(row.product, row.channel) for row in records.prices if row.planned and row.channel in shelves}
    return [Card(product=row.product, channel=row.channel) for row in ladder if (row.product, row.channel) in planned]


def fill_rows(records: SeasonRecords) -> list[FillRow]:
    """Return a line of Fill for each product."""
    return [FillRow(product=row.product) for row in records.products]
