"""The packaged tables: every figure has its source, every source is used, and no figure changes unnoticed."""

from __future__ import annotations

import csv
import re
from decimal import Decimal

import pytest

from costing.fields.catalogue import Ingredient, catalogue_file, currencies, ingredients, mean_factors, sources, tolerances
from costing.tables.buying.items import KINDS, Item
from costing.tables.selling.channels import Channel

INGREDIENT_COLUMNS = [
    "item", "name", "kind", "label_name", "density", "density_source", "highest_percent", "highest_source",
    "saponification_low", "saponification_high", "saponification_source", "limit_group", "limit_factor", "limit_source",
    "water_percent", "water_source", "least_percent", "least_source", "pka", "lowest_ph", "highest_ph", "ph_source",
    "dissolves", "dissolves_source", "note",
]  # fmt: skip

# Sums of whole columns: who corrects a figure corrects its sum here, and so says that it was meant.
SUMS = {
    "density": "79.10341",
    "highest_percent": "62.89",
    "saponification_low": "13678",
    "saponification_high": "14633",
    "limit_factor": "8.80959",
    "water_percent": "1765",
    "least_percent": "2.9",
    "pka": "17.92",
    "lowest_ph": "44.5",
    "highest_ph": "116.0",
    "dissolves": "7.44",
}

WITHOUT_DIGITS = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"
THREE_DIGITS = "BHD IQD JOD KWD LYD OMR TND"

ALL = list(ingredients().values())


def _table(name: str) -> list[list[str]]:
    return list(csv.reader(catalogue_file(name).read_text(encoding="utf-8").splitlines()))


def _source_texts() -> list[str]:
    kinds = [name for name in INGREDIENT_COLUMNS if name.endswith("_source")]
    return [text for each in ALL for text in (getattr(each, kind) for kind in kinds) if text]


def test_at_least_two_hundred_ingredients_are_packaged() -> None:
    assert len(ALL) >= 200


def test_the_heading_names_the_columns_that_the_code_reads() -> None:
    assert _table("ingredients.csv")[0] == INGREDIENT_COLUMNS
    assert all(isinstance(each, Ingredient) for each in ALL)


def test_keys_are_slugs_and_stand_there_once() -> None:
    keys = [row[0] for row in _table("ingredients.csv")[1:]]
    assert [key for key in keys if not re.fullmatch(r"[a-z0-9]+(?:-[a-z0-9]+)*", key)] == []
    assert len(keys) == len(set(keys)) == len(ALL)


def test_names_are_filled_in_and_stand_there_once() -> None:
    names = [each.name.lower() for each in ALL]
    assert all(names)
    assert len(names) == len(set(names))


def test_kinds_are_those_that_the_items_table_knows_and_each_occurs() -> None:
    assert {each.kind for each in ALL} == set(KINDS)


def test_every_row_has_as_many_cells_as_headings() -> None:
    for name in (
        "ingredients.csv",
        "names.csv",
        "qualities.csv",
        "currencies.csv",
        "sources.csv",
        "tolerances.csv",
        "mean_factors.csv",
    ):
        assert {len(row) for row in _table(name)} == {len(_table(name)[0])}, name


@pytest.mark.parametrize(
    ("figure", "source"),
    [
        ("density", "density_source"),
        ("highest_percent", "highest_source"),
        ("saponification_low", "saponification_source"),
        ("saponification_high", "saponification_source"),
        ("limit_factor", "limit_source"),
        ("water_percent", "water_source"),
        ("least_percent", "least_source"),
        ("lowest_ph", "ph_source"),
        ("highest_ph", "ph_source"),
        ("dissolves", "dissolves_source"),
    ],
)
def test_a_source_stands_there_exactly_where_a_figure_does(figure: str, source: str) -> None:
    unlike = [each.item for each in ALL if (getattr(each, figure) is None) != (getattr(each, source) == "")]
    assert unlike == []


@pytest.mark.parametrize("column", SUMS)
def test_no_figure_changes_unnoticed(column: str) -> None:
    assert sum((getattr(each, column) or Decimal(0)) for each in ALL) == Decimal(SUMS[column])


def test_figures_lie_where_such_figures_can_lie() -> None:
    for each in ALL:
        assert each.density is None or Decimal("0.7") < each.density < Decimal("2.2"), each.item
        assert each.highest_percent is None or 0 < each.highest_percent <= 100, each.item
        if each.saponification_low is not None and each.saponification_high is not None:
            acid = each.kind in ("preservative", "additive")
            low, high, most = each.saponification_low, each.saponification_high, 900 if acid else 350
            assert 40 < low < high < most or (each.item == "mineral-oil" and low == high == 0), each.item


def test_all_oils_and_acids_have_a_saponification_range_and_nothing_else() -> None:
    ranged = {each.item for each in ALL if each.saponification_low is not None}
    acids = {each.item for each in ALL if each.item.endswith("-acid")}
    assert ranged == acids | {each.item for each in ALL if each.kind in ("oil", "fatty-acid")}


def test_what_keeps_has_shares_and_acidities_that_can_be() -> None:
    for each in ALL:
        if each.lowest_ph is not None and each.highest_ph is not None:
            assert 1 < each.lowest_ph < each.highest_ph < 12, each.item
        assert each.pka is None or each.ph_source, each.item
        if each.least_percent is not None:
            assert 0 < each.least_percent < (each.highest_percent or 100), each.item
    kept = {each.item for each in ALL if each.least_percent is not None or each.highest_ph is not None}
    assert kept == {each.item for each in ALL if each.kind == "preservative"}


@pytest.mark.parametrize(
    ("acid", "salt", "pka"), [("sorbic", "potassium-sorbate", "4.76"), ("benzoic", "sodium-benzoate", "4.20")]
)
def test_weak_acids_that_keep_have_their_published_strength(acid: str, salt: str, pka: str) -> None:
    """Handbook values, from memory: 4.76 and 4.20 at 25 °C. At a soap's pH of 9.5 less than 0.01 % is left as acid."""
    assert ingredients()[f"{acid}-acid"].pka == ingredients()[salt].pka == Decimal(pka)
    assert 1 / (1 + 10 ** (9.5 - float(pka))) < 0.0001


def test_all_of_kind_water_and_what_its_name_says_is_in_water_holds_water() -> None:
    """A solution of 60 % holds 40 % of water; hydrosols and juices are nearly all water; sugars and salts are dry."""
    watery = {each.item for each in ALL if each.water_percent is not None}
    assert {each.item for each in ALL if each.kind == "water"} <= watery
    solutions = {each.item: re.search(r"(\d+) % in water", each.name) for each in ALL}
    for item, strength in solutions.items():
        if strength:
            held = ingredients()[item].water_percent
            assert held is not None, item
            assert 95 <= held + int(strength[1]) <= 100, item
    assert {"goat-milk", "aloe-juice", "honey", "beer"} <= watery
    assert not watery & {"white-sugar", "table-salt", "glycerin", "kaolin"}
    assert all(0 < each.water_percent <= 100 for each in ALL if each.water_percent is not None)


def test_sugar_and_salt_dissolve_as_published() -> None:
    """Sugar technologists' polynomial (Vavrinecz 1962), from memory: percent by weight of sucrose in a saturated solution.

    Of table salt 35.9 g in 100 mL of water at 25 °C, which weigh 99.70 g: handbook values, from memory.
    """
    percent = 64.447 + 0.08222 * 20 + 1.6169e-3 * 20**2 - 1.558e-6 * 20**3 - 4.63e-8 * 20**4
    assert percent == pytest.approx(66.7, abs=0.05)
    assert float(ingredients()["white-sugar"].dissolves or 0) == pytest.approx(percent / (100 - percent), abs=0.01)
    assert float(ingredients()["table-salt"].dissolves or 0) == pytest.approx(35.9 / 99.70, abs=0.001)
    grains = {each.item for each in ALL if each.dissolves is not None}
    assert grains == {each.item for each in ALL if each.item.endswith(("-sugar", "-salt")) and each.item != "epsom-salt"}


def test_a_limit_group_is_named_after_its_acid_and_counts_as_it() -> None:
    grouped = [each for each in ALL if each.limit_group]
    assert {each.item for each in grouped if each.limit_factor == 1} == {each.limit_group for each in grouped}
    assert all(each.limit_factor and 1 <= each.limit_factor < 2 and each.highest_percent for each in grouped)


def test_every_source_named_beside_a_figure_is_listed() -> None:
    listed = [row["source"] for row in sources()]
    assert [text for text in _source_texts() if not any(source in text for source in listed)] == []


def test_every_listed_source_is_used() -> None:
    texts = _source_texts() + [row["source"] for row in (*tolerances(), *mean_factors())]
    elsewhere = {
        "ISO 4217": len(currencies()),
        "European glossary of ingredient names": len([e for e in ALL if e.label_name]),
        "common names": len(_table("names.csv")),
    }
    used = {row["source"]: sum(row["source"] in text for text in texts) for row in sources()}
    assert [source for source, times in used.items() if times + elsewhere.get(source, 0) == 0] == []


def test_every_listed_source_says_what_for_and_how_it_is_known() -> None:
    assert _table("sources.csv")[0] == ["source", "what_for", "how_known"]
    assert all(all(row.values()) for row in sources())
    assert len({row["source"] for row in sources()}) == len(sources())


def test_currencies_are_three_capitals_with_as_many_digits_as_currencies_have() -> None:
    rows = _table("currencies.csv")[1:]
    assert [code for code, _, _ in rows if not re.fullmatch(r"[A-Z]{3}", code)] == []
    assert {digits for _, _, digits in rows} == {"0", "2", "3"}
    assert len(rows) == len(currencies()) > 150


def test_all_currencies_but_these_have_two_digits_after_the_point() -> None:
    digits = {0: set(WITHOUT_DIGITS.split()), 3: set(THREE_DIGITS.split())}
    assert {each: {code for code, found in currencies().items() if found == each} for each in digits} == digits


def test_no_rate_of_tax_is_packaged_or_presumed() -> None:
    headings = [heading for name in ("ingredients.csv", "currencies.csv", "sources.csv") for heading in _table(name)[0]]
    assert [heading for heading in headings if re.search(r"tax|vat|gst|rate", heading, re.IGNORECASE)] == []
    cells = [cell for name in ("ingredients.csv", "currencies.csv", "sources.csv") for row in _table(name) for cell in row]
    assert [cell for cell in cells if re.search(r"\b(tax(es)?|vat|gst)\b", cell, re.IGNORECASE)] == []
    assert Channel.model_fields["sales_tax_percent"].default == 0


def test_every_packaged_ingredient_is_a_valid_item() -> None:
    for each in ALL:
        row = {
            "item": each.item,
            "name": each.name,
            "kind": each.kind,
            "label_name": each.label_name,
            "note": each.note,
        }
        figures = {"density": each.density, "highest_percent": each.highest_percent}
        item = Item.model_validate(row | figures)
        assert (item.item, item.kind, item.density) == (each.item, each.kind, each.density)
