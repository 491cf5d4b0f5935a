"""An item is the packaged ingredient that it is called after, in any language, or that its row says it is the same as.

Whatever it is called, a season costs the same and hears the same cautions, but for the names in them.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import costing
from costing.season.comparable import normal_tables
from costing.tables.buying.items import ITEMS
from costing.tables.buying.purchases import PURCHASES
from tests.test_cautions import Tables, cautions, formula, more
from tests.test_faults import cell as typed
from tests.test_faults import more as written
from tests.test_faults import told, whole

# A bar whose potash, oils and preservatives are all looked at, and the same things in everyday words.
BAR = {
    "olive_oil": "1000",
    "shea_butter": "50",
    "sodium_hydroxide": "147",
    "potassium_hydroxide": "1",
    "water": "300",
    "benzoic_acid": "24",
    "sodium_benzoate": "24",
}
PORTUGUESE = {
    "olive-oil": "Azeite",
    "shea-butter": "Manteiga de karité",
    "sodium-hydroxide": "Soda cáustica",
    "potassium-hydroxide": "Hidróxido de potássio",
    "water": "Água",
    "benzoic-acid": "Ácido benzoico",
    "sodium-benzoate": "Benzoato de sódio",
}
MADE_UP = {item: f"xyz-{at}" for at, item in enumerate(PORTUGUESE)}


def renamed(tables: Tables, names: dict[str, str]) -> Tables:
    """Return a season in which these items are called otherwise."""
    for rows in (tables["purchases"], tables["items"], tables["lines"]):
        for row in rows:
            row["item"] = names.get(row["item"], row["item"])
    return tables


def said(names: dict[str, str], *rows: dict[str, str]) -> list[str]:
    """Return the cautions of a season with the bar, renamed, with the new names put back."""
    found = cautions(formula("bar", **BAR), lambda tables: renamed(tables, names), more("items", *rows))
    for old, new in names.items():
        found = [text.replace(new, old) for text in found]
    return found


def test_a_season_in_another_language_hears_the_same() -> None:
    plain = said({})
    assert len(plain) == 3
    assert sum("no loss written for its drying" in text for text in plain) == 1
    assert sum("potassium-hydroxide counts as pure" in text for text in plain) == 1
    assert sum("benzoic-acid and sodium-benzoate together" in text for text in plain) == 1
    assert said(PORTUGUESE) == plain


def test_names_of_ones_own_hear_the_same_through_same_as() -> None:
    rows = [{"item": new, "same_as": PORTUGUESE[old]} for old, new in MADE_UP.items()]
    assert said(MADE_UP, *rows) == said({})


def test_names_that_are_not_known_hear_that_nothing_can_be_told() -> None:
    kinds = [{"item": MADE_UP[item], "kind": "lye"} for item in MADE_UP if item.endswith("hydroxide")]
    (told,) = said(MADE_UP, *kinds)
    assert f"without a known value: {', '.join(MADE_UP)}; whether that is too much cannot be told" in told


def facts(*rows: dict[str, str], item: str) -> tuple[str, str, object, object]:
    """Return what is known of an item that a season buys, beside rows of the maker's own."""
    tables = whole()
    tables["purchases"].append({"bought_on": "2026-09-02", "item": item, "size": "1", "unit": "kg", "paid": "9"})
    found = costing.cost(costing.records_from(**_settings(tables), items=list(rows))).row("items", item=item)
    return found.kind, found.label_name, found.density, found.highest_percent


def _settings(tables: Tables) -> Tables:
    return {**tables, "season": {row["key"]: row["value"] for row in tables["season"]}}


def test_facts_of_the_packaged_list_hold_for_an_item_of_another_name() -> None:
    known = facts(item="phenoxyethanol")
    assert known[0] == "preservative"
    assert facts(item="fenoxietanol") == known
    assert facts({"item": "keeper-1", "same_as": "Phénoxyéthanol"}, item="keeper-1") == known
    assert facts(item="keeper-1")[0] == ""


def test_what_the_maker_writes_goes_before_the_packaged_list() -> None:
    row = {"item": "keeper-1", "same_as": "phenoxyethanol", "highest_percent": "0.5", "label_name": "Own"}
    kind, label_name, _, highest = facts(row, item="keeper-1")
    assert (kind, label_name, highest) == ("preservative", "Own", pytest.approx(0.005))


def test_same_as_goes_before_the_name() -> None:
    assert facts({"item": "kaolin", "same_as": "Olivenöl"}, item="kaolin") == facts(item="olive-oil")


def test_a_volume_of_an_item_of_another_name_is_weighed_by_its_density() -> None:
    tables = whole()
    for row in (*tables["purchases"], *tables["lines"]):
        row["item"] = {"olive-oil": "Olivenöl", "water": "Wasser"}.get(row["item"], row["item"])
    tables["purchases"][0]["unit"] = "L"
    season = costing.cost(costing.records_from(**_settings(tables)))
    density = season.row("items", item="Olivenöl").density
    assert season[PURCHASES].rows[0].amount == pytest.approx(5000 * density)


def test_an_unknown_same_as_is_a_fault_with_the_nearest(tmp_path: Path) -> None:
    assert told(tmp_path, written("items", item="butter", same_as="Scheabutter")) == [
        'items.csv, row 2, same_as: "Scheabutter" is not in the packaged list; did you mean "Shea butter"? '
        "Otherwise leave it blank; costing names lists what is in it"
    ]


def test_an_export_holds_the_ingredient_and_reads_back_as_nothing_written(tmp_path: Path) -> None:
    tables = _settings(whole())
    for row in (*tables["purchases"], *tables["lines"]):
        row["item"] = {"olive-oil": "Azeite", "sodium-hydroxide": "my-lye"}.get(row["item"], row["item"])
    tables["items"] = [{"item": "my-lye", "same_as": "Ätznatron"}]
    records = costing.records_from(**tables)
    season = costing.cost(records)
    assert {row.item: row.same_as for row in season[ITEMS].rows if row.same_as} == {
        "Azeite": "olive-oil",
        "my-lye": "sodium-hydroxide",
    }
    costing.export(season, tmp_path / "book.xlsx", all_sheets=True)
    again = costing.read_season(tmp_path / "book.xlsx")
    assert normal_tables(again) == normal_tables(records)
    assert normal_tables(again)["items"] == [{"item": "my-lye", "same_as": "sodium-hydroxide"}]


def test_an_ingredient_bought_under_another_name_is_what_a_line_meant(tmp_path: Path) -> None:
    assert told(tmp_path, typed("lines", 2, item="Olivenöl")) == [
        'lines.csv, row 2, item: "Olivenöl" is neither bought nor made; '
        'write it in purchases or formulas; did you mean "olive-oil"?'
    ]
