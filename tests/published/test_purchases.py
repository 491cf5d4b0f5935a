"""Landed cost: freight, discount, returns, allowances, tax.

Figures: OpenStax Principles of Accounting Vol. 1, sections 6.3 and 6.5, cited below as chapter 6.
Goods of the book count as pieces here.
"""

from __future__ import annotations

import pytest

import costing
from tests.published.closeness import exactly, printed
from tests.published.seasons import Row, bought, costed, receipt

AVERAGE = {"cost_basis": "average"}


def delivery(paid: float) -> Row:
    return {"item": "delivery", "paid": paid}


def discount(paid: float) -> Row:
    return {"item": "discount", "paid": paid}


def goods(count: float, each: float) -> Row:
    return bought("goods", count * each, packs=count, unit="piece")


def each_of(rows: list[Row], **settings: str) -> float:
    season = costed(settings=AVERAGE | settings, purchases=receipt(*rows))
    return float(costing.figures(season)["items"]["goods"]["per_piece"])


def kept_in_stock(rows: list[Row]) -> float:
    """Return what the goods of one receipt cost together, returns taken off."""
    season = costed(purchases=receipt(*rows))
    return float(season.purchases.landed.total())


def test_freight_for_each_piece_is_part_of_its_cost() -> None:
    """40 pieces at 60 with freight of 5 each stand in stock at 2,600, 65 each. Vol. 1 chapter 6, printed."""
    rows = [goods(40, 60), delivery(40 * 5)]
    assert kept_in_stock(rows) == exactly(2600)
    assert each_of(rows) == exactly(65)


def test_freight_in_one_sum_is_part_of_the_cost() -> None:
    """30 at 80 with freight of 1,000 make 3,400, printed; 113.3333 each, computed here. Vol. 1 chapter 6."""
    rows = [goods(30, 80), delivery(1000)]
    assert kept_in_stock(rows) == exactly(3400)
    assert each_of(rows) == exactly(3400 / 30)


def test_discount_for_prompt_payment_lowers_the_cost() -> None:
    """67 at 60 less 5 % leave 3,819, printed; 57.00 each, computed here. Vol. 1 chapter 6."""
    rows = [goods(67, 60), discount(201)]
    assert kept_in_stock(rows) == exactly(3819)
    assert each_of(rows) == exactly(57)


def test_return_allowance_and_discount_leave_what_was_paid_for_what_was_kept() -> None:
    """80 at 100, 15 returned, allowance 120, then 5 %: 6,061 paid for 65. Vol. 1 chapter 6, printed.

    93.246154 each is computed here. A price allowance is no return, so it stands in the discount row: 120 + 319.
    """
    rows = [goods(80, 100), goods(-15, 100), discount(120 + 319)]
    assert kept_in_stock(rows) == exactly(6061)
    assert each_of(rows) == exactly(6061 / 65)
    assert each_of(rows) == printed(93.246154, 6)


def test_return_does_not_make_the_latest_price_another() -> None:
    """The latest basis leaves the return out and still finds 93.246154, since the discount is shared by goods.

    Figures as above: Vol. 1 chapter 6; computed here.
    """
    rows = [goods(80, 100), goods(-15, 100), discount(120 + 319)]
    assert each_of(rows, cost_basis="latest") == exactly(6061 / 65)


def test_return_and_two_percent_discount() -> None:
    """500 less a return of 150 less 7 leave 343. Vol. 1 chapter 6, printed; the count of pieces is made up here."""
    assert kept_in_stock([goods(10, 50), goods(-3, 50), discount(7)]) == exactly(343)


def test_refunds_in_cash_lower_the_cost() -> None:
    """300 at 60, 25 returned, allowance 8 on 60: 16,020 for 275, printed; 58.254545 each, computed here.

    Vol. 1 chapter 6.
    """
    rows = [goods(300, 60), goods(-25, 60), discount(60 * 8)]
    assert kept_in_stock(rows) == exactly(16_020)
    assert each_of(rows) == printed(58.254545, 6)


@pytest.mark.parametrize(("reclaims", "each"), [("yes", 10.0), ("no", 12.0)])
def test_tax_that_is_reclaimed_is_no_cost(reclaims: str, each: float) -> None:
    """Tax that comes back is left out of cost, tax that does not is part of it. IAS 2 paragraph 11, rule read.

    The standard prints no figures; 20 in 120 is the VAT fraction of one sixth, computed here.
    """
    rows = [bought("goods", 120, packs=10, unit="piece", tax=20)]
    assert each_of(rows, reclaims_tax=reclaims) == exactly(each)


def test_nothing_is_lost_between_rows_of_one_receipt() -> None:
    """Two goods of 2,400 each, freight 1,200 and discount 201: each bears half. IAS 2 paragraph 11, rule read.

    Purchase amounts of Vol. 1 chapter 6, put on one receipt here; the sum is computed here.
    """
    other = bought("others", 2400, packs=30, unit="piece")
    season = costed(purchases=receipt(goods(40, 60), other, delivery(200 + 1000), discount(201)))
    assert season.purchases.landed.total() == exactly(2400 + 2400 + 1200 - 201)
    assert season.row("purchases", item="others").landed == exactly(2400 + 999 / 2)


@pytest.mark.parametrize(
    ("paid", "count", "each", "decimals"),
    [(3.99, 24, 0.17, 2), (6.99, 24, 0.29, 2), (8.69, 8, 1.09, 2), (14.99, 64, 0.234, 3)],
)
def test_price_of_one_out_of_a_pack(paid: float, count: float, each: float, decimals: int) -> None:
    """A pack's price over its count, eight bars of soap among them. OpenStax Prealgebra 2e section 5.6, printed.

    Rounded in print, so within half a unit of the last digit.
    """
    season = costed(purchases=[bought("goods", paid, size=count, unit="piece")])
    assert season.row("items", item="goods").per_piece == printed(each, decimals)


@pytest.mark.parametrize(
    ("paid", "size", "unit", "grams_in_unit", "each", "decimals"),
    [
        (6.99, 50.7, "oz", 28.349523125, 0.138, 3),
        (4.79, 33.8, "oz", 28.349523125, 0.142, 3),
        (2.99, 40, "oz", 28.349523125, 0.075, 3),
        (4.39, 64, "oz", 28.349523125, 0.069, 3),
        (3.39, 0.5, "lb", 453.59237, 6.78, 2),
    ],
)
def test_price_of_an_ounce_or_pound(
    *, paid: float, size: float, unit: str, grams_in_unit: float, each: float, decimals: int
) -> None:
    """The price of a pack, led over grams, is the printed price of one ounce or pound again.

    OpenStax Prealgebra 2e section 5.6, printed and rounded there, so within half a unit of the last digit.
    """
    season = costed(purchases=[bought("goods", paid, size=size, unit=unit)])
    assert season.row("items", item="goods").per_gram * grams_in_unit == printed(each, decimals)
