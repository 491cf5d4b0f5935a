"""Numbers as people write them: understood where they can mean one thing, refused with both readings where not."""

from __future__ import annotations

import re
from decimal import Decimal

_GROUP_MARKS = "[ \u00a0\u2009\u202f'’]"
_SIGNS_OF_MONEY = "$€£¥"
_LARGEST = Decimal("1e12")
_SMALLEST = Decimal("1e-9")  # below which figures divided by one another leave what a computer can hold


class Unreadable(ValueError):
    """A text that is not one number: what it is, and what to write instead.

    ``number`` and ``word`` are its parts where it is a number with a word behind it, such as ``2 lbs.``
    """

    def __init__(self, what: str, do: str, number: str = "", word: str = "") -> None:
        super().__init__(f"{what}; {do}")
        self.what, self.do, self.number, self.word = what, do, number, word


def read_number(text: str, *, decimal_comma: bool = False) -> Decimal:
    """Return the number that a text means.

    A point is the decimal mark, unless the file as a whole writes decimal commas. A comma counts as the decimal mark
    where it cannot be a thousands mark, and the other way round.

    >>> read_number("1234.50"), read_number("1,5"), read_number("1.234,50 €"), read_number("12,345,678")
    (Decimal('1234.50'), Decimal('1.5'), Decimal('1234.50'), Decimal('12345678'))
    >>> read_number("1,234")
    Traceback (most recent call last):
    costing.fields.numerals.Unreadable: "1,234" can be 1234 or 1.234; write 1234 or 1.234

    Raises
    ------
    Unreadable
        When the text is no number, or can be two.

    """
    shown = f'"{text}"'
    bare = _without_groups(text.strip().strip(_SIGNS_OF_MONEY).strip())
    if re.fullmatch(r"[+-]?(\d+|\d*\.\d+)[eE][+-]?\d{1,2}", bare) and not decimal_comma:
        return _within(Decimal(bare), shown)
    match = re.fullmatch(r"([+-]?)([\d.,]*\d[\d.,]*)", bare)
    readings = _readings(match[2], decimal_comma=decimal_comma) if match else []
    if not match or not readings:
        raise _not_a_number(text)
    if len(readings) > 1:
        both = " or ".join(reading.replace(".", ",") if decimal_comma else reading for reading in readings)
        raise Unreadable(f"{shown} can be {both}", f"write {both}")
    return _within(Decimal(match[1] + readings[0]), shown)


def plainly(number: Decimal | float) -> str:
    """Write a number for a message: 1.2700 and 1.27 are one, and 1E+3 is 1000.

    >>> plainly(Decimal("1.2700"))
    '1.27'
    >>> plainly(Decimal("1E+3"))
    '1000'
    """
    return f"{float(number):.10g}"


def _without_groups(text: str) -> str:
    """Take blanks and apostrophes out where they part groups of three digits, and only there."""
    if re.fullmatch(rf"[+-]?\d{{1,3}}(?:{_GROUP_MARKS}\d{{3}})+(?:[.,]\d+)?", text):
        return re.sub(_GROUP_MARKS, "", text)
    return text


def _readings(digits: str, *, decimal_comma: bool) -> list[str]:
    """Return every plain decimal that the digits with their marks can mean, thousands first."""
    own, other = (",", ".") if decimal_comma else (".", ",")
    found = []
    if re.fullmatch(rf"(?:\d*|[1-9]\d{{0,2}}(?:\{other}\d{{3}})+)(?:\{own}\d*)?", digits):
        found.append(digits.replace(other, "").replace(own, "."))
    grouped = rf"[1-9]\d{{0,2}}(?:\{own}\d{{3}})"
    if re.fullmatch(rf"{grouped}{{2,}}|(?:\d*|{grouped}+)\{other}\d+", digits):
        found.append(digits.replace(own, "").replace(other, "."))
    return found


def _within(number: Decimal, shown: str) -> Decimal:
    if abs(number) >= _LARGEST:
        raise Unreadable(f"{shown} is larger than any weight or price here", "check the digits")
    if 0 < abs(number) < _SMALLEST:
        raise Unreadable(f"{shown} is smaller than any weight or price here", "check the digits, or write 0")
    return number


def _not_a_number(text: str) -> Unreadable:
    do = "write digits, with a point before the decimals"
    match = re.fullmatch(r"\s*([+-]?[\d.,]*\d)\s*([^\W\d].*?)\.?\s*", text)
    if match and not re.search(r"[\d½¼¾]", match[2]):
        return Unreadable(f'"{text}" is not a number', do, match[1], match[2])
    return Unreadable(f'"{text}" is not a number', do)
