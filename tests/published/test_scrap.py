"""Sell what is left over, or make something of it, as trimmings into whipped soap.

Figures: OpenStax Principles of Accounting Vol. 2, on selling or processing further (chapter 10, number from memory).
"""

from __future__ import annotations

import pytest

from tests.published.closeness import exactly
from tests.published.seasons import MONEY_PER_MINUTE, bought, costed, line, product


@pytest.mark.parametrize("sunk", [2, 5])
@pytest.mark.parametrize(
    ("scrap", "fetches", "units", "price", "cost", "fixed", "sell", "process"),
    [
        (400_000, 2.25, 100_000, 15.00, 2.85, 85_000, 900_000, 1_130_000),
        (200_000, 1.10 - 0.30, 100_000, 3.50, 0.60, 200_000, 160_000, 90_000),
        (1, 22, 1, 38, 11, 0, 22, 27),
    ],
    ids=["leather", "apples", "rework"],
)
def test_profit_on_scrap_is_what_processing_earns_more_than_selling(
    *,
    scrap: float,
    fetches: float,
    units: float,
    price: float,
    cost: float,
    fixed: float,
    sell: float,
    process: float,
    sunk: float,
) -> None:
    """Selling against processing: 900,000 to 1,130,000; 160,000 to 90,000; 22 to 27. Vol. 2, printed.

    Scrap counts at what it would fetch (an output of set worth), so the season's profit is the difference, a loss
    where selling is better. What the batch itself cost (``sunk`` times the worth of its scrap) must not matter.
    """
    season = costed(
        settings=MONEY_PER_MINUTE,
        purchases=[bought("raw", scrap * fetches * sunk, size=scrap * 2)],
        lines=[line("first", "raw", scrap * 2), line("second", "first/scrap", scrap)],
        outputs=[
            {"formula": "first", "output": "main", "percent": 50},
            {"formula": "first", "output": "scrap", "percent": 50, "valued": "set", "price_per_kg": fetches * 1000},
        ],
        products=[product("unit", "second", scrap / units, minutes=cost)],
        prices=[{"product": "unit", "channel": "stall", "planned": units, "price": price}],
        overheads=[{"overhead": "fixed", "amount": fixed}],
    )
    assert season.totals.profit == exactly(process - sell)
