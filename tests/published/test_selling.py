"""Prices to shops that sell on, what a sale contributes, and what is not sold."""

from __future__ import annotations

import pytest

from tests.published.closeness import exactly, printed
from tests.published.seasons import Ware, bought, costed, line, product, sold


@pytest.mark.parametrize(("asked", "keeps", "paid"), [(20, 20, 16), (16, 50, 8)])
def test_a_shop_pays_what_its_margin_leaves_of_its_price(asked: float, keeps: float, paid: float) -> None:
    """A price of 20 at 25 % on cost was bought at 16; a wholesaler's 50 % of its price leaves 8 of 16.

    Printed on a page of smartsolve, a secondary source; 25 % on cost is 20 % of the price, computed here.
    """
    season = costed(
        channels=[
            {"channel": "shelf", "margin_percent": 0},
            {"channel": "shop", "margin_percent": 0, "of_channel": "shelf", "shop_margin_percent": keeps},
        ],
        prices=[
            {"product": "any", "channel": "shelf", "planned": 1, "price": asked},
            {"product": "any", "channel": "shop", "planned": 1},
        ],
    )
    row = season.row("prices", product="any", channel="shop")
    assert (row.retail, row.suggested) == (exactly(asked), exactly(paid))


def test_an_order_under_full_cost_contributes_what_it_brings_above_what_is_paid_out() -> None:
    """800 at 1,800, which take 750, 600 and 300 each: 150 is gained on each beside fixed costs of 1,350,000.

    OpenStax Principles of Accounting Vol. 2, section 10.2, printed; 120,000 on all 800 is computed here.
    """
    season = sold(Ware(cost=750 + 600 + 300, price=1800, planned=800), overheads=1_350_000)
    row = season.row("prices", product="ware-1")
    assert (row.cash_floor, row.contribution) == (exactly(1650), exactly(150))
    assert row.planned * row.contribution == exactly(120_000)
    assert row.profit < 0
    assert row.remark == "under the floor"


def test_a_sale_loses_money_only_below_what_is_paid_out() -> None:
    """The same order at 1,649 loses 1 on each. Computed here from the figures above."""
    row = sold(Ware(cost=1650, price=1649, planned=800)).row("prices", product="ware-1")
    assert (row.contribution, row.remark) == (exactly(-1), "under the cash floor")


def test_what_is_sold_pays_for_what_is_not() -> None:
    """200 bought at 2.45, of which 5 % are lost, at 40 % on cost: 490 become 686, and 190 sell at 3.61 each.

    askanewquestion question 920284, printed; 40 % on cost is a margin of 0.4 ÷ 1.4, computed here.
    """
    season = costed(
        purchases=[bought("fruit", 2.45)],
        lines=[line("mix", "fruit", 1)],
        products=[product("fruit sold", "mix", unsold_percent=5)],
        channels=[{"channel": "stall", "margin_percent": "28.57142857142857"}],
        prices=[{"product": "fruit sold", "channel": "stall", "planned": 190}],
    )
    made = season.row("products", product="fruit sold")
    assert (made.to_make, made.planned * made.total) == (200, exactly(490))
    assert season.row("prices", product="fruit sold").exact == printed(3.61, 2)
