"""Laws of the plan: nothing is lost on the way, what is planned can be sold, and no batch is made for nothing."""

from __future__ import annotations

from collections import defaultdict
from copy import deepcopy
from fractions import Fraction
from math import ceil
from typing import Any

import pytest
from hypothesis import given

import costing
from costing.fields.types import day_of
from costing.season.costed import Season
from tests.laws.plain_plan import Plan
from tests.seasons import SEEDS, Tables, as_records, random_season, seeded

HAIR = 1e-6  # of a batch
SLACK = 1e-4  # by which outputs may miss 100 % together
SEASONS, USUAL = 200, 50  # all of them with --long


def worked(tables: Tables) -> Any:
    """Return the season's tables, of which only what is asked for is worked out."""
    return Season(as_records(tables), {})


def near(figure: Any, size: float = 0) -> Any:
    """Allow for binary arithmetic, where figures of some size cancel out too."""
    return pytest.approx(float(figure), rel=1e-9, abs=1e-9 * max(1.0, size))


def things(season: Any) -> list[Any]:
    """Return the outputs, and the yields of what has none."""
    return [row for row in _rows(season, "plan") if row.row == "output" or (row.row == "yield" and not row.parted)]


def _rows(season: Any, table: str) -> list[Any]:
    getattr(season, table).finish()
    rows: list[Any] = getattr(season, table).rows
    return rows


@pytest.mark.slow
@pytest.mark.parametrize(
    "seed", [*range(USUAL), *(pytest.param(seed, marks=pytest.mark.long) for seed in range(USUAL, SEASONS))]
)
def test_all_is_as_a_plain_planner_has_it(seed: int) -> None:
    """Batches, days, minutes, what is left over, and what is bought, packed and paid: two ways of working out agree."""
    season = worked(random_season(seeded(seed)))
    season.items.work_out("density")
    density = {row.item: Fraction(row.density) for row in season.items.rows}
    plan = Plan(season.records, density)
    for row in _rows(season, "turns"):
        assert (row.batches, row.exact) == (plan.batches[row.formula], near(plan.exact[row.formula]))
        assert (day_of(row.start_by) if row.start_by else None) == plan.start_by[row.formula]
        assert row.minutes == near(plan.minutes(row.formula))
    left = {row.what: row.left for row in season.plan.rows if row.row != "line"}
    makes = {row.what: row.makes for row in season.plan.rows}
    assert left == {what: near(grams, makes[what]) for what, grams in plan.left.items()}
    assert {row.product: row.to_make for row in _rows(season, "products")} == plan.tubs
    for row in _rows(season, "buying"):
        pack, packs, money = plan.to_buy(row.item)
        assert row.needed == near(plan.needs[row.item])
        assert (row.pack, row.packs) == (near(pack or 0), packs or 0), row.item
        assert row.cost == near(money), row.item


@given(SEEDS)
def test_no_gram_is_lost(seed: int) -> None:
    """What batches yield of a thing and what is taken of its stock is what tubs and batches take of it and what is left."""
    season = worked(random_season(seeded(seed)))
    batches = {row.formula: row.whole for row in _rows(season, "plan") if row.row == "yield"}
    asked: dict[str, float] = defaultdict(float)
    for tub in _rows(season, "products"):
        asked[tub.filled_with] += tub.to_make * tub.fill_grams / (1 - tub.waste_percent)
    for line in _rows(season, "making"):
        if line.row == "line":
            asked[line.what] += batches[line.formula] * line.added
    yields = {row.made: row.yields for row in season.making.rows if row.row in ("yield", "output")}
    for row in things(season):
        taken = asked[row.what] + (yields[row.what] / yields[row.formula] * asked[row.formula] if row.row == "output" else 0)
        used = min(taken, row.on_hand)
        made = batches[row.formula] * yields[row.what]
        assert made + used == near(taken + row.left, made + used)
    for formula, whole in batches.items():
        parts = [row.left for row in things(season) if row.formula == formula]
        (together,) = (row.left for row in season.plan.rows if row.row == "yield" and row.formula == formula)
        assert together == pytest.approx(sum(parts), abs=1.01 * SLACK * whole * yields[formula] + HAIR)


@given(SEEDS)
def test_the_plan_is_met_and_one_batch_less_would_not_meet_it(seed: int) -> None:
    """Every thing is there in the amount asked for; of each formula that is made, something would be short of it."""
    season = worked(random_season(seeded(seed)))
    for row in _rows(season, "products"):
        assert row.to_make + row.on_hand >= row.planned - HAIR
    short: dict[str, bool] = defaultdict(bool)
    for row in things(season):
        assert row.makes >= row.demand - HAIR * row.yields
        short[row.formula] |= (row.batches - 1) * row.yields < row.demand - HAIR * row.yields / 2
    made = {row.formula for row in season.plan.rows if row.row == "yield" and row.whole > 0}
    assert made == {formula for formula, missing in short.items() if missing and formula in made}


def _needs(tables: Tables) -> dict[str, float]:
    return {row.item: row.needed for row in _rows(worked(tables), "buying")}


@given(SEEDS)
def test_twice_the_plan_needs_at_least_as_much(seed: int) -> None:
    """Of everything that is bought."""
    tables = random_season(seeded(seed))
    twice = deepcopy(tables)
    for row in twice["prices"]:
        row["planned"] = str(2 * int(row["planned"]))
    once = _needs(tables)
    assert all(more >= once[item] * (1 - 1e-12) for item, more in _needs(twice).items())


@given(SEEDS)
def test_what_is_on_hand_never_makes_more_be_bought(seed: int) -> None:
    """However much of anything made lies there."""
    random = seeded(seed)
    tables = random_season(random)
    more = deepcopy(tables)
    outputs = [f"{row['formula']}/{row['output']}" for row in tables["outputs"]]
    what = random.choice(
        [row["formula"] for row in tables["formulas"]] + outputs + [row["product"] for row in tables["products"]]
    )
    before = next((row for row in more["made"] if row["what"] == what), None)
    rows = [row for row in more["made"] if row["what"] != what]
    there = float(before["on_hand"]) if before else 0.0
    more["made"] = [*rows, {"what": what, "on_hand": f"{there + random.uniform(1, 20_000):.0f}"}]
    once = _needs(tables)
    assert all(less <= once[item] * (1 + 1e-12) for item, less in _needs(more).items())


@given(SEEDS)
def test_without_outputs_and_rounding_what_is_weighed_is_what_is_borne(seed: int) -> None:
    """With nothing parted, nothing on hand and tiny batches, grams needed are those whose cost the tubs bear."""
    tables = random_season(seeded(seed))
    tables |= {"outputs": [], "made": []}
    for row in tables["formulas"]:
        if "batch_grams" in row:
            row["batch_grams"] = f"{row['batch_grams']}e-7"
    for row in tables["lines"]:
        row["item"] = row["item"].partition("/")[0]
        if "grams" in row:
            row["grams"] = f"{row['grams']}e-7"
    for row in tables["products"]:
        row["filled_with"] = row["filled_with"].partition("/")[0]
    season = worked(tables)
    unsold = {row.product: float(row.unsold_percent) / 100 for row in season.records.products}
    made = {row.product: ceil(round(row.planned / (1 - unsold[row.product]), 6)) for row in _rows(season, "products")}
    borne: dict[str, float] = defaultdict(float)
    for row in _rows(season, "in_tubs"):
        assert row.weighed == near(row.grams)
        borne[row.item] += made[row.product] * (row.grams + row.pieces)
    for row in _rows(season, "buying"):
        assert row.needed == pytest.approx(borne[row.item], rel=1e-6, abs=1e-3)


def test_the_sample_can_be_made_as_planned(sample_season: costing.Season) -> None:
    """Its bars yield, with what is on hand, all the trimmings that its shreds take; one output is left over on purpose."""
    rows = {row.what: row for row in sample_season.plan.rows if row.row != "line"}
    trimmings = rows["Everyday bar/trimmings"]
    assert trimmings.makes + trimmings.on_hand >= trimmings.asked > 0
    assert rows["Everyday bar/bars"].makes >= rows["Everyday bar/bars"].demand > 0
    told = [caution for caution in sample_season.cautions if "leave over" in caution.what]
    assert [caution.where for caution in told] == ["formulas, Olive and lavender bar"]
    assert all(row.start_by >= sample_season.settings.priced_on for row in sample_season.turns.rows if row.batches)
