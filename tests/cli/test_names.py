"""``costing names``: what the packaged list knows, and what things are called in other languages."""

from __future__ import annotations

import pytest
from click.testing import CliRunner, Result

from costing.cli import main
from costing.fields.catalogue import ingredients


def names(*words: str) -> Result:
    """Call the command."""
    return CliRunner().invoke(main, ["names", *words])


def test_without_a_word_everything_is_listed_by_kind() -> None:
    shown = names()
    assert (shown.exit_code, shown.stderr) == (0, "")
    text = " ".join(shown.stdout.split())
    assert text.startswith(f"{len(ingredients())} things are known")
    assert [each.name for each in ingredients().values() if each.name not in text] == []
    assert [each.kind for each in ingredients().values() if f"\n\n{each.kind}\n" not in shown.stdout] == []


@pytest.mark.parametrize("word", ["azeite", "AZEITE", "Olivenöl", "olijfolie", "oliwa"])
def test_a_word_of_any_language_shows_every_name(word: str) -> None:
    shown = names(word)
    assert (shown.exit_code, shown.stderr) == (0, "")
    assert shown.stdout.startswith("Olive oil (oil), key olive-oil\n  ")
    assert "Huile d'olive" in " ".join(shown.stdout.split())


def test_a_word_within_names_shows_all_that_are_called_so() -> None:
    heads = [line for line in names("karit").stdout.splitlines() if not line.startswith(" ")]
    assert heads == ["Shea butter (oil), key shea-butter"]
    heads = [line.partition(" (")[0] for line in names("kaolin").stdout.splitlines() if not line.startswith(" ")]
    assert heads == ["Kaolin", "Pink clay", "Red clay", "Yellow clay"]


def test_an_unknown_word_is_told_with_the_nearest() -> None:
    shown = names("glicerine vegetal")
    assert (shown.exit_code, shown.stdout) == (2, "")
    assert shown.stderr == 'the packaged list knows no "glicerine vegetal"; did you mean "Glicerina vegetal"?\n'


@pytest.mark.parametrize("word", ["zz", "?", "–"])
def test_a_word_too_short_to_look_for_is_unknown(word: str) -> None:
    assert names(word).exit_code == 2
