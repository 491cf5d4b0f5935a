"""A batch's cost against its standard, split as textbooks split it.

The standard card is OpenStax Principles of Accounting Vol. 2 section 8.1, as printed there. What a batch then differs
by is computed here by the textbook definitions, in each test's docstring: no worked set of all five is printed in a
source that was read.
"""

from __future__ import annotations

from typing import Any

import pytest

import costing
from tests.published.closeness import exactly
from tests.published.seasons import DAY, EARLY, MONEY_PER_MINUTE, Row, bought, costed, line

POUND = 453.59237
BETWEEN = "2026-07-15"


def split(season: costing.Season) -> dict[str, float]:
    """Return the costs of the one batch."""
    return dict(costing.further_figures(season)["scales"]["batches"]["made"]["cost"])


def batch(formula: str, grams_out: float | None, minutes: float | None = None, made_on: str = DAY) -> list[Row]:
    return [{"batch": "made", "formula": formula, "made_on": made_on, "grams_out": grams_out, "minutes": minutes}]


def put_in(**grams: float) -> list[Row]:
    return [{"batch": "made", "item": item, "step": "mix", "grams": each} for item, each in grams.items()]


def card(pounds: float, hours: float, units: float, paid_per_pound: float = 5.25) -> costing.Season:
    """Return a batch against the standard card: a unit takes 4 lb at 5.25, 6.75 h, and 5.00 of power an hour."""
    return costed(
        settings={"hourly_rate": (30.25 + 60.00) / 6.75, "power_price": 5.00},
        purchases=[
            bought("material", paid_per_pound, unit="lb", bought_on=EARLY),
            bought("material", 5.25, unit="lb", bought_on=DAY),
        ],
        lines=[line("card", "material", 4 * POUND)],
        steps=[{"formula": "card", "step": "mix", "minutes": 6.75 * 60, "watts": 1000, "hours": 6.75}],
        batches=batch("card", units * 4 * POUND, hours * 60, made_on=BETWEEN),
        batch_lines=put_in(material=pounds * POUND),
    )


def test_a_batch_exactly_on_the_standard_card_differs_by_nothing() -> None:
    """21.00 + 30.25 + 60.00 + 33.75 = 145.00 before fixed overhead. Vol. 2 section 8.1, printed."""
    found = split(card(4, 6.75, 1))
    assert found["real"] == found["standard"] == exactly(145.00)
    for part in ("difference", "price", "usage", "mix", "yield", "time", "ruined"):
        assert found[part] == pytest.approx(0, abs=1e-9), part


def test_price_and_time_against_the_standard_card() -> None:
    """Two units from 8 lb at 5.50 in 14 h: price 8 × (5.50 − 5.25) = 2.00; time (14 − 13.5) × 90.25 ÷ 6.75.

    Quantity and efficiency as in Vol. 2 sections 8.2 and 8.3: actual quantity × difference of price, difference of
    hours × standard rate. Computed on the printed card.
    """
    found = split(card(8, 14, 2, paid_per_pound=5.50))
    assert (found["price"], found["time"]) == (exactly(2.00), exactly(0.5 * 90.25 / 6.75))
    assert (found["usage"], found["difference"]) == (exactly(0), exactly(2.00 + 0.5 * 90.25 / 6.75))


def test_quantity_against_the_standard_card() -> None:
    """9 lb for two units: (9 − 8) × 5.25 = 5.25, and the power that goes with a pound more, 33.75 ÷ 4. Computed."""
    found = split(card(9, 13.5, 2))
    assert (found["usage"], found["mix"], found["yield"]) == (
        exactly(5.25 + 33.75 / 4),
        exactly(0),
        exactly(5.25 + 33.75 / 4),
    )
    assert found["difference"] == exactly(found["usage"])


def two_stuffs(grams_out: float | None, *, made_on: str = DAY, **grams: float) -> costing.Season:
    """Return a batch of 60 g of one at 3 and 40 g of the other at 2 a gram, which loses a tenth and takes 10 minutes."""
    return costed(
        settings=MONEY_PER_MINUTE,
        purchases=[
            bought("dear", 2.5, bought_on=EARLY), bought("dear", 3, bought_on=DAY), bought("cheap", 2, bought_on=EARLY),
        ],
        lines=[line("mixture", "dear", 60), line("mixture", "cheap", 40)],
        steps=[{"formula": "mixture", "step": "mix", "minutes": 10, "loss_percent": 10}],
        batches=batch("mixture", grams_out, 12, made_on),
        batch_lines=put_in(**grams),
    )  # fmt: skip


def test_mix_and_yield() -> None:
    """70 g and 40 g put in, 95 g out, in 12 minutes, when the dear one still cost 2.50.

    Standard mix 2.60 a gram put in; 95 ÷ 0.9 g allowed. Mix 70 × 3 + 40 × 2 − 110 × 2.60 = 4; yield
    (110 − 95 ÷ 0.9) × 2.60; usage the two together, which is Σ (actual − allowed grams) × standard price; price
    70 × (2.50 − 3.00) = −35; time 12 − 10 × 95 ÷ 90 minutes at 1. Computed by the definitions of cost accounting books.
    """
    found = split(two_stuffs(95, made_on=BETWEEN, dear=70, cheap=40))
    allowed = 95 / 0.9
    assert found["mix"] == exactly(4)
    assert found["yield"] == exactly((110 - allowed) * 2.60)
    assert found["usage"] == exactly((70 - 0.6 * allowed) * 3 + (40 - 0.4 * allowed) * 2)
    assert found["price"] == exactly(-35)
    assert found["time"] == exactly(12 - 10 * 95 / 90)
    assert found["real"] == exactly(70 * 2.5 + 40 * 2 + 12)
    assert found["standard"] == exactly(95 * (260 + 10) / 90)


def test_what_the_formula_leaves_out_or_the_batch_left_out_is_mix() -> None:
    """100 g of the dear one alone: 100 × 3 − 100 × 2.60 = 40 of mix, nothing of yield at 90 g out. Computed."""
    found = split(two_stuffs(90, dear=100))
    assert (found["mix"], found["yield"], found["time"]) == (exactly(40), exactly(0), exactly(2))


@pytest.mark.parametrize("grams_out", [None, 0])
def test_a_ruined_batch_is_lost_whole(grams_out: float | None) -> None:
    """60 × 3 + 40 × 2 + 12 = 272 is lost, explained by nothing else. Computed."""
    season = two_stuffs(grams_out, dear=60, cheap=40)
    found = split(season)
    assert (found["real"], found["ruined"], found["difference"]) == (exactly(272), exactly(272), exactly(272))
    assert [found[part] for part in ("standard", "price", "usage", "mix", "yield", "time")] == [0] * 6
    assert costing.further_figures(season)["scales"]["lost"] == exactly(272)


def test_the_price_of_a_batch_is_that_of_its_day() -> None:
    """The newest purchase up to the day counts, the day itself among them; before any, the season's price."""

    def per_gram(day: str) -> Any:
        season = two_stuffs(90, made_on=day, dear=60, cheap=40)
        return season.row("batch_lines", item="dear").actual

    days = ("2026-06-30", EARLY, BETWEEN, "2026-07-30", DAY, "2026-08-09")
    assert [per_gram(day) for day in days] == [3, 2.5, 2.5, 2.5, 3, 3]


def test_weighing_by_difference() -> None:
    """A jug of 500 g before and 430 g after gave 70 g; 70 of 100 g are 70 % of the batch. Computed."""
    rows: list[Row] = [
        {"batch": "made", "item": "dear", "step": "mix", "before_grams": 500, "after_grams": 430},
        {"batch": "made", "item": "cheap", "step": "mix", "grams": 30},
    ]
    season = costed(
        purchases=[bought("dear", 3), bought("cheap", 2)],
        lines=[line("mixture", "dear", 60), line("mixture", "cheap", 40)],
        batches=batch("mixture", 88),
        batch_lines=rows,
    )
    found = costing.further_figures(season)["scales"]["batches"]["made"]
    assert [(row["grams"], row["percent"], row["formula_percent"]) for row in found["lines"]] == [
        (exactly(70), exactly(0.7), exactly(0.6)),
        (exactly(30), exactly(0.3), exactly(0.4)),
    ]
    assert (found["loss"], found["formula_loss"]) == (exactly(0.12), exactly(0))


def test_no_minutes_are_none_and_blank_minutes_make_no_difference() -> None:
    """A batch that took 0 minutes saved its whole time; one whose minutes were not written down shows no time variance."""
    lines = [line("filling", "stuff", 100)]
    steps = [{"formula": "filling", "step": "mix", "minutes": 10}]
    batches = [
        {"batch": "none", "formula": "filling", "made_on": DAY, "grams_out": 90, "minutes": 0},
        {"batch": "blank", "formula": "filling", "made_on": DAY, "grams_out": 90},
        {"batch": "ruined", "formula": "filling", "made_on": DAY, "grams_out": 0},
    ]
    season = costed(
        settings=MONEY_PER_MINUTE,
        purchases=[bought("stuff", 100, size=100)],
        lines=lines,
        steps=steps,
        batches=batches,
        batch_lines=[{"batch": row["batch"], "item": "stuff", "step": "mix", "grams": 100} for row in batches],
    )
    none, blank, ruined = (season.row("batches", batch=key) for key in ("none", "blank", "ruined"))
    assert none.time == pytest.approx(-9)  # 90 of 100 g came out, for which the formula allows 9 of its 10 minutes
    assert (blank.time, blank.minutes_used) == (0, pytest.approx(9))
    assert ruined.lost == pytest.approx(110)  # all that was put in, and the ten minutes it would take
