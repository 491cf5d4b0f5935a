"""What was understood of the receipts, for the maker to hold against them."""

from __future__ import annotations

from copy import deepcopy

import pytest

import costing
from costing.errors import Doubt
from costing.shown.lye_report import HOW_FAR
from costing.shown.understood import NO_LYE, understood
from tests.published.seasons import bought, costed, line
from tests.seasons import as_records, random_season, sample_tables, seeded


@pytest.mark.parametrize("seed", range(12))
def test_where_the_money_went_adds_up_to_what_was_spent(seed: int) -> None:
    """Plan, stock and neither are all there is, none below nothing, and together all landed costs by the day priced on."""
    season = costing.cost(as_records(random_season(seeded(seed))))
    went = season.stock_totals
    parts = (went.into_plan, went.into_stock, went.into_neither)
    assert min(parts) >= -1e-9
    assert sum(parts) == pytest.approx(went.spent, abs=1e-9)
    last_day = season.records.season.priced_on
    landed = sum(
        row.landed
        for record, row in zip(season.records.purchases, season.purchases.rows, strict=True)
        if record.is_goods and record.bought_on <= last_day
    )
    assert went.spent == pytest.approx(landed, rel=1e-9)


def test_a_case_worked_out_by_hand() -> None:
    """Of 5 kg for 50.00 and 5 kg for 40.00, the plan takes nothing and 2 kg are on hand: 18.00 lie there, 72.00 are gone."""
    tables = deepcopy(sample_tables())
    shared = {"supplier": "Kelpie Row", "item": "hemp-oil", "packs": "1", "size": "5", "unit": "kg", "rate": "1"}
    before = costing.cost(as_records(tables)).stock_totals
    tables["purchases"] += [
        shared | {"bought_on": "2026-07-01", "invoice": "K1", "paid": "50"},
        shared | {"bought_on": "2026-08-01", "invoice": "K2", "paid": "40"},
    ]
    tables["items"].append({"item": "hemp-oil", "kind": "oil", "on_hand": "2000"})
    season = costing.cost(as_records(tables))
    after = season.stock_totals
    assert after.spent - before.spent == pytest.approx(90)
    assert after.into_plan == pytest.approx(before.into_plan)
    assert after.into_stock - before.into_stock == pytest.approx(18)
    assert after.into_neither - before.into_neither == pytest.approx(72)
    # The middle of two prices is taken of their ratios: the root of 10 × 8.
    told = "\n".join(understood(season))
    line = next(line for line in told.splitlines() if line.startswith("hemp-oil"))
    assert line.split() == ["hemp-oil", "8.00", "per", "kg", "2", "purchases", "2026-08-01", "8.94", "per", "kg"]


def test_what_lye_was_looked_at_is_told() -> None:
    """Each formula with lye is told; a lye that nobody knows as such is told as unknown, and no lye as none found."""
    told = "\n".join(understood(costing.cost(as_records(sample_tables()))))
    assert "\nOlive and lavender bar " in told
    assert NO_LYE not in told
    tables = deepcopy(sample_tables())
    for table in ("purchases", "lines", "batch_lines"):
        for row in tables[table]:
            if row["item"] == "Caustic soda":
                row["item"] = "caustic-flakes"
    told = "\n".join(understood(costing.cost(as_records(tables))))
    assert NO_LYE in told
    assert "in no check of lye, water or limits: caustic-flakes (in Olive and lavender bar and Everyday bar)." in told
    assert "Everyday bar). Give it a kind" in told


def test_how_far_the_lye_was_looked_at_is_told_beside_what_was_not_counted() -> None:
    """An oil without a value is named though enough known oils are there, and potassium hydroxide as taken for pure."""
    mixed = {"olive-oil": 1000, "goose-fat": 100, "sodium-hydroxide": 100}
    soft = {"olive-oil": 1000, "potassium-hydroxide": 100}
    season = costed(
        purchases=[bought(item, 1) for item in {**mixed, **soft}],
        lines=[line(key, item, grams) for key, lines in (("bar", mixed), ("paste", soft)) for item, grams in lines.items()],
        items=[{"item": "goose-fat", "kind": "oil"}],
    )
    assert not [each for each in season.cautions if "lye" in each.what and not isinstance(each, Doubt)]
    told = "\n".join(understood(season)).splitlines()
    assert "bar: not counted, for want of a known value: goose-fat." in told
    assert "paste: potassium-hydroxide counted as pure; reckon with what the pack says." in told
    assert [text for text in told if "not counted" in text][-1] == HOW_FAR


def test_a_currency_is_said_in_words() -> None:
    """Each rate of a currency is told once, so that a rate turned round is seen."""
    tables = deepcopy(sample_tables())
    for row in tables["purchases"]:
        if row.get("currency") == "AUD":
            row["rate"] = "0.9200"
    assert "1 AUD costs 0.92 NZD." in understood(costing.cost(as_records(tables)))
