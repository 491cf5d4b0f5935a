"""Contribution, profit of a plan, and the part of it that must be sold to pay all costs.

Figures: OpenStax Principles of Accounting Vol. 2, sections 3.1 to 3.5, cited below as chapter 3. The engine
gives the break-even as a part of the plan; times the plan it is the book's units.
"""

from __future__ import annotations

import pytest

import costing
from tests.published.closeness import exactly, printed
from tests.published.seasons import Ware, bought, costed, product, sold

PLANS = [
    (100, 20, 18_000, 175, 225, -4_000),
    (100, 20, 18_000, 300, 225, 6_000),
    (100, 20, 18_000, 425, 225, 16_000),
    (100, 20, 18_000, 725, 225, 40_000),
    (400, 150, 14_000, 96, 56, 10_000),
    (1250, 850, 16_800, 42, 42, 0),
    (3.75, 1.50, 2_475, 1500, 1100, 900),
    (4.25, 1.50, 2_475, 1500, 900, 1650),
    (3.75, 1.55, 2_475, 1500, 1125, 825),
    (3.75, 1.50, 2_700, 1500, 1200, 675),
    (3.75, 1.45, 2_875, 1500, 1250, 575),
    (3.95, 1.45, 2_875, 1500, 1150, 875),
]


@pytest.mark.parametrize(("price", "variable", "fixed", "planned", "units", "profit"), PLANS)
def test_break_even_and_profit_of_a_plan(
    *, price: float, variable: float, fixed: float, planned: float, units: float, profit: float
) -> None:
    """Units to break even, and what the plan earns above or below that. Vol. 2 chapter 3, printed."""
    totals = costing.figures(sold(Ware(variable, price, planned), overheads=fixed))["totals"]
    assert totals["break_even_share"] * planned == exactly(units)
    assert totals["profit"] == pytest.approx(profit, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(
    ("price", "variable", "ratio"), [(100, 20, 0.80), (400, 150, 0.625), (1250, 850, 0.32)], ids=["80", "62.5", "32"]
)
def test_contribution_is_the_margin_without_overheads(price: float, variable: float, ratio: float) -> None:
    """80 %, 62.5 % and 32 % of the price carry the fixed costs. Vol. 2 chapter 3, printed."""
    assert sold(Ware(variable, price)).row("prices", product="ware-1").margin == exactly(ratio)


def test_margin_of_safety_is_the_rest_of_the_plan() -> None:
    """Price 90, cost 40, fixed 85,000, 2,500 sold: 1,700 units, and 32 % or 72,000 of sales are safe.

    Vol. 2 chapter 3, printed (a label beside it prints 1,900 for 1,700).
    """
    totals = costing.figures(sold(Ware(40, 90, 2500), overheads=85_000))["totals"]
    assert totals["break_even_share"] * 2500 == exactly(1700)
    assert 1 - totals["break_even_share"] == exactly(0.32)
    assert totals["revenue"] * (1 - totals["break_even_share"]) == exactly(72_000)


def test_break_even_of_a_mix_of_three() -> None:
    """5 : 3 : 2 at 6.25, 7.75 and 9.25 leave 30.75 a set; 145,000 take 4,715.45 sets. Vol. 2 chapter 3, printed.

    Rounded to two decimals in print. The plan of 5,000 sets is made up here and does not matter. Of each that is 23,577,
    14,146 and 9,431, printed to the nearest one; the next whole ones that pay for everything are computed here.
    """
    wares = Ware(3.25, 6.25, 25_000), Ware(4.50, 7.75, 15_000), Ware(6.25, 9.25, 10_000)
    season = sold(*wares, overheads=145_000)
    assert season.totals.contribution == exactly(5000 * 30.75)
    assert season.totals.break_even_share * 5000 == printed(4715.45, 2)
    exact = [season.totals.break_even_share * row.planned for row in season.even.rows]
    assert exact == [printed(23_577, 0), printed(14_146, 0), printed(9_431, 0)]
    assert [row.even for row in season.even.rows] == [23_578, 14_147, 9_431]


def test_break_even_of_a_mix_of_two() -> None:
    """3 : 1 at 10 and 9 leave 22 a set; 220,000 take 10,000 sets. Vol. 2 chapter 3, printed (one line has 15,385)."""
    season = sold(Ware(4, 10, 60_000), Ware(5, 9, 20_000), overheads=220_000)
    assert season.totals.break_even_share * 20_000 == exactly(10_000)
    assert [row.even for row in season.even.rows] == [30_000, 10_000]


@pytest.mark.parametrize(("planned", "profit"), [(100, 250), (200, 1200)])
def test_stall_with_a_commission_on_each_sale(planned: float, profit: float) -> None:
    """Price 25, cost 15, commission 0.50, stall 300 + 400: 9.50 a sale; 250 at 100 sold, 1,200 at 200.

    Vol. 2 chapter 3, printed.
    """
    season = sold(Ware(15, 25, planned), overheads=300 + 400, fee_each=0.50)
    assert season.totals.contribution / planned == exactly(9.50)
    assert season.totals.profit == exactly(profit)


def test_postage_to_the_customer_is_a_cost_of_selling_and_not_of_the_product() -> None:
    """30 sold at 150 that cost 60, delivery 120: revenue 4,500, cost of goods 1,800, delivery kept apart.

    OpenStax Principles of Accounting Vol. 1 section 6.5, printed; 2,580 left is computed here.
    """
    season = sold(Ware(60, 150, 30), parcel_each=120 / 30)
    assert season.row("products", product="ware-1").total * 30 == exactly(1800)
    assert season.totals.revenue == exactly(4500)
    assert season.totals.profit == exactly(4500 - 1800 - 120)


def test_basket_is_worth_what_is_in_it() -> None:
    """5, 3, 2 and 1 pieces that cost 0.25, 0.75, 0.50 and 1.50 are 6.00; sold for 9.50 they leave 3.50.

    Vol. 2 chapter 3, printed. The basket is a tub, its goods are the tub's parts.
    """
    costs = {"one": (0.25, 5), "two": (0.75, 3), "three": (0.50, 2), "four": (1.50, 1)}
    season = costed(
        purchases=[bought(part, each, unit="piece") for part, (each, _) in costs.items()],
        tubs=[{"tub": "basket", "part": part, "count": count} for part, (_, count) in costs.items()],
        products=[product("gift", "filling", tub="basket")],
        prices=[{"product": "gift", "channel": "stall", "planned": 1, "price": 9.50}],
    )
    assert season.row("products", product="gift").packaging == exactly(6.00)
    assert season.totals.profit == exactly(3.50)
