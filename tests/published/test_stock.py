"""What stock is worth by first-in-first-out, by the average of the period, and by the moving average.

Figures: OpenStax Principles of Accounting Vol. 1, sections 10.1 to 10.3, and sections 6.3 and 6.5 for returns. A unit of
the books is a gram here. What IAS 2 paragraph 25 allows is worked out, the last-in-first-out of the book is not.
"""

from __future__ import annotations

from typing import Any

import pytest

import costing
from tests.published.closeness import exactly, printed
from tests.published.seasons import Row, bought, costed

OPENING, SECOND, THIRD = (150, 21), (225, 27), (210, 33)
MONTH = [
    bought("wares", amount * each, size=amount, bought_on=day)
    for (amount, each), day in zip((OPENING, SECOND, THIRD), ("2026-07-01", "2026-07-10", "2026-07-25"), strict=True)
]


def stocked(on_hand: float, purchases: list[Row], **settings: Any) -> costing.Season:
    """Return a season with so much of the wares on hand."""
    items = [{"item": "wares", "on_hand": on_hand}]
    return costed(settings=settings, purchases=purchases, items=items)


def worth(on_hand: float, purchases: list[Row], **settings: Any) -> dict[str, Any]:
    """Return what the wares on hand are worth."""
    found: dict[str, Any] = costing.further_figures(stocked(on_hand, purchases, **settings))["stock"]
    return found


def test_first_in_first_out_leaves_the_newest_purchases() -> None:
    """285 of 585 left are 75 at 27 and 210 at 33: 8,955, and 7,200 of 16,155 were sold. Printed."""
    season = stocked(285, MONTH)
    assert season.stock_totals.fifo == exactly(8955)
    assert season.purchases.landed.total() - season.stock_totals.fifo == exactly(7200)
    lots = [row.lot_left for row in season.purchases.rows if row.item == "wares"]
    assert lots == [0, 75, 210]


@pytest.mark.parametrize(("on_hand", "cost"), [(210, 6_930), (435, 13_005), (465, 13_635), (585, 16_155)])
def test_first_in_first_out_at_other_counts(on_hand: float, cost: float) -> None:
    """The purchases of the month cost 13,005, all 585 units 16,155: printed. The other two sums are computed here."""
    assert worth(on_hand, MONTH)["first_in_first_out"] == exactly(cost)


def test_first_in_first_out_looks_no_further_than_the_day_priced_on() -> None:
    """On 5 July, 30 of the 150 at 21 are left: 630, computed here. What comes in later does not count."""
    assert worth(30, MONTH, priced_on="2026-07-05")["first_in_first_out"] == exactly(630)


def test_average_of_the_period() -> None:
    """285 at 16,155 ÷ 585 are worth 7,870.3846, computed here; the book prints 7,872 from 27.62, rounded on the way."""
    average = worth(285, MONTH)["average"]
    assert average == printed(7870.3846, 4)
    assert average == exactly(285 * 16_155 / 585)


def test_average_does_not_look_at_the_days_of_the_cost_basis() -> None:
    """Stock is averaged over all purchases on record, however few days the average of the prices looks back."""
    assert worth(285, MONTH, average_days=1)["average"] == exactly(285 * 16_155 / 585)


def test_moving_average_where_what_is_left_begins_the_next_season() -> None:
    """21, then 26.29 and 31.24 (printed, rounded) after each purchase; 285 left are worth 8,902.06, printed 8,902.

    The second issue costs 4,732.9412 and all sales 7,252.9412, computed here from printed figures. A season records no
    issues: each here is one purchase long, and what it leaves is the first purchase of the next, at its worth.
    """
    held, worth_held = OPENING[0], float(OPENING[0] * OPENING[1])
    averages, issued = [], []
    for sold, (came_in, cost) in ((120, SECOND), (180, THIRD)):
        left = worth(held - sold, [bought("wares", worth_held, size=held)])["average"]
        issued.append(worth_held - left)
        rows = [
            bought("wares", left, size=held - sold, bought_on="2026-07-01"),
            bought("wares", came_in * cost, size=came_in),
        ]
        held += came_in - sold
        worth_held = worth(held, rows)["average"]
        averages.append(worth_held / held)
    assert averages == [printed(26.29, 2), printed(31.24, 2)]
    assert issued[1] == printed(4732.9412, 4)
    assert sum(issued) == printed(7252.9412, 4)
    assert (held, worth_held) == (285, printed(8902.0588, 4))
    assert worth_held == printed(8902, 0)


def test_returned_goods_lower_the_lot_they_came_in_with() -> None:
    """80 at 100, 15 back for 1,500, allowance 120, discount 319: 65 kept cost 6,061, 93.246154 each.

    Vol. 1 section 6.3, printed; the price of one is computed here. With half of an older lot, 20 more at 90, on hand.
    """
    receipt: Row = {"supplier": "A supplier", "invoice": "1", "bought_on": "2026-07-20"}
    rows = [
        bought("wares", 1800, size=20, bought_on="2026-07-02"),
        bought("wares", 8000, size=80, **receipt),
        dict(receipt) | {"item": "discount", "paid": 120 + 319},
        bought("wares", -1500, packs=-1, size=15, bought_on="2026-07-24"),
    ]
    assert worth(65, rows)["first_in_first_out"] == exactly(6061)
    assert worth(1, rows)["first_in_first_out"] == printed(93.246154, 6)
    assert worth(75, rows)["first_in_first_out"] == exactly(6061 + 900)
    assert worth(65, rows)["average"] == exactly(65 * (1800 + 6061) / 85)
