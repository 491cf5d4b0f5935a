"""Formulas made from formulas: in which order they are made, what each is made from, and circles, which cannot be made.

Every walk from formula to formula is one of these.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter

MOST_NAMED, LAST_NAMED = 12, 3  # formulas of a circle, and of these the last
MOST_LOOKED_AT = 300_000  # uses of one formula by another, in the search for a shorter circle


class Circle(ValueError):
    """Formulas that use each other in a circle."""

    def __init__(self, formulas: Sequence[str]) -> None:
        left_out = len(formulas) - MOST_NAMED
        named = list(formulas)
        if left_out > 0:
            named = [*formulas[: MOST_NAMED - LAST_NAMED], f"{left_out} more", *formulas[-LAST_NAMED:]]
        super().__init__(" → ".join(named))
        self.formulas = tuple(formulas)


def shortest_circle(circle: Circle, uses: Mapping[str, Sequence[str]]) -> Circle:
    """Return the shortest circle through a formula of one that was found, as far as a bounded search tells."""
    best, looked_at = list(circle.formulas), 0
    leaving = [formula for formula in circle.formulas[:-1] if len(set(uses[formula])) > 1]  # a shorter one leaves it there
    for start in leaving:
        came_from: dict[str, str] = {}
        reached = [start]
        for _ in range(len(best) - 2):  # a circle of as many steps would be no shorter
            reached, before = [], reached
            for formula in before:
                looked_at += len(uses[formula])
                for used in uses[formula]:
                    if used not in came_from:
                        came_from[used] = formula
                        reached.append(used)
            if start in came_from or looked_at > MOST_LOOKED_AT:
                break
        if start in came_from:
            found = [start, came_from[start]]
            while found[-1] != start:
                found.append(came_from[found[-1]])
            best = min(best, found[::-1], key=len)
        if looked_at > MOST_LOOKED_AT:
            break
    return Circle(best)


def making_order(uses: Mapping[str, Sequence[str]]) -> list[str]:
    """Return formulas so that each comes after those it uses, otherwise in the order given.

    >>> making_order({"scrub": ["whip"], "whip": ["bar"], "bar": []})
    ['bar', 'whip', 'scrub']

    Raises
    ------
    Circle
        Naming the circle in full, first formula repeated at its end.

    """
    place = {formula: at for at, formula in enumerate(uses)}
    sorter = TopologicalSorter(uses)
    try:
        sorter.prepare()
    except CycleError as error:
        raise Circle(list(reversed(error.args[1]))) from None
    order: list[str] = []
    while sorter.is_active():
        ready = sorted(sorter.get_ready(), key=lambda formula: place[formula])
        order += ready
        sorter.done(*ready)
    return order


def formula_of(reference: str) -> str:
    """Return the formula of ``formula`` or ``formula/output``."""
    return reference.partition("/")[0]


def formulas_used(formulas: Collection[str], taken: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    """Return which formulas each formula uses; ``taken`` are formulas with one thing that a line of theirs takes.

    >>> formulas_used(["whip", "bar"], [("bar", "olive-oil"), ("whip", "bar/trimmings"), ("whip", "water")])
    {'whip': ['bar'], 'bar': []}
    """
    uses: dict[str, list[str]] = {formula: [] for formula in formulas}
    for formula, what in taken:
        if formula in uses and formula_of(what) in uses:
            uses[formula].append(formula_of(what))
    return uses


def made_from(formula: str, uses: Mapping[str, Sequence[str]]) -> set[str]:
    """Return a formula with all that it is made from.

    >>> sorted(made_from("whip", {"scrub": ["whip"], "whip": ["bar"], "bar": []}))
    ['bar', 'whip']
    """
    found, waiting = set(), [formula]
    while waiting:
        formula = waiting.pop()
        if formula not in found:
            found.add(formula)
            waiting += uses[formula]
    return found


def bought_in(taken: Mapping[str, Sequence[str]]) -> dict[str, list[str]]:
    """Return the bought things in each formula, through all it is made from; ``taken`` is in the order of making.

    >>> bought_in({"bar": ["olive-oil", "water"], "whip": ["bar/trimmings", "water"]})
    {'bar': ['olive-oil', 'water'], 'whip': ['olive-oil', 'water']}
    """
    found: dict[str, list[str]] = {}
    for formula, named in taken.items():
        found[formula] = list(dict.fromkeys(item for what in named for item in found.get(formula_of(what), [what])))
    return found
