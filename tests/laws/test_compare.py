"""Laws of season against season: what each change did adds up, and a change does nothing that is not its own."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given

import costing
from costing.shown.comparison import NOTHING_CHANGED, comparison_figures, comparison_report
from costing.tables.whole.two_seasons import EFFECTS
from tests.seasons import HOME, SEEDS, Tables, as_records, random_season, seeded

pytestmark = pytest.mark.slow

ANOTHER = 100_000  # added to a seed for a season that has nothing to do with the first


def _costed(tables: Tables) -> costing.Season:
    return costing.cost(as_records(tables))


def _drawn(seed: int) -> Tables:
    """Return a random season in euros, whatever its currency was."""
    tables = random_season(seeded(seed))
    tables["season"]["currency"] = "EUR"
    for row in tables["purchases"]:
        if row.get("currency") in HOME:
            del row["currency"]
            row.pop("rate", None)
    return tables


@given(seed=SEEDS)
def test_a_season_against_itself_shows_nothing(seed: int) -> None:
    """Every effect and every change is exactly 0, nothing is new or gone, and the report says so."""
    season = _costed(random_season(seeded(seed)))
    comparison = costing.compare(season, season)
    assert len(comparison.products.rows) == len(season.products.rows)
    for row in comparison.products.rows:
        assert [getattr(row, key) for key in (*EFFECTS, "changed", "edits")] == [0] * 7, row.product
    assert [row.item for row in comparison.items.rows if row.item_changed] == []
    for row in comparison.prices.rows:
        assert row.used == row.then
        assert row.margin == pytest.approx(row.margin_then, rel=1e-9, abs=1e-12)
    assert comparison.only.rows == []
    assert comparison_report(comparison).endswith(NOTHING_CHANGED)
    assert comparison_figures(comparison)["changed"] is False


@given(seed=SEEDS)
def test_effects_add_up_to_the_whole_difference(seed: int) -> None:
    """Cost then and the five effects are cost now, between any two seasons, and no product is left out."""
    old, new = _costed(_drawn(seed)), _costed(_drawn(seed + ANOTHER))
    comparison = costing.compare(old, new)
    both = {row.product for row in old.products.rows} & {row.product for row in new.products.rows}
    assert {row.product for row in comparison.products.rows} == both
    assert both
    for row in comparison.products.rows:
        then, now = (season.row("products", product=row.product).total for season in (old, new))
        assert (row.then, row.now) == (then, now)
        assert then + sum(getattr(row, effect) for effect in EFFECTS) == pytest.approx(now, rel=1e-9, abs=1e-9)
        assert row.edits == 0
    only = {(row.what, row.key) for row in comparison.only.rows if row.what == "product"}
    assert only == {("product", row.product) for row in (*old.products.rows, *new.products.rows) if row.product not in both}


def _dearer(tables: Tables) -> None:
    for row in tables["purchases"]:
        for column in ("paid", "tax"):
            if column in row:
                row[column] = f"{float(row[column]) * 1.25:.4f}"
    for row in tables["items"]:
        if "quote" in row:
            row["quote"] = f"{float(row['quote']) * 1.25:.4f}"


def _richer_work(tables: Tables) -> None:
    tables["season"] |= {"hourly_rate": "31.7", "power_price": "0.41"}


def _other_tubs(tables: Tables) -> None:
    for row in tables["tubs"]:
        row["count"] = str(3 + int(row.get("count", "1")))


def _slower(tables: Tables) -> None:
    for row in tables["products"]:
        row |= {"minutes": str(float(row["minutes"]) + 2), "waste_percent": "9"}


def _more_rent(tables: Tables) -> None:
    tables["overheads"].append({"overhead": "more-rent", "amount": "400", "shared_by": "units"})


CHANGES: dict[str, Callable[[Tables], None]] = {
    "purchases": _dearer, "formulas": _slower, "rates": _richer_work, "packaging": _other_tubs, "overheads": _more_rent,
}  # fmt: skip


@pytest.mark.parametrize("effect", EFFECTS)
@given(seed=SEEDS)
def test_one_sort_of_change_has_its_own_effect_only(effect: str, seed: int) -> None:
    """Where only the purchases changed, every other effect is exactly 0; so for each of the five.

    Minutes go with the cost, and some overheads with the minutes: that effect belongs to the overheads, so here all
    overheads are shared by units; and so do the hours in them, so here there are none.
    """
    before = _drawn(seed)
    for row in before["overheads"]:
        row |= {"shared_by": "units", "hours": "0"}
    after = deepcopy(before)
    CHANGES[effect](after)
    comparison = costing.compare(_costed(before), _costed(after))
    for row in comparison.products.rows:
        assert [other for other in EFFECTS if other != effect and getattr(row, other)] == [], row.product
        assert getattr(row, effect) == pytest.approx(row.changed, rel=1e-9, abs=1e-9)
    assert all(getattr(row, effect) > 0 for row in comparison.products.rows)


@given(seed=SEEDS)
def test_backwards_the_whole_difference_turns_round(seed: int) -> None:
    """From new to old, cost then and now change places, new is gone, and gone is new."""
    one, other = _costed(_drawn(seed)), _costed(_drawn(seed + ANOTHER))
    there, back = costing.compare(one, other), costing.compare(other, one)
    changes = {row.product: row.changed for row in there.products.rows}
    assert {row.product: -row.changed for row in back.products.rows} == changes
    assert _once(there, "new") == _once(back, "gone")
    assert _once(there, "gone") == _once(back, "new")


def _once(comparison: costing.Comparison, status: str) -> set[tuple[Any, ...]]:
    return {(row.what, row.key, row.per, row.amount) for row in comparison.only.rows if row.status == status}


def test_other_currencies_and_other_ways_of_counting_are_faults() -> None:
    """Both are told together, each with what to do."""
    before, after = _drawn(7), _drawn(7)
    after["season"]["currency"] = "GBP"
    for row in after["purchases"]:
        if row["item"] == "kaolin":
            row |= {"unit": "piece", "size": "10"}
    for name in ("lines", "formulas", "steps", "outputs"):
        after[name] = [row for row in after[name] if row.get("item") != "kaolin"]
    after["lines"] = [
        {"formula": row["formula"], "step": "mix", "item": "glycerin", "grams": "9"} for row in after["formulas"]
    ]
    after["steps"], after["batches"], after["batch_lines"] = [], [], []
    after["tubs"].append({"tub": "small", "part": "kaolin"})
    with pytest.raises(costing.Faults) as told:
        costing.compare(_costed(before), _costed(after))
    assert [str(fault) for fault in told.value.faults] == [
        "season, currency: EUR in the old season, GBP in the new one; compare seasons of one currency",
        "items, kaolin: by weight in the old season, by the piece in the new one; give it another key in one of the two",
    ]
