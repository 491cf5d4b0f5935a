"""Laws of deciding: what is said to be reached is reached, and what is said to be the range is the range."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given, strategies

import costing
from costing.shown.further import further_figures
from costing.tables.deciding.short_hours import Hours
from tests.laws import plain_deciding
from tests.laws.alike import unlike
from tests.seasons import SEEDS, as_records, random_season, seeded

pytestmark = pytest.mark.slow

WANTED = strategies.integers(1, 30_000)


def near(figure: float, scale: float = 1) -> Any:
    """Allow for binary arithmetic on figures of some size."""
    return pytest.approx(figure, rel=1e-9, abs=1e-9 * scale)


def _records(seed: int, wanted: int | None = None, basis: str = "") -> Any:
    return _wanting(as_records(random_season(seeded(seed), basis)), wanted)


def _wanting(records: Any, wanted: float | None) -> Any:
    settings = records.season.model_copy(update={"wanted_profit": None if wanted is None else Decimal(wanted)})
    return replace(records, season=settings)


def _selling(season: costing.Season, *, dearer: float = 0, times: int = 1) -> costing.Season:
    """Return the season with all prices used so much dearer, and so many times the sales."""
    records = season.records
    used = {(row.product, row.channel): Decimal(row.used * (1 + dearer)) for row in season.prices.rows}
    rows = [
        row.model_copy(update={"price": used[row.product, row.channel], "planned": row.planned * times})
        for row in records.prices
    ]
    return costing.cost(replace(records, prices=replace(records.prices, records=tuple(rows))))


@given(seed=SEEDS, wanted=WANTED)
def test_the_profit_wanted_is_reached_by_prices(seed: int, wanted: int) -> None:
    """With all prices up by so much, and as many sold, the season leaves it."""
    season = costing.cost(_records(seed, wanted))
    up = season.reach.prices_up
    assert up != " "
    assume(up > -1)  # else all would have to be given away
    dearer = _selling(season, dearer=up)
    assert dearer.totals.profit == near(wanted, dearer.totals.revenue)


@given(seed=SEEDS, times=strategies.integers(2, 5))
def test_the_profit_wanted_is_reached_by_sales(seed: int, times: int) -> None:
    """Where so many times the sales leave a profit, wanting that takes so many times the sales."""
    records = _records(seed)
    season = costing.cost(records)
    more = _selling(season, times=times).totals.profit
    assume(more > 0)
    assume(season.totals.contribution > 0)
    up = costing.cost(_wanting(records, more)).reach.sales_up
    assert up == near(times - 1, season.totals.revenue / season.totals.contribution)


@given(seed=SEEDS, wanted=WANTED)
def test_both_ways_are_as_a_plain_decider_has_them(seed: int, wanted: int) -> None:
    """Worked out from three whole costings; ruined batches, which it knows nothing of, come off the profit either way."""
    season = costing.cost(_records(seed, wanted))
    ruined = Fraction(sum(row.cost for row in season.batches.rows if not row.grams_out))
    theirs = plain_deciding.deciding(season.records, wanted + ruined)
    assert list(unlike(further_figures(season)["deciding"], theirs)) == []


def test_nothing_wanted_takes_nothing() -> None:
    """Without a profit wanted there is no way to it."""
    assert further_figures(costing.cost(_records(1)))["deciding"] == {"prices_up": None, "sales_up": None}


@given(seed=SEEDS)
def test_a_step_up_and_the_sales_it_may_lose_bring_as_much(seed: int) -> None:
    """What is kept of a step more, from fewer, and of a step less, from more."""
    records = _records(seed)
    season, step = costing.cost(records), float(records.season.price_step)
    channels = {row.channel: row for row in records.channels}
    for row in season.steps_of_price.rows:
        channel = channels[row.channel]
        tax, fee = float(channel.sales_tax_percent) / 100, float(channel.fee_percent) / 100
        more = step / (1 + tax if channel.shown_with_tax == "yes" else 1) * (1 - fee * (1 + tax))
        if row.may_lose != " ":
            assert (row.contribution + more) * (1 - row.may_lose) == near(row.contribution, row.price)
        if row.must_win != " ":
            assert (row.contribution - more) * (1 + row.must_win) == near(row.contribution, row.price)


@given(seed=SEEDS, part=strategies.sampled_from((0.1, 0.5, 0.9, 1.0, 3.0)))
def test_hours_go_first_where_they_bring_most(seed: int, part: float) -> None:
    """Never more hours than there are; whole tubs, none above the plan; nothing that a better one still waits for."""
    records = _records(seed)
    plan = costing.cost(records).hours.plan
    assume(plan > 0)
    season = costing.cost(records, hours=Hours(hours=Decimal(plan * part)))
    rows = season.short.rows
    assert [row.per_hour for row in rows] == sorted((row.per_hour for row in rows), reverse=True)
    assert sum(row.used for row in rows) <= plan * part + 1e-6 * len(rows)
    for at, row in enumerate(rows):
        assert row.make == int(row.make)
        assert 0 <= row.make <= row.planned
        left = plan * part - sum(each.used for each in rows[:at])
        if row.contributes > 0 and row.make < row.planned:
            assert left < (row.make + 1) * row.takes / row.planned + 1e-6
    assert season.hours.brings == near(sum(row.brings for row in rows), season.totals.revenue)


@given(seed=SEEDS)
def test_products_and_channels_leave_the_same_together(seed: int) -> None:
    """Dropped product by product or channel by channel, it is the same, but for what only channels cause."""
    season = costing.cost(_records(seed))
    of_channels = [row for row in season.overheads.rows if row.channel]
    for column, own in (("contribution", "amount"), ("hours", "hours")):
        one, other = (sum(getattr(row, column) for row in table.rows) for table in (season.droppable, season.leavable))
        freed = sum(float(getattr(row, own)) for row in of_channels)
        assert one == near(other + (freed if own == "amount" else -freed), season.totals.revenue)
    assert sum(row.hours for row in season.droppable.rows) == near(season.hours.plan)


@pytest.mark.parametrize("basis", ["latest", "average", "dearest", "quote"])
@given(seed=SEEDS)
def test_ranges_are_as_a_plain_decider_has_them(basis: str, seed: int) -> None:
    """Each end is the season costed at the items' ends; the likely range goes with what one costs more when they do.

    Overheads are shared by units: those by minutes move by a hair beside an output of set worth.
    """
    tables = random_season(seeded(seed), basis)
    for row in tables["overheads"]:
        row["shared_by"] = "units"
    season = costing.cost(as_records(tables))
    ours, theirs = further_figures(season)["ranges"], plain_deciding.ranges(season.records)
    assert set(ours) == set(theirs)
    for product, ends in theirs.items():
        for key, figure in ends.items():
            assert ours[product][key] == near(figure), (product, key)
