"""What other tables say under a key: a product, its price in a channel, a channel, an item."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.operations import look_up, sum_where
from costing.fields.views import Cells

if TYPE_CHECKING:
    from costing.tables.book import Book


def of_product(product: str, season: Book, values: Cells[float]) -> float:
    """Return a product's figure out of a column of Products."""
    return sum_where(values, season.products.product, product)


def of_price(product: str, channel: str, season: Book, values: Cells[float]) -> float:
    """Return the figure of a product in a channel, out of a column of Prices."""
    return sum_where(values, season.prices.product, product, season.prices.channel, channel)


def of_channel(channel: str, season: Book, values: Cells[float]) -> float:
    """Return a channel's figure out of a column of Channels."""
    return sum_where(values, season.channels.channel, channel)


def of_all(values: Cells[float], season: Book) -> float:
    """Return the sum of a column of Overheads over those that all channels carry."""
    return sum_where(values, season.overheads.for_all, 1)


def of_the_channel(channel: str, season: Book, values: Cells[float]) -> float:
    """Return the sum of a column of Overheads over those that one channel alone carries."""
    return sum_where(values, season.overheads.channel, channel)


def of_item(item: str, season: Book, values: Cells[float]) -> float:
    """Return an item's figure out of a column of Items."""
    return sum_where(values, season.items.item, item)


def of_keeping(formula: str, season: Book, values: Cells[float]) -> float:
    """Return a formula's figure out of a column of Keeping."""
    return sum_where(values, season.keeping.formula, formula)


def put_in(formula: str, season: Book) -> float:
    """Return the grams of all that goes into a batch of a formula."""
    return sum_where(season.making.added, season.making.formula, formula)


def text_of_product(product: str, season: Book, values: Cells[str]) -> str:
    """Return a product's text out of a column of Products, nothing where it is not there."""
    return look_up(values, season.products.product, product)


def text_of_item(item: str, season: Book, values: Cells[str]) -> str:
    """Return an item's text out of a column of Items, nothing where it is not there."""
    return look_up(values, season.items.item, item)


def of_made(what: str, season: Book) -> float:
    """Return what is on hand of something made: grams, or pieces of a product."""
    return sum_where(season.made.on_hand, season.made.what, what)
