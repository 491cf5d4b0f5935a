"""A season under other names: each thing called anew in another script, and spelled a little differently at each place."""

from __future__ import annotations

import csv
import unicodedata
from collections.abc import Iterator, Sequence
from copy import deepcopy
from pathlib import Path
from random import Random

from costing.fields.catalogue import ingredient_named
from tests.seasons import Row, Tables

CATALOGUE = Path(__file__).parents[1] / "catalogues" / "ingredients.csv"
NAMED = {
    "item", "part", "formula", "filled_with", "step", "output", "tub", "product", "bought", "channel", "main_channel",
    "of_channel", "overhead", "batch", "what",
}  # fmt: skip
KEPT = {
    "delivery",
    "discount",
    "sodium-hydroxide",
    "potassium-hydroxide",
    "Caustic soda",
}  # words with a meaning of their own
LATIN = "abcdefghijklmnopqrstuvwxyz-"
SCRIPTS = {
    "Portuguese": "áβcdéfghíjklmnóþqrstúvwxýž ".replace("β", "b").replace("þ", "p"),
    "Greek": "αβγδεζηθικλμνξοπρστυφχψωάέ ",
    "Japanese": "アイウエオカキクケコサシスセソタチツテトナニヌネノハ ",
}
OWN = ("kind", "label_name", "density", "highest_percent")  # what the packaged list knows of a thing under its own name


def renamed(tables: Tables, scripts: Sequence[str], random: Random) -> Tables:
    """Return a season with every thing called anew, by turns in each script, and with what the packaged list knew of it."""
    changed = deepcopy(tables)
    names: dict[str, str] = {}
    for row, column in _named_cells(changed):
        row[column] = "/".join(_spelled(_called(part, scripts, names), random) for part in row[column].split("/"))
    if "main_channel" in changed["season"]:
        changed["season"]["main_channel"] = _called(changed["season"]["main_channel"], scripts, names)
    listed = {row["item"] for row in tables.get("items", [])}
    items = changed.setdefault("items", [])
    for row, key in zip(items, (row["item"] for row in tables.get("items", [])), strict=True):
        _add_known(row, key)
    for key in dict.fromkeys(row["item"] for row in tables["purchases"]):
        if key not in listed | KEPT:
            items.append(_add_known({"item": _called(key, scripts, names)}, key))
    return changed


def _named_cells(tables: Tables) -> Iterator[tuple[Row, str]]:
    for name, rows in tables.items():
        if name != "season":
            yield from ((row, column) for row in rows for column in NAMED & set(row) if row[column])


def _called(key: str, scripts: Sequence[str], names: dict[str, str]) -> str:
    if key in KEPT:
        return key
    letters = str.maketrans(LATIN, SCRIPTS[scripts[len(names) % len(scripts)]])
    return names.setdefault(key, key.lower().translate(letters).capitalize())


def _spelled(name: str, random: Random) -> str:
    """Return a name as it may come out at one place: in capitals, taken apart, with blanks to spare."""
    ways = (
        name, name.upper(), f" {name} ", name.replace(" ", "  "), name.replace(" ", "\u00a0"),
        unicodedata.normalize("NFD", name),
    )  # fmt: skip
    return random.choice(ways)


def _add_known(row: Row, key: str) -> Row:
    ingredient = ingredient_named(key)
    with CATALOGUE.open(encoding="utf-8", newline="") as file:
        known = next((each for each in csv.DictReader(file) if ingredient and each["item"] == ingredient.item), {})
    for column in OWN:
        if known.get(column):
            row.setdefault(column, known[column])
    return row
