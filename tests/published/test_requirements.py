"""Requirements planning: what a plan takes through several levels, in whole lots, less what is on hand, and when to begin.

A unit of each part is a formula whose batch weighs what its own parts weigh together, a part that is bought weighing 1 g: so
counts are grams. A lot is a batch of so many units; lead times are days of waiting. Inputs are from the pages named; their
answers were computed from these (netting level by level, an order rounded up to whole lots, released by its lead time before
it is needed).
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

import pytest

import costing
from tests.published.seasons import bought, costed, line, product

WEEK = 7
Parts = Mapping[str, Mapping[str, float]]  # of one unit of each part


def weights(parts: Parts) -> dict[str, float]:
    """Return what one unit of each part weighs, those bought 1 g."""

    def weight(part: str) -> float:
        return sum(count * weight(each) for each, count in parts[part].items()) if part in parts else 1

    return {part: weight(part) for part in {*parts, *(each for inside in parts.values() for each in inside)}}


def planned(  # a planning problem has these parts
    top: str,
    number: float,
    parts: Parts,
    waits: Mapping[str, float],
    *,
    ready_by: date,
    lots: Mapping[str, float] | None = None,
    there: Mapping[str, float] | None = None,
) -> costing.Season:
    """Return the season that is to sell so many of the top part. ``waits`` are in days, ``lots`` and ``there`` in units."""
    one, lots, there = weights(parts), lots or {}, there or {}
    raw = [part for part in one if part not in parts]
    return costed(
        settings={"ready_by": ready_by.isoformat()},
        purchases=[bought(part, 1, size=1) for part in raw],
        lines=[
            line(part, each, count * one[each] * lots.get(part, 1))
            for part, inside in parts.items()
            for each, count in inside.items()
        ],
        steps=[{"formula": part, "step": "mix", "days": waits.get(part, 0)} for part in parts],
        products=[product("sold", top, one[top])],
        channels=[{"channel": "stall", "margin_percent": 0}],
        prices=[{"product": "sold", "channel": "stall", "planned": number}],
        items=[{"item": part, "on_hand": count} for part, count in there.items() if part in raw],
        made=[{"what": part, "on_hand": count * one[part]} for part, count in there.items() if part in parts]
        + [{"what": part, "on_hand": count} for part, count in there.items() if part == "sold"],
    )


def turn(season: costing.Season, formula: str) -> Any:
    return season.row("turns", formula=formula)


def weeks_before(season: costing.Season, formula: str, ready_by: date) -> float:
    """Return how many weeks before all is ready a part is to begin."""
    return float((ready_by - costing_day(turn(season, formula).start_by)).days / WEEK)


def costing_day(number: float) -> date:
    return date(1899, 12, 30) + timedelta(days=int(number))


READY = date(2026, 12, 28)


def test_three_levels_without_stock() -> None:
    """95 A in week 10; A = 2 B + 3 C, B = 2 D + 3 E, C = 2 F + 1 E; lead times A 1, B 2, C 2, D 3, E 2, F 3 weeks.

    Source: answerstreak.com, a requirements planning question. Answers computed: A 95 in week 9; B 190 and C 285 in week 7;
    D 380 and F 570 in week 4; E 855 (570 + 285) in week 5.
    """
    parts = {
        "A": {"B": 2, "C": 3}, "B": {"D": 2, "E": 3}, "C": {"F": 2, "E": 1},
        "D": {"raw d": 1}, "E": {"raw e": 1}, "F": {"raw f": 1},
    }  # fmt: skip
    leads = {"A": 1, "B": 2, "C": 2, "D": 3, "E": 2, "F": 3}
    season = planned("A", 95, parts, {part: WEEK * lead for part, lead in leads.items()}, ready_by=READY)
    batches = {part: turn(season, part).batches for part in parts}
    assert batches == {"A": 95, "B": 190, "C": 285, "D": 380, "E": 855, "F": 570}
    weeks = {part: 10 - weeks_before(season, part, READY) for part in parts}
    assert weeks == {"A": 9, "B": 7, "C": 7, "D": 4, "E": 5, "F": 4}


def test_whole_lots_with_stock() -> None:
    """30 A in week 8; A = 3 B + 1 C + 2 D, B = 2 E + 1 D, C = 1 B + 2 E, E = 1 F; lead times A and D 2 weeks, others 1.

    Lots: C 50, D 50, E 200. On hand C 10, E 50, F 150; due before they are needed A 10, E 50, F 50. Source: quesba.com,
    question 605407. Answers computed: A 20 in week 6; C one lot of 50, though 10 are short, in week 5, which raises B
    from 60 to 110, the first in week 4; D 150, the first in week 2; E 400, F 200; left over C 40, E 180 and D none.

    E is released in week 4 there, as what is on hand covers its first need; here what is made begins by the longest chain,
    whatever is on hand, a week earlier.
    """
    parts = {"A": {"B": 3, "C": 1, "D": 2}, "B": {"E": 2, "D": 1}, "C": {"B": 1, "E": 2}, "D": {"raw d": 1}, "E": {"F": 1}}
    leads = {"A": 2, "B": 1, "C": 1, "D": 2, "E": 1}
    season = planned(
        "A", 30, parts, {part: WEEK * lead for part, lead in leads.items()},
        ready_by=READY, lots={"C": 50, "D": 50, "E": 200}, there={"sold": 10, "C": 10, "E": 100, "F": 200},
    )  # fmt: skip
    assert {part: turn(season, part).batches for part in parts} == {"A": 20, "B": 110, "C": 1, "D": 3, "E": 2}
    one = weights(parts)
    left = {part: turn(season, part).left / one[part] for part in parts}
    assert left == {"A": 0, "B": 0, "C": pytest.approx(40), "D": 0, "E": pytest.approx(180)}
    made_of = season.row("buying", item="F")
    assert (made_of.needed, made_of.short) == (400, 200)
    weeks = {part: 8 - weeks_before(season, part, READY) for part in parts}
    assert weeks == {"A": 6, "B": 4, "C": 5, "D": 2, "E": 3}


def test_the_longest_path() -> None:
    """Ten activities, of which some wait for others: A-D-G, A-E-I, B-I, C-F-I and C-H-J, with the days below.

    Source: homeworksource.com, p/4323963, which prints the path A-D-G of 20 days, the slack and the earliest finish of each.
    The latest day to begin is the earliest finish, less how long it takes, plus the slack. What comes after an activity is
    made from it here, and what ends a path is sold.
    """
    days = {"A": 8, "B": 4, "C": 3, "D": 5, "E": 1, "F": 2, "G": 7, "H": 6, "I": 9, "J": 6}
    after = {"D": "A", "G": "D", "E": "A", "I": "EBF", "F": "C", "H": "C", "J": "H"}
    slack = {"A": 0, "B": 7, "C": 5, "D": 0, "E": 2, "F": 6, "G": 0, "H": 5, "I": 2, "J": 5}
    finish = {"A": 8, "B": 4, "C": 3, "D": 13, "E": 9, "F": 5, "G": 20, "H": 9, "I": 18, "J": 15}
    begins = date(2026, 9, 1)
    ends = "GIJ"
    season = costed(
        settings={"ready_by": (begins + timedelta(days=20)).isoformat()},
        purchases=[bought("stuff", 1, size=1)],
        lines=[line(each, before, 1) for each in days for before in after.get(each, ["stuff"])],
        steps=[{"formula": each, "step": "mix", "days": wait} for each, wait in days.items()],
        products=[product(f"end-{each}", each, 1) for each in ends],
        channels=[{"channel": "stall", "margin_percent": 0}],
        prices=[{"product": f"end-{each}", "channel": "stall", "planned": 1} for each in ends],
    )
    latest = {each: (costing_day(turn(season, each).start_by) - begins).days for each in days}
    assert latest == {each: finish[each] - days[each] + slack[each] for each in days}
    order = [row.formula for row in season.turns.rows]
    assert sorted(order, key=lambda each: latest[each]) == order


def test_two_products_of_one_batch_come_in_their_proportion() -> None:
    """A gallon of cream yields 1 lb of butter and 2 qt of buttermilk: 10,000 lb of butter take 10,000 gallons.

    Source of the proportions: the joint cost problem in tests/published/test_joint_costs.py. With 15,000 qt asked for, 5,000
    of the 20,000 are left over (computed). A pound and a quart weigh 1 g here.
    """
    season = costed(
        purchases=[bought("cream", 3, size=3)],
        lines=[line("churn", "cream", 3)],
        outputs=[
            {"formula": "churn", "output": "butter", "percent": "33.3333333333"},
            {"formula": "churn", "output": "buttermilk", "percent": "66.6666666667"},
        ],
        products=[product("butter", "churn/butter", 1), product("buttermilk", "churn/buttermilk", 1)],
        channels=[{"channel": "stall", "margin_percent": 0}],
        prices=[
            {"product": "butter", "channel": "stall", "planned": 10_000},
            {"product": "buttermilk", "channel": "stall", "planned": 15_000},
        ],
    )
    rows = {row.what: row for row in season.plan.rows}
    assert turn(season, "churn").batches == pytest.approx(10_000, abs=1)
    assert rows["churn/buttermilk"].left == pytest.approx(5000, abs=3)
    assert rows["churn/butter"].left == pytest.approx(0, abs=1)
    told = [caution for caution in season.cautions if "churn/buttermilk" in caution.what]
    assert [caution.where for caution in told] == ["formulas, churn"]


@pytest.mark.parametrize(("price", "worth"), [(740_000, 690_000), (810_000, 720_000)])
def test_made_stock_is_worth_the_lower_of_cost_and_what_it_brings(price: float, worth: float) -> None:
    """Stock that cost 720,000 and sells for 740,000, less 50,000 to sell it, is worth 690,000; at 810,000 its cost again.

    Source: forum.theanalystspace.com, thread 105103, which prints the write-down of 30,000, and that no more is taken back.
    """
    season = costed(
        purchases=[bought("stuff", 720_000, size=1)],
        lines=[line("good", "stuff", 1)],
        products=[product("sold", "good", 1)],
        channels=[{"channel": "stall", "margin_percent": 0, "parcel_each": 50_000}],
        prices=[{"product": "sold", "channel": "stall", "planned": 1, "price": price}],
        made=[{"what": "sold", "on_hand": 1}, {"what": "good", "on_hand": 2}],
    )
    rows = {row.what: row for row in season.made.rows}
    assert (rows["sold"].at_cost, rows["sold"].worth) == (pytest.approx(720_000), pytest.approx(worth))
    assert rows["good"].worth == pytest.approx(1_440_000)
