"""Numbers as people write them: one reading is taken, two are refused with both spelled out."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.fields.numerals import Unreadable, read_number

cents = st.integers(min_value=-(10**13), max_value=10**13).map(lambda n: Decimal(n) / 100)
NARROW_SPACE = "\u202f"


def _swapped(text: str) -> str:
    return text.translate(str.maketrans(",.", ".,"))


@pytest.mark.parametrize("decimal_comma", [False, True])
@given(number=cents)
def test_money_is_read_alike_in_english_continental_and_spaced_writing(*, decimal_comma: bool, number: Decimal) -> None:
    english = f"{number:,.2f}"
    spaced = english.replace(",", NARROW_SPACE)
    writings = (
        f"{number:.2f}",
        english,
        _swapped(english),
        spaced,
        spaced.replace(".", ","),
        english.replace(",", "'"),
    )
    for text in writings:
        assert read_number(text, decimal_comma=decimal_comma) == number, text


@given(st.decimals(min_value=-10, max_value=10, places=6))
def test_a_plain_decimal_keeps_every_digit(number: Decimal) -> None:
    found = read_number(f"{number:f}")
    assert (found, found.as_tuple().exponent) == (number, -6)


@given(st.integers(min_value=1000, max_value=999_999))
def test_one_comma_before_three_digits_is_refused_with_both_readings(number: int) -> None:
    text = f"{number:,}"
    with pytest.raises(Unreadable) as caught:
        read_number(text)
    both = f"{number} or {text.replace(',', '.')}"
    assert str(caught.value) == f'"{text}" can be {both}; write {both}'


@given(st.integers(min_value=10**6, max_value=10**11))
def test_several_commas_can_only_be_thousands_marks(number: int) -> None:
    assert read_number(f"{number:,}") == number


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("40", "40"),
        ("5.", "5"),
        (".5", "0.5"),
        ("1,5", "1.5"),
        ("0,123", "0.123"),
        ("1234,567", "1234.567"),
        ("1.234", "1.234"),
        ("£1,234.50", "1234.50"),
        ("1.234,50 €", "1234.50"),
        ("$ 12", "12"),
        ("+3", "3"),
        ("-115.00", "-115.00"),
        ("1’234.50", "1234.50"),
        ("1\u00a0234,50", "1234.50"),
        ("1e-05", "0.00001"),
        ("1.5E+2", "150"),
    ],
)
def test_what_can_mean_one_number_is_read(text: str, number: str) -> None:
    assert read_number(text) == Decimal(number)


@pytest.mark.parametrize(
    ("text", "number"),
    [("1,234", "1.234"), ("1.234,5", "1234.5"), ("12.5", "12.5"), (",5", "0.5"), ("1.234.567", "1234567")],
)
def test_a_file_that_writes_decimal_commas_is_read_by_its_own_marks(text: str, number: str) -> None:
    assert read_number(text, decimal_comma=True) == Decimal(number)


def test_one_point_before_three_digits_is_refused_where_the_file_writes_decimal_commas() -> None:
    with pytest.raises(Unreadable) as caught:
        read_number("1.234", decimal_comma=True)
    assert caught.value.what == '"1.234" can be 1234 or 1,234'


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("2 lbs.", ("2", "lbs")),
        ("12.5oz", ("12.5", "oz")),
        ("1,5 kg", ("1,5", "kg")),
        ("2 US gallons", ("2", "US gallons")),
        ("-3 Pieces", ("-3", "Pieces")),
        ("10 tins", ("10", "tins")),
    ],
)
def test_a_number_with_its_unit_is_refused_and_told_apart(text: str, parts: tuple[str, str]) -> None:
    with pytest.raises(Unreadable) as caught:
        read_number(text)
    assert caught.value.what == f'"{text}" is not a number'
    assert (caught.value.number, caught.value.word) == parts


@pytest.mark.parametrize(
    "text", ["", "abc", ".", "1.2.3", "1,23,456", "1..2", "--5", "1-2", "1/2", "inf", "nan", "0x10", "1_000", "1,234e3"]
)
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(Unreadable) as caught:
        read_number(text)
    assert str(caught.value) == f'"{text}" is not a number; write digits, with a point before the decimals'


@pytest.mark.parametrize("text", ["1000000000000", "-1000000000000", "1e12", "9e99"])
def test_a_number_beyond_any_workshop_is_refused(text: str) -> None:
    with pytest.raises(Unreadable) as caught:
        read_number(text)
    assert str(caught.value) == f'"{text}" is larger than any weight or price here; check the digits'


def test_the_largest_number_below_that_is_read() -> None:
    assert read_number("999999999999.99") == Decimal("999999999999.99")
