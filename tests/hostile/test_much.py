"""Much of one thing: deep formulas, long receipts, many settings. Told or costed in a time that grows with the rows only."""

from __future__ import annotations

import time
from pathlib import Path
from random import Random

import pytest

import costing
from costing.engine.ranges import (
    Store,
    Values,
    at_rank,
    count_between,
    largest_matching,
    largest_matching_below,
    largest_matching_until,
    sum_later,
    sum_matching,
)
from costing.season.tracing import lines, trace
from costing.shown.report import trace_report
from costing.tables.order_of_making import MOST_NAMED, Circle, shortest_circle
from tests.hostile.small_season import Table, small_tables, write_tables
from tests.hostile.verdict import LONGEST


def nested(deep: int) -> dict[str, Table]:
    """Return a season whose formulas are each made from the two before, so that paths through them double and double."""
    tables = small_tables()
    tables["formulas"] = [["formula"], *([f"Layer {at} mix"] for at in range(deep))]
    pairs = [(at, at - back) for at in range(1, deep) for back in (1, 2) if at >= back]
    tables["lines"] = [
        tables["lines"][0],
        ["Layer 0 mix", "mix", "Oil", "100"],
        *([f"Layer {at} mix", "mix", f"Layer {under} mix", "50"] for at, under in pairs),
    ]
    tables["products"][1][1] = f"Layer {deep - 1} mix"
    return tables


def test_what_is_shared_by_many_paths_is_traced_once_and_counted(tmp_path: Path) -> None:
    """By a path for each there would be more branches than anyone can print; by a call for each level, Python gives up."""
    deep = 300
    season = costing.cost(costing.read_season(write_tables(nested(deep), tmp_path / "season")))
    begun = time.process_time()
    tree = trace(season, "Jar of rub")
    told = trace_report(tree)
    assert time.process_time() - begun < LONGEST
    assert told.count("made as above") == told.count(", time 2: ") == deep - 2
    materials = next(each for each in tree.branches if each.label == "materials")
    assert materials.branches[0].amount == pytest.approx(materials.amount)
    assert max(len(label) for label, _ in lines(tree)) < 200


def circle_of(count: int) -> dict[str, list[str]]:
    """Return formulas that each use the one before, and the first the last."""
    return {str(at): [str((at - 1) % count)] for at in range(count)}


def test_a_circle_of_a_thousand_is_told_shortly() -> None:
    told = str(Circle([*map(str, range(1000)), "0"]))
    assert told.startswith("0 → 1 → 2 → ")
    assert "989 more" in told
    assert told.endswith("998 → 999 → 0")
    assert told.count("→") == MOST_NAMED


def test_the_shortest_of_several_circles_is_told() -> None:
    uses = circle_of(1000)
    uses["500"].append("502")
    found = shortest_circle(Circle([*map(str, range(999, -1, -1)), "999"]), uses)
    assert set(found.formulas) == {"500", "501", "502"}
    assert all(second in uses[first] for first, second in zip(found.formulas, found.formulas[1:], strict=False))


def faults_of(tables: dict[str, Table], folder: Path) -> list[str]:
    """Return what is told of a season, which must not take long."""
    begun = time.process_time()
    with pytest.raises(costing.Faults) as caught:
        costing.read_season(write_tables(tables, folder))
    assert time.process_time() - begun < LONGEST
    return [str(fault) for fault in caught.value.faults]


def test_twenty_thousand_settings_are_refused_with_the_limit(tmp_path: Path) -> None:
    tables = small_tables()
    tables["season"] += [[f"key {at}", "1"] for at in range(20_000)]
    assert any("20003 rows, and 500 is the limit" in told for told in faults_of(tables, tmp_path / "season"))


def test_a_setting_that_stands_hundreds_of_times_is_one_fault(tmp_path: Path) -> None:
    tables = small_tables()
    tables["season"] += [["name", "1"]] * 400
    assert len([told for told in faults_of(tables, tmp_path / "season") if "stands there twice" in told]) == 1


def test_a_receipt_with_nothing_but_deliveries_is_one_fault(tmp_path: Path) -> None:
    tables = small_tables()
    tables["purchases"] += [["2026-10-01", "Quayside", "2", "delivery", "", "", "5"]] * 3_000
    folder = write_tables(tables, tmp_path / "season")
    begun = time.process_time()
    with pytest.raises(costing.Faults) as caught:
        costing.cost(costing.read_season(folder))
    assert time.process_time() - begun < LONGEST
    assert [fault.where for fault in caught.value.faults] == ["purchases.csv, rows 4 to 3003, invoice"]


@pytest.mark.parametrize("rows", [5, 200])
def test_kept_orders_and_sums_say_what_a_look_at_every_row_does(rows: int) -> None:
    random = Random(rows)  # noqa: S311  # the same every time is what tests want
    keys, numbers, days = Values(Store()), Values(Store()), Values(Store())
    for _ in range(rows):  # what was looked up before must not stand in the way of what comes later
        keys.store.values.append(random.choice(("oil", "Oil", "jar", "")))
        numbers.store.values.append(random.choice((-2.5, 0.1, 0.2, 0.3, 7.0)))
        days.store.values.append(float(random.randrange(6)))
        for key in ("OIL", "jar", "lye"):
            bound = random.choice((-3.0, 0.2, 2.0, 9.0))
            found = [at for at, each in enumerate(keys.store.values) if each.lower() == key.lower() and key]
            its = [numbers.store.values[at] for at in found]
            assert largest_matching(numbers, keys, key) == max(0.0, *its, 0.0)
            assert largest_matching_until(numbers, keys, key, bound) == max(0.0, *(v for v in its if v <= bound), 0.0)
            assert largest_matching_below(numbers, keys, key, bound) == max(0.0, *(v for v in its if v < bound), 0.0)
            assert at_rank(numbers, keys, key, 2) == (sorted(its)[-2] if len(its) > 1 else 0.0)
            assert count_between(keys, key, numbers, bound, bound + 1) == sum(bound <= v <= bound + 1 for v in its)
            assert sum_matching(numbers, keys, key) == pytest.approx(sum(its))
            later = sum(numbers.store.values[at] for at in found if days.store.values[at] > bound)
            assert sum_later(numbers, keys, key, days, bound) == pytest.approx(later)
