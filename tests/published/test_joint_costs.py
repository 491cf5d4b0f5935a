"""Several things out of one batch, as bars and trimmings are.

Figures: Horngren, Cost Accounting, exercises 16-16 and 16-30 and exhibit 16-9 of the 14th edition, read on pages that
quote them or their check figures. A commercial textbook: facts only.
"""

from __future__ import annotations

from typing import Any

import pytest

import costing
from tests.published.closeness import exactly, printed
from tests.published.seasons import MONEY_PER_MINUTE, Row, bought, costed, line, product, worth_of_output

PARTS = {"breasts": (100, 1.10), "wings": (20, 0.40), "thighs": (40, 0.70), "bones": (80, 0.20), "feathers": (10, 0.10)}


def churn(*outputs: dict[str, Any], **tables: list[Row]) -> costing.Season:
    """Return the dairy of exercise 16-30, a cup of it being a gram: 20,000 cups of butter, 80,000 of buttermilk."""
    shares = {"butter": 20, "buttermilk": 80}
    lines = [line("churn", "cream", 100_000), *tables.pop("lines", [])]
    return costed(
        settings=MONEY_PER_MINUTE,
        purchases=[bought("cream", 15_000, size=100_000)],
        lines=lines,
        steps=[{"formula": "churn", "step": "mix", "minutes": 5_000}, *tables.pop("steps", [])],
        outputs=[{"formula": "churn", "percent": shares[each["output"]]} | each for each in outputs],
        **tables,
    )


def shares_of(season: costing.Season) -> tuple[float, float]:
    return worth_of_output(season, "churn/butter"), worth_of_output(season, "churn/buttermilk")


def test_joint_cost_by_weight() -> None:
    """20,000 of joint cost by volume, 20,000 cups to 80,000, is 4,000 and 16,000. Exercise 16-30, printed.

    The engine shares by weight; the book's cups take the place of grams.
    """
    season = churn({"output": "butter"}, {"output": "buttermilk"})
    assert season.row("making", formula="churn", row="yield").batch_cost == exactly(20_000)
    assert shares_of(season) == (exactly(4_000), exactly(16_000))


def test_joint_cost_by_sales_value() -> None:
    """By sales value at the split, 20,000 to 30,000, it is 8,000 and 12,000. Exercise 16-30, printed.

    2.00 for a pound of 2 cups and 1.50 for a quart of 4 cups.
    """
    season = churn(
        {"output": "butter", "valued": "sales", "price_per_kg": 2.00 / 2 * 1000},
        {"output": "buttermilk", "valued": "sales", "price_per_kg": 1.50 / 4 * 1000},
    )
    assert shares_of(season) == (exactly(8_000), exactly(12_000))


def test_joint_cost_by_what_is_left_after_further_work() -> None:
    """By net realisable value, 45,000 to 30,000, it is 12,000 and 8,000. Exercise 16-30, printed.

    Two tubs at 2.50 from a pound, less 0.50 for making them: the maker writes that price into the output.
    """
    season = churn(
        {"output": "butter", "valued": "sales", "price_per_kg": (2 * 2.50 - 0.50) / 2 * 1000},
        {"output": "buttermilk", "valued": "sales", "price_per_kg": 1.50 / 4 * 1000},
    )
    assert shares_of(season) == (exactly(12_000), exactly(8_000))


def test_parts_of_the_cost_go_with_each_share() -> None:
    """Butter's 4,000 are 3,000 of cream and 1,000 of work, as 15,000 and 5,000 are in the batch. Computed here."""
    per_gram = costing.figures(churn({"output": "butter"}, {"output": "buttermilk"}))["outputs"]["churn/butter"]["per_gram"]
    assert (per_gram["materials"] * 20_000, per_gram["work"] * 20_000) == (exactly(3_000), exactly(1_000))


def test_what_is_made_from_one_output_carries_its_share_on() -> None:
    """Butter at 8,000 with 5,000 of further work is 13,000 in 20,000 tubs, 0.65 each.

    Computed here from the printed 8,000 and 0.50 a pound of exercise 16-30; a cup fills one tub.
    """
    season = churn(
        {"output": "butter", "valued": "sales", "price_per_kg": 1000},
        {"output": "buttermilk", "valued": "sales", "price_per_kg": 375},
        lines=[line("tubs", "churn/butter", 20_000)],
        steps=[{"formula": "tubs", "step": "mix", "minutes": 5_000}],
        products=[product("tub", "tubs")],
    )
    assert season.row("products", product="tub").total == exactly(0.65)


def five_parts(**more: Any) -> costing.Season:
    """Return exercise 16-16: 250 lb for 100.00, a pound being a gram, so prices per kg are in thousands of pounds."""
    return costed(
        purchases=[bought("bird", 100, size=250)],
        lines=[line("cut", "bird", 250)],
        outputs=[
            {"formula": "cut", "output": part, "percent": pounds / 2.5, "price_per_kg": price * 1000} | more
            for part, (pounds, price) in PARTS.items()
        ],
    )


@pytest.mark.parametrize(
    ("part", "exact"),
    [("breasts", 67.4847), ("wings", 4.9080), ("thighs", 17.1779), ("bones", 9.8160), ("feathers", 0.6135)],
)
def test_shares_are_not_rounded_on_the_way(part: str, exact: float) -> None:
    """Shares of 100.00 by sales value out of 163. Exercise 16-16; computed here from its printed figures, 4 decimals.

    Printed are 67.50, 4.90, 17.20, 9.80 and 0.60, from shares rounded to three decimals first.
    """
    pounds, price = PARTS[part]
    worth = worth_of_output(five_parts(valued="sales"), f"cut/{part}")
    assert worth == printed(exact, 4)
    assert worth == exactly(100 * pounds * price / 163)


@pytest.mark.parametrize(("part", "share"), [("breasts", 40), ("wings", 8), ("thighs", 16), ("bones", 32), ("feathers", 4)])
def test_shares_of_five_parts_by_weight(part: str, share: float) -> None:
    """By weight out of 250 lb. Exercise 16-16; computed here from its printed weights."""
    assert worth_of_output(five_parts(valued="weight"), f"cut/{part}") == exactly(share)


def by_product(worth_per_unit: float) -> costing.Season:
    """Return exhibit 16-9: 50,000 units and 4,000 of a by-product out of 150,000 of material and 100,000 of work."""
    return costed(
        settings=MONEY_PER_MINUTE,
        purchases=[bought("material", 150_000, size=54_000)],
        lines=[line("make", "material", 54_000)],
        steps=[{"formula": "make", "step": "mix", "minutes": 100_000}],
        outputs=[
            {"formula": "make", "output": "main", "percent": 50_000 / 540},
            {
                "formula": "make", "output": "scrap", "percent": 4_000 / 540,
                "valued": "set" if worth_per_unit else "nothing", "price_per_kg": worth_per_unit * 1000,
            },
        ],
        products=[product("unit", "make/main")],
        prices=[{"product": "unit", "channel": "stall", "planned": 40_000, "price": 6}],
    )  # fmt: skip


def test_by_product_is_credited_to_the_main_product() -> None:
    """4,000 at 1.00 come off 250,000: 246,000 for 50,000 units, printed; 4.92 each, computed here. Exhibit 16-9."""
    season = by_product(1.00)
    assert worth_of_output(season, "make/main") == exactly(246_000)
    assert worth_of_output(season, "make/scrap") == exactly(4_000)
    assert season.row("products", product="unit").total == exactly(4.92)


def test_margin_with_the_by_product_credited() -> None:
    """40,000 sold at 6.00 cost 196,800 and leave 43,200, 18.00 %. Exhibit 16-9, printed."""
    season = by_product(1.00)
    totals = costing.figures(season)["totals"]
    assert totals["revenue"] == exactly(240_000)
    assert totals["cost"] == exactly(196_800)
    assert totals["profit"] == exactly(43_200)
    assert season.row("prices", product="unit").margin == exactly(0.18)


def test_by_product_worth_nothing_leaves_the_whole_cost_to_the_main_product() -> None:
    """Without a credit the main product bears 250,000, printed; 5.00 each, computed here. Exhibit 16-9."""
    season = by_product(0)
    assert worth_of_output(season, "make/main") == exactly(250_000)
    assert season.row("products", product="unit").total == exactly(5.00)
