"""What the packaged list knows, and under which names."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from costing.errors import Refusal, did_you_mean
from costing.fields.catalogue import Ingredient, ingredients, ingredients_called, known_names, names_of

WIDTH = 110


def names_report(word: str = "") -> str:
    """Return what the packaged list knows by kind; or, of what a word is in the name of, every other name.

    Raises
    ------
    Refusal
        When nothing is called by that word.

    """
    if not word:
        return "\n".join(_by_kind())
    found = ingredients_called(word)
    if not found:
        raise Refusal(f'the packaged list knows no "{word}"; {did_you_mean(word, known_names())}')
    return "\n".join(line for each in found for line in _all_names(each))


def _by_kind() -> Iterator[str]:
    listed = list(ingredients().values())
    yield f"{len(listed)} things are known, each under names in several languages: costing names WORD shows them."
    for kind in dict.fromkeys(each.kind for each in listed):
        names = "; ".join(each.name for each in listed if each.kind == kind)
        yield f"\n{kind}\n{_wrapped(names)}"


def _all_names(each: Ingredient) -> Iterator[str]:
    yield f"{each.name} ({each.kind}), key {each.item}"
    yield _wrapped("; ".join(names_of(each)) or "no other name")


def _wrapped(names: str) -> str:
    return textwrap.fill(names, WIDTH, initial_indent="  ", subsequent_indent="  ", break_on_hyphens=False)
