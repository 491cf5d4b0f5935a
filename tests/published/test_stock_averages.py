"""Which price an item counts at, on one month of stock.

Figures: OpenStax Principles of Accounting Vol. 1, sections 10.1 to 10.3. A unit of the book is a gram here.
"""

from __future__ import annotations

from typing import Any

import pytest

import costing
from tests.published.closeness import exactly, printed
from tests.published.seasons import bought, costed, line

MONTH = [
    bought("wares", 150 * 21, size=150, bought_on="2026-07-01"),
    bought("wares", 225 * 27, size=225, bought_on="2026-07-10"),
    bought("wares", 210 * 33, size=210, bought_on="2026-07-25"),
]


def month(basis: str, **settings: Any) -> costing.Season:
    """Return the month: what is kept is one formula, what is sold another."""
    return costed(
        settings={"cost_basis": basis} | settings,
        purchases=MONTH,
        lines=[line("kept", "wares", 285), line("sold", "wares", 300)],
    )


def test_average_is_all_that_was_paid_over_all_that_came_in() -> None:
    """16,155 over 585 units, both printed: 27.615384… exactly. The book goes on with 27.62, rounded."""
    season = month("average")
    assert season.purchases.landed.total() == exactly(16_155)
    assert season.row("items", item="wares").per_gram == exactly(16_155 / 585)
    assert season.row("items", item="wares").per_gram == printed(27.62, 2)


@pytest.mark.parametrize(
    ("formula", "exact", "in_print"), [("kept", 7870.3846, 7872), ("sold", 8284.6154, 8283)], ids=["stock", "sales"]
)
def test_average_is_not_rounded_before_it_is_used(formula: str, exact: float, in_print: float) -> None:
    """285 units left are worth 7,870.3846 and 300 sold cost 8,284.6154, computed here from printed figures.

    Printed are 7,872 and 8,283, from the average rounded to 27.62: the engine must not come out there.
    """
    worth = month("average").row("making", formula=formula, row="yield").batch_cost
    assert worth == printed(exact, 4)
    assert abs(worth - in_print) > 1


def test_average_is_of_the_period_and_not_moving() -> None:
    """A moving average leaves 285 units at 8,902.06, printed 8,902; the average of the period does not."""
    worth = month("average").row("making", formula="kept", row="yield").batch_cost
    assert 8902.06 - worth > 1000


def test_latest_and_dearest_are_the_last_purchase() -> None:
    """The purchase of 25 July at 33, printed, is both the newest and the dearest."""
    assert month("latest").row("items", item="wares").per_gram == exactly(33)
    assert month("dearest").row("items", item="wares").per_gram == exactly(33)


@pytest.mark.parametrize(("days", "average"), [(22, 13_005 / 435), (21, 33)])
def test_average_looks_back_no_further_than_its_days(days: int, average: float) -> None:
    """From 31 July, 22 days reach back to the purchase of 10 July, 21 days do not.

    Purchases of 13,005 without the opening stock, printed; over 435 units and at 33, computed here.
    """
    assert month("average", average_days=days).row("items", item="wares").per_gram == exactly(average)


def test_average_on_a_day_within_the_month_leaves_later_purchases_out() -> None:
    """On 15 July 150 at 21 and 225 at 27 have come in: 9,225 over 375, computed here from printed figures."""
    season = month("average", priced_on="2026-07-15")
    assert season.row("items", item="wares").per_gram == exactly(9225 / 375)
