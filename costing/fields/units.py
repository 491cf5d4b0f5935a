"""The one registry of units, from a small definition file of the project's own."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import pint

from costing.fields.catalogue import catalogue_file

VESSELS = ("cup", "cups", "spoon", "spoons", "teaspoon", "teaspoons", "tablespoon", "tablespoons", "tsp", "tbsp")


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


_SPELLINGS = {
    "g": "gram", "kg": "kilogram", "mg": "milligram", "oz": "ounce", "lb": "pound",
    "mL": "millilitre", "L": "litre",
    "us fl oz": "us_fl_oz", "us pint": "us_pint", "us quart": "us_quart", "us gallon": "us_gallon",
    "imperial fl oz": "imperial_fl_oz", "imperial pint": "imperial_pint",
    "imperial quart": "imperial_quart", "imperial gallon": "imperial_gallon",
    "piece": "piece", "dozen": "dozen",
}  # fmt: skip

_OTHER_SPELLINGS = {
    "gram": "g", "grams": "g", "gr": "g", "kilo": "kg", "kilos": "kg", "kgs": "kg", "kilogram": "kg", "kilograms": "kg",
    "milligram": "mg", "milligrams": "mg", "ounce": "oz", "ounces": "oz", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "millilitre": "mL", "millilitres": "mL", "milliliter": "mL", "milliliters": "mL",
    "litre": "L", "litres": "L", "liter": "L", "liters": "L",
    "pieces": "piece", "pc": "piece", "pcs": "piece", "each": "piece", "dozens": "dozen", "doz": "dozen",
    "us gallons": "us gallon", "us pints": "us pint", "us quarts": "us quart",
    "imperial gallons": "imperial gallon", "imperial pints": "imperial pint", "imperial quarts": "imperial quart",
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
    by_lower = {spelling.lower(): spelling for spelling in _SPELLINGS}
    return by_lower.get(plain) or _OTHER_SPELLINGS.get(plain)
