"""Comparing two sets of figures, however deeply they nest."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

CANCELLED = 1e-12  # what may be left of amounts that cancel out


def unlike(one: Any, other: Any, place: str = "") -> Iterator[str]:
    """Yield every place at which two sets of figures differ by more than one in 10⁹."""
    if isinstance(one, dict) and isinstance(other, dict):
        for key in one.keys() | other.keys():
            here = f"{place}.{key}"
            if key in one and key in other:
                yield from unlike(one[key], other[key], here)
            else:
                yield f"{here} is only on one side"
    elif isinstance(one, list) and isinstance(other, list):
        if len(one) != len(other):
            yield f"{place} has {len(one)} rows and {len(other)}"
        for at, pair in enumerate(zip(one, other, strict=False)):
            yield from unlike(*pair, f"{place}[{at}]")
    elif not _same(one, other):
        yield f"{place}: {_shown(one)} is not {_shown(other)}"


def _same(one: Any, other: Any) -> bool:
    if _number(one) and _number(other):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=CANCELLED)
    return bool(one == other)


def _number(value: Any) -> bool:
    return isinstance(value, int | float | Fraction) and not isinstance(value, bool)


def _shown(value: Any) -> str:
    return repr(float(value)) if _number(value) else repr(value)


def by_key(figures: dict[str, Any]) -> dict[str, Any]:
    """Return all of a season's figures with their lists turned into rows by their keys, so that order does not count."""
    prices, ladder = (
        {(row["product"], row["channel"]): row for row in figures[name]} for name in ("prices", "price_ladder")
    )
    alternatives = {row["product"]: row for row in figures["alternatives"]}
    steps = {(row["product"], row["channel"]): row for row in figures["price_steps"]}
    first = {row["product"]: row for row in figures["make_first"]}
    cautions = sorted([each["where"], each["what"], each["do"]] for each in figures["cautions"])
    buying = {row["item"]: row for row in figures["buying"]}
    made = {row["what"]: row for row in figures["made_stock"]}
    for batch in figures["scales"]["batches"].values():
        batch["lines"].sort(key=lambda line: (line["step"], line["item"], line["grams"]))
    lists = {"prices": prices, "price_ladder": ladder, "alternatives": alternatives, "buying": buying}
    lists |= {"price_steps": steps, "make_first": first}
    lists |= {"made_stock": made, "making": {row["formula"]: row for row in figures["making"]}}
    return figures | lists | {"cautions": cautions}
