"""A rule stands once: the tables of the workbook, the faults and the terminal's cautions say the same of one season."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

import costing
from costing.season.costed import Season
from costing.season.working_out import cost
from costing.tables.deciding.contents import CONTENTS
from costing.tables.deciding.keeping import KEEPING
from costing.tables.deciding.price_shock import SHOCKED, Shock
from costing.tables.making.lye_balance import LYE
from costing.tables.making.moving_cards import MAKING
from costing.tables.making.recipe_cards import OFF, UNPRICED
from costing.tables.selling.channels import CHANNELS, UNREACHABLE
from costing.tables.selling.price_ladder import DEARER, LADDER
from costing.tables.selling.prices import PRICES
from costing.tables.whole.checks import LOOKS
from tests.published.seasons import bought, costed, line
from tests.seasons import as_records, sample_tables
from tests.test_cautions import Change, calm, cautions, cell, formula, more, settings


def changed(*changes: Change) -> costing.Season:
    """Return the calm season with changes as its tables see it: worked out whether or not it has faults."""
    tables = calm()
    for change in changes:
        change(tables)
    return Season(costing.records_from(**tables), {})


def faults(*changes: Change) -> list[str]:
    """Return the faults of the calm season with these changes."""
    try:
        cautions(*changes)
    except costing.Faults as found:
        return [str(fault) for fault in found.faults]
    return []


def remarks(season: costing.Season, table: Any) -> set[str]:
    """Return what a table says of its rows."""
    season[table].finish()
    return {row.remark for row in season[table].rows} - {" "}


def test_a_shock_of_nothing_suggests_what_prices_does() -> None:
    """50.000002 is above 50 when rounded to six decimals, so on a grid of 5 the next point up is 55, on both sheets."""
    records = costed(
        settings={"price_step": 5},
        purchases=[bought("oil", 50.000002)],
        lines=[line("filling", "oil", 1)],
        prices=[{"product": "any", "channel": "stall"}],
    ).records
    season = cost(records, shock=Shock.model_construct(item="oil", change=0))
    assert [row.suggested for row in season[PRICES].rows] == [55]
    assert [row.suggested for row in season[SHOCKED].rows] == [55]


def test_the_cautions_name_the_bigger_tubs_that_the_ladder_marks() -> None:
    """120 g at 10.00 per 100 g after 60 g at 8.00 is dearer, 240 g at 9.00 after that is not: the next smaller counts."""
    changes = (
        cell("prices", 0, price="4.80"),
        cell("prices", 1, price="12.00"),
        more("products", dict(calm()["products"][1], product="whip-240", fill_grams="240")),
        more("prices", {"product": "whip-240", "channel": "stall", "price": "21.60"}),
    )
    told = [each for each in cautions(*changes) if "per 100 g" in each]
    assert [each.partition(":")[0] for each in told] == ["prices, whip-120, stall"]
    season = changed(*changes)
    season[LADDER].finish()
    assert [row.product for row in season[LADDER].rows if row.remark == DEARER] == ["whip-120"]


def test_prices_marked_alike_are_not_told_as_dearer() -> None:
    """6.00 for 60 g and 12.004 for 120 g are both marked 10.00 for 100 g."""
    assert cautions(cell("prices", 0, price="6.00"), cell("prices", 1, price="12.0047")) == []


@pytest.mark.parametrize(("percent", "off"), [("60.01", False), ("60.0105", True), ("59.99", False), ("59.9895", True)])
def test_percentages_miss_a_hundred_for_the_fault_and_the_sheet_alike(percent: str, *, off: bool) -> None:
    """The other lines of the whip are 40 %; a hundredth of a percent may be missing or over."""
    change = cell("lines", 0, percent=percent)
    assert bool(faults(change)) is off
    assert (OFF in remarks(changed(change), MAKING)) is off


@pytest.mark.parametrize(("percent", "off"), [("20.01", False), ("20.0105", True), ("10", True)])
def test_outputs_miss_a_hundred_for_the_fault_and_the_sheet_alike(percent: str, *, off: bool) -> None:
    def change(tables: dict[str, Any]) -> None:
        shares = (("tubs", "80"), ("rest", percent))
        tables["outputs"] = [{"formula": "whip", "output": key, "percent": share} for key, share in shares]

    assert bool(faults(change)) is off
    assert (OFF in remarks(changed(change), MAKING)) is off


@pytest.mark.parametrize(("fee", "nothing"), [("30", True), ("29.9", False), ("31", True)])
def test_a_margin_out_of_reach_is_so_for_the_fault_and_the_sheet(fee: str, *, nothing: bool) -> None:
    """70 % and a fee of 30 % leave nothing; in binary 1 − 0.7 − 0.3 is a hair above it."""
    change = cell("channels", 0, margin_percent="70", fee_percent=fee)
    assert bool(faults(change)) is nothing
    assert (UNREACHABLE in remarks(changed(change), CHANNELS)) is nothing


@pytest.mark.parametrize(
    ("change", "priced"),
    [
        (cell("purchases", 3, bought_on="2026-11-02"), False),
        (cell("purchases", 3, packs="-1", paid="-90"), False),
        (cell("purchases", 3, paid="0"), True),
        (settings(reclaims_tax="yes"), True),
    ],
    ids=["bought later", "only sent back", "free", "as it was"],
)
def test_what_has_no_price_is_a_fault_and_marked(change: Change, *, priced: bool) -> None:
    """Lavender oil, the fourth purchase, was not there by the day priced on, or it was."""
    assert bool(faults(change)) is not priced
    assert (UNPRICED in remarks(changed(change), MAKING)) is not priced
    season = changed(change)
    if priced:
        assert costing.figures(cost(season.records))["items"]["lavender-oil"]["per_gram"] is not None


def test_lye_is_followed_out_of_a_solution_with_something_mixed_beforehand() -> None:
    """Glycerin in water takes up no lye, so what is made of both is a lye solution, and the bar of it is looked at."""
    changes = (
        formula("sweet-water", water="500", glycerin="20"),
        formula("strong-lye", sweet_water="520", sodium_hydroxide="480"),
        formula("bar", olive_oil="1000", strong_lye="300"),
    )
    season = changed(*changes)
    assert "bar" in [row.made for row in season[LYE].rows]
    assert [fault for fault in faults(*changes) if "its oils take up 139.7 g at most" in fault]


WRONG: dict[str, Callable[[], list[Change]]] = {
    "shares": lambda: [formula("syrup", white_sugar="980", phenoxyethanol="20")],
    "unpreserved": lambda: [formula("tonic", water="90", glycerin="10")],
    "little_kept": lambda: [formula("fluff", whipped_base="50", water="49.7", potassium_sorbate="0.3")],
    "syrupy": lambda: [formula("scrub", whip="50", white_sugar="50")],
    "free_work": lambda: [settings(hourly_rate="0")],
    "odd_prices": lambda: [cell("purchases", 2, paid="0")],
    "dearer": lambda: [cell("prices", 0, price="4.20"), cell("prices", 1, price="9.00")],
}


@pytest.mark.parametrize("look", WRONG)
def test_what_the_terminal_tells_is_counted_on_checks(look: str) -> None:
    """One thing to look at is one caution in the terminal and one on Checks, and neither says more."""
    changes = WRONG[look]()
    assert len(cautions(*changes)) == 1
    season = changed(*changes)
    looks, calm_looks = season[LOOKS], changed()[LOOKS]
    assert (getattr(looks, look), looks.looks - looks.unused) == (1, 1)
    assert calm_looks.looks - calm_looks.unused == 0  # its sugar is bought and used nowhere


SHARES = {"Lavender whipped soap": "70", "White sugar": "24"}


def test_shares_on_contents_are_told_in_the_terminal_word_for_word() -> None:
    """The marks on Contents and Keeping and the cautions about formulas are as many, in a scrub of too little sugar."""
    tables = sample_tables()
    for row in tables["lines"]:
        if row["formula"] == "Lavender sugar scrub" and row["item"] in SHARES:
            row["percent"] = SHARES[row["item"]]
    season = cost(as_records(tables))
    shares = [each for row in season[CONTENTS].rows for each in (row.remark, row.group_remark)]
    keeping = [each for row in season[KEEPING].rows for each in (row.remark, row.grain_remark)]
    marked = [each for each in (*shares, *keeping) if each != " "]
    told = [each for each in season.cautions if "share further" in each.do or "water" in each.what]
    assert len(marked) == len(told) > 0
