"""Suggestions: the nearest of a few words and of thousands, without comparing each of them letter by letter."""

from __future__ import annotations

import difflib
import random

import pytest

from costing import errors
from costing.errors import suggestion
from costing.fields.catalogue import known_names

NAMES = [name for name in known_names() if len(name) > 6]


def slipped(name: str, chance: random.Random) -> str:
    """Return a name with one letter left out, doubled or changed for another."""
    at = chance.randrange(len(name))
    return name[:at] + chance.choice(["", 2 * name[at], chance.choice("aeinrst")]) + name[at + 1 :]


@pytest.mark.parametrize("seed", range(12))
def test_of_thousands_the_same_word_is_meant_as_if_each_were_compared(seed: int) -> None:
    """What difflib finds among all names of the packaged list, one slip away from one of them."""
    chance = random.Random(seed)  # noqa: S311  # not for secrets
    word = slipped(chance.choice(NAMES), chance)
    assert [suggestion(word, known_names()).nearest] == difflib.get_close_matches(word, sorted(known_names()), 1)


def test_only_a_few_of_thousands_are_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    """A thousand unknown names must not be compared with thousands each."""
    compared: list[int] = []

    def close(word: str, choices: list[str], n: int, cutoff: float) -> list[str]:
        compared.append(len(choices))
        return difflib.get_close_matches(word, choices, n, cutoff)

    monkeypatch.setattr(errors, "get_close_matches", close)
    assert suggestion("Mandelöhl", known_names()).nearest == "Mandelöl"
    assert suggestion("qqq", known_names()).nearest is None
    assert max(compared) <= errors.MOST_ALIKE
