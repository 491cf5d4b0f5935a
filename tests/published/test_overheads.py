"""Overheads shared by minutes and by units.

Figures: OpenStax Principles of Accounting Vol. 2, sections 4.4 and 4.5.
"""

from __future__ import annotations

import pytest

import costing
from tests.published.closeness import exactly
from tests.published.seasons import MONEY_PER_MINUTE, Ware, bought, costed, line, product, sold

SIX_OVERHEADS = (5_000, 20_000, 75_000, 90_000, 35_000, 25_000)


def test_job_bears_overheads_by_its_labour() -> None:
    """250,000 over labour of 100,000 is 2.50; labour of 66 bears 165; with material of 700 the job costs 931.

    Vol. 2 sections 4.4 and 4.5, printed. Labour is hands-on time at 1 a minute; the rest of the plan takes what is
    left of the 100,000.
    """
    season = costed(
        settings=MONEY_PER_MINUTE,
        purchases=[bought("material", 700)],
        lines=[line("job-mix", "material", 1)],
        products=[product("job", "job-mix", minutes=66), product("rest", "job-mix", minutes=100_000 - 66)],
        prices=[{"product": key, "channel": "stall", "planned": 1} for key in ("job", "rest")],
        overheads=[
            {"overhead": f"overhead-{at}", "amount": amount, "shared_by": "minutes"}
            for at, amount in enumerate(SIX_OVERHEADS, start=1)
        ],
    )
    cost = costing.figures(season)["products"]["job"]["cost"]
    assert (cost["materials"], cost["work"]) == (exactly(700), exactly(66))
    assert cost["overheads"] == exactly(165)
    assert cost["overheads"] / cost["work"] == exactly(2.50)
    assert cost["total"] == exactly(931)


@pytest.mark.parametrize(("units", "each"), [(500, 2.00), (2000, 0.50)])
def test_rent_for_each_unit_falls_as_more_are_planned(units: float, each: float) -> None:
    """Rent of 1,000 is 2.00 on each of 500 units and 0.50 on each of 2,000. Vol. 2 sections 4.4 and 4.5, printed."""
    season = sold(Ware(cost=1, planned=units), overheads=1000)
    assert season.row("products", product="ware-1").overheads == exactly(each)


def test_whole_overheads_are_carried_by_the_plan() -> None:
    """What one unit bears, times the 500 planned, is the rent of 1,000 again. Computed here from the figures above."""
    season = sold(Ware(cost=1, planned=200), Ware(cost=5, planned=300), overheads=1000)
    rows = season.products.rows
    assert sum(row.planned * row.overheads for row in rows) == exactly(1000)
    assert season.checks.overheads == "OK"


# Of each line: units, material and labour of one, labour hours in all, and the overheads that its activities cause.
LINES = {
    "solo": (140_000, 3.50 + 10.00, 350_000, 1_260_000),
    "band": (100_000, 6.00 + 2.75, 400_000, 815_000),
    "orchestra": (250_000, 11.70 + 4.30, 500_000, 425_000),
}
PRICES = {"solo": 20, "band": 25, "orchestra": 30}


def three_lines(overheads: list[dict[str, object]]) -> costing.Season:
    """Return the season of three lines, each in a channel of its own; labour is bought in, its hours only share costs."""
    return costed(
        purchases=[bought(f"parts-of-{key}", each) for key, (_, each, _, _) in LINES.items()],
        lines=[line(f"mix-of-{key}", f"parts-of-{key}", 1) for key in LINES],
        products=[product(key, f"mix-of-{key}", minutes=hours / units * 60) for key, (units, _, hours, _) in LINES.items()],
        channels=[{"channel": key, "margin_percent": 0} for key in LINES],
        prices=[
            {"product": key, "channel": key, "planned": units, "price": PRICES[key]}
            for key, (units, _, _, _) in LINES.items()
        ],
        overheads=overheads,
    )


def test_overheads_by_labour_hours_alone() -> None:
    """2,500,000 over 1,250,000 hours: one costs 18.50, 16.75 and 20.00, and leaves 1.50, 8.25 and 10.00.

    Vol. 2 sections 6.1 to 6.4 (m68135, m68137, m68138), printed.
    """
    season = three_lines([{"overhead": "all", "amount": 2_500_000, "shared_by": "minutes"}])
    assert [row.cost for row in season.prices.rows] == list(map(exactly, (18.50, 16.75, 20.00)))
    assert [row.profit for row in season.prices.rows] == list(map(exactly, (1.50, 8.25, 10.00)))


def test_overheads_by_what_each_line_causes() -> None:
    """With what its activities cost on each line alone: 22.50, 16.90 and 17.70; −2.50, 8.10 and 12.30 are left.

    The same place, printed.
    """
    caused = [{"overhead": f"caused-by-{key}", "amount": of_it, "channel": key} for key, (_, _, _, of_it) in LINES.items()]
    season = three_lines(caused)
    assert [row.cost for row in season.prices.rows] == list(map(exactly, (22.50, 16.90, 17.70)))
    assert [row.profit for row in season.prices.rows] == list(map(exactly, (-2.50, 8.10, 12.30)))
