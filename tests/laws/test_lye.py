"""Laws of lye and of shares: what they are worked out from, and what must not change them."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import costing
from costing.tables.deciding.contents import CONTENTS
from tests.published.seasons import bought, costed, line
from tests.seasons import SEEDS, as_records, random_season, seeded

OILS = ("olive-oil", "coconut-oil", "castor-oil", "stearic-acid", "mineral-oil", "goose-fat")  # the last one is unknown
GRAMS = st.integers(1, 2000)
RECIPES = st.dictionaries(st.sampled_from(OILS), GRAMS, min_size=1).map(lambda oils: {"olive-oil": 500, **oils})
PARTS = st.floats(0.02, 0.97)  # of what the oils take up at the careful end, so that nothing is a fault


def season(**formulas: dict[str, float]) -> costing.Season:
    """Return a season of these formulas in grams."""
    named = {key.replace("_", "-"): lines for key, lines in formulas.items()}
    items = {item for lines in named.values() for item in lines if item not in named}
    return costed(
        purchases=[bought(item, 1) for item in sorted(items)],
        lines=[line(key, item, grams) for key, lines in named.items() for item, grams in lines.items()],
        items=[{"item": "goose-fat", "kind": "oil"}],
    )


def contents(found: costing.Season) -> dict[str, dict[str, float]]:
    """Return what each formula holds of each bought item, as Contents says. [gram/gram]"""
    held: dict[str, dict[str, float]] = {}
    for row in found[CONTENTS].rows:
        if row.what == row.formula:
            held.setdefault(row.formula, {})[row.item] = row.share
    return held


def bar(found: costing.Season) -> Any:
    """Return the bar's row on Lye."""
    return found.row("lye", made="bar")


def lye_for(oils: dict[str, float], part: float) -> float:
    """Return a part of the lye that oils take up at the careful end. [gram]"""
    return round(float(bar(season(bar={"sodium-hydroxide": 0.01, **oils})).low) * part, 3) + 0.01


@given(oils=RECIPES, parts=st.tuples(PARTS, PARTS))
def test_more_lye_never_raises_the_superfat(oils: dict[str, float], parts: tuple[float, float]) -> None:
    """Of two bars alike but for their lye, the one with more has no more superfat at either end, and says no less."""
    less, more = (bar(season(bar={"sodium-hydroxide": lye_for(oils, part), **oils})) for part in sorted(parts))
    assert less.superfat_low >= more.superfat_low - 1e-12
    assert less.superfat_high >= more.superfat_high - 1e-12
    assert less.how_far <= more.how_far


@given(oils=RECIPES, part=PARTS, times=st.integers(2, 50))
def test_a_batch_many_times_as_large_has_the_same_superfat(oils: dict[str, float], part: float, times: int) -> None:
    """Every line times the same number leaves the shares and the remark, and takes as many times the lye."""
    lines = {"sodium-hydroxide": lye_for(oils, part), "water": 300.0, **oils}
    one, many = bar(season(bar=lines)), bar(season(bar={item: grams * times for item, grams in lines.items()}))
    assert (one.superfat_low, one.superfat_high) == (pytest.approx(many.superfat_low), pytest.approx(many.superfat_high))
    assert one.remark == many.remark
    assert (one.lye * times, one.high * times) == (pytest.approx(many.lye), pytest.approx(many.high))


@given(oils=RECIPES, part=PARTS, water=st.integers(1, 900))
def test_what_is_mixed_beforehand_counts_as_if_mixed_at_once(oils: dict[str, float], part: float, water: int) -> None:
    """A lye solution and a mix of oils made as formulas of their own leave the figures of the bar as they are."""
    lye = {"sodium-hydroxide": lye_for(oils, part), "water": float(water)}
    at_once = season(bar={**lye, **oils})
    mixed = season(bar={"lye-water": sum(lye.values()), "oils": sum(oils.values())}, lye_water=lye, oils=oils)
    for key in ("put_in", "lye", "low", "high", "unknown_share", "superfat_low", "superfat_high"):
        assert getattr(bar(mixed), key) == pytest.approx(getattr(bar(at_once), key)), key
    assert contents(mixed)["bar"] == pytest.approx(contents(at_once)["bar"])


@given(oils=RECIPES, part=PARTS)
def test_the_careful_end_is_the_lower_one(oils: dict[str, float], part: float) -> None:
    """Less is taken up at the low end of the ranges, so less superfat is left there."""
    row = bar(season(bar={"sodium-hydroxide": lye_for(oils, part), **oils}))
    assert row.low <= row.high
    assert row.superfat_low <= row.superfat_high


@given(seed=SEEDS)
def test_what_a_formula_holds_adds_up_to_a_whole(seed: int) -> None:
    """The shares of all bought items in a formula, through all it is made from, are together one."""
    found = costing.cost(as_records(random_season(seeded(seed))))
    assert {formula: pytest.approx(1) for formula in contents(found)} == {
        formula: sum(shares.values()) for formula, shares in contents(found).items()
    }


@given(seed=SEEDS)
def test_the_sheet_looks_at_the_lye_that_is_put_in(seed: int) -> None:
    """The lye of a batch on Lye is what the lines of its card put in, and random seasons have some of it."""
    found = costing.cost(as_records(random_season(seeded(seed))))
    own = {
        row.formula: sum(each.added for each in found.making.rows if (each.formula, each.what) == (row.formula, row.what))
        for row in found.making.rows
        if row.what == "sodium-hydroxide"
    }
    assert own
    assert {row.made: row.lye for row in found.lye.rows} == {made: pytest.approx(grams) for made, grams in own.items()}


def test_a_fat_that_nobody_knows_takes_up_lye_all_the_same() -> None:
    """Its kind says so: a bar of goose fat is no solution of lye, and what is melted of it has no free lye to look at."""
    made = season(goose_bar={"goose-fat": 1000, "sodium-hydroxide": 100}, soft={"goose-bar": 300, "water": 300})
    assert {row.made: row.remark for row in made.lye.rows} == {"goose-bar": "cannot be told"}
