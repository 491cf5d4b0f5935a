"""Doubts about overheads: one that sums the others, one far beyond them, a month's bill, and one under two names."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from costing.errors import Doubt
from costing.fields.catalogue import UsualOverhead, usual_overheads
from costing.fields.numerals import plainly
from costing.season.costed import Season
from costing.season.doubts.places import numbered
from costing.season.doubts.price_level import PriceLevel
from costing.season.doubts.tubs import words
from costing.season.robust import standing_out, sums_the_rest
from costing.tables.selling.overheads import Overhead
from costing.tables.selling.products import PRODUCTS

# Common practice, no source.
OTHERS, BEYOND, PART = 12.0, 8.0, 0.5  # times the usual of the others, the largest of them, and what all tubs cost
ROUND = 10  # two bills of the same amount that is no multiple of it are one bill
COSTS = 2.5  # times what all planned tubs cost without overheads, which is much whatever the others are


def overhead_doubts(season: Season, level: PriceLevel) -> Iterator[Doubt]:
    """Yield overheads that look like a total, like an amount in cents, or like that of a month."""
    rows = list(numbered(season.records.overheads))
    together = sum((row.amount for row, _ in rows), Decimal(0))
    amounts = [float(row.amount) for row, _ in rows if row.amount > 0]
    least = standing_out(amounts, times=OTHERS, beyond=BEYOND)
    direct = sum(row.planned * (row.total - row.overheads) for row in season[PRODUCTS].rows)
    for row, number in rows:
        where, amount = f"overheads, {row.overhead}", float(row.amount)
        if row.amount and sums_the_rest(row.amount, together, len(rows), coin=Decimal("0.01")):
            yield Doubt(where, f"{plainly(row.amount)} is the sum of the others", "take the total out", row=number)
        elif least and least[0] <= amount > PART * direct:
            what = f"{plainly(row.amount)}, where the others are about {least[1]:.0f}"
            yield Doubt(where, what, f"did you mean {plainly(row.amount / 100)}?", row=number)
        elif 0 < COSTS * direct < amount:
            what = f"{plainly(row.amount)}, where all planned tubs cost {direct:.0f} without overheads"
            yield Doubt(where, what, f"did you mean {plainly(row.amount / 100)}?", row=number)
        elif amount and (named := _named(row.overhead)) and (ratio := level.judged(amount, named.low, named.high)):
            than = "more" if ratio > 1 else "less"
            what = f"{plainly(row.amount)} is {than} than {named.overhead} usually comes to in a season"
            yield Doubt(where, what, "is it for the whole season, and in the season's currency?", row=number)
    yield from _under_two_names(rows)


def _under_two_names(rows: list[tuple[Overhead, int]]) -> Iterator[Doubt]:
    """Yield overheads of the same amount as one above whose name has a word of theirs, or that is no round one."""
    for at, (row, number) in enumerate(rows):
        for other, _ in rows[:at]:
            is_alike = bool(words(row.overhead) & words(other.overhead)) or row.amount % ROUND > 0
            if is_alike and 0 < row.amount == other.amount:
                what = f"{plainly(row.amount)}, as {other.overhead} is"
                yield Doubt(f"overheads, {row.overhead}", what, "if it is the same bill, take it out", row=number)
                break


def _named(overhead: str) -> UsualOverhead | None:
    """Return what an overhead is by a word of its name, in any of eight languages."""
    return next((each for each in usual_overheads() if each.words & words(overhead)), None)
