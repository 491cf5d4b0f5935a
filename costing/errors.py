"""What can be wrong: faults stop the costing, cautions only speak, a refusal is about a file and not about its figures."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches


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
    choices = sorted(set(known))
    close = get_close_matches(word, choices, n=1, cutoff=0.6)
    return Suggestion(close[0] if close else None, tuple(choices))


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
