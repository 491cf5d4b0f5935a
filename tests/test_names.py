"""Everyday names of the packaged ingredients: in eight languages, each for one thing only, however it is typed.

The names are common usage, without a source; what is tested is that they are there, and that they tell things apart.
"""

from __future__ import annotations

import csv
import re
import unicodedata
from collections import defaultdict
from collections.abc import Callable
from typing import Literal

import pytest

from costing.fields.catalogue import catalogue_file, ingredient_named, ingredients, names_of

LANGUAGES = {"en", "de", "fr", "es", "pt", "it", "nl", "pl"}
TEXT = catalogue_file("names.csv").read_text(encoding="utf-8")
ROWS = list(csv.DictReader(TEXT.splitlines()))

# The same five things in seven languages: common usage, no source.
NAMED = {
    "sodium-hydroxide": "Ätznatron, soude caustique, sosa cáustica, soda cáustica, soda caustica, bijtende soda, soda żrąca",
    "water": "Wasser, eau, agua, água, acqua, water, woda",
    "olive-oil": "Olivenöl, huile d'olive, aceite de oliva, azeite, olio d'oliva, olijfolie, oliwa z oliwek",
    "shea-butter": "Sheabutter, beurre de karité, manteca de karité, karité, burro di karité, sheaboter, masło shea",
    "glycerin": "Glyzerin, glycérine, glicerina, glicerina vegetal, glicerina vegetale, plantaardige glycerine, gliceryna",
}
# Words for several things: soda is washing soda, baking soda or lye; lye may be of either hydroxide, or dissolved.
OF_SEVERAL = (
    "soda",
    "sosa",
    "lye",
    "potash",
    "potasse",
    "Natronlauge",
    "soude",
    "butter",
    "oil",
    "huile",
    "EDTA",
    "stearin",
)


def _plain(text: str) -> str:
    """Return the letters a to z and the figures of a text, by another way than the program's."""
    marked = str.maketrans({"ł": "l", "Ł": "l", "œ": "oe", "ß": "ss"})
    apart = unicodedata.normalize("NFKD", text.translate(marked)).lower()
    return re.sub(r"[^a-z0-9]", "", apart)


def test_each_name_is_given_for_an_ingredient_in_a_known_language() -> None:
    assert [row for row in ROWS if row["ingredient"] not in ingredients()] == []
    assert {row["language"] for row in ROWS} == LANGUAGES | {"any", "INCI"}
    assert [row for row in ROWS if row["name"] != " ".join(row["name"].split()) or not row["name"]] == []


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_at_least_sixty_things_have_a_name_in_each_language(language: str) -> None:
    assert len({row["ingredient"] for row in ROWS if row["language"] == language}) >= 60


def test_no_two_ingredients_share_a_name_even_without_accents() -> None:
    owners = defaultdict(set)
    for each in ingredients().values():
        owners[_plain(each.item)].add(each.item)
        owners[_plain(each.name)].add(each.item)
    for row in ROWS:
        owners[_plain(row["name"])].add(row["ingredient"])
    assert {name: items for name, items in owners.items() if len(items) > 1} == {}


def test_every_name_finds_its_ingredient() -> None:
    lost = [row for row in ROWS if ingredient_named(row["name"]) is not ingredients()[row["ingredient"]]]
    assert lost == []
    assert [each.item for each in ingredients().values() if ingredient_named(each.name) is not each] == []


@pytest.mark.parametrize("item", NAMED)
def test_common_things_are_known_in_seven_languages(item: str) -> None:
    found = [ingredient_named(name) for name in NAMED[item].split(", ")]
    assert [each.item if each else None for each in found] == [item] * 7


@pytest.mark.parametrize("typed", [str.upper, str.lower, str.title, lambda text: f"  {text.replace(' ', '  ')} "])
def test_capitals_and_blanks_make_no_difference(typed: Callable[[str], str]) -> None:
    lost = [row["name"] for row in ROWS if ingredient_named(typed(row["name"])) is not ingredients()[row["ingredient"]]]
    assert lost == []


@pytest.mark.parametrize("form", ["NFC", "NFD", "NFKC", "NFKD"])
def test_unicode_forms_make_no_difference(form: Literal["NFC", "NFD", "NFKC", "NFKD"]) -> None:
    typed = [(unicodedata.normalize(form, row["name"]), row["ingredient"]) for row in ROWS]
    assert [name for name, item in typed if ingredient_named(name) is not ingredients()[item]] == []


def test_accents_may_be_left_out() -> None:
    typed = {
        "Oleo de ricino": "castor-oil",
        "acido estearico": "stearic-acid",
        "loj wolowy": "tallow",
        "Olivenol": "olive-oil",
        "Olivenoel": "olive-oil",
        "Suif de boeuf": "tallow",
        "huile d’olive": "olive-oil",
        "ÁCIDO-CÍTRICO": "citric-acid",
    }
    assert {name: getattr(ingredient_named(name), "item", None) for name in typed} == typed


def test_words_for_quality_are_passed_over() -> None:
    typed = {
        "Bio-Olivenöl": "olive-oil",
        "Beurre de karité bio": "shea-butter",
        "Huile d'olive vierge BIO": "olive-oil",
        "Manteca de karité ecológica": "shea-butter",
        "Óleo de coco orgânico, refinado": "coconut-oil",
        "Olio di cocco biologico": "coconut-oil",
        "Biologische sheaboter, ongeraffineerd": "shea-butter",
        "Masło shea nierafinowane": "shea-butter",
        "Gros sel": "table-salt",
        "Coarse sea salt": "sea-salt",
    }
    assert {name: getattr(ingredient_named(name), "item", None) for name in typed} == typed


def test_a_name_goes_before_the_words_for_quality_in_it() -> None:
    """Raw sugar is brown and no sugar of raw quality; and praise alone names nothing."""
    assert ingredient_named("raw sugar") is ingredients()["brown-sugar"]
    assert ingredient_named("sugar") is ingredients()["white-sugar"]
    assert [ingredient_named(text) for text in ("Organic", "bio", "pure natural", "organic soda", "raw oil")] == [None] * 5


def test_no_word_for_quality_is_a_name() -> None:
    words = [row["word"] for row in csv.DictReader(catalogue_file("qualities.csv").read_text(encoding="utf-8").splitlines())]
    assert len(words) > 50
    assert [word for word in words if ingredient_named(word)] == []


@pytest.mark.parametrize("word", OF_SEVERAL)
def test_a_word_for_several_things_names_none(word: str) -> None:
    assert ingredient_named(word) is None


def test_a_label_name_finds_what_alone_has_it_or_what_is_listed_for_it() -> None:
    assert ingredient_named("Butyrospermum Parkii Butter") is ingredients()["shea-butter"]
    assert ingredient_named("AQUA") is ingredients()["water"]
    assert ingredient_named("Maris Sal") is ingredients()["sea-salt"]


def test_blank_and_unknown_texts_name_nothing() -> None:
    assert [ingredient_named(text) for text in ("", " ", "–", "jar-330", "Zaubermittel")] == [None] * 5


def test_other_names_stand_there_once_and_without_key_and_name() -> None:
    names = names_of(ingredients()["glycerin"])
    assert {"Glycerol", "Glycérine", "Gliceryna"} <= set(names)
    assert "Glycerin" not in names
    assert len({name.casefold() for name in names}) == len(names)
