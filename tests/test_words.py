"""Words of other languages and signs of money are data: each means one thing, and that thing is known here."""

from __future__ import annotations

import csv
from collections import defaultdict
from pathlib import Path

import pytest

from costing.fields.catalogue import currencies
from costing.fields.quantities import currencies_of, is_vessel
from costing.fields.types import KeyField
from costing.fields.units import purchase_units, registered_unit
from costing.fields.words import money_signs, plain_word, words
from costing.records.names import Names
from costing.records.schema import RECORD_TABLES

CATALOGUES = Path(__file__).parents[1] / "catalogues"
LANGUAGES = {"en", "de", "fr", "es", "pt", "it", "nl", "pl"}


def _listed() -> list[dict[str, str]]:
    with (CATALOGUES / "words.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_word_of_a_subject_means_one_thing_in_all_languages() -> None:
    """Else a cell would be read otherwise in one language than in another."""
    meanings = defaultdict(set)
    for row in _listed():
        meanings[row["subject"], plain_word(row["word"])].add(row["means"])
    assert {word: found for word, found in meanings.items() if len(found) > 1} == {}


def test_every_subject_has_words_in_every_language() -> None:
    spoken: defaultdict[str, set[str]] = defaultdict(set)
    for row in _listed():
        spoken[row["subject"]] |= set(row["languages"].split())
    assert set(spoken) == {"answer", "truth", "month", "unit", "vessel", "receipt"}
    assert all(found == LANGUAGES for found in spoken.values())


def test_each_meaning_is_one_that_is_known() -> None:
    assert set(words("answer").values()) == {"yes", "no"}
    assert set(words("truth").values()) == {"true", "false"}
    assert set(words("month").values()) == {str(month) for month in range(1, 13)}
    assert set(words("receipt").values()) == {"delivery", "discount", "total"}
    assert [word for word in words("unit") if registered_unit(word) is None] == []
    assert all(map(is_vessel, words("vessel")))


def test_no_word_for_a_unit_is_also_one_for_a_spoon_or_money() -> None:
    """A figure with a word behind it is one sort of thing."""
    units = set(words("unit")) | {plain_word(unit) for unit in purchase_units()}
    assert units & set(words("vessel")) == set()
    assert [word for word in units if currencies_of(word)] == []


@pytest.mark.parametrize(("sign", "code"), [
    ("€", "EUR"), ("£", "GBP"), ("zł", "PLN"), ("R$", "BRL"), ("Kč", "CZK"), ("Ft", "HUF"), ("₹", "INR"), ("chf", "CHF"),
])  # fmt: skip
def test_a_sign_of_money_is_its_currency(sign: str, code: str) -> None:
    """The signs of CLDR's currency data as far as they are remembered: from memory, not looked up."""
    assert currencies_of(sign) == (code,)


def test_a_sign_of_several_currencies_agrees_with_each() -> None:
    assert {"USD", "CAD", "AUD", "NZD"} <= set(currencies_of("$"))
    assert set(currencies_of("kr")) == {"SEK", "NOK", "DKK", "ISK"}
    assert {code for codes in money_signs().values() for code in codes} <= set(currencies())


def test_every_column_of_names_is_spelled_as_its_thing() -> None:
    """A name in capitals is brought to the first spelling in whatever column it stands; steps stand for themselves."""
    columns = {
        key: bool(info.metadata[0].path)
        for table in RECORD_TABLES
        for key, info in table.model.model_fields.items()
        if isinstance(info.metadata[0], KeyField)
    }
    things = ("item", "product", "channel", "tub", "step", "output", "overhead", "batch")
    names = Names()
    for thing in things:
        names.spelling(thing, f"Thing {thing}")
    spelled = {column: [names.spelling(column, f"THING {thing}") for thing in things] for column in columns}
    assert {column for column, found in spelled.items() if not any(name.startswith("Thing ") for name in found)} == set()
