"""Laws of the price ladder and of the break-even."""

from __future__ import annotations

import math
from collections import defaultdict
from typing import Any

import pytest
from hypothesis import given

import costing
from tests.seasons import SEEDS, as_records, random_season, seeded

pytestmark = pytest.mark.slow


def _season(seed: int, **settings: str) -> costing.Season:
    tables = random_season(seeded(seed))
    tables["season"] |= settings
    return costing.cost(as_records(tables))


def _ladders(season: costing.Season) -> dict[str, list[Any]]:
    """Return the lines of the ladder by filling and channel."""
    found = defaultdict(list)
    for row in season.ladder.rows:
        found[row.line].append(row)
    return found


def test_a_line_of_the_ladder_says_what_it_is_of(sample_season: costing.Season) -> None:
    """Sizes are compared of one filling at one channel, which the line names in words."""
    for row in sample_season.ladder.rows:
        product = next(each for each in sample_season.products.rows if each.product == row.product)
        assert row.line == f"{product.filled_with} at {row.channel}"


@given(seed=SEEDS)
def test_a_ladder_of_one_size_has_no_steps(seed: int) -> None:
    """The smallest size of each filling and channel has no step, and every other has one."""
    for rows in _ladders(_season(seed)).values():
        smallest = min(row.on_label for row in rows)
        for row in rows:
            if row.on_label == smallest:
                assert (row.smaller, row.step, row.saves, row.remark) == (0, 0, 0, " ")
            else:
                assert smallest <= row.smaller < row.on_label


@given(seed=SEEDS)
def test_the_steps_lead_from_the_smallest_price_to_the_largest(seed: int) -> None:
    """Where no two products have the same size, the steps add up to the way between the ends."""
    for rows in _ladders(_season(seed)).values():
        sizes = [row.on_label for row in rows]
        if len(set(sizes)) == len(sizes):
            way = rows[-1].price - rows[0].price
            assert sum(row.step for row in rows) == pytest.approx(way, rel=1e-9, abs=1e-9)
            assert sizes == sorted(sizes)


@given(seed=SEEDS)
def test_unit_prices_lie_within_half_a_digit_of_the_exact_ones(seed: int) -> None:
    """Marked are the exact prices per 100 g and per kg, rounded: below 1 one decimal more."""
    for row in _season(seed).ladder.rows:
        for marked, exact in ((row.per_100g, row.price * 100 / row.on_label), (row.per_kg, row.price * 1000 / row.on_label)):
            half = 0.0005 if exact < 1 else 0.005
            assert abs(marked - exact) <= half * (1 + 1e-9), row.product


@given(seed=SEEDS)
def test_a_channel_is_all_of_itself(seed: int) -> None:
    """Held against itself the main channel gets all; without a main channel nothing is compared."""
    season = _season(seed)
    assert {row.against_main for row in season.ladder.rows} == {0}
    main = season.ladder.rows[0].channel
    for row in _season(seed, main_channel=main).ladder.rows:
        if row.channel == main:
            assert row.against_main == pytest.approx(1)


@given(seed=SEEDS)
def test_the_break_even_pays_the_overheads_and_one_of_each_less_does_not(seed: int) -> None:
    """At the break-even of every product all overheads are paid; with one of each less they are not."""
    season = _season(seed)
    rows, overheads = season.even.rows, season.totals.overheads
    if season.totals.contribution <= 0 or any(row.contribution_each < 0 for row in rows):
        return
    paid = math.fsum(row.even * row.contribution_each for row in rows)
    assert paid >= overheads * (1 - 1e-6)
    if overheads:
        less = math.fsum((row.even - 1) * row.contribution_each for row in rows)
        assert less < overheads
    assert all(row.spare == row.planned - row.even for row in rows)


def test_there_is_a_break_even_that_is_reached() -> None:
    """The law above is about seasons that there are: most random ones reach their break-even."""
    seasons = [_season(seed) for seed in range(20)]
    told = [season.totals.contribution > 0 < season.totals.overheads for season in seasons]
    assert sum(told) > 5
