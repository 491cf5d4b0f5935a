"""Currencies of ISO 4217, and purchases in another one.

Digits: an old published list (about 2013), printed; UGX had 2 there, and its 0 is from memory.
"""

from __future__ import annotations

import pytest

import costing
from costing.fields.catalogue import currencies
from tests.published.closeness import exactly
from tests.published.seasons import bought, costed

DIGITS = {
    2: "GBP EUR USD AUD CAD CHF INR NZD ZAR SEK NOK DKK",
    0: "JPY KRW CLP ISK VND XOF XAF XPF PYG RWF UGX",
    3: "BHD IQD JOD KWD LYD OMR TND",
}
CODES = [(code, digits) for digits, codes in DIGITS.items() for code in codes.split()]


@pytest.mark.parametrize(("code", "digits"), CODES)
def test_digits_after_the_point(code: str, digits: int) -> None:
    """Minor-unit digits of ISO 4217, printed in an old list; UGX from memory."""
    assert currencies()[code] == digits


@pytest.mark.parametrize("code", ["GBP", "JPY", "KWD"])
def test_season_in_currencies_of_two_none_and_three_digits(code: str) -> None:
    """A season takes any of them, and its figures are not rounded to their digits. ISO 4217 as above."""
    season = costed(settings={"currency": code.lower()}, purchases=[bought("wares", 1, size=3)])
    found = costing.figures(season)
    assert found["season"]["currency"] == code
    assert found["items"]["wares"]["per_gram"] == exactly(1 / 3)


@pytest.mark.parametrize("code", ["SIT", "XXX", "EURO"])
def test_what_no_money_is_counted_in_is_a_fault(code: str) -> None:
    """A withdrawn code, the code for no currency, and a word are refused. ISO 4217; withdrawal of SIT from memory."""
    with pytest.raises(costing.Faults) as told:
        costed(settings={"currency": code})
    assert told.value.faults[0].what == f'"{code}" is no currency of ISO 4217'


def test_purchase_abroad_counts_at_its_rate() -> None:
    """4.02 of 67 at 0.06 abroad, at 1.5, are 6.03, with tax that is not reclaimed. Made up here, computed by hand."""
    row = bought("wares", 4.02, size=67, tax=0.40, currency="GBP", rate=1.5)
    season = costed(purchases=[row])
    assert season.row("purchases", item="wares").landed == exactly(6.03)
    assert season.row("items", item="wares").per_gram == exactly(0.09)
