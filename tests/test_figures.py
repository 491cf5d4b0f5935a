"""All figures as one object: its keys do not change, and each figure is of the kind it is said to be."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import costing
from tests.seasons import as_records, sample_tables

SAMPLE = Path(__file__).parents[1] / "sample"

TOP = ["season", "items", "formulas", "outputs", "products", "prices", "alternatives", "totals", "cautions"]
SEASON = [
    "name", "currency", "priced_on", "cost_basis", "average_days", "stale_days", "hourly_rate", "power_price",
    "reclaims_tax", "price_step", "price_ending",
]  # fmt: skip
PER_GRAM = ["materials", "work", "power", "total"]
COST = ["materials", "packaging", "work", "power", "unsold", "overheads", "total"]
PRICE = [
    "product", "channel", "planned", "cost", "channel_overheads", "suggested", "floor", "cash_floor", "price", "net", "fees",
    "contribution", "profit", "margin", "markup", "pay_per_hour", "per_100g",
]  # fmt: skip
ALTERNATIVE = [
    "product", "bought", "saving", "cash_saving", "saving_percent", "season_saving", "extra_minutes", "pay_per_extra_hour",
    "base_break_even_per_kg",
]  # fmt: skip


@cache
def sample() -> dict[str, Any]:
    """Return the figures of the sample season, as another program would read them."""
    found: dict[str, Any] = json.loads(json.dumps(costing.figures(_season()), allow_nan=False))
    return found


@cache
def _season() -> costing.Season:
    return costing.cost(costing.read_season(SAMPLE))


def plain(**changed: Any) -> dict[str, Any]:
    """Return the figures of a small season: one product, its alternative, no work, no overheads, nothing planned."""
    bought = {"bought_on": "2026-08-03", "size": 1, "unit": "kg"}
    tables: dict[str, Any] = {
        "season": {"name": "Plain", "currency": "EUR", "priced_on": "2026-11-01"},
        "purchases": [
            bought | {"item": "olive-oil", "paid": 8},
            bought | {"item": "white-sugar", "paid": 2},
            bought | {"item": "jar", "unit": "dozen", "paid": 12},
        ],
        "formulas": [{"formula": "scrub", "name": "Scrub"}, {"formula": "oil", "name": "Oil", "batch_grams": 500}],
        "lines": [
            {"formula": "scrub", "step": "fold", "item": "olive-oil", "grams": 400},
            {"formula": "scrub", "step": "fold", "item": "white-sugar", "grams": 600},
            {"formula": "oil", "step": "fill", "item": "olive-oil", "percent": 100},
        ],
        "tubs": [{"tub": "jar", "part": "jar"}],
        "products": [
            {"product": "scrub-100", "name": "Scrub", "filled_with": "scrub", "tub": "jar", "fill_grams": 100},
            {"product": "oil-100", "name": "Oil", "filled_with": "oil", "tub": "jar", "fill_grams": 100},
        ],
        "channels": [{"channel": "stall", "margin_percent": 40}],
        "prices": [{"product": "scrub-100", "channel": "stall"}],
        "alternatives": [{"product": "scrub-100", "bought": "oil-100"}],
    }
    return costing.figures(costing.cost(costing.records_from(**(tables | changed))))


def test_the_keys_are_those_that_were_promised() -> None:
    found = sample()
    assert list(found) == TOP
    assert list(found["season"]) == SEASON
    for formula in found["formulas"].values():
        assert list(formula) == ["batch_grams", "output_grams", "per_gram", "minutes_per_gram"]
        assert list(formula["per_gram"]) == PER_GRAM
    for output in found["outputs"].values():
        assert list(output) == ["grams", "per_gram"]
        assert list(output["per_gram"]) == PER_GRAM
    for product in found["products"].values():
        assert list(product) == ["fill_grams", "minutes", "cost"]
        assert list(product["cost"]) == COST
    assert {tuple(price) for price in found["prices"]} == {tuple(PRICE)}
    assert {tuple(each) for each in found["alternatives"]} == {tuple(ALTERNATIVE)}
    assert list(found["totals"]) == ["revenue", "cost", "profit", "break_even_share"]
    assert {tuple(caution) for caution in found["cautions"]} == {("where", "what", "do")}


def test_every_record_has_its_figures() -> None:
    records, found = _season().records, sample()
    assert list(found["products"]) == [row.product for row in records.products]
    assert set(found["formulas"]) == {row.formula for row in records.formulas}
    assert set(found["outputs"]) == {f"{row.formula}/{row.output}" for row in records.outputs}
    assert [(row["product"], row["channel"]) for row in found["prices"]] == [(p.product, p.channel) for p in records.prices]
    assert [(row["product"], row["bought"]) for row in found["alternatives"]] == [
        (row.product, row.bought) for row in records.alternatives
    ]
    assert {row.item for row in records.purchases if row.is_goods} == set(found["items"])
    assert [tuple(caution.values()) for caution in found["cautions"]] == [
        (caution.where, caution.what, caution.do) for caution in _season().cautions
    ]


def test_an_item_costs_so_much_per_gram_or_per_piece_and_never_both() -> None:
    by_piece = {row.part for row in _season().records.tubs}
    for item, figures in sample()["items"].items():
        unit = "per_piece" if item in by_piece else "per_gram"
        assert list(figures) == [unit, "basis", "bought_on"], item
        assert figures[unit] > 0, item


def test_items_and_settings_are_plain_numbers_dates_and_words() -> None:
    assert sample()["season"] == {
        "name": "Thistlewrack Soap Room, summer market season 2026/27",
        "currency": "NZD",
        "priced_on": "2026-11-01",
        "cost_basis": "latest",
        "average_days": 365,
        "stale_days": 180,
        "hourly_rate": 28,
        "power_price": 0.34,
        "reclaims_tax": "yes",
        "price_step": 0.5,
        "price_ending": 0,
    }
    olive = sample()["items"]["Olive oil"]
    assert olive["per_gram"] == pytest.approx((242.65 - 31.65 + 66.70 - 8.70) / (25000 * 0.9114), rel=1e-12)
    assert (olive["basis"], olive["bought_on"]) == ("latest", "2026-08-12")


def test_parts_add_up_to_their_totals() -> None:
    found = sample()
    for made in (*found["formulas"].values(), *found["outputs"].values()):
        parts = made["per_gram"]
        assert sum(parts[part] for part in PER_GRAM[:-1]) == pytest.approx(parts["total"], rel=1e-12)
    for product in found["products"].values():
        assert sum(product["cost"][part] for part in COST[:-1]) == pytest.approx(product["cost"]["total"], rel=1e-12)


def test_outputs_share_what_their_formula_yields() -> None:
    found = sample()
    for formula in ("Olive and lavender bar", "Everyday bar"):
        grams = sum(output["grams"] for key, output in found["outputs"].items() if key.startswith(f"{formula}/"))
        assert grams == pytest.approx(found["formulas"][formula]["output_grams"], rel=1e-12)
    assert found["outputs"]["Olive and lavender bar/trimmings"]["per_gram"]["total"] == pytest.approx(0.006, rel=1e-12)


def test_suggested_prices_are_the_next_on_the_grid_above_the_exact_price() -> None:
    channels = {row.channel: row for row in _season().records.channels}
    for row in sample()["prices"]:
        channel = channels[row["channel"]]
        if channel.of_channel:
            continue
        margin, fee, tax = (float(x) / 100 for x in (channel.margin_percent, channel.fee_percent, channel.sales_tax_percent))
        costs = row["cost"] + float((channel.fee_each + channel.parcel_each) / channel.sold_together)
        shown = 1 + tax if channel.shown_with_tax == "yes" else 1
        exact = shown * costs / ((1 - margin) - fee * (1 + tax))
        assert (row["suggested"] / 0.5).is_integer(), row
        assert exact <= row["suggested"] < exact + 0.5, row
        assert row["floor"] == pytest.approx(shown * costs / (1 - fee * (1 + tax)), rel=1e-12)


@pytest.mark.parametrize(("step", "ending"), [("1", "0.90"), ("0.25", "0.10"), ("0.05", "0.04"), ("5", "4.99")])
def test_suggested_prices_keep_the_makers_own_step_and_ending(step: str, ending: str) -> None:
    season = {"name": "Plain", "currency": "EUR", "priced_on": "2026-11-01", "price_step": step, "price_ending": ending}
    found = plain(season=season)
    exact = found["products"]["scrub-100"]["cost"]["total"] / 0.6
    steps = (found["prices"][0]["suggested"] - float(ending)) / float(step)
    assert steps == pytest.approx(round(steps), abs=1e-9)
    assert exact <= found["prices"][0]["suggested"] + 1e-9 < exact + float(step) + 2e-9


def test_percents_are_fractions() -> None:
    for row in sample()["prices"]:
        assert row["margin"] == pytest.approx(row["profit"] / row["net"], rel=1e-12)
        assert row["markup"] == pytest.approx(row["profit"] / (row["net"] - row["profit"]), rel=1e-12)
    for row in sample()["alternatives"]:
        bought = sample()["products"][row["bought"]]["cost"]
        changing = bought["total"] - bought["overheads"]
        assert row["saving_percent"] == pytest.approx(row["saving"] / changing, rel=1e-12)
    assert 0 < sample()["totals"]["break_even_share"] < 1


def test_own_prices_stand_beside_the_suggested_ones() -> None:
    own = {(row.product, row.channel): row.price for row in _season().records.prices}
    for row in sample()["prices"]:
        price = own[row["product"], row["channel"]]
        assert row["price"] == (row["suggested"] if price is None else float(price))
    assert sum(price is not None for price in own.values()) >= 3


def test_a_price_leaves_its_profit_after_fees_parcel_and_cost() -> None:
    parcels = {row.channel: float(row.parcel_each / row.sold_together) for row in _season().records.channels}
    rate = float(_season().records.season.hourly_rate)
    unsold = {row.product: float(row.unsold_percent) / 100 for row in _season().records.products}
    for row, priced in zip(sample()["prices"], _season().prices.rows, strict=True):
        product = sample()["products"][row["product"]]
        assert row["cost"] == pytest.approx(product["cost"]["total"] + row["channel_overheads"], rel=1e-9)
        left = row["net"] - row["fees"] - parcels[row["channel"]] - row["cost"]
        assert row["profit"] == pytest.approx(left, rel=1e-9)
        made = 1 / (1 - unsold[row["product"]])
        beside = priced.own_time - product["minutes"] * made
        earned = row["profit"] + product["cost"]["work"] * made + beside / 60 * rate
        assert row["pay_per_hour"] == pytest.approx(earned / (priced.own_time / 60), rel=1e-9)


def test_totals_are_those_of_the_plan() -> None:
    """Less what ruined batches cost, of which there is one here."""
    tables = sample_tables()
    tables["batches"][0]["grams_out"] = ""
    season = costing.cost(as_records(tables))
    found = costing.figures(season)
    totals, prices = found["totals"], found["prices"]
    assert totals["revenue"] == pytest.approx(sum(row["planned"] * row["net"] for row in prices), rel=1e-12)
    planned = sum(row["planned"] * row["profit"] for row in prices)
    ruined = sum(row.cost for row in season.batches.rows if row.grams_out == 0)  # none of them before the season began
    assert ruined > 0
    assert totals["profit"] == pytest.approx(planned - ruined, rel=1e-12)
    assert totals["cost"] == pytest.approx(totals["revenue"] - totals["profit"], rel=1e-12)
    rate = _season().records.season.hourly_rate
    overheads = sum(float(row.amount + row.hours * rate) for row in _season().records.overheads)
    assert totals["break_even_share"] == pytest.approx(overheads / (planned + overheads), rel=1e-9)


def test_the_season_s_saving_is_that_of_all_planned_tubs() -> None:
    planned: dict[str, float] = {}
    for row in sample()["prices"]:
        planned[row["product"]] = planned.get(row["product"], 0) + row["planned"]
    for row in sample()["alternatives"]:
        assert row["season_saving"] == pytest.approx(planned[row["product"]] * row["saving"], rel=1e-12)


def test_what_has_no_value_is_none() -> None:
    found = plain()
    (price,), (alternative,) = found["prices"], found["alternatives"]
    assert price["pay_per_hour"] is None
    assert alternative["pay_per_extra_hour"] is None
    assert alternative["base_break_even_per_kg"] is None
    assert found["totals"] == {"revenue": 0, "cost": 0, "profit": 0, "break_even_share": None}
    others = [value for key, value in (*price.items(), *alternative.items()) if not key.startswith(("pay_", "base_"))]
    assert None not in others


def test_what_gets_a_value_is_none_no_more() -> None:
    season = {"name": "Plain", "currency": "EUR", "priced_on": "2026-11-01", "hourly_rate": 12}
    found = plain(
        season=season,
        items=[{"item": "olive-oil", "kind": "base"}],
        steps=[{"formula": "scrub", "step": "fold", "minutes": 10}],
        prices=[{"product": "scrub-100", "channel": "stall", "planned": 5}],
    )
    (price,), (alternative,) = found["prices"], found["alternatives"]
    # 1 kg of scrub takes 10 minutes, so a tub takes 1 minute and 0.20 of work; its oil costs 0.32, its sugar 0.12.
    assert found["products"]["scrub-100"]["cost"]["total"] == pytest.approx(0.32 + 0.12 + 0.20 + 1, rel=1e-12)
    assert price["pay_per_hour"] == pytest.approx((price["profit"] + 0.20) * 60, rel=1e-9)
    assert alternative["saving"] == pytest.approx(1.80 - 1.64, rel=1e-9)
    assert alternative["pay_per_extra_hour"] == pytest.approx((0.80 - 0.44) * 60, rel=1e-9)
    assert alternative["base_break_even_per_kg"] == pytest.approx(8 - 0.16 / (0.1 - 0.04), rel=1e-9)  # own: 40 g
    assert found["totals"]["break_even_share"] == 0


def test_a_formula_in_grams_weighs_what_goes_in_and_one_in_percent_its_batch() -> None:
    formulas = plain()["formulas"]
    assert (formulas["scrub"]["batch_grams"], formulas["oil"]["batch_grams"]) == (1000, 500)


def test_a_season_without_optional_tables_has_empty_figures_for_them() -> None:
    found = plain(prices=[], alternatives=[])
    assert (found["outputs"], found["prices"], found["alternatives"]) == ({}, [], [])


def test_the_object_is_json_without_infinities() -> None:
    assert json.loads(json.dumps(plain(), allow_nan=False)) == plain()
