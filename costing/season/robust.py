"""Which of a few numbers looks like a slip: robust distances between ratios.

Prices are compared as ratios, since a slip multiplies: a unit by 1000, a pack by its number, a tax by 1.23. So everything
here works on logarithms. What is usual is the median; how far apart things usually lie is the median absolute deviation.
The modified Z-score and its limit of 3.5 are those of Iglewicz and Hoaglin (1993), as the NIST/SEMATECH e-Handbook of
Statistical Methods gives them in 1.3.5.17 (eda35h). Where more than half of the numbers are equal the deviation is 0 and
the score has no meaning, and with three or four numbers it is a matter of chance: a least and a largest ratio stand beside
it, so that a usual rise of prices is never doubted.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from decimal import Decimal
from math import exp, log, sqrt
from statistics import median
from typing import TypeVar

from costing.tables.unlike_prices import ALWAYS_OVER, FAR, NEVER_UNDER, NORMAL

Amount = TypeVar("Amount", float, Decimal)

A_RATES_CHANGE = 1.05  # how far a rate of exchange may move between receipts (common practice, no source)


def deviation(values: Sequence[float]) -> float:
    """Return the median distance of the values from their median, in their unit.

    >>> deviation([1, 2, 3, 4, 100])
    1
    """
    middle = median(values)
    return median(abs(value - middle) for value in values)


def modified_z(value: float, values: Sequence[float]) -> float | None:
    """Return how far a value lies from the median, in robust standard deviations; None where more than half are equal.

    >>> round(modified_z(100, [1, 2, 3, 4, 100]), 2), modified_z(5, [1, 1, 1, 2])
    (65.43, None)
    """
    spread = deviation(values)
    return NORMAL * (value - median(values)) / spread if spread else None


def usual(others: Sequence[float]) -> float:
    """Return the usual of some numbers above 0: their median as ratios.

    >>> round(usual([2.0, 8.0]), 9)
    4.0
    """
    return exp(median(map(log, others)))


def times_the_usual(value: float, others: Sequence[float]) -> float:
    """Return what a number is, times the usual of the others."""
    return value / usual(others)


def is_far(
    value: float, others: Sequence[float], *, never_under: float = NEVER_UNDER, always_over: float = ALWAYS_OVER
) -> bool:
    """Return whether a number above 0 is out of line with the others, which leave it out.

    Within ``never_under`` times the usual it never is, beyond ``always_over`` always. Between them the score on logarithms
    decides; with fewer than three others, or more than half of them equal, nothing scatters, and it is out of line.
    """
    return Crowd([value, *others]).is_far(value, never_under=never_under, always_over=always_over)


class Crowd:
    """Some numbers above 0, each of which is held against all others without going through them again.

    >>> prices = Crowd([2.0, 2.1, 1.9, 20.0])
    >>> [prices.is_far(each) for each in prices.numbers], round(prices.times_the_usual(20.0), 2)
    ([False, False, False, True], 10.0)
    """

    def __init__(self, numbers: Sequence[float]) -> None:
        self.numbers = tuple(numbers)
        self._logs = sorted(map(log, numbers))
        self._distances: dict[float, list[float]] = {}  # from each middle that a number left out can lead to: three at most

    def __len__(self) -> int:
        return len(self.numbers)

    def times_the_usual(self, number: float) -> float:
        """Return what one of the numbers is, times the usual of the others."""
        return exp(log(number) - _median_without(self._logs, log(number)))

    def is_far(self, number: float, *, never_under: float = NEVER_UNDER, always_over: float = ALWAYS_OVER) -> bool:
        """Return whether one of the numbers is out of line with the others, as the function of this name says it."""
        ratio = self.times_the_usual(number)
        ratio = max(ratio, 1 / ratio)
        if ratio <= never_under or ratio >= always_over:
            return ratio >= always_over
        spread = self._spread_without(log(number)) if len(self) > 3 else 0.0
        return not spread or NORMAL * log(ratio) / spread > FAR

    def is_turned_round(self, rate: float) -> bool:
        """Return whether an exchange rate is far nearer to the others when it is turned round.

        >>> Crowd([0.9, 1.11, 1.09]).is_turned_round(0.9), Crowd([1.12, 1.11, 1.09]).is_turned_round(1.12)
        (True, False)
        """
        as_is = log(self.times_the_usual(rate))
        return abs(as_is - 2 * log(rate)) * 2 < abs(as_is) > log(A_RATES_CHANGE)

    def _spread_without(self, logarithm: float) -> float:
        middle = _median_without(self._logs, logarithm)
        if middle not in self._distances:
            self._distances[middle] = sorted(abs(each - middle) for each in self._logs)
        return _median_without(self._distances[middle], abs(logarithm - middle))


def _median_without(ordered: Sequence[float], value: float) -> float:
    """Return the median of ordered numbers, one of which is left out."""
    at, left = bisect_left(ordered, value), len(ordered) - 1
    kept = [ordered[place + (place >= at)] for place in ((left - 1) // 2, left // 2)]
    return sum(kept) / 2


def standing_out(
    values: Sequence[float], *, times: float, beyond: float = 2.0, others: int = 1
) -> tuple[float, float] | None:
    """Return the least of the values above 0 that stand out, and what is usual of the rest; None where none does.

    They are so many times the usual of the rest, of which there are so many and more than of them, and well beyond the
    largest of the rest. Several may stand out together: two slips do not hide each other.

    >>> standing_out([20, 25, 250, 31.25, 200], times=4.5)
    (200, 25.0)
    >>> standing_out([10, 20, 60, 100], times=4.5)
    """
    ordered = sorted(values)
    for at in range(max(others, len(ordered) // 2 + 1 if len(ordered) > 2 else 1), len(ordered)):
        middle = sqrt(ordered[(at - 1) // 2] * ordered[at // 2])
        if ordered[at] >= beyond * ordered[at - 1] and ordered[at] >= times * middle:
            return ordered[at], middle
    return None


def likely_factor(ratio: float, factors: Sequence[tuple[str, float]], *, within: float = 1.35) -> str:
    """Return which slip explains a ratio: the word of the nearest factor, if what is left is usual; else nothing.

    >>> likely_factor(980.0, [("g for kg", 1000.0), ("lb for kg", 0.4536)])
    'g for kg'
    >>> likely_factor(30.0, [("g for kg", 1000.0), ("lb for kg", 0.4536)])
    ''
    """
    left = {word: abs(log(ratio / factor)) for word, factor in factors}
    nearest = min(left, key=lambda word: left[word], default="")
    return nearest if nearest and left[nearest] <= log(within) else ""


def nearest_rate(rate: float, known: Sequence[float], *, allowance: float) -> float | None:
    """Return the known tax rate that an implied one is, cents aside; None where it is none of them.

    >>> nearest_rate(0.2301, [0.06, 0.23], allowance=0.001), nearest_rate(0.299, [0.06, 0.23], allowance=0.001)
    (0.23, None)
    """
    nearest = min(known, key=lambda other: abs(other - rate), default=None)
    return nearest if nearest is not None and abs(nearest - rate) <= allowance else None


def rounding_of_a_rate(net: float, coin: float) -> float:
    """Return by how much a rate worked out of amounts in whole coins may miss: a coin of tax, on so much net. [share]

    >>> rounding_of_a_rate(2.0, 0.01)
    0.005
    """
    return coin / abs(net)


def sums_the_rest(value: Amount, together: Amount, rows: int, *, coin: Amount) -> bool:
    """Return whether an amount is the sum of the others among so many rows that come to so much together.

    >>> sums_the_rest(30.0, 60.0, 3, coin=0.01), sums_the_rest(30.0, 70.0, 3, coin=0.01)
    (True, False)
    """
    return rows >= 3 and abs(value + value - together) <= coin * (rows - 1)
