"""Deciding: what to make when hours are short, what to keep, an order at a lower price, a profit wanted, a price cut.

Figures: OpenStax Principles of Accounting Vol. 2, chapters 3 and 10 (commit 2165bf6 of the publisher's repository), and
pages named beside the check. What is marked "worked out" has its inputs there and its answer by arithmetic.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import pytest

import costing
from costing.tables.deciding.short_hours import Hours
from tests.published.closeness import exactly
from tests.published.seasons import EARLY, Ware, bought, costed, line, product, sold


@dataclass(frozen=True)
class Made:
    """What one contributes, the hours that it takes, and how many are asked for."""

    contributes: float
    hours: float
    asked: float


def made_in(hours: float, *wares: Made) -> costing.Season:
    """Return a season of wares that cost a unit of money besides, with so many hours to make them."""
    keys = [f"ware-{at}" for at in range(1, len(wares) + 1)]
    season = costed(
        purchases=[bought("stuff", 1)],
        lines=[line("mix", "stuff", 1)],
        products=[product(key, "mix", minutes=ware.hours * 60) for key, ware in zip(keys, wares, strict=True)],
        prices=[
            {"product": key, "channel": "stall", "planned": ware.asked, "price": ware.contributes + 1}
            for key, ware in zip(keys, wares, strict=True)
        ],
    )
    return costing.cost(season.records, hours=Hours(hours=Decimal(str(hours))))


def plan(season: costing.Season) -> list[tuple[str, float]]:
    """Return how many of which are made, in their order."""
    return [(row.product, float(row.make)) for row in season.short.rows]


def test_three_products_on_one_machine() -> None:
    """Desks leave 185 in an hour, bookcases 45 in a quarter, chairs 55 in half of one: 60,000, 40,000 and 20,000.

    Vol. 2 section 10.6 (m68086). It prints 48 for the bookcase, where its own inputs leave 45; the quantities are printed,
    the sum and the worth of an hour more are worked out.
    """
    season = made_in(80_000, Made(185, 1, 60_000), Made(55, 0.5, 48_000), Made(45, 0.25, 40_000))
    assert plan(season) == [("ware-1", 60_000), ("ware-3", 40_000), ("ware-2", 20_000)]
    assert season.hours.brings == exactly(14_000_000)
    assert season.hours.one_more == exactly(110)


def test_machines_and_demand() -> None:
    """10,000 hours: C 3,000, A 2,000 and what is left for B, 500; 44,000 together.

    accountingverse.com, relevant costing, product combination; printed but for B's 500.
    """
    season = made_in(10_000, Made(10, 2.5, 2_000), Made(12, 4, 4_000), Made(6, 1, 3_000))
    assert [row.per_hour for row in season.short.rows] == [exactly(6), exactly(4), exactly(3)]
    assert plan(season) == [("ware-3", 3_000), ("ware-1", 2_000), ("ware-2", 500)]
    assert season.hours.brings == exactly(44_000)


def test_the_one_that_leaves_less_each_comes_first() -> None:
    """13 in 0.2 h is 65 an hour, 21 in 0.5 h 42: of 18,000 hours 60,000 and 12,000, for 1,032,000.

    qammunity.org, question 6967254, printed; how many of the second are asked for does not matter.
    """
    season = made_in(18_000, Made(13, 0.2, 60_000), Made(21, 0.5, 50_000))
    assert plan(season) == [("ware-1", 60_000), ("ware-2", 12_000)]
    assert season.hours.brings == exactly(1_032_000)


def test_an_hour_more_goes_to_what_is_not_made_in_full() -> None:
    """Blades of 15 and 35 in 15 and 20 minutes are 60 and 105 an hour; 200 hours more bring 21,000. m68086, worked out."""
    before, after = (made_in(hours, Made(15, 0.25, 4_000), Made(35, 1 / 3, 30_000)) for hours in (5_000, 5_200))
    assert before.hours.one_more == exactly(105)
    assert after.hours.brings - before.hours.brings == exactly(21_000)


def test_with_the_plan_s_own_hours_all_is_made() -> None:
    """Blank hours are those of the plan, and nothing is left to gain from one more."""
    season = made_in(1, Made(10, 2.5, 7), Made(12, 1 / 3, 11))
    season = costing.cost(season.records)
    assert sorted(plan(season)) == [("ware-1", 7), ("ware-2", 11)]
    assert season.hours.one_more == 0


LINES = [(1_150_000, 423_000 + 195_000, 532_000), (1_500_000, 597_000, 903_000), (1_400_000, 571_000, 829_000)]


def test_a_line_that_shows_a_loss_is_kept_for_what_it_contributes() -> None:
    """532,000, 903,000 and 829,000 leave 2,264,000 to carry what stays. Vol. 2 section 10.4 (m68084), printed.

    Sales and costs of the first line are printed, those of the others made up to leave what is printed.
    """
    season = sold(*(Ware(cost, price, 1) for price, cost, _ in LINES), overheads=1_806_000)
    missing = [row.contribution for row in season.droppable.rows]
    assert missing == [exactly(leaves) for _, _, leaves in LINES]
    assert sum(missing) == exactly(2_264_000)
    assert season.row("prices", product="ware-1").profit < 0


def test_what_only_one_line_causes_is_saved_with_it() -> None:
    """Less 75,000 each that end with the line, margins of 457,000, 828,000 and 754,000. The same place, printed.

    Each line is sold in a channel of its own, whose overheads no other bears.
    """
    lines = {f"line-{at}": each for at, each in enumerate(LINES, start=1)}
    season = costed(
        purchases=[bought(f"stuff-of-{key}", cost) for key, (_, cost, _) in lines.items()],
        lines=[line(f"mix-of-{key}", f"stuff-of-{key}", 1) for key in lines],
        products=[product(key, f"mix-of-{key}") for key in lines],
        channels=[{"channel": key, "margin_percent": 0} for key in lines],
        prices=[{"product": key, "channel": key, "planned": 1, "price": price} for key, (price, _, _) in lines.items()],
        overheads=[{"overhead": f"fixed-of-{key}", "amount": 75_000, "channel": key} for key in lines],
    )
    assert [row.contribution for row in season.leavable.rows] == list(map(exactly, (457_000, 828_000, 754_000)))


@pytest.mark.parametrize(
    ("as_it_is", "processed", "own", "sells", "brings"),
    [
        (Ware(0, 2.25, 400_000), Ware(2.85, 15.00, 100_000), 85_000, 900_000, 1_130_000),  # leather scrap: process it
        (Ware(0.30, 1.10, 200_000), Ware(0.60, 3.50, 100_000), 200_000, 160_000, 90_000),  # small apples: sell them
    ],
    ids=["leather scrap", "small apples"],
)
def test_sell_as_it_is_or_process_further(as_it_is: Ware, processed: Ware, own: float, sells: float, brings: float) -> None:
    """What either channel contributes, less what only it causes. Vol. 2 section 10.5 (m68085), printed."""
    wares = {"as-it-is": as_it_is, "processed": processed}
    season = costed(
        purchases=[bought(f"stuff-of-{key}", ware.cost) for key, ware in wares.items()],
        lines=[line(f"mix-of-{key}", f"stuff-of-{key}", 1) for key in wares],
        products=[product(key, f"mix-of-{key}") for key in wares],
        channels=[{"channel": key, "margin_percent": 0} for key in wares],
        prices=[
            {"product": key, "channel": key, "planned": ware.planned, "price": ware.price} for key, ware in wares.items()
        ],
        overheads=[{"overhead": "further work", "amount": own, "channel": "processed"}],
    )
    assert [row.contribution for row in season.leavable.rows] == [exactly(sells), exactly(brings)]


def test_an_order_below_the_full_cost_is_taken_where_there_is_room() -> None:
    """750 + 600 + 300 = 1,650 each; at 1,800 an order leaves 150 each, 120,000 on 800, the fixed 1,350,000 left out.

    Vol. 2 section 10.2 (m68082): 150 printed, 120,000 worked out.
    """
    season = sold(Ware(1_650, 1_800, 800), overheads=1_350_000)
    row = season.row("steps_of_price", product="ware-1")
    assert (row.contribution, row.together) == (exactly(150), exactly(120_000))


@pytest.mark.parametrize(
    ("price", "variable", "fixed", "wanted", "units"),
    [(100, 20, 18_000, 16_000, 425), (100, 20, 18_000, 40_000, 725), (400, 150, 14_000, 10_000, 96)],
)
def test_units_for_a_profit_wanted(*, price: float, variable: float, fixed: float, wanted: float, units: float) -> None:
    """425 units for 16,000, 725 for 40,000 before tax, 96 for 10,000. Vol. 2 chapter 3, printed."""
    season = sold(Ware(variable, price, 200), overheads=fixed, settings={"wanted_profit": wanted})
    assert 200 * (1 + season.reach.sales_up) == exactly(units)


def test_a_price_for_a_profit_wanted() -> None:
    """1,500 at 3.75 leave 900; at 4.25 they leave 1,650. Vol. 2 chapter 3, printed."""
    season = sold(Ware(1.50, 3.75, 1_500), overheads=2_475, settings={"wanted_profit": 1_650})
    assert 3.75 * (1 + season.reach.prices_up) == exactly(4.25)


def test_margin_of_safety() -> None:
    """Price 90, cost 40, fixed 85,000, 2,500 sold: 32 % are safe. Vol. 2 chapter 3, printed."""
    assert sold(Ware(40, 90, 2_500), overheads=85_000).reach.safe == exactly(0.32)


def test_a_price_cut_is_made_up_for_by_more_sales() -> None:
    """2.50 down by 0.50 with 1.00 variable: half as many again, 150 in place of 100. coursehero.com 6610338, printed.

    Up by 0.50, a quarter may stay away: worked out.
    """
    season = sold(Ware(1, 2.50, 100), settings={"price_step": 0.50})
    row = season.row("steps_of_price", product="ware-1")
    assert (row.must_win, 100 * (1 + row.must_win)) == (exactly(0.5), exactly(150))
    assert row.may_lose == exactly(0.25)


def test_no_sales_make_up_for_a_price_below_what_one_costs() -> None:
    """1.40 down by 0.50 brings less than its 1.00."""
    (row,) = sold(Ware(1, 1.40, 100), settings={"price_step": 0.50}).steps_of_price.rows
    assert row.must_win == " "


def ranged(grams: Sequence[float], prices: Sequence[Sequence[float]]) -> Any:
    """Return the range of one product: grams of each item, each bought at some prices for a kilogram."""
    items = [f"item-{at}" for at in range(len(grams))]
    season = costed(
        purchases=[
            bought(item, paid, size=1000, bought_on=f"{EARLY[:-2]}{day:02}")
            for item, its in zip(items, prices, strict=True)
            for day, paid in enumerate(its, start=1)
        ],
        lines=[line("mix", item, each) for item, each in zip(items, grams, strict=True)],
        products=[product("any", "mix", grams=sum(grams))],
    )
    (row,) = season.cost_ranges.rows
    return row


def test_a_spread_goes_with_what_one_takes() -> None:
    """250 g at 8.40 ± 0.10 per kg: 2.10 ± 0.025.

    JCGM 100:2008, 5.1.2: the sensitivity times the standard uncertainty. Figures our own; 8.30, 8.40 and 8.50 have a
    sample standard deviation of 0.10.
    """
    row = ranged([250], [[8.30, 8.50, 8.40]])
    assert (row.cost, row.likely) == (exactly(2.10), exactly(0.025))
    assert (row.cheapest, row.dearest) == (exactly(8.30 / 4), exactly(8.50 / 4))


def test_spreads_of_several_go_together_by_their_squares() -> None:
    """0.03 and 0.04 are 0.05. JCGM 100:2008, 5.1.2, independent inputs: the root of the sum of squares. Figures our own."""
    row = ranged([300, 200], [[1.1, 0.9, 1.0], [2.2, 1.8, 2.0]])
    assert row.likely == exactly(0.05)
    assert (row.cost, row.cheapest, row.dearest) == (exactly(0.70), exactly(0.27 + 0.36), exactly(0.33 + 0.44))


def test_one_purchase_tells_no_spread() -> None:
    """It stays at its price, at either end."""
    row = ranged([500], [[4]])
    assert (row.likely, row.cheapest, row.dearest) == (0, exactly(2), exactly(2))
