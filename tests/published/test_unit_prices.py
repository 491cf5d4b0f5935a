"""Unit prices: to a tenth of a cent below 1, to the cent from there on, half up.

Figures: OpenStax Prealgebra 2e, section 5.6, printed, each ounce or piece of the book being 100 g on a label here.
The rule below 1: Price Marking Order (Northern Ireland) 2004, NISR 2004/368, article 13. From 1 on: from memory.
"""

from __future__ import annotations

import pytest

import costing
from costing.tables.equations import unit_price
from tests.published.closeness import exactly, printed
from tests.published.seasons import costed, product


def marked(price: float, units: float, **settings: float) -> dict[str, float]:
    """Return a price's line of the ladder, for a tub that holds so many times 100 g."""
    season = costed(
        settings=settings,
        products=[product("tub", "filling", units * 100)],
        prices=[{"product": "tub", "channel": "stall", "price": price}],
    )
    found: dict[str, float] = costing.further_figures(season)["price_ladder"][0]
    return found


@pytest.mark.parametrize(
    ("price", "units", "unit"),
    [
        (14.99, 64, 0.234), (15.99, 80, 0.200), (6.99, 50.7, 0.138), (4.79, 33.8, 0.142), (2.99, 40, 0.075),
        (4.39, 64, 0.069), (8.69, 8, 1.09), (3.39, 0.5, 6.78),
    ],
)  # fmt: skip
def test_unit_prices_as_printed(price: float, units: float, unit: float) -> None:
    """Eight soap bars at 8.69 are 1.09 each, half a unit at 3.39 is 6.78 for one, and so on: printed.

    One is printed as 0.199, cut short: 15.99 ÷ 80 is 0.199875, which rounds to 0.200.
    """
    assert marked(price, units)["unit_price_100g"] == unit
    assert marked(price, units)["unit_price_100g"] == printed(price / units, 3 if unit < 1 else 2)


@pytest.mark.parametrize(("price", "cents"), [(3.99, 0.17), (6.99, 0.29)])
def test_decimals_are_a_setting(price: float, cents: float) -> None:
    """24 for 3.99 and 6.99 are printed as 0.17 and 0.29, to the cent: one decimal, and one more below 1."""
    assert marked(price, 24, unit_price_decimals=1)["unit_price_100g"] == cents


def test_a_kilogram_is_ten_times_a_hundred_grams_before_rounding() -> None:
    """2.99 for 4 kg are 0.748 a kilogram, computed here: 0.7475 half up, and not ten times 0.075."""
    assert marked(2.99, 40)["unit_price_kg"] == exactly(0.748)


@pytest.mark.parametrize(
    ("exact", "rounded"),
    [(0.0744, 0.074), (0.0745, 0.075), (0.9994, 0.999), (0.9995, 1.0), (1.004, 1.0), (1.005, 1.01), (12.345, 12.35)],
)
def test_rounding_of_the_rule(exact: float, rounded: float) -> None:
    """Hundredths of a penny from 5 on are rounded up, up to 4 down: article 13; to a cent from 1 on, from memory."""
    assert unit_price(exact, 1, 2) == rounded
