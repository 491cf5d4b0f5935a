"""The season's first day: what was weighed, made or ruined before it is an earlier season's and counts in no figure."""

from __future__ import annotations

from typing import Any

import pytest

import costing
from tests.published.seasons import bought, costed, line, product

BEGAN, BEFORE, AFTER = "2026-07-10", "2026-07-09", "2026-07-10"


def season(began_on: str | None) -> costing.Season:
    """Return a season with a tub weighed, a batch ruined and a batch with a weight mistyped, on each side of a day."""
    days = {"before": BEFORE, "after": AFTER}
    settings: dict[str, Any] = {"hourly_rate": 30} | ({"began_on": began_on} if began_on else {})
    return costed(
        settings=settings,
        purchases=[bought("stuff", 1), bought("band", 1, unit="piece")],
        lines=[line("mix", "stuff", 100)],
        products=[product("tub", "mix", 100, minutes=1)],
        prices=[{"product": "tub", "channel": "stall", "planned": 10, "price": 9}],
        weighings=[
            {"product": "tub", "weighed_on": day, "gross_grams": 101 if when == "after" else 80}
            for when, day in days.items()
        ],
        batches=[
            {"batch": f"{when} {what}", "formula": "mix", "made_on": day, "grams_out": out, "minutes": 6}
            for when, day in days.items()
            for what, out in (("ruined", None), ("gained", 500))
        ],
        batch_lines=[
            {"batch": f"{when} {what}", "item": "stuff", "step": "mix", "grams": 100}
            for when in days
            for what in ("ruined", "gained")
        ],
    )


def cautioned(of: costing.Season) -> set[str]:
    """Return what the cautions about the scales are about."""
    return {each.where for each in of.cautions if each.where.startswith(("batches", "weighings"))}


def test_without_a_first_day_everything_counts() -> None:
    """As long as no first day is written, all weighings and batches are this season's."""
    whole = season(None)
    assert whole.row("fills", product="tub").number == 2
    assert whole.looks.lost == pytest.approx(2 * whole.row("batches", batch="before ruined").cost)
    assert cautioned(whole) == {
        "weighings, tub",
        *(f"batches, {when} {what}" for when in ("before", "after") for what in ("ruined", "gained")),
    }


def test_from_the_first_day_on_only_what_is_of_this_season_counts() -> None:
    """The fill, its remark, what was ruined and the cautions leave out what was before; the day itself counts."""
    now = season(BEGAN)
    fill = now.row("fills", product="tub")
    assert (fill.number, fill.mean, fill.remark.strip()) == (1, 101, "")
    assert now.looks.lost == pytest.approx(now.row("batches", batch="after ruined").cost)
    assert now.looks.ruined == 2
    assert cautioned(now) == {"batches, after ruined", "batches, after gained"}
    assert season("2026-07-11").looks.lost == 0


def test_ruined_batches_of_the_season_come_off_its_profit() -> None:
    """Profit is what the sales leave, less each batch that was ruined since the first day; an earlier one takes nothing."""
    none, one, two = season("2026-07-11"), season(BEGAN), season(None)
    cost = one.row("batches", batch="after ruined").cost
    assert cost == pytest.approx(100 * one.row("items", item="stuff").per_gram + 6 / 60 * 30)
    assert one.totals.profit == pytest.approx(none.totals.profit - cost)
    assert two.totals.profit == pytest.approx(none.totals.profit - 2 * cost)
    assert one.totals.cost == pytest.approx(none.totals.cost + cost)
    assert one.totals.revenue == none.totals.revenue


def test_an_hour_earns_what_is_left_for_all_hours() -> None:
    """The hours in a ruined batch were worked too, and what they are priced at was not spent."""
    none, one = season("2026-07-11"), season(BEGAN)
    assert one.totals.hours == pytest.approx(none.totals.hours + 0.1)
    spent = 100 * one.row("items", item="stuff").per_gram
    assert one.totals.pay_per_hour == pytest.approx(
        (none.totals.pay_per_hour * none.totals.hours - spent) / one.totals.hours
    )
