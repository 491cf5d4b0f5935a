"""A deliberately plain decider: what a profit takes, and how sure costs are, by costing the whole season over and over."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from typing import Any

from tests.laws import plain


def with_prices(records: Any, times: Fraction) -> Any:
    """Return the records with every price written as so many times what is used."""
    used = {(row["product"], row["channel"]): row["price"] for row in plain.figures(records)["prices"]}
    rows = [row.model_copy(update={"price": used[row.product, row.channel] * times}) for row in records.prices]
    return replace(records, prices=replace(records.prices, records=tuple(rows)))


def with_sales(records: Any, times: int) -> Any:
    """Return the records with so many times as many planned of everything, each price written as it is used now."""
    records = with_prices(records, Fraction(1))
    rows = [row.model_copy(update={"planned": row.planned * times}) for row in records.prices]
    return replace(records, prices=replace(records.prices, records=tuple(rows)))


def deciding(records: Any, wanted: Fraction) -> dict[str, Fraction | None]:
    """Return by how much all prices, or all sales, must go up: profit goes with either in a straight line."""
    profit, dearer, more = (
        plain.figures(each)["totals"]["profit"]
        for each in (records, with_prices(records, Fraction(2)), with_sales(records, 2))
    )
    return {
        "prices_up": (wanted - profit) / (dearer - profit) if dearer > profit else None,
        "sales_up": (wanted - profit) / (more - profit) if more > profit else None,
    }


def _paid(season: Any) -> dict[str, list[Fraction]]:
    """Return what a gram or piece of each item cost, purchase by purchase, in the window of average and dearest."""
    begins = season.settings.priced_on - timedelta(days=int(season.settings.average_days))
    return {
        item: [landed / amount for day, landed, amount, sets_price in rows if sets_price and day > begins]
        for item, rows in season.bought.items()
    }


def _costs(records: Any, prices: dict[str, Fraction]) -> dict[str, Fraction]:
    """Return what one of each product costs when items count at other prices."""
    season = plain.Season(records, prices)
    return {product: cost["total"] for product, cost in season.cost.items()}


def ranges(records: Any) -> dict[str, dict[str, float]]:
    """Return the likely range of each product's cost, and what it is at either end."""
    season = plain.Season(records)
    paid = {item: prices for item, prices in _paid(season).items() if prices}
    now = _costs(records, {})
    squares = dict.fromkeys(now, 0.0)
    for item, prices in paid.items():
        mean, number = sum(prices, Fraction()) / len(prices), len(prices)
        variance = sum((price - mean) ** 2 for price in prices) / (number - 1) if number > 1 else Fraction(0)
        if variance:
            dearer = _costs(records, {item: season.price[item] + 1})
            for product, cost in dearer.items():
                squares[product] += float((cost - now[product]) ** 2 * variance)
    lowest, highest = (_costs(records, {item: end(prices) for item, prices in paid.items()}) for end in (min, max))
    return {
        product: {"likely": math.sqrt(square), "cheapest": float(lowest[product]), "dearest": float(highest[product])}
        for product, square in squares.items()
    }
