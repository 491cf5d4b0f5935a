"""Doubts about days and numbers of receipts: rows of one receipt on several days, numbers that do not rise with the days."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date

from costing.errors import Doubt
from costing.season.costed import Season
from costing.season.doubts.places import numbered, purchase_place
from costing.tables.buying.purchases import Purchase

ENOUGH = 3  # receipts of a supplier whose numbers rise, beside the one that does not
Numbered = tuple[Purchase, int]


def invoice_doubts(season: Season) -> Iterator[Doubt]:
    """Yield rows whose day does not go with their receipt, or with its number."""
    receipts: dict[tuple[str, str], list[Numbered]] = defaultdict(list)
    for row, number in numbered(season.records.purchases):
        if row.supplier and row.invoice:
            receipts[row.supplier, row.invoice].append((row, number))
    for rows in receipts.values():
        yield from _on_another_day(rows)
    yield from _out_of_order(receipts)


def _on_another_day(rows: list[Numbered]) -> Iterator[Doubt]:
    days = Counter(row.bought_on for row, _ in rows)
    for row, number in rows if len(days) > 1 else ():
        if days[row.bought_on] * 2 <= len(rows):
            others = " and ".join(str(day) for day in sorted(days) if day != row.bought_on)
            yield Doubt(
                purchase_place(row), f"other rows of its receipt are of {others}", "look at the day and year", row=number
            )


def _out_of_order(receipts: dict[tuple[str, str], list[Numbered]]) -> Iterator[Doubt]:
    """Yield the one receipt of a supplier whose number does not rise with the days as all its others do."""
    series: dict[tuple[str, str], list[tuple[date, int, str]]] = defaultdict(list)
    for (supplier, invoice), rows in receipts.items():
        counted = re.fullmatch(r"(.*?)(\d{1,15})", invoice)
        if counted:
            days = Counter(row.bought_on for row, _ in rows)
            series[supplier, counted[1]].append((max(days, key=lambda day: (days[day], day)), int(counted[2]), invoice))
    for (supplier, _), found in series.items():
        found.sort()
        rising = _longest_rise([count for _, count, _ in found])
        if len(rising) == len(found) - 1 >= ENOUGH:
            (odd,) = set(range(len(found))) - rising
            for row, number in receipts[supplier, found[odd][2]]:
                what = f"its number {row.invoice} does not rise with the days, as all others of {supplier} do"
                yield Doubt(purchase_place(row), what, "look at the day and year, and at the number", row=number)


def _longest_rise(values: list[int]) -> set[int]:
    """Return the places of a longest series of values none of which is below the one before.

    >>> sorted(_longest_rise([101, 181, 130, 166]))
    [0, 2, 3]
    """
    ends: list[int] = []  # the lowest value with which a rise of so many can end
    places: list[int] = []
    before: list[int | None] = []
    for at, value in enumerate(values):
        length = bisect_right(ends, value)
        before.append(places[length - 1] if length else None)
        ends[length : length + 1], places[length : length + 1] = [value], [at]
    found: set[int] = set()
    last = places[-1] if places else None
    while last is not None:
        found.add(last)
        last = before[last]
    return found
