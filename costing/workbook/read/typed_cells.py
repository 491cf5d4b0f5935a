"""Cells as people type them → values for the reader: understood where they can mean one thing, else told."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from costing.fields.quantities import currencies_of
from costing.fields.types import day_of

_LITERAL = re.compile(r'"[^"]*"|\\.')  # of a number format: shown as it stands, so a % in it multiplies nothing
_SIGN = re.compile(r'\[\$([^\]-]+)(?:-[^\]]*)?\]|"([^"]*)"')  # of money: [$€-407] or "€"
FIRST_DAY, LAST_DAY = 25569, 109574  # 1970-01-01 and 2199-12-31 as sheets count days


@dataclass(frozen=True)
class Unclear:
    """A cell that cannot be taken: what it holds, and what to write instead."""

    what: str
    do: str


def typed_value(value: Any, number_format: str, shape: str) -> Any:
    """Return what a cell means for a column of some shape: a text, number, date, None, or Unclear.

    >>> typed_value(0.4, "0.0%", "percent"), typed_value(40, "General", "percent"), typed_value(True, "General", "choice")
    (Decimal('40.0'), Decimal('40'), 'yes')
    """
    if value is None:
        return None
    if isinstance(value, bool):
        return ("yes" if value else "no") if shape == "choice" else Unclear(f"{value}".upper(), "write a figure or a text")
    if isinstance(value, datetime | date):
        return _date(value, shape)
    if isinstance(value, time | timedelta):
        return _duration(value, number_format, shape)
    if isinstance(value, int | float):
        return _number(Decimal(repr(value)), number_format, shape)
    return str(value)


def _duration(value: time | timedelta, number_format: str, shape: str) -> Any:
    """Return a time as hours, minutes and seconds with their units, which the column's reader converts.

    A spreadsheet makes a time of a typed 1:30. One before or after noon is a time of day, and none of these.
    """
    if shape != "number" or "AM/PM" in number_format.upper():
        return Unclear(f"{value} is a time of day", "write a plain number, or hours and minutes as 1 h 30 min")
    whole = (
        value if isinstance(value, timedelta) else timedelta(hours=value.hour, minutes=value.minute, seconds=value.second)
    )
    seconds = round(whole.total_seconds())
    parts = ((seconds // 3600, "h"), (seconds // 60 % 60, "min"), (seconds % 60, "s"))
    return " ".join(f"{number} {unit}" for number, unit in parts if number) or "0 min"


def _date(value: datetime | date, shape: str) -> Any:
    day = value.date() if isinstance(value, datetime) else value
    if shape in ("date", "text"):
        return day if shape == "date" else day.isoformat()
    wanted = (
        "a number, and set the cell's format to number" if shape in ("number", "percent") else "a text, with ' before it"
    )
    return Unclear(f"{day.isoformat()} is a date", f"write {wanted}")


def _number(number: Decimal, number_format: str, shape: str) -> Any:
    if shape == "percent":
        return _percent(number, number_format)
    if shape == "date":
        if FIRST_DAY <= number <= LAST_DAY and number == int(number):
            return day_of(float(number))
        return Unclear(f"{number} is no date", "write it like 2026-11-01")
    if shape in ("text", "key", "choice"):
        return _plain(number)
    if number and _shown_as_percent(number_format):
        return f"{_plain(number * 100)} %"  # a rate: its column's reader says where those belong
    sign = _money_shown(number_format)
    return f"{_plain(number)} {sign}" if sign else number


def _money_shown(number_format: str) -> str:
    """Return the sign of money that a format shows beside a figure.

    A dollar sign is none: programs keep it in formats that show each country's own sign.
    """
    found = [first or second for first, second in _SIGN.findall(number_format)]
    return next((sign.strip() for sign in found if sign.strip() != "$" and currencies_of(sign)), "")


def _shown_as_percent(number_format: str) -> bool:
    return "%" in _LITERAL.sub("", number_format)


def _percent(number: Decimal, number_format: str) -> Any:
    """A cell shown as 40 % holds 0.4, and 1.5 is shown as 150 %; one without that format holds 40.

    Between 0 and 1 without it can be either.
    """
    if _shown_as_percent(number_format):
        return number * 100
    if 0 < number <= 1:
        both = f"{_plain(number)} % or {_plain(number * 100)} %"
        return Unclear(f"{_plain(number)} can be {both}", f"write {both}, with the sign")
    return number


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
