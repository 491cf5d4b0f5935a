"""Fractions as people write them beside a kettle: ½, 1½, 1 1/2, 3/4. Of others none is a number."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal

_SIGNS = "½⅓⅔¼¾⅛⅜⅝⅞"
FRACTION = rf"(?:\d{{1,4}}\s+)?[1-7]/[2348](?![\d/])|(?:\d{{1,4}}\s*)?[{_SIGNS}]"
_PARTS = re.compile(rf"([+-]?)(?:(\d{{1,4}})(?:\s+|(?=[{_SIGNS}])))?(?:(\d)/(\d)|([{_SIGNS}]))")


def read_fraction(digits: str) -> Decimal | None:
    """Return what digits with a fraction mean; None where they hold none, or one of a whole or more.

    >>> read_fraction("1 1/2"), read_fraction("¾"), read_fraction("-2½"), read_fraction("1.5"), read_fraction("4/2")
    (Decimal('1.5'), Decimal('0.75'), Decimal('-2.5'), None, None)
    """
    found = _PARTS.fullmatch(digits.strip())
    if not found:
        return None
    sign, whole, over, under, mark = found.groups()
    part = Decimal(over) / Decimal(under) if over else _of_sign(mark)
    return None if part >= 1 else Decimal(f"{sign}1") * (Decimal(whole or 0) + part)


def _of_sign(mark: str) -> Decimal:
    over, under = unicodedata.normalize("NFKC", mark).split("\N{FRACTION SLASH}")
    return Decimal(over) / Decimal(under)
