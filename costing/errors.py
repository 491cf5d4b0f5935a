"""What can be wrong: faults stop the costing, cautions only speak, a refusal is about a file and not about its figures."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import lru_cache
from itertools import chain, pairwise

FEW, MOST_ALIKE = 60, 20  # words that are all compared, and how many of more than that
NEAR = 0.6  # of two words' letters, how many must agree for one to be meant by the other


@dataclass(frozen=True)
class Fault:
    """Something in the records that must be mended before anything can be costed: where, what, and what to do."""

    where: str
    what: str
    do: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}; {self.do}"


@dataclass(frozen=True)
class Caution:
    """Something to check that stops nothing. It is never a clearance.

    alike: what it is where several things share it, without the figures of one; nothing where each is told alone.
    """

    where: str
    what: str
    do: str
    alike: str = ""

    def __str__(self) -> str:
        return f"{self.where}: {self.what}; {self.do}"


@dataclass(frozen=True)
class Doubt(Caution):
    """A record that looks like a slip: what it looks like, and what was probably meant; and its row, where it has one."""

    row: int = field(default=0, compare=False)

    def __str__(self) -> str:
        return f"{self.where}{f', row {self.row}' if self.row else ''}: {self.what}; {self.do}"


class CostingError(Exception):
    """The family of everything this package raises on purpose."""


class Faults(CostingError):
    """All independent faults of a season, told at once."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = tuple(faults)


class Refusal(CostingError):
    """A file or folder that cannot be read or written as asked."""


@dataclass(frozen=True)
class Suggestion:
    """What may have been meant by a word that is not known: the nearest known word, if any is near, and all known ones."""

    nearest: str | None
    known: tuple[str, ...]

    def __str__(self) -> str:
        if self.nearest is not None:
            return f'did you mean "{self.nearest}"?'
        if not self.known:
            return "none is known here yet"
        more = f" and {len(self.known) - 12} more" if len(self.known) > 12 else ""
        return f"known here: {', '.join(self.known[:12])}{more}"


def suggestion(word: str, known: Iterable[str]) -> Suggestion:
    """Return what may have been meant by a word, for code that does one thing or another by it.

    >>> suggestion("glycerine", ["glycerin", "water"]).nearest
    'glycerin'
    """
    choices = _in_order(tuple(known))
    close = get_close_matches(word, _alike(word, choices), n=1, cutoff=NEAR)
    return Suggestion(close[0] if close else None, choices)


@lru_cache(maxsize=8)
def _in_order(known: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(sorted(set(known)))


def _alike(word: str, choices: tuple[str, ...]) -> Sequence[str]:
    """Return the words to compare with one: all of a few, of many only those that share most pairs of letters with it.

    Each comparison takes a while, and a column of a thousand unknown names must not take a thousand times thousands of them.
    """
    if len(choices) <= FEW:
        return choices
    places = _places_of_pairs(choices)
    shared = Counter(chain.from_iterable(places.get(pair, ()) for pair in _pairs(word)))
    return [choices[place] for place, _ in shared.most_common(MOST_ALIKE)]


@lru_cache(maxsize=8)
def _places_of_pairs(choices: tuple[str, ...]) -> dict[str, list[int]]:
    places: dict[str, list[int]] = {}
    for place, choice in enumerate(choices):
        for pair in _pairs(choice):
            places.setdefault(pair, []).append(place)
    return places


def _pairs(word: str) -> set[str]:
    return {one + other for one, other in pairwise(f" {word} ")}


class FileTrouble(Refusal):
    """The file system failed: it would not read or write a file or folder, and says why."""


class Unknown(CostingError, KeyError):
    """A table, column or row that a season does not have, with the nearest that it has."""

    def __str__(self) -> str:
        return str(self.args[0])  # and not its repr, as other key errors say it


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return ``did you mean "…"?`` for the nearest known word, or a list of the known ones.

    >>> did_you_mean("glycerine", ["glycerin", "water"])
    'did you mean "glycerin"?'
    >>> did_you_mean("zzz", ["glycerin", "water"])
    'known here: glycerin, water'
    """
    return str(suggestion(word, known))
