"""Days as people write them: what each can mean, and what the clear ones of a column say of the others."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import Literal

from costing.fields.words import plain_word, words

DayOrder = Literal["day", "month", "year", "contradicted"]

_YEAR_FIRST = re.compile(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})(?:[ T]00:00(?::00)?)?")
_YEAR_LAST = re.compile(r"(\d{1,2})[-./ ]+(\d{1,2})[-./ ]+(\d{4})")
_NAMED = re.compile(r"(\d{1,2})\.?[\s-]+(?:de |of )?([^\W\d]+)\.?,?[\s-]+(?:de |of )?(\d{4})")
_NAMED_FIRST = re.compile(r"([^\W\d]+)\.?[\s-]+(\d{1,2}),?[\s-]+(\d{4})")


def readings_of_day(text: str) -> dict[DayOrder, date]:
    """Return the days that a text can be, by what stands first in it; one where all come to the same.

    >>> sorted(readings_of_day("04/11/2025")), list(readings_of_day("25.12.2026")), readings_of_day("4 nov. 2025")
    (['day', 'month'], ['day'], {'day': datetime.date(2025, 11, 4)})
    """
    plain = text.strip()
    if found := _YEAR_FIRST.fullmatch(plain):
        return _days({"year": (int(found[1]), int(found[2]), int(found[3]))})
    if found := _YEAR_LAST.fullmatch(plain):
        first, second, year = (int(part) for part in found.groups())
        return _days({"day": (year, second, first), "month": (year, first, second)})
    if found := _NAMED.fullmatch(plain):
        return _days({"day": (int(found[3]), _month(found[2]), int(found[1]))})
    if found := _NAMED_FIRST.fullmatch(plain):
        return _days({"month": (int(found[3]), _month(found[1]), int(found[2]))})
    return {}


def _month(word: str) -> int:
    return int(words("month").get(plain_word(word), 0))


def _days(parts: dict[DayOrder, tuple[int, int, int]]) -> dict[DayOrder, date]:
    found: dict[DayOrder, date] = {}
    for order, (year, month, day) in parts.items():
        try:
            read = date(year, month, day)
        except ValueError:
            continue
        if read not in found.values():
            found[order] = read
    return found


def order_of(texts: Iterable[str]) -> DayOrder | None:
    """Return what stands first in the dates of a column, where one of them settles that and none contradicts.

    >>> order_of(["04/11/2025", "25/11/2025"]), order_of(["04/11/2025"]), order_of(["25/11/2025", "11/25/2025"])
    ('day', None, 'contradicted')
    """
    clear: set[DayOrder] = set()
    for text in texts:
        found = _YEAR_LAST.fullmatch(text.strip())
        readings = readings_of_day(text) if found else {}
        if found and len(readings) == 1 and found[1].lstrip("0") != found[2].lstrip("0"):
            clear |= set(readings)
    return "contradicted" if len(clear) > 1 else next(iter(clear), None)
