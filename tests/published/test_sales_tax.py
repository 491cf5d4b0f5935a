"""Sales tax put on top of a price, and taken out of one.

Figures: OpenStax Contemporary Mathematics section 6.2; VAT fractions from tables of the tax office as others print them.
"""

from __future__ import annotations

import pytest

from tests.published.closeness import exactly, printed
from tests.published.seasons import Ware, price_of


@pytest.mark.parametrize(("net", "rate", "gross"), [(34.88, 8.25, 37.76), (499.00, 8.81, 542.96), (428.99, 8.25, 464.38)])
def test_tax_comes_on_top_of_what_covers_the_costs(net: float, rate: float, gross: float) -> None:
    """The price shown with tax, before it goes up to a price point. Contemporary Mathematics 6.2.

    Printed to cents, so within half a cent; the book misprints the last as 464.87, and 464.38 is computed here.
    """
    assert price_of(Ware(net), sales_tax_percent=rate).exact == printed(gross, 2)


@pytest.mark.parametrize(("gross", "rate", "net"), [(36.56, 5.75, 34.57), (97.17, 4.25, 93.21), (467.64, 8.25, 432.00)])
def test_tax_is_taken_out_of_a_price_shown_with_it(gross: float, rate: float, net: float) -> None:
    """Price ÷ (1 + tax). Contemporary Mathematics 6.2, printed to cents, so within half a cent."""
    assert price_of(Ware(1, gross), sales_tax_percent=rate).net == printed(net, 2)


@pytest.mark.parametrize(("gross", "rate"), [(36.56, 5.75), (467.64, 8.25)])
def test_price_shown_without_tax_is_all_net(gross: float, rate: float) -> None:
    """Where the price is shown without tax nothing is taken out of it. Prices of Contemporary Mathematics 6.2."""
    assert price_of(Ware(1, gross), sales_tax_percent=rate, shown_with_tax="no").net == exactly(gross)


@pytest.mark.parametrize(
    ("gross", "rate", "fraction"),
    [(120, 20, 1 / 6), (24.00, 20, 1 / 6), (117.50, 17.5, 7 / 47), (115, 15, 3 / 23), (80, 5, 1 / 21)],
)
def test_tax_in_a_price_is_its_vat_fraction(gross: float, rate: float, fraction: float) -> None:
    """The rate over 100 and the rate: 1/6, 7/47, 3/23 and 1/21. Printed on pages that reproduce the tax office's table."""
    row = price_of(Ware(1, gross), sales_tax_percent=rate)
    assert row.used - row.net == exactly(gross * fraction)


@pytest.mark.parametrize(("rate", "tax"), [(20, 4.00), (17.5, 3.57)])
def test_tax_in_one_price_at_two_rates(rate: float, tax: float) -> None:
    """24.00 holds 4.00 at 20 % and 3.57 at 17.5 %. Secondary pages on the VAT fraction, printed to the penny."""
    row = price_of(Ware(1, 24.00), sales_tax_percent=rate)
    assert row.used - row.net == printed(tax, 2)
