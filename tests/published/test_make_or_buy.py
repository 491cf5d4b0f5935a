"""Make or buy: only what differs between the two ways counts.

Method: relevant costs, OpenStax Principles of Accounting Vol. 2 chapter 10, from memory: costs that stay whichever way is
taken, such as rent, are left out; those that go with making count in full. The figures are our own.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from tests.published.closeness import exactly
from tests.published.seasons import MONEY_PER_MINUTE, Row, bought, costed, line, product

STUFF, WORK, READY, PLANNED = 6.0, 4.0, 11.0, 50


def compared(*overheads: Row, lines: Sequence[Row] = (), outputs: Sequence[Row] = (), bought_with: str = "ready") -> Any:
    """Return a tub made of stuff for 6 in 4 minutes at 1 a minute beside one from a gram of base for 11."""
    season = costed(
        settings=MONEY_PER_MINUTE,
        purchases=[bought("stuff", STUFF), bought("base", READY)],
        items=[{"item": "base", "kind": "base"}],
        lines=[line("made", "stuff", 1), *(lines or [line("ready", "base", 1)])],
        outputs=outputs,
        products=[product("own", "made", minutes=WORK), product("from-base", bought_with)],
        prices=[{"product": "own", "channel": "stall", "planned": PLANNED}],
        alternatives=[{"product": "own", "bought": "from-base"}],
        overheads=overheads,
    )
    return season.row("alternatives", product="own")


def test_without_overheads_the_relevant_cost_of_making_is_stuff_and_work() -> None:
    """Making costs 6 + 4 = 10, buying 11: making saves 1 on each, and 50 on 50."""
    row = compared()
    assert (row.own_cost, row.bought_cost, row.saving) == (exactly(10), exactly(11), exactly(1))
    assert row.season_saving == exactly(50)


def test_rent_that_stays_either_way_changes_nothing() -> None:
    """Rent of 150 puts 3 on each, so that making costs 13 in full, more than 11: but buying does not end the rent."""
    row = compared({"overhead": "rent", "amount": 150})
    assert (row.own_cost, row.bought_cost, row.saving) == (exactly(13), exactly(14), exactly(1))


def test_what_goes_with_making_counts_in_full() -> None:
    """A mixer's hire of 100, shared by minutes, is spent on making only: 2 on each, and buying is cheaper by 1."""
    row = compared({"overhead": "hire", "amount": 100, "shared_by": "minutes"})
    assert row.saving == exactly(1 - 2)


def test_work_that_has_no_other_use_is_left_out_of_the_pay_for_it() -> None:
    """Without its own work at 4 making saves 11 − 6 = 5 in 4 minutes: 75 for an hour."""
    assert compared().pay_per_extra_hour == exactly(75)


@pytest.mark.parametrize("worth", [0, 2000, 9000])
def test_both_are_even_at_the_break_even_price_of_the_base(worth: float) -> None:
    """A gram of base makes 0.8 g to fill and 0.2 g of trimmings of set worth, which leave it to the rest to pay.

    Even where (price − 0.2 × worth of a gram) ÷ 0.8 = 10, the relevant cost of making.
    """
    outputs = [
        {"formula": "ready", "output": "whip", "percent": 80},
        {"formula": "ready", "output": "trimmings", "percent": 20, "valued": "set", "price_per_kg": worth},
    ]
    row = compared(outputs=outputs, bought_with="ready/whip")
    assert row.base_break_even == exactly((10 * 0.8 + 0.2 * worth / 1000) * 1000)
