"""Checks of the workbook: each says CHECK where its sum is spoilt, and each thing to look at is counted."""

from __future__ import annotations

from typing import Any

import pytest

import costing
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
    ("overheads", "overheads", "amount", 0, 999.0),
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
]
# A remark that is counted among what to look at, and where.
LOOKED_AT = [
    ("old_prices", "items", "old price"),
    ("under_floor", "prices", "under the floor"),
    ("under_target", "prices", "under the target"),
    ("over_labelled", "products", "label above fill"),
    ("lye_near", "lye", "near"),
    ("lye_near", "lye", "above the careful end"),
    ("lye_untold", "lye", "cannot be told"),
    ("lye_untold", "lye", "lye alone"),
    ("stock_remarks", "stock", "slow"),
    ("stock_remarks", "stock", "more than was bought"),
    ("dearer", "ladder", "dearer per 100 g"),
    ("fills", "fills", "mean under the label"),
    ("fills", "fills", "mean fails the test"),
    ("fills", "fills", "more than 1 in 40 short"),
    ("fills", "fills", "one far short"),
    ("ruined", "batches", "ruined"),
    ("ruined", "batches", "more out than in"),
]


def sample() -> costing.Season:
    """Return the sample season with every table worked out, and no check yet."""
    season = costing.cost(costing.read_season(SAMPLE))
    for table in {place for _, place, *_ in SPOILT} | {place for _, place, _ in LOOKED_AT}:
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
    """Each is spoilt above, but the two that sum up others, and the one on rows above the first, which only a sheet has."""
    keys = set(sample().checks.figures.entries)
    assert keys - {check for check, *_ in SPOILT} == {"first_rows", "rows", "overall"}


@pytest.mark.parametrize(("figure", "table", "remark"), LOOKED_AT)
def test_a_remark_is_counted_once_among_what_to_look_at(figure: str, table: str, remark: str) -> None:
    """One more row with the remark is one more of its sort, and one more to look at."""
    before, season = sample(), sample()
    rows = getattr(season, table).stores["remark"].values
    at = next(at for at, text in enumerate(rows) if not text.strip())
    spoil(season, table, "remark", at, remark)
    assert getattr(season.looks, figure) == getattr(before.looks, figure) + 1
    assert season.looks.looks == before.looks.looks + 1


def test_everything_counted_is_looked_at_above() -> None:
    """Each sort of remark is counted above, but money, the sum, and whether the list of In a tub is whole."""
    keys = set(sample().looks.figures.entries)
    assert keys - {figure for figure, *_ in LOOKED_AT} == {"lost", "not_followed", "looks"}


def test_a_list_that_is_not_whole_is_looked_at() -> None:
    """An item that In a tub does not know makes its costs miss those of the products."""
    before, season = sample(), sample()
    season.in_tubs.finish()
    spoil(season, "in_tubs", "cost", 0, 999.0)
    assert season.cash.followed == "not whole: export anew"
    assert (season.looks.not_followed, season.looks.looks) == (1, before.looks.looks + 1)
