"""The graph of formulas: in which order they are made, and the circle that makes that impossible."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from graphlib import CycleError, TopologicalSorter


class Circle(ValueError):
    """Formulas that use each other in a circle."""

    def __init__(self, formulas: Sequence[str]) -> None:
        super().__init__(" → ".join(formulas))
        self.formulas = tuple(formulas)


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
