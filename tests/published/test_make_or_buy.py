"""Make or buy: only what the choice changes counts.

Figures: OpenStax Principles of Accounting Vol. 2, section 10.3 (module m68083 of commit 2165bf6 of the publisher's
repository). What is marked "worked out" has its inputs there and its answer by arithmetic; the rest is printed. Work is
written as its cost, an hour at 60 making a minute cost 1; what goes away with making is a material, what stays an overhead.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import pytest

from tests.published.closeness import exactly
from tests.published.seasons import MONEY_PER_MINUTE, Row, bought, costed, line, product


@dataclass(frozen=True)
class Choice:
    """What one takes in stuff and in work to be made, what it costs bought, and how many are wanted."""

    stuff: float
    work: float
    ready: float
    wanted: float


LID = Choice(0.87 + 0.36, 0.45, 1.75, 120_000)  # variable overhead goes with making, so it is stuff here
STAYS, GOES = 0.51, 0.12  # fixed overhead of a lid, and how much of it making could do without


def compared(
    choice: Choice,
    *overheads: Row,
    lines: Sequence[Row] = (),
    outputs: Sequence[Row] = (),
    bought_with: str = "ready",
) -> Any:
    """Return a tub made of stuff and work beside one from a gram of base."""
    season = costed(
        settings=MONEY_PER_MINUTE,
        purchases=[bought("stuff", choice.stuff), bought("base", choice.ready)],
        items=[{"item": "base", "kind": "base"}],
        lines=[line("made", "stuff", 1), *(lines or [line("ready", "base", 1)])],
        outputs=outputs,
        products=[product("own", "made", minutes=choice.work), product("from-base", bought_with)],
        prices=[{"product": "own", "channel": "stall", "planned": choice.wanted}],
        alternatives=[{"product": "own", "bought": "from-base"}],
        overheads=overheads,
    )
    return season.row("alternatives", product="own")


def rent(amount: float, **shared: str) -> Row:
    """Return what is paid whichever way is taken."""
    return {"overhead": "rent", "amount": amount, **shared}


@pytest.mark.parametrize("shared_by", ["units", "grams", "minutes"])
def test_what_is_paid_either_way_does_not_count(shared_by: str) -> None:
    """Making a lid costs 1.68 without its fixed 0.51: 201,600 against 210,000 bought. Making saves 8,400."""
    row = compared(LID, rent(STAYS * LID.wanted, shared_by=shared_by))
    assert (row.own_cost, row.bought_cost) == (exactly(1.68), exactly(1.75))
    assert (row.own_cost * LID.wanted, row.bought_cost * LID.wanted) == (exactly(201_600), exactly(210_000))
    assert (row.season_saving, row.cheaper) == (exactly(8_400), "own")


def test_what_goes_away_with_making_turns_the_choice() -> None:
    """With 0.12 of it that buying would do without, a lid costs 1.80, 216,000 in all: buying saves 6,000."""
    row = compared(Choice(LID.stuff + GOES, LID.work, LID.ready, LID.wanted), rent((STAYS - GOES) * LID.wanted))
    assert (row.own_cost, row.own_cost * LID.wanted) == (exactly(1.80), exactly(216_000))
    assert (row.season_saving, row.cheaper) == (exactly(-6_000), "bought")


WORKED_OUT = [
    (Choice(0.24 + 0.16 + 0.20 * 0.30, 0.40, 0.90, 30_000), 0.86, 1_200),
    (Choice(0.30 + 0.20 + 0.10 * 0.10, 0.30, 0.85, 40_000), 0.81, 1_600),
    (Choice(4.00 + 1.00 + 1_200 / 6_000, 1.50, 7.00, 6_000), 6.70, 1_800),
    (Choice(4.80 + 1.60 + 2_000 / 8_000, 2.00, 8.00, 8_000), 8.65, -5_200),
]


@pytest.mark.parametrize(("choice", "made", "saves"), WORKED_OUT, ids=["rolls", "cookies", "part A", "part A again"])
def test_exercises_on_make_or_buy(choice: Choice, made: float, saves: float) -> None:
    """Rolls, cookies and part A twice: inputs printed, answers worked out."""
    row = compared(choice)
    assert (row.own_cost, row.season_saving) == (exactly(made), exactly(saves))


OURS = Choice(6, 4, 11, 50)  # own figures: stuff for 6 in 4 minutes at 1 a minute, 11 bought


def test_work_that_has_no_other_use_is_left_out_of_the_cash_saving() -> None:
    """Own figures: without its own work at 4 making saves 11 − 6 = 5 in 4 minutes: 75 for an hour."""
    row = compared(OURS)
    assert (row.saving, row.cash_saving, row.pay_per_extra_hour) == (exactly(1), exactly(5), exactly(75))


def test_overheads_stand_beside_the_saving() -> None:
    """Own figures: 100 shared by minutes is 2 on each own tub and nothing on the bought one; the saving stays 1."""
    row = compared(OURS, rent(100, shared_by="minutes"))
    assert (row.saving, row.overheads) == (exactly(1), exactly(-2))


@pytest.mark.parametrize(("ready", "cheaper"), [(10.0049, "even"), (9.9951, "even"), (10.0051, "own"), (9.9949, "bought")])
def test_what_no_price_could_show_is_even(ready: float, cheaper: str) -> None:
    """Own figures: made for 10.00 and bought for half a cent more or less is even."""
    assert compared(Choice(6, 4, ready, 50)).cheaper == cheaper


@pytest.mark.parametrize("worth", [0, 2000, 9000])
def test_both_are_even_at_the_break_even_price_of_the_base(worth: float) -> None:
    """A gram of base makes 0.8 g to fill and 0.2 g of trimmings of set worth, which leave it to the rest to pay.

    Own figures. Even where (price − 0.2 × worth of a gram) ÷ 0.8 = 10, the relevant cost of making.
    """
    outputs = [
        {"formula": "ready", "output": "whip", "percent": 80},
        {"formula": "ready", "output": "trimmings", "percent": 20, "valued": "set", "price_per_kg": worth},
    ]
    row = compared(OURS, outputs=outputs, bought_with="ready/whip")
    assert row.base_break_even == exactly((10 * 0.8 + 0.2 * worth / 1000) * 1000)
