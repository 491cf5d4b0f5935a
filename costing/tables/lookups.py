"""What other tables say under the keys of a row: a row's product, price, channel or item."""

from __future__ import annotations

from typing import Any

from costing.engine.operations import NOTHING, choose, look_up, sum_where


def of_product(row: Any, season: Any, key: str) -> Any:
    """Return a figure of the row's product."""
    mine = season.products
    return sum_where(getattr(mine, key), mine.product, row.product)


def of_price(row: Any, season: Any, key: str) -> Any:
    """Return a figure of the price of the row's product in the row's channel."""
    mine = season.prices
    return sum_where(getattr(mine, key), mine.product, row.product, mine.channel, row.channel)


def of_channel(row: Any, season: Any, key: str) -> Any:
    """Return a figure of the row's channel."""
    mine = season.channels
    return sum_where(getattr(mine, key), mine.channel, row.channel)


def of_item(row: Any, season: Any, key: str) -> Any:
    """Return a figure of the row's item."""
    mine = season.items
    return sum_where(getattr(mine, key), mine.item, row.item)


def text_of_product(row: Any, season: Any, key: str) -> Any:
    """Return a text of the row's product, nothing in a row without one."""
    mine = season.products
    return choose(row.product == "", NOTHING, look_up(getattr(mine, key), mine.product, row.product))


def text_of_item(row: Any, season: Any, key: str) -> Any:
    """Return a text of the row's item, nothing in a row without one."""
    mine = season.items
    return choose(row.item == "", NOTHING, look_up(getattr(mine, key), mine.item, row.item))
