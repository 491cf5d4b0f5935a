"""Units of purchases: the spellings people use, exact contents, and the measures that are refused."""

from __future__ import annotations

from itertools import product

import pytest

import costing
from costing.fields.types import Record
from costing.fields.units import PurchaseUnit, purchase_units, registry, spelled_unit, unit
from costing.records.schema import TABLES_BY_NAME

POUND, US_GALLON, IMPERIAL_GALLON = 453.59237, 3785.411784, 4546.09  # gram, millilitre, millilitre; exact by definition

HOLDS = {
    "g": (1, 0, 0),
    "kg": (1000, 0, 0),
    "mg": (0.001, 0, 0),
    "oz": (POUND / 16, 0, 0),
    "lb": (POUND, 0, 0),
    "mL": (0, 1, 0),
    "L": (0, 1000, 0),
    "us fl oz": (0, US_GALLON / 128, 0),
    "us pint": (0, US_GALLON / 8, 0),
    "us quart": (0, US_GALLON / 4, 0),
    "us gallon": (0, US_GALLON, 0),
    "imperial fl oz": (0, IMPERIAL_GALLON / 160, 0),
    "imperial pint": (0, IMPERIAL_GALLON / 8, 0),
    "imperial quart": (0, IMPERIAL_GALLON / 4, 0),
    "imperial gallon": (0, IMPERIAL_GALLON, 0),
    "piece": (0, 0, 1),
    "dozen": (0, 0, 12),
}

SPELLINGS = {
    "g": ["g", "G", "gr", "gram", "grams", "g."],
    "kg": ["kg", "KG", "Kgs", "kilo", "kilos", "kilogram", "kilograms", " kg "],
    "mg": ["mg", "milligram", "milligrams"],
    "oz": ["oz", "oz.", "OZ", "ounce", "ounces"],
    "lb": ["lb", "lbs", "Lbs.", "pound", "pounds"],
    "mL": ["mL", "ml", "ML", "millilitre", "millilitres", "milliliter", "milliliters"],
    "L": ["L", "l", "litre", "litres", "liter", "liters"],
    "us fl oz": ["us fl oz", "US fl. oz", "US-fl-oz", "us_fl_oz", "us  fl  oz"],
    "us pint": ["us pint", "US Pints"],
    "us quart": ["us quart", "us quarts"],
    "us gallon": ["us gallon", "US gallons", "us_gallon"],
    "imperial fl oz": ["imperial fl oz", "Imperial fl. oz."],
    "imperial pint": ["imperial pint", "imperial pints"],
    "imperial quart": ["imperial quart", "imperial quarts"],
    "imperial gallon": ["imperial gallon", "Imperial Gallons"],
    "piece": ["piece", "pieces", "pc", "pcs", "pcs.", "each"],
    "dozen": ["dozen", "dozens", "doz", "doz."],
}


def _told(text: str) -> str:
    """Return the one fault that a purchase in such a unit gives."""
    row = {"bought_on": "2026-08-03", "item": "olive-oil", "size": 1, "unit": text, "paid": 1}
    with pytest.raises(costing.Faults) as caught:
        costing.records_from(season={"name": "n", "currency": "EUR", "priced_on": "2026-11-01"}, purchases=[row])
    (told,) = [fault for fault in caught.value.faults if fault.where == "purchases, row 1, unit"]
    return str(told).removeprefix("purchases, row 1, unit: ")


def _purchase(text: str) -> Record:
    row = {"bought_on": "2026-08-03", "item": "olive-oil", "size": 1, "unit": text, "paid": 1}
    return TABLES_BY_NAME["purchases"].model.model_validate(row)


@pytest.mark.parametrize("spelling", HOLDS)
def test_each_unit_holds_what_its_definition_says(spelling: str) -> None:
    holds = purchase_units()[spelling]
    assert (holds.grams, holds.millilitres, holds.pieces) == pytest.approx(HOLDS[spelling], rel=1e-12)


def test_these_and_no_other_units_are_offered() -> None:
    assert list(purchase_units()) == list(HOLDS)
    assert all(isinstance(each, PurchaseUnit) and each.spelling == key for key, each in purchase_units().items())


def test_each_unit_counts_in_one_way_only() -> None:
    ways = [(each.grams, each.millilitres, each.pieces) for each in purchase_units().values()]
    assert all(sum(1 for way in holds if way > 0) == 1 for holds in ways)


@pytest.mark.parametrize(("unit_", "text"), [(key, text) for key, texts in SPELLINGS.items() for text in texts])
def test_other_spellings_are_brought_to_the_standard_one(unit_: str, text: str) -> None:
    assert spelled_unit(text) == unit_
    assert getattr(_purchase(text), "unit", None) == unit_


def test_us_and_imperial_measures_differ_by_four_to_twenty_percent() -> None:
    units = purchase_units()
    for measure in ("pint", "quart", "gallon"):
        assert units[f"imperial {measure}"].millilitres / units[f"us {measure}"].millilitres == pytest.approx(
            1.20095, abs=5e-6
        )
    assert units["us fl oz"].millilitres / units["imperial fl oz"].millilitres == pytest.approx(1.04084, abs=5e-6)


@pytest.mark.parametrize(
    "word",
    ["cup", "spoons", "tsp", "tbsp", "colher", "Esslöffel", "cuillère", "łyżka", "Cups", "heaped tablespoon", "Tbsp."],
)
def test_spoons_and_cups_are_refused(word: str) -> None:
    assert spelled_unit(word) is None
    assert _told(word) == f'"{word}" is no measure of weight; weigh it and write grams'


@pytest.mark.parametrize(
    ("word", "measure"),
    [
        ("gallon", "gallon"),
        ("Gallons", "gallon"),
        ("pint", "pint"),
        ("quarts", "quart"),
        ("fl oz", "fl oz"),
        ("fluid ounces", "fl oz"),
    ],
)
def test_a_measure_that_differs_between_countries_is_refused_without_its_country(word: str, measure: str) -> None:
    assert spelled_unit(word) is None
    assert _told(word) == f'"{word}" differs between countries; write us {measure} or imperial {measure}'


@pytest.mark.parametrize("word", ["stone", "bucket", "tonne", "42", "m"])
def test_an_unknown_unit_is_told_with_all_known_ones(word: str) -> None:
    assert _told(word) == f'"{word}" is no unit known here; write one of {", ".join(HOLDS)}'


def test_no_weight_is_made_of_a_volume_or_of_pieces_without_more() -> None:
    counted = ("gram", "millilitre", "piece", "money", "minute")
    for one, other in product(counted, repeat=2):
        assert registry().Quantity(1, one).check(registry().get_dimensionality(other)) == (one == other)


def test_a_unit_of_worked_figures_is_read_from_its_words() -> None:
    assert unit("money/kilogram").is_compatible_with(unit("money/gram"))
    assert not unit("money/piece").is_compatible_with(unit("money/gram"))
    assert unit("").dimensionless
