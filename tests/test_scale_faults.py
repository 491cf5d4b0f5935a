"""Faults and cautions of weighings and batches: each says where, what, and what to write instead."""

from __future__ import annotations

from typing import Any

import pytest

import costing
from tests.published.seasons import DAY, EARLY, bought, costed, line, product

WEIGHED = {"product": "tub", "weighed_on": DAY, "gross_grams": 150, "tare_grams": 50}
MADE = {"batch": "first", "formula": "mix", "made_on": DAY, "grams_out": 90}
PUT_IN = {"batch": "first", "item": "stuff", "step": "mix", "grams": 100}


def season(**tables: Any) -> costing.Season:
    """Return a season with one weighing and one batch, or what is given in their place."""
    ours = {"weighings": [WEIGHED], "batches": [MADE], "batch_lines": [PUT_IN]} | tables
    return costed(
        purchases=[bought("stuff", 1), bought("band", 1, unit="piece")],
        lines=[line("mix", "stuff", 100)],
        products=[product("tub", "mix", 100)],
        **ours,
    )


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        (
            {"weighings": [WEIGHED | {"tare_grams": 150}]},
            "weighings, row 1: a tare of 150 in 150 gross leaves nothing in the tub; write the full tub in gross_grams, the "
            "empty one in tare_grams",
        ),
        (
            {"weighings": [WEIGHED | {"product": "tubs"}]},
            'weighings, row 1, product: there is no product "tubs"; did you mean "tub"?',
        ),
        (
            {"batches": [MADE | {"formula": "mux"}]},
            'batches, row 1, formula: there is no formula "mux"; did you mean "mix"?',
        ),
        (
            {"batches": [MADE, MADE | {"batch": "second"}]},
            'batches, row 2, batch: "second" has no lines; write in batch_lines what went into it',
        ),
        (
            {"batches": [MADE, MADE]},
            'batches, row 2: batch "first" is there already in row 1; give each its own',
        ),
        (
            {"batch_lines": [PUT_IN, PUT_IN | {"batch": "firts"}]},
            'batch_lines, row 2, batch: there is no batch "firts"; did you mean "first"?',
        ),
        (
            {"batch_lines": [PUT_IN | {"step": "mux"}]},
            'batch_lines, row 1, step: there is no step of mix "mux"; did you mean "mix"?',
        ),
        (
            {"batch_lines": [PUT_IN | {"item": "band"}]},
            'batch_lines, row 1, item: "band" is bought by the piece; a formula takes grams: buy it by weight',
        ),
        (
            {"batch_lines": [PUT_IN | {"grams": None}]},
            "batch_lines, row 1: neither grams nor the jug before and after; write what went in, or both weights of the jug",
        ),
        (
            {"batch_lines": [PUT_IN | {"grams": None, "before_grams": 30}]},
            "batch_lines, row 1: neither grams nor the jug before and after; write what went in, or both weights of the jug",
        ),
        (
            {"batch_lines": [PUT_IN | {"before_grams": 30, "after_grams": 20}]},
            "batch_lines, row 1: grams, and a jug before or after; write one of the two",
        ),
        (
            {"batch_lines": [PUT_IN | {"grams": None, "before_grams": 20, "after_grams": 30}]},
            "batch_lines, row 1: the jug weighs 20 before and 30 after; write the heavier weight as before_grams",
        ),
    ],
)
def test_a_fault_says_where_what_and_what_to_do(tables: Any, told: str) -> None:
    """One fault, in whole."""
    with pytest.raises(costing.Faults) as caught:
        season(**tables)
    assert [str(fault) for fault in caught.value.faults] == [told]


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        ({}, None),
        (
            {"weighings": [WEIGHED | {"gross_grams": 149}]},
            "weighings, tub: mean under the label: 1 weighed, mean 99.0 g for a label of 100 g; sell none that is far "
            "short; fill more, by Aim at least at on Fill, or label less; look up your local law",
        ),
        (
            {"batches": [MADE | {"grams_out": None}]},
            "batches, first: nothing came out: 100.00 lost to the season, and in no tub's cost; write what came out, if it "
            "was not ruined",
        ),
        (
            {"batches": [MADE | {"grams_out": 120}]},
            "batches, first: 120 g came out of 100 g put in; look for a weight left out or mistyped",
        ),
    ],
)
def test_cautions(tables: Any, told: str | None) -> None:
    """A caution comes up where it should, and only there."""
    ours = [str(each) for each in season(**tables).cautions if each.where.split(",")[0] in ("weighings", "batches")]
    assert ours == ([told] if told else [])


def test_a_line_that_the_formula_lacks_is_remarked() -> None:
    """What went in and stands in no such step of the formula says so in its row."""
    purchases = [bought("stuff", 1), bought("other", 1)]
    rows = [PUT_IN, PUT_IN | {"item": "other"}]
    found = costed(purchases=purchases, lines=[line("mix", "stuff", 100)], batches=[MADE], batch_lines=rows)
    assert [row.remark.strip() for row in found.batch_lines.rows] == ["", "not in the formula"]


def test_two_purchases_of_one_day_count_at_their_mean() -> None:
    """1 g for 1 and 3 g for 7, both the day before the batch, are 2 a gram then; bought again dearer later, it is 5 now."""
    day, before = "2026-07-20", "2026-07-19"
    purchases = [
        bought("stuff", 1, bought_on=before),
        bought("stuff", 7, size=3, bought_on=before),
        bought("stuff", 5),
        bought("stuff", 40, bought_on=EARLY),
    ]
    made = [MADE | {"made_on": day}]
    found = costed(purchases=purchases, lines=[line("mix", "stuff", 100)], batches=made, batch_lines=[PUT_IN])
    row = found.row("batch_lines", batch="first")
    assert (row.bought_grams, row.actual, row.standard) == (4, pytest.approx(2), pytest.approx(5))
    assert (row.cost, row.at_standard) == (pytest.approx(200), pytest.approx(500))
