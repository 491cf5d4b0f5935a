"""The price of a bought base at which making and buying are even, and figures that have no value."""

from __future__ import annotations

import pytest

import costing
from tests.published.seasons import bought, costed, line, product


def compared(own_base: float, own_other: float, base_paid: float = 1000) -> costing.Season:
    """Return a season of an own product (so many grams of base, and other things at 1.00 a gram) and one of 100 g base."""
    lines = [line("own", "other", own_other), line("ready", "base", 100)]
    lines += [line("own", "base", own_base)] if own_base else []
    return costed(
        purchases=[bought("base", base_paid, size=1000), bought("other", 1000, size=1000)],
        items=[{"item": "base", "kind": "base"}],
        lines=lines,
        products=[product("own-tub", "own", grams=own_base + own_other), product("ready-tub", "ready", grams=100)],
        alternatives=[{"product": "own-tub", "bought": "ready-tub"}],
    )


def even(season: costing.Season) -> float | None:
    """Return the even price per kilogram as JSON has it."""
    found: float | None = costing.figures(season)["alternatives"][0]["base_break_even_per_kg"]
    return found


def test_base_in_the_own_product_moves_with_its_price_too() -> None:
    """Base 1.00 a gram; own 20 g base + 60 g other = 80, bought 100: even where 60 + 20 p = 100 p, so p = 0.75 a gram.

    Worked by hand. Against all of the bought one's base it would be 0.80.
    """
    assert even(compared(20, 60)) == pytest.approx(750)


def test_without_base_of_its_own_it_is_the_own_cost_over_the_base_bought() -> None:
    """60 = 100 p."""
    assert even(compared(0, 60)) == pytest.approx(600)


def test_there_is_no_even_price_where_the_own_product_takes_as_much_base() -> None:
    """Both move alike, so no price makes them even."""
    assert even(compared(100, 60)) is None


def test_there_is_no_even_price_below_zero() -> None:
    """Own work of nothing but free things: even only at a price of nothing."""
    season = costed(
        purchases=[bought("base", 1000, size=1000), bought("other", 0, size=1000)],
        items=[{"item": "base", "kind": "base"}],
        lines=[line("own", "other", 60), line("ready", "base", 100)],
        products=[product("own-tub", "own", grams=60), product("ready-tub", "ready", grams=100)],
        alternatives=[{"product": "own-tub", "bought": "ready-tub"}],
    )
    assert even(season) is None


def test_a_part_of_nothing_has_no_value() -> None:
    """What costs nothing has no mark-up, and no saving as a part of it."""
    season = costed(
        products=[product("own-tub", "filling"), product("ready-tub", "filling")],
        alternatives=[{"product": "own-tub", "bought": "ready-tub"}],
        prices=[{"product": "own-tub", "channel": "stall", "planned": 1, "price": 2}],
    )
    figures = costing.figures(season)
    assert figures["alternatives"][0]["saving_percent"] is None
    assert figures["prices"][0]["markup"] is None
