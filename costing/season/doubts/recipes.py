"""Doubts about formulas: shares unlike their kind, lye without water, what all formulas alike have, outputs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from costing.errors import Doubt
from costing.fields.catalogue import ingredients, usual_shares
from costing.season.costed import Season
from costing.season.doubts.places import numbered
from costing.tables.buying.items import ITEMS, LYE, PRESERVATIVE, WATER, ItemRow
from costing.tables.making.lye_balance import LYE as LYE_SHEET
from costing.tables.making.recipes import Line
from costing.tables.order_of_making import formula_of

MADE = "made"  # the kind of what is made here, beside the kinds of what is bought
A_BIG_SHARE = 0.05  # of a formula: what others have so much of is not left out on purpose (common practice, no source)
ELSE_ALIKE = 0.6  # of the kinds of two formulas, in which they agree (common practice, no source)
MOST_LEFT = 0.35  # of the oils, unsaponified (common practice, no source)


@dataclass(frozen=True)
class Share:
    """A line of a formula, with its part of what is put in, its kind and its row's number."""

    line: Line
    share: float
    kind: str
    number: int


@dataclass(frozen=True)
class Recipe:
    """A formula's lines, what they weigh together, and how much of that is known to be water."""

    formula: str
    lines: tuple[Share, ...]
    grams: float
    water: float  # share

    @cached_property
    def kinds(self) -> frozenset[str]:
        """The kinds of all lines; what has none is told apart by its name."""
        return frozenset(each.kind or each.line.item for each in self.lines)

    @cached_property
    def main_kinds(self) -> frozenset[str]:
        """The kinds that a good part of it is of."""
        shares: dict[str, float] = defaultdict(float)
        for each in self.lines:
            shares[each.kind or each.line.item] += each.share
        return frozenset(kind for kind, share in shares.items() if share >= A_BIG_SHARE)

    @property
    def steps(self) -> frozenset[str]:
        """The steps in which something is put in."""
        return frozenset(each.line.step for each in self.lines)

    @property
    def made(self) -> list[Share]:
        """The lines of what is made here."""
        return [each for each in self.lines if each.kind == MADE]

    def share_of(self, kind: str) -> float:
        """Return what part of it is of a kind."""
        return sum(each.share for each in self.lines if each.kind == kind)


def recipe_doubts(season: Season) -> Iterator[Doubt]:
    """Yield lines and outputs of formulas that look like a slip."""
    recipes = list(recipes_of(season))
    filled = {formula_of(row.filled_with) for row in season.records.products}
    for recipe in recipes:
        yield from _shares(recipe, is_sold=recipe.formula in filled)
        yield from _lye_without_water(recipe)
    yield from _little_lye(season)
    left_out = list(_left_out(recipes))
    yield from left_out
    told = {doubt.where for doubt in left_out}
    yield from (doubt for doubt in _preserved_without_water(recipes) if doubt.where not in told)


def recipes_of(season: Season) -> Iterator[Recipe]:
    """Yield what is put into each formula."""
    items = {row.item: row for row in season[ITEMS].rows}
    batch = {row.formula: row.batch_grams for row in season.records.formulas}
    weighed: dict[str, list[tuple[Line, float, int]]] = defaultdict(list)
    for line, number in numbered(season.records.lines):
        weight = line.percent / 100 * (batch.get(line.formula) or 0) if line.percent is not None else line.grams
        weighed[line.formula].append((line, float(weight or 0), number))
    for formula, lines in weighed.items():
        grams = sum(each for _, each, _ in lines)
        shares = tuple(
            Share(line, each / grams, _kind(items.get(line.item)), number) for line, each, number in lines if grams
        )
        water = sum(each.share * _water(items.get(each.line.item)) for each in shares)
        yield Recipe(formula, shares, grams, water)


def _kind(item: ItemRow | None) -> str:
    return item.kind if item else MADE


def _water(item: ItemRow | None) -> float:
    """Return how much of a bought thing is water. [share]"""
    known = ingredients().get(item.known_as) if item else None
    if known and known.water_percent is not None:
        return float(known.water_percent) / 100
    return 1.0 if item and item.kind == WATER else 0.0


# --- lines -----------------------------------------------------------------------------------------------------------


def _shares(recipe: Recipe, *, is_sold: bool) -> Iterator[Doubt]:
    """Yield shares outside what things of their kind are used at; a mix for other formulas may hold more of anything."""
    for each in recipe.lines:
        low, high = usual_shares().get(each.kind, (0.0, 100.0))
        percent = 100 * each.share
        too_much = percent > high and (is_sold or len(recipe.kinds) > 2)
        if each.share and (too_much or percent < low):
            what = f"{percent:.3g} % of {each.line.item}, where {low:g} to {high:g} % of {each.kind} are usual"
            where = f"lines, {recipe.formula}, {each.line.item}"
            yield Doubt(where, what, "do two shares stand in each other's place?", row=each.number)


def _lye_without_water(recipe: Recipe) -> Iterator[Doubt]:
    """Yield lye beside less water than dissolves it, where all that is put in is known.

    A gram of water takes up about a gram of either lye at room temperature (solubility, from memory).
    """
    lye = recipe.share_of(LYE)
    unsure = any(each.kind in ("", MADE, "additive") for each in recipe.lines)
    if lye and recipe.water < 0.9 * lye and not unsure:
        what = f"{lye:.2%} lye and {recipe.water:.2%} water, which does not dissolve it"
        yield Doubt(
            f"lines, {recipe.formula}",
            what,
            "is the water left out, or the lye too much? Do not make it before that is clear",
        )


def _little_lye(season: Season) -> Iterator[Doubt]:
    """Yield formulas of which far more oil would stay as it is than makers leave on purpose: a nought off, say."""
    for row in season[LYE_SHEET].rows:
        if row.made == row.card and row.lye > 0 < row.low and row.superfat_low > MOST_LEFT:
            what = f"{row.lye:.1f} g of lye leave at least {row.superfat_low:.0%} of what takes it up as it is"
            yield Doubt(f"lines, {row.card}", what, "look at the lye, and at the oils. Do not make it before that is clear")


def _preserved_without_water(recipes: list[Recipe]) -> Iterator[Doubt]:
    """Yield formulas that preserve something and hold nothing that is known to be watery, nor what could be."""
    preserved = {recipe.formula for recipe in recipes if PRESERVATIVE in recipe.kinds}
    for recipe in recipes:
        could_be = any(each.kind in ("", "base", "surfactant") for each in recipe.lines)
        from_watery = any(formula_of(each.line.item) in preserved for each in recipe.made)
        if recipe.formula in preserved and recipe.made and not (recipe.water > 0.01 or could_be or from_watery):
            what = "a preservative, and nothing in it that holds water"
            yield Doubt(f"lines, {recipe.formula}", what, "is the water left out?")


def _left_out(recipes: list[Recipe]) -> Iterator[Doubt]:
    """Yield formulas without a kind of thing that all others much like it, made in the same steps, have a good part of."""
    alike: dict[frozenset[str], list[Recipe]] = defaultdict(list)
    for recipe in recipes:
        alike[recipe.steps].append(recipe)
    for group in alike.values():
        having: dict[str, int] = defaultdict(int)
        for kind in (kind for recipe in group for kind in recipe.main_kinds):
            having[kind] += 1
        left_out = {kind for kind, number in having.items() if number == len(group) - 1 > 0}
        for recipe in group if left_out else ():
            for kind in sorted(left_out - recipe.kinds):
                if all(_else_alike(recipe, other, kind) for other in group if other is not recipe):
                    what = f"no {kind}, and every formula like it that is made in the same steps has some"
                    yield Doubt(f"lines, {recipe.formula}", what, "is it left out?")


def _else_alike(recipe: Recipe, other: Recipe, kind: str) -> bool:
    both, either = recipe.kinds & other.kinds, (recipe.kinds | other.kinds) - {kind}
    return len(both) >= ELSE_ALIKE * len(either)
