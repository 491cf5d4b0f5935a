"""What to buy: what the batches and tubs of the plan take beyond what is there, in whole packs as last bought, by hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

import costing
from tests.published.seasons import EARLY, Row, bought, costed, line, product, receipt


def list_for(on_hand: float, purchases: Sequence[Row] = (), items: Sequence[Row] = (), **settings: Any) -> costing.Season:
    """Return a season whose plan takes 1000 g of stuff and 10 pots, with so much stuff on hand."""
    return costed(
        settings=settings,
        purchases=purchases or [bought("stuff", 6, size=300), bought("pot", 2, size=4, unit="piece")],
        items=items or [{"item": "stuff", "on_hand": on_hand}],
        lines=[line("mix", "stuff", 100)],
        tubs=[{"tub": "jar", "part": "pot"}],
        products=[product("tub", "mix", 100)],
        channels=[{"channel": "stall", "margin_percent": 30}],
        prices=[{"product": "tub", "channel": "stall", "planned": 10}],
    )


def stuff(*purchases: Row, **more: Any) -> Any:
    """Return the list's row of stuff, bought so."""
    return list_for(0, [*purchases, bought("pot", 2, size=4, unit="piece")], **more).row("buying", item="stuff")


@pytest.mark.parametrize(
    ("on_hand", "short", "packs", "cost", "left"),
    [
        (0, 1000, 4, 24, 200),
        (99, 901, 4, 24, 299),
        (100, 900, 3, 18, 0),
        (700, 300, 1, 6, 0),
        (999.5, 0.5, 1, 6, 299.5),
        (1000, 0, 0, 0, 0),
        (1500, 0, 0, 0, 500),
    ],
)
def test_packs_for_what_is_short(on_hand: float, short: float, packs: float, cost: float, left: float) -> None:
    """1000 g less what is there, in packs of 300 g at 6.00 each; with enough there, nothing."""
    row = list_for(on_hand).row("buying", item="stuff")
    assert (row.needed, row.on_hand) == (pytest.approx(1000), on_hand)
    assert (row.short, row.packs, row.cost) == (pytest.approx(short), packs, pytest.approx(cost))
    assert row.left == pytest.approx(left)


def test_money_needed_for_all_of_it() -> None:
    """4 packs of stuff at 6.00 and 10 pots in packs of 4 at 2.00 each: 24 and 6."""
    season = list_for(0)
    assert season.row("buying", item="pot").packs == 3
    assert season.cash.needed_money == pytest.approx(30)


def test_a_batch_is_bought_for_whole() -> None:
    """One tub of 100 g from batches of 400 g takes a whole batch: 400 g are needed, though 100 g go into the tub."""
    season = costed(
        purchases=[bought("stuff", 6, size=300)],
        lines=[line("mix", "stuff", 400)],
        products=[product("tub", "mix", 100)],
        channels=[{"channel": "stall", "margin_percent": 30}],
        prices=[{"product": "tub", "channel": "stall", "planned": 1}],
    )
    assert season.row("buying", item="stuff").needed == pytest.approx(400)
    assert season.row("turns", formula="mix").left == pytest.approx(300)


def test_of_two_packs_of_one_day_the_cheaper_per_gram_counts() -> None:
    """500 g at 8.00 is cheaper per gram than 100 g at 2.00, in whatever order; an older one at 1.00 is not asked."""
    big, small, old = (
        bought("stuff", 8, size=500),
        bought("stuff", 2, size=100),
        bought("stuff", 1, size=1000, bought_on=EARLY),
    )
    for rows in ((big, small, old), (old, small, big)):
        row = stuff(*rows)
        assert (row.pack, row.packs, row.cost) == (500, 2, pytest.approx(16))


def test_of_two_alike_the_first_counts() -> None:
    """500 g at 5.00 and 250 g at 2.50 cost the same per gram."""
    big, small = bought("stuff", 5, size=500), bought("stuff", 2.5, size=250)
    assert (stuff(big, small).pack, stuff(small, big).pack) == (500, 250)


def test_several_packs_in_a_row_are_packs_of_its_size() -> None:
    """Two packs of 300 g for 6.00 in one row: a pack is 300 g at 3.00."""
    row = stuff(bought("stuff", 6, size=300, packs=2))
    assert (row.pack, row.packs, row.cost) == (pytest.approx(300), 4, pytest.approx(12))


@pytest.mark.parametrize(
    ("purchase", "pack"),
    [
        (bought("pot", 30, size=1, unit="piece", packs=90), 90),
        (bought("pot", 30, size=90, unit="piece"), 90),
        (bought("pot", 30, size=1, unit="dozen", packs=5), 12),
        (bought("pot", 30, size=45, unit="piece", packs=2), 45),
    ],
)
def test_pieces_written_one_by_one_come_in_the_carton_bought_then(purchase: Row, pack: float) -> None:
    """90 packs of 1 piece are a carton of 90, so that 10 pots are one carton, and not 10 times a carton."""
    row = list_for(0, [bought("stuff", 6, size=300), purchase]).row("buying", item="pot")
    assert (row.needed, row.pack, row.packs) == (10, pack, 1)
    assert row.cost == pytest.approx(30 * pack / (purchase.get("packs", 1) * purchase["size"] * (12 if pack == 12 else 1)))


def test_the_tax_that_is_got_back_is_paid_first() -> None:
    """Goods of 23.00 with 3.00 tax and delivery of 5.75 with 0.75: the stuff costs 25.00, and 28.75 must be paid for it.

    The stuff is all goods of its receipt, so all of the delivery is its own.
    """
    goods = {"item": "stuff", "size": 1000, "unit": "g", "paid": 23, "tax": 3}
    rows = receipt(goods, {"item": "delivery", "paid": 5.75, "tax": 0.75})
    row = stuff(*rows, reclaims_tax="yes")
    assert (row.packs, row.cost) == (1, pytest.approx(28.75))
    assert stuff(*rows, reclaims_tax="no").cost == pytest.approx(28.75)


def test_what_was_never_bought_is_counted_by_its_quote() -> None:
    """700 g short at 9.00 a kilogram, exactly that much, from nobody yet."""
    season = list_for(
        0,
        [bought("pot", 2, size=4, unit="piece")],
        [{"item": "stuff", "on_hand": 300, "quote": 9}],
        cost_basis="quote",
    )
    row = season.row("buying", item="stuff")
    assert (row.pack, row.packs, row.short, row.cost) == (0, 0, pytest.approx(700), pytest.approx(6.3))
    assert row.supplier == "not paid for yet"
    (told,) = (each for each in costing.further_figures(season)["buying"] if each["item"] == "stuff")
    assert (told["needs"], told["short"], told["pack"], told["packs"]) == (
        pytest.approx(1000),
        pytest.approx(700),
        None,
        None,
    )


def test_each_supplier_gets_an_order() -> None:
    """Stuff from the mill, pots from nobody who was written down: 24.00 and 6.00."""
    season = list_for(0, [bought("stuff", 6, size=300, supplier="Mill"), bought("pot", 2, size=4, unit="piece")])
    orders = {row.supplier: row.money for row in season.orders.rows}
    assert orders == {"Mill": pytest.approx(24), "no supplier written": pytest.approx(6), "not paid for yet": 0}
