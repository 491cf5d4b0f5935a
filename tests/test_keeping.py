"""Keeping: what is watery, what preserves there, and what dissolves; each told when it should be, and quiet when not."""

from __future__ import annotations

import pytest

import costing
from costing.tables.deciding.keeping import KEEPING
from costing.tables.deciding.preservation import KEEPERS, acid_left_whole
from tests.test_cautions import Change, Tables, calm, cautions, formula, more

ASSESS = "see the supplier's document and the product's safety assessment, and local law"
SPOILS = f"what stays moist can spoil: {ASSESS}; only a challenge test tells whether it keeps"
IDLE = "does not work at the pH of soap, about 9 to 10.5: measure it"
BAR = {"olive_oil": "1000", "sodium_hydroxide": "125", "water": "250"}


def loses(key: str, percent: str) -> Change:
    """Let the one step of a formula lose weight."""
    step = {"formula": key, "step": "mix", "loss_percent": percent}
    return lambda tables: tables.setdefault("steps", []).append(step)


def dried_bar(tables: Tables) -> None:
    """Add a bar that loses 10 % while it dries."""
    formula("bar", **BAR)(tables)
    loses("bar", "10")(tables)


def about(*changes: Change) -> list[str]:
    """Return what is told of formulas in the calm season with these changes, each without its advice."""
    told = [text for text in cautions(*changes) if text.startswith("formulas, ")]
    return [text.removeprefix("formulas, ").partition("; ")[0] for text in told]


def sorts(*changes: Change) -> dict[str, str]:
    tables = calm()
    for change in changes:
        change(tables)
    return {row.formula: row.sort for row in costing.cost(costing.records_from(**tables))[KEEPING].rows}


def test_water_without_preservative_is_named() -> None:
    assert cautions(formula("tonic", water="90", glycerin="10")) == [
        f"formulas, tonic: 90.0% water and no preservative; {SPOILS}"
    ]
    assert about(formula("tonic", water="89", glycerin="10.5", phenoxyethanol="0.5")) == []
    assert about(formula("tonic", glycerin="10", white_sugar="90")) == []


@pytest.mark.parametrize(
    ("watery", "percent"),
    [("aloe_juice", "9.9"), ("goat_milk", "8.7"), ("coconut_milk", "7.0"), ("rose_water", "9.9"), ("honey", "1.7")],
)
def test_watery_things_count_by_the_water_in_them(watery: str, percent: str) -> None:
    """A tenth of each in oil, by the water_percent of the packaged list; honey too, whose water is free once diluted."""
    mixed = formula("rub", **{watery: "10", "sunflower_oil": "90"})
    assert about(mixed) == [f"rub: {percent}% water and no preservative"]


def test_moisture_of_dry_things_is_not_water() -> None:
    """Brown sugar holds 2 %, which is bound in its crystals; half a percent of any water is let pass."""
    assert about(formula("scrub", brown_sugar="60", sunflower_oil="40")) == []
    assert about(formula("rub", water="0.4", sunflower_oil="99.6")) == []
    assert about(formula("rub", water="0.5", sunflower_oil="99.5")) == ["rub: 0.5% water and no preservative"]


def test_water_is_followed_through_what_a_formula_is_made_from() -> None:
    """Half of a tea of nine tenths water are 45 %; a preservative in either place counts."""
    tea = formula("tea", water="90", glycerin="10")
    first = "tea: 90.0% water and no preservative"
    assert about(tea, formula("rub", tea="50", sunflower_oil="50")) == [first, "rub: 45.0% water and no preservative"]
    assert about(tea, formula("rub", tea="50", sunflower_oil="49", phenoxyethanol="1")) == [first]
    assert about(formula("scrub", whip="50", water="10", pumice="40")) == []


def test_an_item_of_the_makers_own_counts_by_its_kind_or_by_what_it_is_the_same_as() -> None:
    own = more(
        "items",
        {"item": "pine-needle-tea", "kind": "water"},
        {"item": "keepwell", "kind": "preservative"},
        {"item": "orchard-milk", "same_as": "goat-milk"},
    )
    assert about(own, formula("tonic", pine_needle_tea="90", glycerin="10")) == ["tonic: 90.0% water and no preservative"]
    assert about(own, formula("tonic", pine_needle_tea="90", glycerin="9", keepwell="1")) == []
    assert about(own, formula("rub", orchard_milk="10", sunflower_oil="90")) == ["rub: 8.7% water and no preservative"]


def test_a_bar_that_dries_is_quiet_and_brings_no_water() -> None:
    """Neither it nor what is grated from it is watery; 3 % or less of loss may be what sticks to the pot."""
    assert about(dried_bar, formula("shreds", bar="1000")) == []
    wet = "bar: 18.2% water, no preservative that works in soap, and no loss written for its drying"
    assert about(formula("bar", **BAR)) == [wet]
    assert about(formula("bar", **BAR), loses("bar", "3")) == [wet]
    assert about(formula("bar", **BAR), loses("bar", "3.1")) == []


def test_soft_soap_and_lye_solutions() -> None:
    """Potassium hydroxide makes a soap that stays soft, whatever it loses; a lye solution does not spoil."""
    soft = formula("paste", olive_oil="1000", potassium_hydroxide="175", water="400")
    assert about(soft, loses("paste", "10")) == ["paste: 25.4% water and no preservative"]
    solution = formula("strong-lye", sodium_hydroxide="500", water="500")
    bar = formula("bar", olive_oil="1000", strong_lye="250")
    assert not [text for text in about(solution, bar, loses("bar", "8")) if "water" in text]
    assert (
        about(solution, bar)[0] == "bar: 10.0% water, no preservative that works in soap, and no loss written for its drying"
    )


def test_what_sort_of_thing_a_formula_is_follows_from_the_kinds_of_its_items() -> None:
    found = sorts(
        dried_bar,
        formula("paste", olive_oil="1000", potassium_hydroxide="175"),
        formula("strong-lye", sodium_hydroxide="500", water="500"),
        formula("cast", strong_lye="250", olive_oil="1000"),
        formula("shreds", bar="1000"),
        formula("rub", sunflower_oil="10"),
    )
    assert found == {
        "whip": "holds soap", "bar": "bar", "paste": "soft soap", "strong-lye": "lye solution", "cast": "bar",
        "shreds": "holds soap", "rub": "other",
    }  # fmt: skip


@pytest.mark.parametrize(
    "item", ["potassium_sorbate", "sodium_benzoate", "sorbic_acid", "benzyl_alcohol_dehydroacetic", "methylparaben"]
)
def test_what_does_not_work_at_the_pH_of_soap_is_told_in_soap_only(item: str) -> None:  # noqa: N802  # pH is written so
    """By the pKa of its acid, or by the pH up to which it works; a lotion without soap may be sour enough."""
    grams = {item: "0.3", "water": "49.7"}
    name = item.replace("_", "-")
    whip = formula("cream", bar="50", **grams)
    assert f"cream: 49.7% water, and {name} {IDLE}" in about(dried_bar, whip)
    assert not [text for text in about(formula("lotion", sunflower_oil="50", **grams)) if "water" in text]
    assert about(formula("fluff", whipped_base="50", **grams)) == [f"fluff: 49.7% water, and {name} {IDLE}"]


def test_beside_one_that_works_an_idle_one_is_quiet() -> None:
    assert about(dried_bar, formula("cream", bar="50", water="49", potassium_sorbate="0.3", phenoxyethanol="0.7")) == []


@pytest.mark.parametrize(("grams", "told"), [("0.24", True), ("0.25", False), ("0.5", False)])
def test_far_below_the_working_share_is_told(grams: str, *, told: bool) -> None:
    """Phenoxyethanol usually works from 0.5 %; half of it is let pass, since packs differ."""
    rest = f"{50 - float(grams):g}"
    mixed = formula("cream", sunflower_oil="50", water=rest, phenoxyethanol=grams)
    words = "cream: 49.8% water, and of phenoxyethanol only 48% of the least that usually works"
    assert about(mixed) == ([words] if told else [])


def test_preservatives_count_together_and_out_of_what_was_made_before() -> None:
    """A third of phenoxyethanol's least share and a third of chlorphenesin's are two thirds; 40 % of a whip's 0.8 % 64 %."""
    both = {"phenoxyethanol": "0.1667", "chlorphenesin": "0.0334"}
    assert about(formula("cream", sunflower_oil="50", water="49.8", **both)) == []
    assert about(formula("cream", whip="40", water="60")) == []
    told = "cream: 84.3% water, and of phenoxyethanol only 40% of the least that usually works"
    assert about(formula("cream", whip="25", water="75")) == [told]


def test_a_share_in_what_is_made_counts_where_steam_is_lost() -> None:
    """0.95 % of 1000 g are 1.06 % of the 900 g that are left; the formula after it takes that over."""
    mixed = formula("rub", sunflower_oil="990.5", phenoxyethanol="9.5")
    assert about(mixed) == []
    above = "0.95%, and 1.06% of what is made if only steam is lost, of phenoxyethanol"
    assert about(mixed, loses("rub", "10")) == [f"rub: {above}, above 1.00%"]
    again = formula("balm", rub="500", sunflower_oil="10")
    assert about(mixed, loses("rub", "10"), again)[1].startswith("balm: 0.93%, and 1.03% of what is made")


def test_a_shared_limit_is_judged_in_what_is_made_too() -> None:
    """1.4 % of benzoic acid and 1.18 % of its salt are 2.4 % as acid, and 2.67 % of what a tenth less leaves."""
    mixed = formula("wash", benzoic_acid="1.4", sodium_benzoate="1.18", glycerin="97.42")
    assert about(mixed) == []
    assert about(mixed, loses("wash", "10")) == [
        "wash: 2.67% of benzoic-acid and sodium-benzoate together, counted as benzoic-acid, above 2.50%"
    ]


@pytest.mark.parametrize(
    ("water", "sugar", "told"),
    [
        ("12.4", "50", ""),
        ("12.6", "50", "50%"),
        ("25", "50", "all"),
        ("5", "9.9", ""),
    ],
)
def test_sugar_beside_much_water_may_go_to_syrup(water: str, sugar: str, told: str) -> None:
    """A gram of water takes 2.00 g of sugar; half of it gone is told, and grains below a tenth are no scrub's."""
    oil = f"{99 - float(water) - float(sugar):g}"
    found = about(formula("scrub", white_sugar=sugar, water=water, sunflower_oil=oil, phenoxyethanol="1"))
    words = f"scrub: its {float(water):.1f}% of water could dissolve {told} of its sugar and salt"
    assert found == ([words] if told else [])


def test_salt_and_sugar_count_together_and_once() -> None:
    """10 g of salt want 27.8 g of water and 10 g of sugar 5: 20 g are 61 % of that."""
    mixed = formula("scrub", table_salt="10", demerara_sugar="10", water="20", sunflower_oil="59", phenoxyethanol="1")
    assert about(mixed) == ["scrub: its 20.0% of water could dissolve 61% of its sugar and salt"]


def test_sugar_in_the_water_of_a_bar_is_no_scrub() -> None:
    assert about(formula("bar", **BAR, white_sugar="200"), loses("bar", "10")) == []


def test_acids_of_preservatives_are_split_in_soap() -> None:
    """Half at a pH of pKa, by the definition; the list says of each acid what is left at pH 9."""
    assert acid_left_whole(4.2, 4.2) == 0.5
    rows = {row.item: row for row in costing.cost(costing.records_from(**calm()))[KEEPERS].rows}
    assert rows["potassium-sorbate"].whole_acid == pytest.approx(10 ** -(9 - 4.76), rel=1e-3)
    assert rows["benzoic-acid"].whole_acid == pytest.approx(10 ** -(9 - 4.20), rel=1e-1)
    assert [rows[item].idle for item in ("phenoxyethanol", "benzyl-alcohol", "sorbic-acid", "honey")] == [0, 1, 1, 0]
