"""Figures with something beside them: a unit, a sign of money, a percent sign – read as meant, or told what is wrong."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from costing.fields.catalogue import currencies
from costing.fields.fractions import FRACTION, read_fraction
from costing.fields.numerals import Unreadable, read_number
from costing.fields.words import money_signs, plain_word, words

_DIGITS = r"\d[\d.,' \u00a0\u2009\u202f’]*(?<![ \u00a0\u2009\u202f'’])|[.,]\d+"
_PART = re.compile(rf"({FRACTION}|{_DIGITS})\s*([^\W\d_]+)\.?[\s,]*")
_MARKED = re.compile(rf"(?P<before>[^\d.,]*?)\s*(?P<number>[+-]?\s*(?:{FRACTION}|{_DIGITS}))\s*(?P<after>\D.*|)", re.DOTALL)
_CLOCK = re.compile(r"(\d{1,3}):(\d\d)(?::(\d\d))?")
_EXPONENT = re.compile(r"[+-]?[\d.,]+[eE][+-]?\d+")
_CALLED = {
    "gram": "grams",
    "minute": "minutes",
    "hour": "hours",
    "watt": "watts",
    "day": "days",
    "": "plain figures",
    "gram/millilitre": "g per mL",
    "money/hour": "money per hour",
    "money/kilowatt_hour": "money per kWh",
    "money/kilogram": "money per kg",
    "money/quoted": "money per kg or piece",
}


@dataclass(frozen=True)
class Quantity:
    """A figure as a cell holds it: its digits, what stands beside them, and smaller parts after it, as in 1 h 30 min."""

    text: str
    digits: str
    mark: str
    rest: tuple[Quantity, ...] = ()

    @property
    def currencies(self) -> tuple[str, ...]:
        """The currencies that the sign of money beside it can mean; none where there is none."""
        return currencies_of(self.mark.split("/")[0])


def parted(text: str) -> Quantity:
    """Return a text's digits, and the unit or sign before or behind them.

    A time as 1:30 is hours and minutes, if it is one that a clock shows.

    >>> parted("1:30").rest[0].digits, parted("1:75").mark
    ('30', ':')
    >>> parted("1,5 kW").mark, parted("-£12.50").digits, parted("€ 3").mark, parted("12").mark
    ('kW', '-12.50', '€', '')
    """
    plain = text.strip()
    if clock := _CLOCK.fullmatch(plain):
        return _by_the_clock(text, *(int(part or 0) for part in clock.groups()))
    if parts := _parts(plain):
        return Quantity(text, parts[0].digits, parts[0].mark, tuple(parts[1:]))
    found = None if _EXPONENT.fullmatch(plain) else _MARKED.fullmatch(plain)
    if not found or (found["before"].strip(" -+") and found["after"]):
        return Quantity(text, plain, "")
    before, digits = found["before"].strip(), re.sub(r"^([+-])\s+", r"\1", found["number"])
    if before[:1] in ("-", "+"):
        before, digits = before[1:].strip(), before[0] + digits
    return Quantity(text, digits, before or found["after"].strip())


def _by_the_clock(text: str, hours: int, minutes: int, seconds: int) -> Quantity:
    """Return a time as its hours, minutes and seconds; with a colon for its unit where no clock shows it."""
    if hours > 23 or minutes > 59 or seconds > 59:
        return Quantity(text, text, ":")
    rest = [Quantity(text, str(minutes), "min"), *([Quantity(text, str(seconds), "s")] if seconds else [])]
    return Quantity(text, str(hours), "h", tuple(rest))


def _parts(text: str) -> list[Quantity]:
    """Return the parts of a figure in several units, each smaller than the one before; none where it is no such figure."""
    found = [Quantity(part[0].strip(" ,"), part[1], part[2]) for part in _PART.finditer(text)]
    covered = len(found) > 1 and not _PART.sub("", text)
    return found if covered and _falling([_unit_of(part.mark) for part in found]) else []


def _falling(units: Sequence[str | None]) -> bool:
    """Whether units are of one kind, each smaller than the one before."""
    factors = [_between(one, next_one) if one and next_one else None for one, next_one in pairwise(units)]
    return all(factor is not None and factor[0] > factor[1] for factor in factors)


def currencies_of(mark: str) -> tuple[str, ...]:
    """Return the currencies that a sign or code can mean.

    >>> currencies_of("£"), currencies_of("eur"), currencies_of("kg")
    (('GBP',), ('EUR',), ())
    """
    word = mark.strip()
    if word in currencies() or (word.upper() in currencies() and plain_word(word) not in words("unit")):  # kgs, sek
        return (word.upper(),)
    return money_signs().get(word.lower(), money_signs().get(word.lower().rstrip("."), ()))


def amount(quantity: Quantity, units: Sequence[str], *, decimal_comma: bool) -> Decimal:
    """Return the figure that a quantity is in the first of the units that is of its kind.

    Raises
    ------
    Unreadable
        When the digits are no number, or what stands beside them is of another kind or unknown.

    """
    if not quantity.mark:
        return _read(quantity.digits, decimal_comma=decimal_comma)
    times, over = _factor(quantity, units)
    number = _read(quantity.digits, decimal_comma=decimal_comma)
    own = number if times == over else Decimal(repr(float(number * times / over)))
    return sum((amount(part, units, decimal_comma=decimal_comma) for part in quantity.rest), start=own)


def _read(digits: str, *, decimal_comma: bool) -> Decimal:
    part = read_fraction(digits)
    return read_number(digits, decimal_comma=decimal_comma) if part is None else part


def _factor(quantity: Quantity, units: Sequence[str]) -> tuple[Decimal, Decimal]:
    """Return by what to multiply and what to divide the digits for the column's unit."""
    called = " or ".join(_CALLED.get(unit, unit) for unit in units)
    if quantity.mark == "%":
        if "percent" in units:
            return Decimal(1), Decimal(1)
        raise Unreadable(f'"{quantity.text}" is a rate, and this column holds {called}', f"write {called}")
    if quantity.mark == ":":
        raise Unreadable(f'"{quantity.text}" is no time of hours and minutes', "write it with its units, as 1 h 30 min")
    if is_vessel(quantity.mark):
        raise Unreadable(f'"{quantity.text}" is no measure of weight', "weigh it and write grams")
    if quantity.currencies and not any(unit.startswith("money") for unit in units):
        raise Unreadable(f'"{quantity.text}" is money, and this column holds {called}', f"write {called}")
    source = _unit_of(quantity.mark)
    if source is None:
        do = f"write {called}, in digits" + (f", without {quantity.mark}" if not units[0] else "")
        raise Unreadable(f'"{quantity.text}" is not a number, and "{quantity.mark}" no unit known here', do)
    for unit in units:
        if unit != "percent" and (factor := _between(source, unit)):
            return factor
    raise Unreadable(f'"{quantity.text}" is of another kind than this column, which holds {called}', f"write {called}")


def is_vessel(text: str) -> bool:
    """Whether a word is that of a spoon or a cup, in one of the languages known here."""
    return any(plain_word(word) in words("vessel") for word in text.split())


def _unit_of(mark: str) -> str | None:
    """Return a mark as the registry's unit: kg as kilogram, €/kWh as money/kilowatt_hour; None where it is none."""
    from costing.fields.units import registered_unit  # noqa: PLC0415  # pint costs start-up

    over = [part.strip() for part in mark.split("/")]
    names = ["money" if currencies_of(part) and not at else registered_unit(part) for at, part in enumerate(over)]
    return None if None in names or len(names) > 2 else "/".join(map(str, names))


def _between(source: str, target: str) -> tuple[Decimal, Decimal] | None:
    """Return the factor and divisor from one unit to another of the same kind; None where it is of another."""
    from costing.fields.units import registry  # noqa: PLC0415  # pint costs start-up

    if source == "money" and target.startswith("money"):
        return Decimal(1), Decimal(1)
    if target == "money/quoted":
        target = "money/piece" if source == "money/piece" else "money/kilogram"
    one = registry().Quantity(1.0, source)
    target = target or "piece"  # what is counted
    if not one.check(registry().get_dimensionality(target)):
        return None
    factor = float(one.to(target).magnitude)
    if factor >= 1:
        return Decimal(repr(factor)), Decimal(1)
    return Decimal(1), Decimal(repr(float(registry().Quantity(1.0, target).to(source).magnitude)))
