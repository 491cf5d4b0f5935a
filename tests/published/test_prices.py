"""Mark-up, margin, and the price that leaves the margin wanted.

Figures: OpenStax Contemporary Mathematics section 6.2 and Prealgebra 2e section 6.3, or algebra stated beside it.
"""

from __future__ import annotations

import pytest

from tests.published.closeness import exactly, printed
from tests.published.seasons import Ware, price_of, sold

MARKUPS = [
    (62.00, 15, 71.30), (750.00, 45, 1087.50), (1.30, 60, 2.08), (90.00, 15, 103.50), (480, 75, 840), (8.85, 20, 10.62),
    (11.80, 125, 26.55), (25.00, 18, 29.50), (16, 45, 23.20), (115, 225, 373.75), (250, 40, 350), (1200, 50, 1800),
    (8500, 35, 11_475),
]  # fmt: skip


@pytest.mark.parametrize(("cost", "percent", "price"), MARKUPS)
def test_markup_of_an_own_price(cost: float, percent: float, price: float) -> None:
    """Price over cost gives back the mark-up. Contemporary Mathematics 6.2, Prealgebra 2e 6.3, printed."""
    assert price_of(Ware(cost, price)).markup == exactly(percent / 100)


@pytest.mark.parametrize(("cost", "price"), [(10, 13.00), (12, 15.60)])
def test_markup_of_a_transfer_price(cost: float, price: float) -> None:
    """30 % on 10 and 12 makes 13 and 15.60. OpenStax Principles of Accounting Vol. 2 section 9.4, printed."""
    assert price_of(Ware(cost, price)).markup == exactly(0.30)


def test_markup_that_is_rounded_in_print() -> None:
    """5.20 sold at 9.90 is 90.38 %. Contemporary Mathematics 6.2, printed to hundredths of a percent."""
    assert price_of(Ware(5.20, 9.90)).markup * 100 == printed(90.38, 2)


@pytest.mark.parametrize(("cost", "percent", "price"), [*MARKUPS, (0.60, 33, 0.80)])
def test_price_suggested_for_the_margin_that_equals_a_markup(cost: float, percent: float, price: float) -> None:
    """Wanting mark-up ÷ (1 + mark-up) as margin leads to the printed price again, to the cent.

    Contemporary Mathematics 6.2, Prealgebra 2e 6.3, printed; 0.798 is printed as 0.80, which is also the cent above.
    """
    row = price_of(Ware(cost), margin_percent=100 * percent / (100 + percent))
    assert row.exact == exactly(cost * (100 + percent) / 100)
    assert row.suggested == exactly(price)


@pytest.mark.parametrize(("markup", "margin"), [(15, 13.0435), (60, 37.5), (75, 42.8571), (100, 50)])
def test_margin_is_another_view_of_markup(markup: float, margin: float) -> None:
    """Margin = mark-up ÷ (1 + mark-up). Algebra; computed here, rounded to four decimals of a percent."""
    row = price_of(Ware(100, 100 + markup))
    assert row.markup == exactly(markup / 100)
    assert row.margin * 100 == printed(margin, 4)


def test_price_for_a_margin_with_tax_fee_and_a_fee_for_each_sale() -> None:
    """Cost 4.00, margin 40 %, tax 20 %, fee 3 % and 0.20: 5.04 ÷ 0.564 = 8.936170. Algebra; computed here.

    No published worked example was found. Price = (C + e)(1 + t) ÷ (1 − m − f(1 + t)); floor: the same without m.
    """
    shop = {"margin_percent": 40, "sales_tax_percent": 20, "fee_percent": 3, "fee_each": 0.20}
    row = price_of(Ware(4.00), **shop)
    assert row.exact == printed(8.936170, 6)
    assert row.floor == exactly(5.04 / 0.964)


def test_price_for_a_margin_leaves_that_margin() -> None:
    """At 8.936170: net 7.446809, fees 0.268085 + 0.20, profit 2.978723, 40 % of net. Computed here, six decimals."""
    shop = {"margin_percent": 40, "sales_tax_percent": 20, "fee_percent": 3, "fee_each": 0.20}
    row = price_of(Ware(4.00, 5.04 / 0.564), **shop)
    assert row.net == printed(7.446809, 6)
    assert row.fees == printed(0.268085 + 0.20, 6)
    assert row.profit == printed(2.978723, 6)
    assert row.margin == exactly(0.40)


def test_price_shown_without_tax_pays_the_fee_on_the_tax_all_the_same() -> None:
    """Shown without tax the same price is 4.20 ÷ 0.564 = 7.446809, the net above. Algebra; computed here."""
    shop = {"margin_percent": 40, "sales_tax_percent": 20, "fee_percent": 3, "fee_each": 0.20, "shown_with_tax": "no"}
    assert price_of(Ware(4.00), **shop).exact == printed(7.446809, 6)


@pytest.mark.parametrize(
    ("step", "ending", "point"), [(0.50, 0, 9.00), (1, 0.90, 9.90), (0.05, 0, 8.95), (0.01, 0, 8.94), (1, 0.40, 9.40)]
)
def test_suggested_price_is_the_next_point_up(step: float, ending: float, point: float) -> None:
    """8.936170 goes up to the maker's next price point. Common practice, no source; worked out here by hand."""
    season = sold(Ware(5.04 / 0.564), settings={"price_step": step, "price_ending": ending})
    assert season.row("prices", product="ware-1").suggested == exactly(point)


def test_own_price_above_all_costs_but_under_the_target_is_told() -> None:
    """62.00 at 71.30 keeps 13.0 %, under a target of 20 %; the caution names the price for it, 77.50.

    Cost and price: Contemporary Mathematics 6.2, printed; 77.50 = 62.00 ÷ 0.80 is computed here.
    """
    cautions = sold(Ware(62.00, 71.30), margin_percent=20).cautions
    told = next(each for each in cautions if each.where == "prices, ware-1, stall")
    assert told.what == "own price 71.30 leaves 13.0%, under the 20.0% wanted"
    assert told.do == "the suggested price is 77.50"


def test_an_own_price_below_one_counts() -> None:
    """0.80 asked for what costs 0.50 leaves 0.30, which is 37.5 % of it: a small price is a price. Algebra."""
    row = price_of(Ware(0.50, 0.80))
    assert (row.used, row.profit, row.margin) == (exactly(0.80), exactly(0.30), exactly(0.375))
