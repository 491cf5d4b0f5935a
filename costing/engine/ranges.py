"""Columns as values: what SUM, SUMIFS and their like work on, with an index so that a look-up does not read every row."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate
from typing import Any

MANY = 30  # rows, from which on a sum is kept instead of worked out for each row anew


class Values:
    """The cells of one column so far. Shared indexes live with the table's columns.

    ``limit`` rows count: all of them, or those down to some row.
    """

    __slots__ = ("_store", "limit")

    def __init__(self, store: Store, limit: int | None = None) -> None:
        self._store = store
        self.limit = limit

    @property
    def store(self) -> Store:
        """The column's list of values and its indexes."""
        return self._store

    def rows(self) -> Sequence[Any]:
        """Return the values that count."""
        return self._store.values if self.limit is None else self._store.values[: self.limit]

    def total(self) -> float:
        """Return the sum of the numbers."""
        return float(sum(value for value in self.rows() if not isinstance(value, str)))

    def filled(self) -> int:
        """Return how many cells hold something."""
        return sum(1 for value in self.rows() if value not in ("", None))

    def _numbers(self) -> list[float]:
        """Return the numbers, without blanks and zeros."""
        return [float(value) for value in self.rows() if not isinstance(value, str) and value]

    def first_day(self) -> float:
        """Return the first of some days, or 0; a blank is none."""
        return min(self._numbers(), default=0.0)

    def highest(self) -> float:
        """Return the highest of the numbers, or 0."""
        return max(self._numbers(), default=0.0)

    def days_up_to(self, limit: float) -> int:
        """Return how many of some days come no later than a limit; a blank is none."""
        return sum(number <= limit for number in self._numbers())

    def larger_than(self, bound: float) -> int:
        """Return how many of the whole column's numbers lie above a bound."""
        ordered = self._store.ordered()
        return len(ordered) - bisect_right(ordered, bound)

    def sum_at(self, positions: Sequence[int]) -> float:
        """Return the sum of the numbers at some rows."""
        values = self._store.values
        return float(sum(values[position] for position in positions))


class Store:
    """One column's values, and for the columns matched together with it an index of key → rows."""

    __slots__ = ("_indexed", "_ordered", "_ordered_at", "_running", "indexes", "sums", "values")

    def __init__(self) -> None:
        self.values: list[Any] = []
        self._ordered: list[float] = []
        self.indexes: dict[tuple[Store, ...], dict[Any, list[int]]] = {}
        self._indexed: dict[tuple[Store, ...], int] = {}
        self.sums: dict[Any, float] = {}  # of those at many rows, by what matched
        self._ordered_at: dict[Any, list[float]] = {}
        self._running: dict[Any, tuple[list[float], list[float]]] = {}

    def ordered_at(self, rows: Sequence[int], known_by: tuple[Store, Any]) -> list[float]:
        """Return the numbers at some rows from the smallest up; the rows that go with one key only ever become more."""
        found = self._ordered_at.get(known_by, [])
        if len(found) != len(rows):
            found = self._ordered_at[known_by] = sorted(float(self.values[row]) for row in rows)
        return found

    def running(self, rows: Sequence[int], known_by: tuple[Store, Any], summed: Store) -> tuple[list[float], list[float]]:
        """Return the numbers at some rows from the smallest up, and what another column sums up to from each on."""
        found = self._running.get((*known_by, summed))
        if found is None or len(found[0]) != len(rows):
            ordered = sorted(rows, key=lambda row: float(self.values[row]))
            left = accumulate((Fraction(summed.values[row]) for row in reversed(ordered)), initial=Fraction(0))
            found = [float(self.values[row]) for row in ordered], [float(each) for each in left][::-1]
            self._running[(*known_by, summed)] = found
        return found

    def ordered(self) -> list[float]:
        """Return the column's numbers from the smallest up."""
        if len(self._ordered) != len(self.values):
            self._ordered = sorted(self.values)
        return self._ordered

    def index(self, others: tuple[Store, ...]) -> dict[Any, list[int]]:
        """Return key → rows over this column and others beside it, brought up to the rows there are now."""
        ready = len(self.values)
        for store in others:
            ready = min(ready, len(store.values))
        if self._indexed.get(others, -1) != ready:
            self._bring_up(others, ready)
        return self.indexes[others]

    def _bring_up(self, others: tuple[Store, ...], ready: int) -> None:
        found = self.indexes.setdefault(others, {})
        for row in range(self._indexed.get(others, 0), ready):
            key = tuple(folded(store.values[row]) for store in (self, *others))
            found.setdefault(key, []).append(row)
        self._indexed[others] = ready


def folded(value: Any) -> Any:
    """Return a key as sheets compare it: without regard to case."""
    return value.lower() if isinstance(value, str) else value


def matching(pairs: tuple[Any, ...]) -> list[int]:
    """Return the rows at which every range of keys equals its key. A blank key matches nothing."""
    keys = tuple([folded(key) for key in pairs[1::2]])
    if "" in keys or None in keys:
        return []
    first: Values = pairs[0]
    rows = first.store.index(tuple([each.store for each in pairs[2::2]])).get(keys, [])
    return rows if first.limit is None else rows[: bisect_left(rows, first.limit)]


def sum_matching(values: Values, *pairs: Any) -> float:
    """Return the sum of the values in the rows whose keys match; of many rows it is worked out once."""
    rows = matching(pairs)
    if len(rows) < MANY:
        return values.sum_at(rows)
    sums = values.store.sums
    known_by = (*(each.store for each in pairs[::2]), *map(folded, pairs[1::2]), len(rows))
    if known_by not in sums:
        sums[known_by] = values.sum_at(rows)
    return sums[known_by]


def match_first(values: Values, keys: Values, key: Any) -> Any:
    """Return the value beside the first row whose key matches; a lone blank where none does."""
    rows = matching((keys, key))
    return values.store.values[rows[0]] if rows else " "


def position_of_first(keys: Values, key: Any) -> float:
    """Return the place of the first row whose key matches, the heading being 1; 0 where none does."""
    rows = matching((keys, key))
    return rows[0] + 2.0 if rows else 0.0


def value_in_row(values: Values, position: float) -> float:
    """Return the number at a place in the column, the heading being 1; 0 there, at 0, and below the last row."""
    rows = values.store.values
    return float(rows[int(position) - 2]) if 1 < position <= len(rows) + 1 else 0.0


def sum_later(values: Values, keys: Values, key: Any, days: Values, day: float) -> float:
    """Return the sum of the values in the rows whose key matches and whose day comes after some day."""
    rows = matching((keys, key))
    ordered, sums = days.store.running(rows, (keys.store, folded(key)), values.store)
    return sums[bisect_right(ordered, day)]


def squares_matching(values: Values, keys: Values, key: Any, middle: float) -> float:
    """Return the sum of squared distances from a middle of the values above 0 in the rows whose key matches."""
    found = [value for value in _in_order(values, keys, key) if value > 0]
    return float(sum((value - middle) ** 2 for value in found))


def largest_matching(values: Values, keys: Values, key: Any) -> float:
    """Return the largest value among the rows whose key matches, or 0 where none is above it."""
    return _last(_in_order(values, keys, key))


def largest_matching_until(values: Values, keys: Values, key: Any, limit: float) -> float:
    """Return the largest value, not above a limit, among the rows whose key matches; 0 where there is none."""
    found = _in_order(values, keys, key)
    return _last(found, bisect_right(found, limit))


def largest_matching_below(values: Values, keys: Values, key: Any, limit: float) -> float:
    """Return the largest value below a limit among the rows whose key matches; 0 where there is none."""
    found = _in_order(values, keys, key)
    return _last(found, bisect_left(found, limit))


def _in_order(values: Values, keys: Values, key: Any) -> list[float]:
    """Return the numbers in the rows whose key matches, from the smallest up: sorted once, and not for each row anew."""
    return values.store.ordered_at(matching((keys, key)), (keys.store, folded(key)))


def _last(found: Sequence[float], end: int | None = None) -> float:
    end = len(found) if end is None else end
    return max(0.0, found[end - 1]) if end else 0.0


def match_step(values: Values, steps: Values, reached: float) -> Any:
    """Return the value beside the last step that a figure reaches. Steps stand in rising order."""
    return values.rows()[bisect_right(steps.rows(), reached) - 1]


def at_rank(values: Values, keys: Values, key: Any, rank: float) -> float:
    """Return the value at a rank among the rows whose key matches, the largest first; 0 where there are not as many."""
    found = _in_order(values, keys, key)
    return found[-int(rank)] if 1 <= rank <= len(found) else 0.0


def count_between(keys: Values, key: Any, values: Values, low: float, high: float) -> int:
    """Return in how many rows the key matches and the value lies within bounds."""
    found = _in_order(values, keys, key)
    return max(0, bisect_right(found, high) - bisect_left(found, low))


def outside_bounds(names: Values, name: str, lows: Values, highs: Values, value: float) -> bool:
    """Say whether a figure lies outside every pair of bounds beside a name."""
    low, high = lows.store.values, highs.store.values
    return not any(low[row] <= value <= high[row] for row in matching((names, name)))
