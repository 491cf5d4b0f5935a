"""Ranges, whose look-ups keep indexes, orders and sums, against what reading every row says, also while rows are added."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.engine.ranges import (
    MANY,
    Store,
    Values,
    at_rank,
    count_between,
    largest_matching,
    largest_matching_below,
    largest_matching_until,
    match_first,
    match_step,
    matching,
    outside_bounds,
    position_of_first,
    sum_later,
    sum_matching,
    value_in_row,
)

Row = tuple[str, str, int, int]  # name, tag, amount, day
ROWS = st.lists(
    st.tuples(st.sampled_from("aAb"), st.sampled_from(["x", "X", ""]), st.integers(-3, 9), st.integers(1, 4)), max_size=12
)


class Read:
    """The same columns, read row by row."""

    def __init__(self, rows: list[Row], name: str, tag: str = "") -> None:
        self.rows = [row for row in rows if name and row[0].lower() == name.lower()]
        self.both = [row for row in self.rows if tag and row[1].lower() == tag.lower()]
        self.amounts = sorted(row[2] for row in self.rows)


def columns(rows: list[Row], limit: int | None = None) -> tuple[Values, Values, Values, Values]:
    """Return names, tags, amounts and days as ranges."""
    stores = [Store() for _ in range(4)]
    for row in rows:
        for store, value in zip(stores, row, strict=True):
            store.values.append(value)
    names, tags, amounts, days = (Values(store, limit) for store in stores)
    return names, tags, amounts, days


def asked(ranges: tuple[Values, ...], name: str, tag: str, at: int) -> list[Any]:
    """Return what the look-ups say."""
    names, tags, amounts, days = ranges
    return [
        matching((names, name)),
        sum_matching(amounts, names, name, tags, tag),
        match_first(amounts, names, name),
        position_of_first(names, name),
        largest_matching(amounts, names, name),
        largest_matching_until(amounts, names, name, at),
        largest_matching_below(amounts, names, name, at),
        at_rank(amounts, names, name, at),
        count_between(names, name, amounts, at - 2, at),
        outside_bounds(names, name, amounts, days, at),
        sum_later(amounts, names, name, days, at),
        [names.filled(), tags.filled(), amounts.total(), amounts.highest(), amounts.first_day(), amounts.days_up_to(at)],
        amounts.larger_than(at),
    ]


def read(rows: list[Row], name: str, tag: str, at: int) -> list[Any]:
    """Return what reading every row says: blanks and zeros are no days, and nothing found is 0 or a blank."""
    found = Read(rows, name, tag)
    amounts = found.amounts
    numbers = [row[2] for row in rows if row[2]]
    return [
        [place for place, row in enumerate(rows) if row in found.rows],
        sum(row[2] for row in found.both),
        found.rows[0][2] if found.rows else " ",
        rows.index(found.rows[0]) + 2 if found.rows else 0,
        max([0, *amounts]),
        max([0, *(amount for amount in amounts if amount <= at)]),
        max([0, *(amount for amount in amounts if amount < at)]),
        amounts[-at] if 1 <= at <= len(amounts) else 0,
        sum(at - 2 <= amount <= at for amount in amounts),
        not any(row[2] <= at <= row[3] for row in found.rows),
        sum(row[2] for row in found.rows if row[3] > at),
        [len(rows), sum(row[1] != "" for row in rows), sum(row[2] for row in rows), max(numbers, default=0),
         min(numbers, default=0), sum(number <= at for number in numbers)],
        sum(row[2] > at for row in rows),
    ]  # fmt: skip


@settings(max_examples=150)
@given(ROWS, ROWS, st.sampled_from(["a", "A", "b", "c", ""]), st.sampled_from(["x", "X", "y", ""]), st.integers(-1, 5))
def test_look_ups_say_what_reading_every_row_says(first: list[Row], more: list[Row], name: str, tag: str, at: int) -> None:
    """Asked, then asked again with further rows, as columns are that look at what stands above."""
    ranges = columns(first)
    assert asked(ranges, name, tag, at) == read(first, name, tag, at)
    for values, column in zip(ranges, zip(*more, strict=True), strict=False):
        values.store.values += column
    assert asked(ranges, name, tag, at) == read(first + more, name, tag, at)


@settings(max_examples=60)
@given(ROWS, st.sampled_from(["a", "b", ""]), st.sampled_from(["x", ""]), st.integers(0, 12))
def test_rows_above_are_those_down_to_a_row(rows: list[Row], name: str, tag: str, limit: int) -> None:
    names, tags, amounts, _ = columns(rows, limit)
    found = Read(rows[:limit], name, tag)
    assert len(matching((names, name))) == len(found.rows)
    assert sum_matching(amounts, names, name, tags, tag) == sum(row[2] for row in found.both)
    assert (names.filled(), amounts.total()) == (len(rows[:limit]), sum(row[2] for row in rows[:limit]))


@pytest.mark.parametrize("number", [MANY - 1, MANY, MANY + 1, 3 * MANY])
def test_a_sum_of_many_rows_is_of_its_own_keys_and_grows_with_them(number: int) -> None:
    """Sums of many rows are kept: each by its keys, its columns and how many rows there were."""
    names, tags, amounts, days = columns([("a", "x", 1, 2)] * number + [("b", "x", 10, 20)] * number)
    for name, tag, total in (("a", "x", 1), ("b", "x", 10), ("A", "X", 1), ("a", "y", 0)):
        assert sum_matching(amounts, names, name, tags, tag) == total * number
        assert sum_matching(days, names, name, tags, tag) == 2 * total * number
    assert sum_matching(amounts, tags, "x") == 11 * number
    for values, value in zip((names, tags, amounts, days), ("a", "x", 5, 7), strict=True):
        values.store.values.append(value)
    assert sum_matching(amounts, names, "a", tags, "x") == number + 5


@pytest.mark.parametrize(("look", "found"), [
    (lambda values, _: values.filled(), 2), (lambda values, _: values.total(), 3), (lambda values, _: values.highest(), 3),
    (lambda values, _: match_step(values, columns([("", "", 0, 0), ("", "", 5, 0), ("", "", 9, 0)])[2], 8.9), "b"),
    (lambda _, numbers: [value_in_row(numbers, place) for place in (0, 1, 2, 4, 5)], [0, 0, 7, 9, 0]),
])  # fmt: skip
def test_blanks_texts_and_places_outside(look: Callable[[Values, Values], Any], found: Any) -> None:
    """Texts and blanks are no numbers; there is nothing at the heading, above it, or below the last row."""
    mixed, numbers = Store(), Store()
    mixed.values, numbers.values = ["", "b", 3], [7, 8, 9]
    assert look(Values(mixed), Values(numbers)) == found


def test_what_was_never_written_is_not_filled() -> None:
    store = Store()
    store.values = ["a", "", None, 0.0, "b"]
    assert Values(store).filled() == 3
