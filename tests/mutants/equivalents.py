"""Mutants that change nothing a user could notice, each with the reason, known by their text and not by their line."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.places import Mutant

LIST = Path(__file__).with_suffix(".toml")


@dataclass(frozen=True)
class Equivalent:
    """A mutant that changes nothing: its function, its statement before and after, and why."""

    within: str
    before: str
    after: str
    why: str

    def is_of(self, mutant: Mutant) -> bool:
        """Tell whether it is this mutant, wherever its module stands now."""
        return (self.within, self.before, self.after) == (mutant.within, mutant.before, mutant.after)


def known() -> list[Equivalent]:
    """Return the list."""
    return [Equivalent(**entry) for entry in tomllib.loads(LIST.read_text(encoding="utf-8"))["equivalent"]]
