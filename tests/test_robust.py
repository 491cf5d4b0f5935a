"""The robust statistics of the doubts, against published data and their own laws."""

from __future__ import annotations

from math import log, sqrt
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as some

from costing.season.robust import (
    Crowd,
    deviation,
    is_far,
    likely_factor,
    modified_z,
    nearest_rate,
    rounding_of_a_rate,
    standing_out,
    sums_the_rest,
    times_the_usual,
    usual,
)
from costing.tables.unlike_prices import FAR

# NIST/SEMATECH e-Handbook of Statistical Methods, 7.1.6, "What are outliers in the data?": its 90 measurements, in order.
HANDBOOK = [
    30, 171, 184, 201, 212, 250, 265, 270, 272, 289, 305, 306, 322, 322, 336, 346, 351, 370, 390, 404, 409, 411, 436,
    437, 439, 441, 444, 448, 451, 453, 470, 480, 482, 487, 494, 495, 499, 503, 514, 521, 522, 527, 548, 550, 559, 560,
    570, 572, 574, 578, 585, 592, 592, 607, 616, 618, 621, 629, 637, 638, 640, 656, 668, 707, 709, 719, 737, 739, 752,
    758, 766, 792, 792, 794, 802, 818, 830, 832, 843, 858, 860, 869, 918, 925, 953, 991, 1000, 1005, 1068, 1441,
]  # fmt: skip
PRICES = some.lists(some.floats(0.001, 1e6), min_size=3, max_size=12)


def test_the_handbooks_one_outlier_is_found() -> None:
    """The handbook prints the median 559.5 and finds 1441 alone to be an outlier by its fences; so does the score.

    The scores themselves are not printed there: they were worked out from its formula in 1.3.5.17, apart from this code.
    """
    assert len(HANDBOOK) == 90
    assert median(HANDBOOK) == 559.5
    scores = {value: modified_z(value, HANDBOOK) for value in HANDBOOK}
    assert [value for value, score in scores.items() if score is not None and abs(score) > FAR] == [1441]
    assert deviation(HANDBOOK) == 153
    assert [scores[1441], scores[1068], scores[30]] == pytest.approx([3.8861, 2.2417, -2.3343], abs=5e-5)


def test_a_plain_score_would_never_find_one_among_a_dozen() -> None:
    """A Z-score by mean and standard deviation cannot exceed (n − 1) ÷ √n (handbook 1.3.5.17): 3.18 of twelve."""
    values = [1.0] * 11 + [1e9]
    mean = sum(values) / 12
    spread = sqrt(sum((value - mean) ** 2 for value in values) / 11)
    assert (values[-1] - mean) / spread == pytest.approx(11 / sqrt(12))
    assert 11 / sqrt(12) < FAR


@given(PRICES, some.floats(0.001, 1e6), some.floats(0.01, 100))
def test_the_currency_does_not_matter(others: list[float], value: float, factor: float) -> None:
    """In another currency every price is multiplied: what is so many times the usual stays so."""
    changed = times_the_usual(value * factor, [other * factor for other in others])
    assert changed == pytest.approx(times_the_usual(value, others))


@given(PRICES, some.floats(0.001, 1e6))
def test_dear_and_cheap_are_judged_alike(others: list[float], value: float) -> None:
    """Turned round – grams for money instead of money for grams – the ratio is turned round too."""
    assert times_the_usual(1 / value, [1 / other for other in others]) == pytest.approx(1 / times_the_usual(value, others))


@given(some.floats(0.01, 1e4), some.lists(some.floats(0.83, 1.2), min_size=1, max_size=8))
def test_a_usual_rise_is_never_doubted(price: float, rises: list[float]) -> None:
    """Prices within a fifth of one another are never out of line, however little they scatter otherwise."""
    others = [price * rise for rise in rises]
    assert not is_far(price, others)


@given(some.floats(0.01, 1e4), some.lists(some.floats(0.5, 2.0), min_size=1, max_size=8))
def test_a_wrong_unit_always_is(price: float, rises: list[float]) -> None:
    """A thousandfold price is out of line however the others scatter between half and double."""
    assert is_far(price * 1000, [price * rise for rise in rises])


@given(PRICES)
def test_a_crowd_says_of_each_what_all_others_say(prices: list[float]) -> None:
    """One left out of the ordered whole is judged as against a list of the others."""
    crowd = Crowd(prices)
    for at, price in enumerate(prices):
        others = [*prices[:at], *prices[at + 1 :]]
        assert crowd.times_the_usual(price) == pytest.approx(times_the_usual(price, others))
        logs = [log(other) for other in others]
        score = modified_z(log(price), logs) if len(others) >= 3 else None
        ratio = times_the_usual(price, others)
        ratio = max(ratio, 1 / ratio)
        if 1.5 * 1.001 < ratio < 4 / 1.001 and (score is None or abs(abs(score) - FAR) > 1e-6):
            assert crowd.is_far(price) == (score is None or abs(score) > FAR)


def test_what_stands_out_is_far_from_the_usual_and_from_the_largest_of_the_rest() -> None:
    """A nought too many is ten times the usual, and beyond the next largest; one end of a wide range is not."""
    assert standing_out([20, 25, 250, 35], times=4.5) == pytest.approx((250, 25))
    assert standing_out([20, 25, 35, 80], times=4.5) is None
    assert standing_out([20, 25, 35, 70, 130], times=4.5) is None
    assert standing_out([80], times=4.5) is None
    assert standing_out([8, 80], times=4.5) == pytest.approx((80, 8))


def test_two_that_stand_out_do_not_hide_each_other() -> None:
    """200 and 250 among twenties; but not when they are as many as the others."""
    assert standing_out([20, 250, 25, 200, 35], times=4.5) == pytest.approx((200, 25))
    assert standing_out([20, 250, 25, 200], times=4.5) is None


def test_equal_prices_do_not_silence_it() -> None:
    """Where more than half of the others are equal the score has no meaning, and the ratio decides."""
    assert modified_z(log(2.0), [log(1.0)] * 4) is None
    assert is_far(2.0, [1.0] * 4)
    assert not is_far(1.4, [1.0] * 4)


def test_scattered_prices_are_given_more_room() -> None:
    """A thing bought at 1, 2 and 4 may cost 3 as well, or 7; one always bought at about 2 may not cost 5."""
    assert not is_far(7.0, [1.0, 2.0, 4.0])
    assert is_far(5.0, [2.0, 2.1, 1.9])


def test_what_explains_a_ratio() -> None:
    """The likely slip is named where it leaves a usual difference, and none where nothing fits."""
    factors = [("g for kg", 1000.0), ("the price of one of 2 packs", 0.5), ("lb for kg", 1 / 0.4536)]
    assert likely_factor(0.46, factors) == "the price of one of 2 packs"
    assert likely_factor(2.3, factors) == "lb for kg"
    assert not likely_factor(40.0, factors)
    assert not likely_factor(40.0, [])


def test_rates_totals_and_exchange() -> None:
    """A rate is known but for a coin of its tax; a total sums two rows or more; a rate may be turned round."""
    assert nearest_rate(2.76 / 12.00, [0.06, 0.23], allowance=rounding_of_a_rate(12.00, 0.01)) == 0.23
    assert nearest_rate(0.13, [], allowance=0.01) is None
    rows = [74.42, 162.36, 127.55, 82.16]  # which come to 446.49
    assert sums_the_rest(446.49, sum(rows) + 446.49, 5, coin=0.01)
    assert not sums_the_rest(450.00, sum(rows) + 450.00, 5, coin=0.01)
    assert Crowd([0.862, 1.16, 1.15]).is_turned_round(0.862)
    assert not Crowd([1.005, 0.998, 0.997]).is_turned_round(1.005)
    assert usual([1.16, 1.15, 1.15]) == pytest.approx(1.15)
