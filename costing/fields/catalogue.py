"""The packaged tables: ingredients and currencies, each value with its source beside it."""

from __future__ import annotations

import csv
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable


def catalogue_file(name: str) -> Traversable:
    """Return one file of the catalogues: inside the package where that was installed, beside it in a checkout."""
    package = files("costing")
    installed = package.joinpath("catalogues", name)
    return installed if installed.is_file() else package.joinpath("..", "catalogues", name)


@dataclass(frozen=True)
class Ingredient:
    """What is known of a thing that soap makers buy. Blank where nothing is known.

    density [g/mL], highest_percent [% of the product], saponification_low and _high [mg KOH per g]. Acids and their salts
    share the limit of limit_group, counted as acid: limit_factor is how much of the item holds one gram of it.
    water_percent: how much of it is water, blank where that is little or unknown. Of a preservative: least_percent [% of the
    product], below which it is not known to work; lowest_ph and highest_ph, between which it does; pka of its acid.
    dissolves: how many grams of it one gram of water dissolves, of sugar and salt.
    """

    item: str
    name: str
    kind: str
    label_name: str
    density: Decimal | None
    density_source: str
    highest_percent: Decimal | None
    highest_source: str
    saponification_low: Decimal | None
    saponification_high: Decimal | None
    saponification_source: str
    limit_group: str
    limit_factor: Decimal | None
    limit_source: str
    water_percent: Decimal | None
    water_source: str
    least_percent: Decimal | None
    least_source: str
    pka: Decimal | None
    lowest_ph: Decimal | None
    highest_ph: Decimal | None
    ph_source: str
    dissolves: Decimal | None
    dissolves_source: str
    note: str


SHORTEST_WORD = 3  # letters of a word that is looked for within names
_FIGURES = (
    "density", "highest_percent", "saponification_low", "saponification_high", "limit_factor", "water_percent",
    "least_percent", "pka", "lowest_ph", "highest_ph", "dissolves",
)  # fmt: skip


def catalogue_rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a file of the catalogues, as texts by column."""
    return list(csv.DictReader(catalogue_file(name).read_text(encoding="utf-8").splitlines()))


@cache
def ingredients() -> dict[str, Ingredient]:
    """Return the packaged ingredients by key."""
    found = {}
    for row in catalogue_rows("ingredients.csv"):
        texts = {column: text for column, text in row.items() if column not in _FIGURES}
        figures = {column: Decimal(row[column]) if row[column] else None for column in _FIGURES}
        found[row["item"]] = Ingredient(**texts, **figures)  # type: ignore[arg-type]  # the header is checked by a test
    return found


def ingredient_named(text: str) -> Ingredient | None:
    """Return the packaged ingredient that a text names, by key, name, label name (INCI) or an everyday name.

    Capitals, Unicode form, blanks, hyphens and other marks make no difference, nor do accents where that leaves one only.
    Words that only praise, as organic or refined, are passed over where the whole text is no name.

    >>> [found.item for found in map(ingredient_named, ("soda cáustica", "OLIVENOEL", "Organic olive-oil")) if found]
    ['sodium-hydroxide', 'olive-oil', 'olive-oil']
    """
    if text in ingredients():
        return ingredients()[text]
    whole = _key_of(_letters(text))
    return ingredients().get(whole or _key_of(_without_praise(text)))


def _key_of(letters: str) -> str:
    exact, plain = _by_name()
    return exact.get(letters) or plain.get(_without_accents(letters)) or ""


def _without_praise(text: str) -> str:
    """Return the letters of a text without the words that only say of what quality a thing is."""
    words = (_letters(word) for word in re.split(r"[^\w]+", text))
    return "".join(word for word in words if _without_accents(word) not in _qualities())


@cache
def _qualities() -> frozenset[str]:
    return frozenset(_plain(row["word"]) for row in catalogue_rows("qualities.csv"))


def names_of(ingredient: Ingredient) -> tuple[str, ...]:
    """Return by which other names it is found, each once, beside its key and name."""
    found: dict[str, str] = {}
    labels = [ingredient.label_name] if ingredient_named(ingredient.label_name) is ingredient else []
    for name in (*_everyday_names().get(ingredient.item, ()), *labels):
        found.setdefault(_letters(name), name)
    told = {"", _letters(ingredient.item), _letters(ingredient.name)}
    return tuple(name for letters, name in found.items() if letters not in told)


def ingredients_called(word: str) -> list[Ingredient]:
    """Return the packaged ingredients in one of whose names a word of three letters stands, first the one it names."""
    wanted = _plain(word)
    named = ingredient_named(word)
    holding = [each for each in ingredients().values() if any(wanted in _plain(name) for name in _every_name(each))]
    others = [each for each in holding if each is not named] if len(wanted) >= SHORTEST_WORD else []
    return [named, *others] if named else others


def _every_name(ingredient: Ingredient) -> tuple[str, ...]:
    return (ingredient.item, ingredient.name, *names_of(ingredient))


def _plain(name: str) -> str:
    return _without_accents(_letters(name))


@cache
def known_names() -> tuple[str, ...]:
    """Return every name of every packaged ingredient."""
    every = (name for each in ingredients().values() for name in _every_name(each))
    return tuple(dict.fromkeys(every))


@cache
def _everyday_names() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for row in catalogue_rows("names.csv"):
        found.setdefault(row["ingredient"], []).append(row["name"])
    return found


@cache
def _by_name() -> tuple[dict[str, str], dict[str, str]]:
    """Return the keys of the ingredients by the letters of their names; and by these without accents, "" for several."""
    exact = {_letters(name): key for key, names in _everyday_names().items() for name in names}
    exact |= {_letters(name): each.item for each in ingredients().values() for name in (each.item, each.name)}
    labelled: dict[str, set[str]] = {}
    for each in ingredients().values():
        labelled.setdefault(_letters(each.label_name), set()).add(each.item)
    exact = {letters: min(keys) for letters, keys in labelled.items() if letters and len(keys) == 1} | exact
    plain: dict[str, str] = {}
    for letters, key in exact.items():
        for form in _plain_forms(letters):
            plain[form] = key if plain.get(form, key) == key else ""
    return exact, plain


def _plain_forms(letters: str) -> Iterator[str]:
    yield _without_accents(letters)
    yield _without_accents(letters.replace("ä", "ae").replace("ö", "oe").replace("ü", "ue"))


def _letters(text: str) -> str:
    """Return the letters and figures of a name, as they are whatever its capitals, Unicode form and marks."""
    if text.isascii():
        return "".join(filter(str.isalnum, text.lower()))
    folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", text).casefold())
    return "".join(letter for letter in folded if letter.isalnum() or unicodedata.category(letter)[0] == "M")


def _without_accents(letters: str) -> str:
    if letters.isascii():
        return letters
    apart = unicodedata.normalize("NFKD", letters).replace("ł", "l").replace("œ", "oe").replace("ø", "o").replace("æ", "ae")
    return "".join(letter for letter in apart if unicodedata.category(letter) != "Mn")


@cache
def currencies() -> dict[str, int]:
    """Return the digits after the point of each ISO 4217 currency, by code."""
    return {row["currency"]: int(row["digits"]) for row in catalogue_rows("currencies.csv")}


@cache
def sources() -> list[dict[str, str]]:
    """Return where the packaged figures are from: source, what_for, how_known."""
    return catalogue_rows("sources.csv")


@cache
def tolerances() -> list[dict[str, str]]:
    """Return the bands of tolerable shortfall: from_grams, percent, grams, source, how_known."""
    return catalogue_rows("tolerances.csv")


@cache
def mean_factors() -> list[dict[str, str]]:
    """Return the factors of the reference test's mean test: weighed, factor, plan, source, how_known."""
    return catalogue_rows("mean_factors.csv")


@dataclass(frozen=True)
class UsualRange:
    """What small makers write in one column of a table, and what to ask where a figure lies outside."""

    table: str
    column: str
    low: Decimal
    high: Decimal
    unit: str
    meant: str
    source: str


@cache
def usual_ranges() -> tuple[UsualRange, ...]:
    """Return the ranges of use, common practice all of them."""
    rows = catalogue_rows("usual_ranges.csv")
    return tuple(UsualRange(**{**row, "low": Decimal(row["low"]), "high": Decimal(row["high"])}) for row in rows)  # type: ignore[arg-type]  # the two are numbers


@dataclass(frozen=True)
class UsualPrice:
    """About what a kilogram of an ingredient costs small makers, and how many times more or less is still usual."""

    euros_per_kg: float
    within: float


@cache
def usual_prices() -> dict[str, UsualPrice]:
    """Return rough prices by ingredient, from memory: only what is many times off is told by them."""
    rows = catalogue_rows("usual_prices.csv")
    return {row["ingredient"]: UsualPrice(float(row["euros_per_kg"]), float(row["within"])) for row in rows}


@cache
def currency_worths() -> dict[str, float]:
    """Return about how much of a currency one euro buys, from memory: to tell a thousandfold slip, and for nothing else."""
    return {row["currency"]: float(row["for_one_euro"]) for row in catalogue_rows("currency_worths.csv")}


@cache
def usual_shares() -> dict[str, tuple[float, float]]:
    """Return the shares at which things of a kind are used, in percent of what is put in: common practice."""
    return {row["kind"]: (float(row["low"]), float(row["high"])) for row in catalogue_rows("usual_shares.csv")}


@dataclass(frozen=True)
class UsualOverhead:
    """What an overhead that is called by one of some words comes to in a season, in euros: common practice."""

    overhead: str
    words: frozenset[str]
    low: float
    high: float


@cache
def usual_overheads() -> tuple[UsualOverhead, ...]:
    """Return the overheads whose names say what they are, with the words of eight languages for them."""
    return tuple(
        UsualOverhead(row["overhead"], frozenset(row["words"].split()), float(row["low_euros"]), float(row["high_euros"]))
        for row in catalogue_rows("usual_overheads.csv")
    )
