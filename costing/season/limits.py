"""What a formula holds of each bought item, through all that it is made from, and shares above their limits.

Shares are taken of what is put in, the only figure that needs no guess about steam and leftovers.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Any

from costing.errors import Caution
from costing.fields.catalogue import Ingredient, ingredients
from costing.tables.order_of_making import formula_of

ASSESS = "see the supplier's document and the product's safety assessment, and local law"
HAIR = 1e-9  # of binary arithmetic, by which a share may miss its limit

Shares = Mapping[str, float]  # grams in a gram that is put in, by item


def contents(season: Any) -> dict[str, dict[str, float]]:
    """Return what each formula holds of each item, through the formulas it is made from. [gram/gram]"""
    items = {row.item for row in season.items.rows}
    put_in: dict[str, float] = defaultdict(float)
    grams: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    found: dict[str, dict[str, float]] = {}
    for row in season.making.rows:
        if row.row == "line":
            put_in[row.formula] += row.added
            inside = {row.what: 1.0} if row.what in items else found[formula_of(row.what)]
            for item, share in inside.items():
                grams[row.formula][item] += row.added * share
        elif row.row == "yield":
            found[row.formula] = {item: amount / put_in[row.formula] for item, amount in grams[row.formula].items()}
    return found


def share_cautions(season: Any) -> Iterator[Caution]:
    """Yield a caution for each share above its limit, of items and of acids together with their salts."""
    limits = {row.item: float(row.highest_percent) / 100 for row in season.items.records if row.highest_percent is not None}
    own = {(row.formula, row.what) for row in season.making.rows if row.row == "line"}
    groups = _groups(season)
    for formula, shares in contents(season).items():
        for item, share in shares.items():
            if item in limits and share > limits[item] + HAIR:
                through = "" if (formula, item) in own else ", in what it is made from"
                yield _above(formula, f"{share:.2%} of {item}{through}, above {limits[item]:.2%}")
        for group, limit in groups.items():
            yield from _together(formula, shares, group, limit)


def _above(formula: str, what: str) -> Caution:
    return Caution(f"formulas, {formula}", what, f"steam lost raises the share further: {ASSESS}")


def _together(formula: str, shares: Shares, group: str, limit: float) -> Iterator[Caution]:
    """Yield a caution where several that share one limit are above it together, though maybe none of them alone."""
    members = [each for each in _members(group) if shares.get(each.item, 0) > 0]
    acid = sum(shares[each.item] / _factor(each) for each in members)
    if len(members) > 1 and acid > limit + HAIR:
        names = " and ".join(each.item for each in members)
        yield _above(formula, f"{acid:.2%} of {names} together, counted as {group}, above {limit:.2%}")


def _members(group: str) -> list[Ingredient]:
    return [each for each in ingredients().values() if each.limit_group == group]


def _factor(ingredient: Ingredient) -> float:
    return float(ingredient.limit_factor or 1)


def _groups(season: Any) -> dict[str, float]:
    """Return the limit of each group, as acid: the maker's own where there is one, the lowest of several."""
    own = {row.item: row.highest_percent for row in season.records.items if row.highest_percent is not None}
    limits = {}
    for group in {each.limit_group: None for each in ingredients().values() if each.limit_group}:
        lowered = [float(own[each.item]) / 100 / _factor(each) for each in _members(group) if each.item in own]
        limits[group] = min(lowered, default=float(ingredients()[group].highest_percent or 100) / 100)
    return limits
