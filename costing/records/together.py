"""Few messages: faults of one cause in one column are told as one, with their rows."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from costing.errors import Fault

_PLACE = re.compile(r"(?P<source>.*), row (?P<row>\d+)(?P<column>, .*)?", re.DOTALL)
_QUOTED = re.compile(r'"[^"]*"')
_MOST_RUNS, _MOST_WORDS = 8, 4


@dataclass(frozen=True)
class _Told:
    """A fault with its row, taken apart."""

    fault: Fault
    row: int

    @property
    def words(self) -> list[str]:
        """What was found, as the fault quotes it."""
        return _QUOTED.findall(self.fault.what)[:1]


def told_together(faults: Iterable[Fault]) -> list[Fault]:
    """Return the faults, those of one cause in one column as one, where the first of them stood."""
    causes: dict[object, list[_Told]] = {}
    alone: dict[object, Fault] = {}
    for at, fault in enumerate(faults):
        place = _PLACE.fullmatch(fault.where)
        if place is None:
            alone[at], causes[at] = fault, []
            continue
        cause = type(fault), place["source"], place["column"], _shape(fault.what), _without_figures(fault.do)
        causes.setdefault(cause, []).append(_Told(fault, int(place["row"])))
    return [_as_one(told) if told else alone[cause] for cause, told in causes.items()]


def _shape(what: str) -> str:
    return _without_figures(_QUOTED.sub('""', what))


def _without_figures(text: str) -> str:
    """Return a text without the figures in it, but for those inside quotes: another word is another cause."""
    quoted = iter(_QUOTED.findall(text))
    bare = re.sub(r"\d+(?:[.,-]\d+)*", "#", _QUOTED.sub("\0", text))
    return "".join(next(quoted) if letter == "\0" else letter for letter in bare)


def _as_one(told: Sequence[_Told]) -> Fault:
    first = told[0].fault
    if len(told) == 1:
        return first
    place = _PLACE.fullmatch(first.where)
    if place is None:
        return first
    rows = sorted({each.row for each in told})
    where = f"{place['source']}, rows {_runs(rows)}{place['column'] or ''}"
    words = list(dict.fromkeys(word for each in told for word in each.words))
    others = f": {', '.join(words[:_MOST_WORDS])}{' …' if len(words) > _MOST_WORDS else ''}" if len(words) > 1 else ""
    alike = "" if all(each.fault.do == first.do for each in told) else ", and the others likewise"
    return type(first)(where, f"{first.what} ({len(told)} alike{others})", f"{first.do}{alike}")


def _runs(rows: Sequence[int]) -> str:
    """Return rows as people list them, the first ones where there are many.

    >>> _runs([2, 3, 4, 7, 9, 10])
    '2 to 4, 7, 9 and 10'
    """
    runs: list[list[int]] = []
    for row in rows:
        if runs and row == runs[-1][-1] + 1:
            runs[-1].append(row)
        else:
            runs.append([row])
    listed = [part for run in runs[:_MOST_RUNS] for part in _as_run(run)]
    if left := sum(map(len, runs[_MOST_RUNS:])):
        listed.append(f"{left} more")
    return f"{', '.join(listed[:-1])} and {listed[-1]}" if len(listed) > 1 else listed[0]


def _as_run(run: Sequence[int]) -> list[str]:
    return [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(row) for row in run]
