"""What operations do to units. A sum needs one and the same unit: a kilogram plus a gram is a mistake, not a conversion."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

TEXT = "text"
NUMBER = ""
ANY = "any"


class UnitClash(ValueError):
    """Two figures of different units were added, compared or chosen between."""


def is_unit(measure: Any) -> bool:
    """Say whether a measure is a unit of pint's, and not text or a zero that fits everywhere."""
    return measure not in (TEXT, ANY)


def as_unit(measure: Any) -> Any:
    """Return pint's unit for a measure given in words."""
    from costing.fields.units import unit  # noqa: PLC0415  # pint is loaded only where units are worked out

    return unit(measure) if isinstance(measure, str) and is_unit(measure) else measure


def one_unit(*measures: Any) -> Any:
    """Return the one unit that all operands share."""
    known = [as_unit(measure) for measure in measures if measure != ANY]
    if not known:
        return ANY
    if any(measure != known[0] for measure in known):
        raise UnitClash(f"these do not go together: {', '.join(str(measure or 'a plain number') for measure in known)}")
    return known[0]


def same_then(result: Any) -> Callable[..., Any]:
    """Return a rule that wants one unit throughout and gives another."""

    def measure(*measures: Any) -> Any:
        one_unit(*measures)
        return result

    return measure


def plain(*measures: Any) -> Any:
    """Return a plain number, from plain numbers."""
    return one_unit(*measures, NUMBER)


def no_unit_change(measure: Any, *_: Any) -> Any:
    """Return the unit of the first operand."""
    return measure


def times(one: Any, other: Any) -> Any:
    """Return the unit of a product."""
    if ANY in (one, other):
        return ANY
    return _number(one) * _number(other)


def divided(over: Any, under: Any) -> Any:
    """Return the unit of a quotient."""
    return ANY if over == ANY else _number(over) / _number(under)


def square_root(measure: Any) -> Any:
    """Return the unit whose square a measure is."""
    return ANY if measure == ANY else _number(measure) ** 0.5


def _number(measure: Any) -> Any:
    if measure == TEXT:
        raise UnitClash("a text cannot be multiplied or divided")
    return as_unit(measure)
