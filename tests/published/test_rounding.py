"""Rounding half away from zero, as money law has it and spreadsheets do."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal

import pytest

from costing.engine.operations import round_half
from costing.tables import equations
from tests.published.closeness import exactly
from tests.published.seasons import Ware, sold


@pytest.mark.parametrize(("amount", "rounded"), [(24.784, 24.78), (24.785, 24.79)])
def test_half_a_cent_goes_up(amount: float, rounded: float) -> None:
    """24.784 is 24.78 and 24.785 is 24.79. Slovenia's euro changeover site, printed."""
    assert round_half(amount, 2) == rounded


@pytest.mark.parametrize(("tolars", "euros"), [(500, 2.09), (1000, 4.17)])
def test_purchase_at_the_fixed_rate_of_another_currency(tolars: float, euros: float) -> None:
    """500 and 1,000 tolars at 239.640 to the euro are 2.09 and 4.17. Slovenia's euro changeover site, printed."""
    assert round_half(equations.goods_paid(tolars, 0, 0, 1 / 239.640), 2) == euros


@pytest.mark.parametrize(("number", "decimals", "rounded"), [(0.125, 2, 0.13), (-0.125, 2, -0.13), (2.5, 0, 3.0)])
def test_half_goes_away_from_zero(number: float, decimals: int, rounded: float) -> None:
    """0.125 is 0.13, below zero −0.13. Rule of Regulation (EC) 1103/97 article 5, secondary page; figures made here."""
    assert round_half(number, decimals) == rounded


@pytest.mark.parametrize(("decimals", "rounded"), [(2, 6.97), (4, 6.9750), (6, 6.974952)])
def test_rounding_agrees_with_half_to_even_where_it_must(decimals: int, rounded: float) -> None:
    """6.974 951 5 to 3, 5 and 7 digits. NIST SP 811 section B.7.1, printed."""
    assert round_half(6.9749515, decimals) == rounded


def test_half_hidden_by_binary_arithmetic_still_goes_up() -> None:
    """1.10 × 1.15 is 1.265, and 1.27, though binary has 1.2649999999999999. Fifteen digits, computed here by hand."""
    assert round_half(1.10 * 1.15, 2) == 1.27


def test_half_to_even_is_not_followed() -> None:
    """6.974 950 5 to 7 digits is 6.974 950 in NIST SP 811 section B.7.1, printed; money is rounded to 6.974 951."""
    assert round_half(6.9749505, 6) == 6.974951
    assert Decimal("6.9749505").quantize(Decimal("0.000001"), ROUND_HALF_EVEN) == Decimal("6.974950")


@pytest.mark.parametrize("price", [0.15, 1.10, 4.35, 8.70, 19.90])
def test_price_already_on_a_step_stays_there(price: float) -> None:
    """A hair of 1e-9 lifts no price by a whole step of 0.05, 1e-5 does. Rule of this project, no source."""
    for above, expected in ((1e-9, price), (1e-5, price + 0.05)):
        season = sold(Ware(price + above), settings={"price_step": 0.05})
        assert season.row("prices", product="ware-1").suggested == exactly(expected)
