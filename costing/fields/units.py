"""The one registry of units, from a small definition file of the project's own."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import pint

from costing.fields.catalogue import catalogue_file
from costing.fields.words import plain_word, words


@cache
def registry() -> pint.UnitRegistry[float]:
    """Return the registry of ``catalogues/units.txt`` and nothing else."""
    units: pint.UnitRegistry[float] = pint.UnitRegistry(None, cache_folder=None)
    text = catalogue_file("units.txt").read_text(encoding="utf-8")
    for line in text.splitlines():
        if line.strip() and not line.startswith("#"):
            units.define(line)
    return units


def unit(text: str) -> pint.Unit:
    """Return the unit written as ``money/gram``; an empty text is a plain number."""
    return registry().Unit(text)


@dataclass(frozen=True)
class PurchaseUnit:
    """One unit that things are bought in, and what it holds of each of the three ways of counting."""

    spelling: str
    grams: float
    millilitres: float
    pieces: float

    def holds(self, density: float = 1.0) -> float:
        """Return what one of it holds, a volume weighed at a density in g/mL. [gram, or piece]"""
        return self.grams + self.millilitres * density + self.pieces


_SPELLINGS = {
    "g": "gram", "kg": "kilogram", "mg": "milligram", "oz": "ounce", "lb": "pound",
    "mL": "millilitre", "L": "litre",
    "us fl oz": "us_fl_oz", "us pint": "us_pint", "us quart": "us_quart", "us gallon": "us_gallon",
    "imperial fl oz": "imperial_fl_oz", "imperial pint": "imperial_pint",
    "imperial quart": "imperial_quart", "imperial gallon": "imperial_gallon",
    "piece": "piece", "dozen": "dozen",
}  # fmt: skip

_PLURALS = {f"{country} {one}s": f"{country} {one}" for country in ("us", "imperial") for one in ("gallon", "pint", "quart")}
_FURTHER = {  # units of time and power, which nothing is bought in
    "min": "minute", "h": "hour", "s": "second", "d": "day", "week": "week",
    "W": "watt", "kW": "kilowatt", "kWh": "kilowatt_hour",
}  # fmt: skip


@cache
def purchase_units() -> dict[str, PurchaseUnit]:
    """Return the units of purchases by their spelling, in the order in which they are offered."""
    units = registry()

    def holds(name: str, counted: str) -> float:
        one = units.Quantity(1.0, name)
        return float(one.to(counted).magnitude) if one.check(units.get_dimensionality(counted)) else 0.0

    return {
        spelling: PurchaseUnit(spelling, holds(name, "gram"), holds(name, "millilitre"), holds(name, "piece"))
        for spelling, name in _SPELLINGS.items()
    }


def spelled_unit(text: str) -> str | None:
    """Return the standard spelling of a unit as somebody wrote it, or None.

    >>> spelled_unit("Lbs."), spelled_unit("US fl. oz"), spelled_unit("gallon")
    ('lb', 'us fl oz', None)
    """
    plain = " ".join(text.replace("-", " ").replace("_", " ").replace(".", " ").split()).lower()
    plain = f"imperial {plain[3:]}" if plain.startswith("uk ") else plain
    found = _by_lower().get(plain) or _PLURALS.get(plain) or words("unit").get(plain_word(plain))
    return found if found in _SPELLINGS else None


def same_kind(one: str, other: str) -> bool:
    """Whether two units of purchases both measure weight, or both volume, or both count pieces."""
    return bool(registry().Quantity(1.0, _SPELLINGS[one]).check(registry().get_dimensionality(_SPELLINGS[other])))


def registered_unit(text: str) -> str | None:
    """Return the registry's name of any unit of weight, volume, pieces, time or power as somebody wrote it, or None.

    >>> registered_unit("Std."), registered_unit("kW"), registered_unit("Gramm"), registered_unit("barrel")
    ('hour', 'kilowatt', 'gram', None)
    """
    spelling = spelled_unit(text) or words("unit").get(plain_word(text)) or _by_lower().get(plain_word(text))
    return (_SPELLINGS | _FURTHER).get(spelling or "")


@cache
def _by_lower() -> dict[str, str]:
    return {spelling.lower(): spelling for spelling in (*_SPELLINGS, *_FURTHER)}
