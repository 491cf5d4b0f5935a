"""Laws of weighings and batches, on random seasons."""

from __future__ import annotations

import math
from collections import defaultdict
from statistics import NormalDist, fmean, stdev
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import costing
from costing.tables import equations
from tests.published.seasons import DAY, costed, product
from tests.seasons import SEEDS, as_records, random_season, seeded

pytestmark = pytest.mark.slow

tried = settings(
    derandomize=True, deadline=None, max_examples=20, database=None, suppress_health_check=[HealthCheck.too_slow]
)
NETS = st.lists(st.floats(90, 110).map(lambda net: round(net, 1)), min_size=2, max_size=45)


def near(one: float, other: float, size: float) -> bool:
    """Say whether two amounts of money are alike, by the size of what they are made from."""
    return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-9 * max(1.0, size))


def filled(nets: list[float], tare: float = 0) -> Any:
    rows = [{"product": "tub", "weighed_on": DAY, "gross_grams": net + tare, "tare_grams": tare} for net in nets]
    return costed(products=[product("tub", "filling", 100)], weighings=rows).row("fills", product="tub")


def batches(seed: int) -> dict[str, Any]:
    season = costing.cost(as_records(random_season(seeded(seed))))
    return dict(costing.further_figures(season)["scales"]["batches"])


@tried
@given(SEEDS)
def test_variances_add_up(seed: int) -> None:
    """Price, mix, yield and time, or all that was ruined, are what a batch cost above its standard."""
    for batch in batches(seed).values():
        cost = batch["cost"]
        told = cost["price"] + cost["mix"] + cost["yield"] + cost["time"] + cost["ruined"]
        assert near(cost["difference"], told, cost["real"])
        assert near(cost["usage"], cost["mix"] + cost["yield"], cost["real"])
        assert near(cost["real"], cost["standard"] + cost["difference"], cost["real"])


@tried
@given(SEEDS)
def test_percentages_of_a_batch_add_up_and_can_be_made_a_formula(seed: int) -> None:
    """What went into a batch adds up to all of it, to the hundredth that a formula in percent asks for."""
    for batch in batches(seed).values():
        assert near(sum(line["percent"] for line in batch["lines"]), 1, 1)
        assert near(sum(line["grams"] for line in batch["lines"]), batch["grams_in"], 1)


@tried
@given(SEEDS)
def test_a_batch_just_as_its_formula_says_differs_by_nothing(seed: int) -> None:
    """A batch of a formula's own lines that yields what it yields has no variance, whatever its size."""
    tables = random_season(seeded(seed), "latest")
    tables |= {"batches": [], "batch_lines": []}
    season = costing.cost(as_records(tables))
    for at, row in enumerate(row for row in season.making.rows if row.row == "yield"):
        size = 1 + at / 2
        key = f"just-so-{at}"
        day = tables["season"]["priced_on"]
        tables["batches"].append(
            {"batch": key, "formula": row.formula, "made_on": day, "grams_out": f"{row.yields * size:.12f}"}
        )
        for line in season.making.rows:
            if line.row == "line" and line.formula == row.formula:
                grams = f"{line.added * size:.12f}"
                tables["batch_lines"].append({"batch": key, "item": line.what, "step": line.step, "grams": grams})
    found = costing.further_figures(costing.cost(as_records(tables)))["scales"]["batches"]
    assert len(found) >= 5
    for batch in found.values():
        for part in ("difference", "price", "usage", "mix", "yield", "time", "ruined"):
            assert abs(batch["cost"][part]) < 1e-7 * max(1.0, batch["cost"]["real"]), part


@tried
@given(SEEDS)
def test_batches_and_weighings_change_no_tub(seed: int) -> None:
    """Whatever was weighed or ruined, every cost and price of the season stays; only its profit bears what was ruined."""
    tables = random_season(seeded(seed))
    season = costing.cost(as_records(tables))
    with_scales = costing.figures(season)
    without = costing.figures(costing.cost(as_records(tables | {"weighings": [], "batches": [], "batch_lines": []})))
    for part in ("items", "formulas", "products", "prices"):
        assert with_scales[part] == without[part]
    ruined = sum(row.cost for row in season.batches.rows if not row.grams_out)
    assert near(with_scales["totals"]["profit"], without["totals"]["profit"] - ruined, without["totals"]["cost"])
    assert with_scales["totals"]["revenue"] == without["totals"]["revenue"]


@tried
@given(NETS)
def test_mean_and_spread_are_those_of_statistics(nets: list[float]) -> None:
    """Mean and sample standard deviation agree with Python's statistics."""
    row = filled(nets)
    assert row.mean == pytest.approx(fmean(nets), rel=1e-12)
    assert row.spread == pytest.approx(stdev(nets), rel=1e-9, abs=1e-9)


@tried
@given(NETS, st.integers(0, 400))
def test_the_jar_does_not_matter(nets: list[float], tare: int) -> None:
    """Weighing with a jar or without comes to the same."""
    with_jar, without = filled(nets, tare), filled(nets)
    assert with_jar.mean == pytest.approx(without.mean, rel=1e-12)
    assert with_jar.spread == pytest.approx(without.spread, rel=1e-6, abs=1e-9)
    assert (with_jar.short, with_jar.far_short, with_jar.remark) == (without.short, without.far_short, without.remark)


@tried
@given(st.floats(5, 12_000), st.floats(0.01, 50), st.integers(2, 200))
def test_the_least_aim_keeps_all_rules_and_nothing_less_does(label: float, spread: float, number: int) -> None:
    """With even scatter 1 in 40 tubs is short, 1 in 10,000 far short, 1 in 40 lots under its label; below the aim more."""
    tolerable = 0.045 * label
    far, short = NormalDist().inv_cdf(1 - 1 / 10_000), NormalDist().inv_cdf(1 - 1 / 40)
    of_mean = equations.aim_for_mean(label, spread, number, short)
    aim = max(of_mean, equations.aim_for_each(label, tolerable, spread, short, far))

    def kept(mean: float) -> bool:
        fills = NormalDist(mean, spread)
        few_short = fills.cdf(label - tolerable) <= 1 / 40 * (1 + 1e-9)
        lots = NormalDist(mean, spread / number**0.5).cdf(label) <= 1 / 40 * (1 + 1e-9)
        return lots and few_short and fills.cdf(label - 2 * tolerable) <= 1 / 10_000 * (1 + 1e-9)

    assert kept(aim + 1e-6 * spread)
    assert not kept(aim - 1e-3 * spread)


def test_random_seasons_hold_every_sort_of_batch() -> None:
    """The laws above have something to judge: ruined batches, untimed ones, and differences of every sort."""
    seen: dict[str, int] = defaultdict(int)
    for seed in range(30):
        for batch in batches(seed).values():
            for part, amount in batch["cost"].items():
                seen[part] += abs(amount) > 1e-9
            seen["good"] += batch["per_gram"] is not None
    assert all(seen[part] > 5 for part in ("price", "mix", "yield", "time", "ruined", "good")), dict(seen)
