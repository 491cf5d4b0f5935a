"""Which of an item's prices is unlike its others: one rule, for the sheet's live remarks and for the check.

Prices are compared as ratios, since a slip multiplies. A price is held against the middle of all that the item cost; where
two are in the middle, against the one further from it, so that of two prices each is held against the other. Within a usual
rise it is never unlike, many times off always. Between them the modified Z-score of Iglewicz and Hoaglin (1993) decides, as
the NIST/SEMATECH e-Handbook of Statistical Methods gives it in 1.3.5.17 (eda35h), on logarithms: a price is out of line
where its distance from the middle is more than 3.5 ÷ 0.6745 times the median of the others' distances. A sheet works no
medians by key cheaply, so this is counted instead: whether more than half of the others lie nearer than that part of it.
"""

from __future__ import annotations

from costing.engine.operations import both, choose, either, larger, ratio

NORMAL = 0.6745  # of a normal distribution, the third quartile: deviation ÷ standard deviation (NIST/SEMATECH 1.3.5.17)
FAR = 3.5  # a modified Z-score beyond which a value is an outlier (same source)
NEVER_UNDER = (
    1.5  # a ratio within which a price is never doubted: seasons, pack sizes, suppliers (common practice, no source)
)
ALWAYS_OVER = 4.0  # a ratio beyond which it always is, however the others scatter (common practice, no source)
SCATTERING = 3  # with fewer others than so many, nothing tells how they scatter


def held_against(price: float, low: float, high: float) -> float:
    """The middle price that a price is held against: of two, the further one. [money/each]"""
    return choose(price < high, high, low)


def times_off(times: float) -> float:
    """How many times dearer, or cheaper, than usual; 1 where nothing was paid. [1]"""
    return larger(times, ratio(1, times, 1))


def is_unlike(  # noqa: PLR0913  # what is known of the price, and the rule's figures
    times: float, others: float, near: float, *, never_under: float, always_over: float, scattering: float
) -> float:
    """Return 1 where a price is so many times off, of so many others so many near, that it is unlike them. [1]"""
    alone = either(times >= always_over, others < scattering, near * 2 > others)
    return choose(both(times > never_under, others > 0), choose(alone, 1, 0), 0)
