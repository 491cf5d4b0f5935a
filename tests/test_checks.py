"""Checks of the workbook: each says CHECK where its sum is spoilt, and each thing to look at is counted."""

from __future__ import annotations

from typing import Any

import pytest

import costing
from tests.published.seasons import costed, product
from tests.seasons import SAMPLE

# What spoils the sum of each check: a table, a column, and what stands in its first or last row then.
SPOILT = [
    ("landed", "purchases", "landed", 0, 999.0),
    ("landed", "purchases", "goods", 0, 999.0),
    ("landed", "purchases", "to_share", -1, 999.0),
    ("outputs", "making", "bears", -1, 9.0),
    ("outputs", "making", "first_output", -1, 9.0),
    ("percentages", "making", "remark", 0, "not 100 %"),
    ("lines", "making", "remark", 0, "not found above"),
    ("lye", "lye", "remark", 0, "too much lye"),
    ("overheads", "overheads", "carried", 0, 999.0),
    ("overheads", "overheads", "cost", 0, 999.0),
    ("margins", "channels", "remark", 0, "no price reaches the margin"),
    ("batches", "batches", "difference", 0, 999.0),
    ("batches", "batches", "price", 0, 999.0),
    ("batches", "batches", "time", 0, 999.0),
    ("batches", "batches", "lost", 0, 999.0),
    ("usage", "batches", "usage", 0, 999.0),
    ("usage", "batches", "mix", 0, 999.0),
    ("usage", "batches", "yielded", 0, 999.0),
    ("worked_in", "purchases", "landed", 0, ""),
    ("worked_in", "making", "made", 0, ""),
    ("worked_out", "products", "total", 0, ""),
    ("worked_out", "prices", "used", 0, ""),
    ("worked_scales", "weighings", "net", 0, ""),
    ("worked_scales", "batches", "cost", 0, ""),
    ("worked_scales", "batch_lines", "used", 0, ""),
    ("stock", "purchases", "stock_cost", 0, 999.0),
    ("stock", "stock", "by_fifo", 0, 999.0),
    ("records", "purchases", "to_mend", 0, 1.0),
    ("records", "tubs", "used_row", 0, 0.0),
]
# A remark that is counted among what to look at: where, in which column, and whether it is about safety and law.
LOOKED_AT = [
    ("odd_prices", "items", "basis_remark", "at its latest price", False),
    ("odd_prices", "items", "basis_remark", "at nothing", False),
    ("old_prices", "items", "remark", "old price", False),
    ("under_floor", "prices", "remark", "under the floor", False),
    ("under_target", "prices", "remark", "under the target", False),
    ("over_labelled", "products", "remark", "label above fill", True),
    ("shares", "contents", "remark", "above its highest share", True),
    ("shares", "contents", "group_remark", "above the limit together", True),
    ("unpreserved", "keeping", "remark", "watery, no preservative", True),
    ("unpreserved", "keeping", "remark", "a bar with water, no drying written", True),
    ("little_kept", "keeping", "remark", "watery, preservative idle in soap", True),
    ("little_kept", "keeping", "remark", "watery, little preservative", True),
    ("syrupy", "keeping", "grain_remark", "sugar or salt may dissolve", True),
    ("lye_near", "lye", "remark", "near", True),
    ("lye_near", "lye", "remark", "above the careful end", True),
    ("lye_untold", "lye", "remark", "cannot be told", True),
    ("lye_untold", "lye", "remark", "lye alone", True),
    ("stock_remarks", "stock", "remark", "slow", False),
    ("stock_remarks", "stock", "remark", "more than was bought", False),
    ("late_starts", "plan", "remark", "should have begun already", False),
    ("left_over", "plan", "remark", "much is left over", False),
    ("dearer", "ladder", "remark", "dearer per 100 g", False),
    ("fills", "fills", "remark", "mean under the label", True),
    ("fills", "fills", "remark", "mean fails the test", True),
    ("fills", "fills", "remark", "more than 1 in 40 short", True),
    ("fills", "fills", "remark", "one far short", True),
    ("ruined", "batches", "remark", "ruined", False),
    ("ruined", "batches", "remark", "more out than in", False),
]


def sample() -> costing.Season:
    """Return the sample season with every table worked out, and no check yet."""
    season = costing.cost(costing.read_season(SAMPLE))
    for table in {place for _, place, *_ in SPOILT} | {place for _, place, *_ in LOOKED_AT}:
        getattr(season, table).finish()
    return season


def spoil(season: costing.Season, table: str, column: str, row: int, value: object) -> None:
    """Put something else in a cell, as an edit in the workbook can."""
    values: list[Any] = getattr(season, table).stores[column].values
    assert values[row] != value
    values[row] = value


def test_with_nothing_spoilt_all_is_well() -> None:
    season = sample()
    assert {key: getattr(season.checks, key) for key in season.checks.figures.entries} == dict.fromkeys(
        season.checks.figures.entries, "OK"
    )


@pytest.mark.parametrize(("check", "table", "column", "row", "value"), SPOILT)
def test_a_spoilt_sum_is_told_by_its_check(check: str, table: str, column: str, row: int, value: object) -> None:
    """The check says CHECK, and so does the one that stands for all."""
    season = sample()
    spoil(season, table, column, row, value)
    assert getattr(season.checks, check) == "CHECK"
    assert season.checks.overall == "CHECK"


def test_every_check_can_fail() -> None:
    """Each is spoilt above, but those that sum up others, and the one on rows above the first, which only a sheet has."""
    keys = set(sample().checks.figures.entries)
    assert keys - {check for check, *_ in SPOILT} == {"first_rows", "rows", "others", "overall"}


@pytest.mark.parametrize(("figure", "table", "column", "remark", "safety"), LOOKED_AT)
def test_a_remark_is_counted_once_among_what_to_look_at(
    figure: str, table: str, column: str, remark: str, *, safety: bool
) -> None:
    """One more row with the remark is one more of its sort, one more to look at, and where it belongs one more of safety."""
    before, season = sample(), sample()
    rows = getattr(season, table).stores[column].values
    at = next(at for at, text in enumerate(rows) if not text.strip())
    spoil(season, table, column, at, remark)
    assert getattr(season.looks, figure) == getattr(before.looks, figure) + 1
    assert season.looks.looks == before.looks.looks + 1
    assert season.looks.safety == before.looks.safety + safety


def test_everything_counted_is_looked_at_above() -> None:
    """Each sort of remark is counted above, but money, sums, work for nothing, slips, and whether In a tub is whole."""
    keys = set(sample().looks.figures.entries)
    assert keys - {figure for figure, *_ in LOOKED_AT} == {
        "lost",
        "slips",
        "tax_kept",
        "free_power",
        "not_followed",
        "looks",
        "safety",
        "planning",
        "free_work",
        "purchases",
        "unused",
        "unusual",
    }


@pytest.mark.parametrize(("rate", "minutes", "told"), [(0, 2, 1), (12, 2, 0), (0, 0, 0)])
def test_work_at_nothing_is_looked_at_where_there_is_work(rate: float, minutes: float, told: int) -> None:
    season = costed(settings={"hourly_rate": rate}, products=[product("tub", "filling", minutes=minutes)])
    assert season.looks.free_work == told


def test_a_list_that_is_not_whole_is_looked_at() -> None:
    """An item that In a tub does not know makes its costs miss those of the products."""
    before, season = sample(), sample()
    season.in_tubs.finish()
    spoil(season, "in_tubs", "cost", 0, 999.0)
    assert season.cash.followed == "not whole: export anew"
    assert (season.looks.not_followed, season.looks.looks) == (1, before.looks.looks + 1)
