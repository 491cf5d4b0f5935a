"""What to buy: what the plan takes beyond what is there, in whole packs, by hand."""

from __future__ import annotations

from typing import Any

import pytest

import costing
from tests.published.seasons import bought, costed, line, product


def list_for(on_hand: float, **purchase: Any) -> costing.Season:
    """Return a season whose plan takes 1000 g of stuff and 10 jars, with so much stuff on hand."""
    return costed(
        purchases=[bought("stuff", 6, size=300, **purchase), bought("pot", 2, size=4, unit="piece")],
        items=[{"item": "stuff", "on_hand": on_hand}],
        lines=[line("mix", "stuff", 100)],
        tubs=[{"tub": "jar", "part": "pot"}],
        products=[product("tub", "mix", 100)],
        channels=[{"channel": "stall", "margin_percent": 30}],
        prices=[{"product": "tub", "channel": "stall", "planned": 10}],
    )


@pytest.mark.parametrize(
    ("on_hand", "short", "packs", "cost"),
    [
        (0, 1000, 4, 24),
        (99, 901, 4, 24),
        (100, 900, 3, 18),
        (700, 300, 1, 6),
        (999.5, 0.5, 1, 6),
        (1000, 0, 0, 0),
        (1500, 0, 0, 0),
    ],
)
def test_packs_for_what_is_short(on_hand: float, short: float, packs: float, cost: float) -> None:
    """1000 g less what is there, in packs of 300 g at 6.00 each; with enough there, nothing."""
    row = list_for(on_hand).row("buying", item="stuff")
    assert (row.needed, row.on_hand) == (pytest.approx(1000), on_hand)
    assert (row.short, row.packs, row.cost) == (pytest.approx(short), packs, pytest.approx(cost))


def test_money_needed_for_all_of_it() -> None:
    """4 packs of stuff at 6.00 and 10 jars in packs of 4 at 2.00 each: 24 and 6."""
    season = list_for(0)
    assert season.row("buying", item="pot").packs == 3
    assert season.cash.needed_money == pytest.approx(30)


def test_a_pack_is_the_mean_of_those_bought_last() -> None:
    """Two packs of 300 g for 6.00 in one row: a pack is 300 g at 3.00."""
    row = list_for(0, packs=2).row("buying", item="stuff")
    assert (row.pack, row.pack_price, row.packs) == (pytest.approx(300), pytest.approx(3), 4)
