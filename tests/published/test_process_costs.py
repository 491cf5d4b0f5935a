"""Costs of what is made in two stages, and of a standard unit.

Figures: OpenStax Principles of Accounting Vol. 2, sections 5.3, 5.4 and 8.1.

How the book's process costing is mapped. A unit of the book is a gram here, a stage is a formula, and conversion
(labour and overhead) is hands-on time at a cost of 1 a minute. The engine costs batches and knows no equivalent units:

- either a batch is what was finished, with the material and the conversion of the equivalent units in it, so that
  materials and work of a gram can be held against the book's two costs per equivalent unit;
- or a batch is the whole month, and what is unfinished at its end is an output set at the book's value of it. Such
  an output takes materials and work in proportion, which the book does not, so only totals can be held against it.
"""

from __future__ import annotations

import pytest

import costing
from costing.tables import equations
from tests.published.closeness import exactly, printed
from tests.published.seasons import MONEY_PER_MINUTE, Row, bought, costed, line, product, worth_of_output


def step(formula: str, minutes: float) -> Row:
    return {"formula": formula, "step": "mix", "minutes": minutes}


def finished_and_unfinished(formula: str, finished: float, unfinished: float, worth: float) -> list[Row]:
    """Return the outputs of a month: what is unfinished is set at its worth."""
    share = 100 / (finished + unfinished)
    return [
        {"formula": formula, "output": "finished", "percent": finished * share},
        {
            "formula": formula, "output": "unfinished", "percent": unfinished * share,
            "valued": "set", "price_per_kg": worth / unfinished * 1000,
        },
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("material", "conversion", "part_done", "per_unit"),
    [(10_179, 22_176, 0.35, (1.17, 2.80, 3.97)), (10_353, 26_970, 0.30, (1.19, 3.43, 4.62))],
    ids=["two-stage month", "paint batch"],
)
def test_unit_of_the_first_stage(
    material: float, conversion: float, part_done: float, per_unit: tuple[float, float, float]
) -> None:
    """8,700 started, 7,500 finished: material per 8,700, conversion per 7,500 and the part done of 1,200.

    Vol. 2 section 5.3, printed to cents (1.17 + 2.80 = 3.97; 1.19 + 3.43 = 4.62), so within half a cent.
    """
    season = costed(
        settings=MONEY_PER_MINUTE,
        purchases=[bought("started", material, size=8700)],
        lines=[line("stage-1", "started", 7500)],
        steps=[step("stage-1", conversion * 7500 / (7500 + part_done * 1200))],
    )
    found = costing.figures(season)["formulas"]["stage-1"]["per_gram"]
    assert (found["materials"], found["work"], found["total"]) == tuple(printed(each, 2) for each in per_unit)


def test_first_month_is_shared_between_finished_and_unfinished() -> None:
    """Of 32,355 the unfinished 1,200 keep 2,580, and 29,775 go on with 7,500 units, 3.97 each.

    Vol. 2 section 5.3, printed.
    """
    season = costed(
        settings=MONEY_PER_MINUTE,
        purchases=[bought("started", 10_179, size=8700)],
        lines=[line("stage-1", "started", 8700)],
        steps=[step("stage-1", 15_176 + 7_000)],
        outputs=finished_and_unfinished("stage-1", 7500, 1200, 1404 + 1176),
    )
    assert season.row("making", formula="stage-1", row="yield").batch_cost == exactly(32_355)
    assert worth_of_output(season, "stage-1/finished") == exactly(29_775)
    assert costing.figures(season)["outputs"]["stage-1/finished"]["per_gram"]["total"] == exactly(3.97)


def test_what_the_first_stage_made_goes_into_the_second() -> None:
    """Transferred 8,775 + 21,000; all costs 12,375 + 49,680 = 62,055; 54,600 finished, 8.40 each.

    Vol. 2 section 5.4, printed. The 750 units found at the start bring their 1,600 and 6,580; the month's own material
    of 2,000 adds no units in the book, so it is bought together with them; the unfinished 1,750 are set at 7,455.
    """
    season = costed(
        settings=MONEY_PER_MINUTE,
        purchases=[bought("started", 10_179, size=8700), bought("found-and-added", 1600 + 2000, size=750)],
        lines=[
            line("stage-1", "started", 7500),
            line("stage-2", "stage-1", 7500),
            line("stage-2", "found-and-added", 750),
        ],
        steps=[step("stage-1", 22_176 * 7500 / 7920), step("stage-2", 6580 + 22_100)],
        outputs=finished_and_unfinished("stage-2", 6500, 1750, 2625 + 4830),
    )
    transferred = season.row("making", formula="stage-2", what="stage-1")
    assert (transferred.materials, transferred.work) == (exactly(8775), exactly(21_000))
    whole = costing.figures(season)["formulas"]["stage-2"]
    assert whole["per_gram"]["materials"] * whole["output_grams"] == exactly(12_375)
    assert whole["per_gram"]["work"] * whole["output_grams"] == exactly(49_680)
    assert whole["per_gram"]["materials"] == exactly(1.50)
    assert worth_of_output(season, "stage-2/finished") == exactly(54_600)
    assert costing.figures(season)["outputs"]["stage-2/finished"]["per_gram"]["total"] == exactly(8.40)


def test_two_rates_of_pay_on_the_standard_card() -> None:
    """2.75 h at 11.00 are 30.25 and 4 h at 15.00 are 60.00. Vol. 2 section 8.1, printed."""
    assert equations.wage(2.75 * 60, 11.00) == exactly(30.25)
    assert equations.wage(4 * 60, 15.00) == exactly(60.00)


def test_standard_card_adds_up_part_by_part() -> None:
    """4 lb at 5.25, work 30.25 + 60.00, variable overhead 33.75, fixed overhead 20.25: 165.25 in all.

    Vol. 2 section 8.1, printed. A season has one rate of pay, so the two are taken at their mean over 6.75 h; variable
    overhead of 5.00 an hour is a kilowatt at 5.00; fixed overhead is shared by minutes among the one unit planned.
    """
    season = costed(
        settings={"hourly_rate": (30.25 + 60.00) / 6.75, "power_price": 5.00},
        purchases=[bought("material", 4 * 5.25, size=4, unit="lb")],
        lines=[line("card", "material", 4 * 453.59237)],
        steps=[{"formula": "card", "step": "mix", "minutes": 6.75 * 60, "watts": 1000, "hours": 6.75}],
        products=[product("unit", "card", 4 * 453.59237)],
        prices=[{"product": "unit", "channel": "stall", "planned": 1}],
        overheads=[{"overhead": "fixed", "amount": 6.75 * 3.00, "shared_by": "minutes"}],
    )
    assert costing.figures(season)["products"]["unit"]["cost"] == {
        "materials": exactly(21.00),
        "packaging": 0,
        "work": exactly(90.25),
        "power": exactly(33.75),
        "unsold": 0,
        "overheads": exactly(20.25),
        "total": exactly(165.25),
    }
