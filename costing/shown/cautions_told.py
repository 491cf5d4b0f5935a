"""Few messages: cautions that several things share are told as one, with the name of each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from costing.errors import Caution


def cautions_told(cautions: Iterable[Caution]) -> list[Caution]:
    """Return cautions as they are told: those that are alike as one, where the first of them stood.

    >>> old = [Caution(f"items, {name}", f"{days} days old", "ask", "old") for name, days in (("Soda", 200), ("Salt", 300))]
    >>> [str(each) for each in cautions_told(old)], str(cautions_told(old[:1])[0])
    (['items, Soda and Salt: old; ask'], 'items, Soda: 200 days old; ask')
    """
    causes: dict[object, list[Caution]] = {}
    for at, caution in enumerate(cautions):
        cause = (type(caution), _table(caution), caution.alike, caution.do) if caution.alike else at
        causes.setdefault(cause, []).append(caution)
    return [_as_one(told) for told in causes.values()]


def _table(caution: Caution) -> str:
    return caution.where.partition(", ")[0]


def _as_one(told: list[Caution]) -> Caution:
    first = told[0]
    if len(told) == 1:
        return first
    *names, last = (each.where.partition(", ")[2] for each in told)
    return replace(first, where=f"{_table(first)}, {', '.join(names)} and {last}", what=first.alike)
