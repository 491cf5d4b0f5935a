"""Laws of measures: a season in cents, in kilograms or in hours costs the same, so no rule has a size of its own in it.

Every given figure is put into a measure so many times as small, by the unit of its column; every worked one must follow by
its own. What rounds, or stands in a law or table in grams or in money, is left aside and named.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from math import isclose
from typing import Any

import pytest
from hypothesis import given, settings

import costing
from costing.records.schema import RECORD_TABLES
from costing.tables.book import BOOK
from tests.seasons import SEEDS, Tables, as_records, random_season, seeded

pytestmark = pytest.mark.slow

FEW = min(3, settings().max_examples)  # examples, since each costs two seasons and looks at every cell
Factors = Mapping[str, float]
AMOUNTS = {"gram": "mass", "kilogram": "mass", "millilitre": "mass", "money": "money", "minute": "work", "hour": "work"}


def _factor(unit: str, factors: Factors) -> float:
    """Return by what a figure of some unit is multiplied."""
    over, *under = re.sub(r"(\w+)\*\*2", r"\1*\1", unit).split("/")
    found = 1.0
    for part in over.split("*"):
        found *= factors.get(AMOUNTS.get(part, ""), 1)
    for part in under:
        found /= factors.get(AMOUNTS.get(part, ""), 1)
    return found


def _measured(tables: Tables, factors: Factors) -> Tables:
    """Return the season with every given figure in the other measures."""
    changed: Tables = {
        name: dict(rows) if name == "season" else [dict(row) for row in rows] for name, rows in tables.items()
    }
    for table in RECORD_TABLES:
        rows = changed.get(table.name, [])
        for row in [rows] if isinstance(rows, dict) else rows:
            for key, info in table.model.model_fields.items():
                unit = info.metadata[0].unit
                of_a_stove = unit == "hour" and table.name == "steps"  # those are no hours of work
                factor = 1 if of_a_stove else _factor(unit, factors)
                if row.get(key) not in (None, "") and factor != 1:
                    row[key] = repr(float(row[key]) * factor)
            if table.name == "purchases" and row.get("unit") not in (None, "piece", "pcs", "dozen"):
                row["size"] = repr(float(row["size"]) * factors.get("mass", 1))
    return changed


def _figures(season: costing.Season) -> Iterator[tuple[str, str, list[Any]]]:
    """Yield every worked column and figure with its unit and its values."""
    for table in BOOK.tables():
        calculated = getattr(season, table.key)
        calculated.finish()
        for column in table.ruled:
            yield f"{table.key}.{column.key}", column.unit, calculated.stores[column.key].values
    for figures in BOOK.lists():
        for key, entry in figures.entries.items():
            if entry.rule:
                yield f"{figures.key}.{key}", entry.unit, [getattr(getattr(season, figures.key), key)]


def _not_followed(tables: Tables, factors: Factors) -> Iterator[str]:
    """Yield what does not follow its unit, with both values."""
    one, other = (costing.cost(as_records(each)) for each in (tables, _measured(tables, factors)))
    for (name, unit, values), (_, _, others) in zip(_figures(one), _figures(other), strict=True):
        if REMARKED.search(name):
            continue
        factor = _factor(unit, factors)
        for value, changed in zip(values, others, strict=True):
            alike = (
                value == changed if isinstance(value, str) else isclose(value * factor, changed, rel_tol=1e-7, abs_tol=1e-12)
            )
            if not alike:
                yield f"{name} ({unit}): {value} × {factor} is not {changed}"


# What is rounded to decimals, stands in a published table in grams, or is a share of grams or of money without a unit.
ROUNDED = ("prices.floor_shown", "prices.cash_floor_shown", "prices.steps",
           "shocked.steps", "ladder.per_100g", "ladder.per_kg", "ladder.smaller_per_100g", "ladder.saves",
           "shelf.per_100g", "shelf.per_kg", "making.basis", "making.all_basis", "answers.")  # fmt: skip
# What is held against the ranges that small makers use, which are in minutes and grams and do not follow.
REMARKED = re.compile(r"^looks\.|\.(?:unusual_\w+|remarks|looked_at|to_look_at|doubt\w*)$")
IN_GRAMS = (
    "weigh.",
    "weighed.",
    "weighings.",
    "fills.",
    "looks.",
    "prices.per_100g",
    "purchases.millilitres",
    "understood.",
)  # per kg or piece


@settings(max_examples=FEW)
@given(seed=SEEDS)
def test_a_season_in_money_of_another_size_costs_the_same(seed: int) -> None:
    """With every amount of money a sixteenth, each figure of money is a sixteenth, and all else is as it was."""
    tables = random_season(seeded(seed))
    for channel in tables["channels"]:  # what a shop pays is rounded to the currency's coins
        channel.pop("of_channel", None)
        channel.pop("shop_margin_percent", None)
    assert [told for told in _not_followed(tables, {"money": 1 / 16}) if not told.startswith(ROUNDED)] == []


@settings(max_examples=FEW)
@given(seed=SEEDS)
def test_a_season_of_quicker_hands_costs_the_same_at_a_rate_as_much_higher(seed: int) -> None:
    """With all minutes a sixty-fourth, and an hour sixty-four times as dear, each figure of work follows its unit."""
    tables = random_season(seeded(seed))
    assert [told for told in _not_followed(tables, {"work": 1 / 64}) if not told.startswith("answers.")] == []


@settings(max_examples=FEW)
@given(seed=SEEDS)
def test_a_season_in_lighter_grams_costs_the_same(seed: int) -> None:
    """With all weights a sixty-fourth, each figure in grams, or by the gram, follows; stock and lots aside."""
    tables = random_season(seeded(seed), "latest")
    for row in tables["items"]:
        row.pop("on_hand", None)  # in grams or in pieces, by the item
    tables["made"] = []  # likewise
    told = _not_followed(tables, {"mass": 1 / 64})
    assert [
        each for each in told if not each.startswith((*ROUNDED, *IN_GRAMS)) and "(each" not in each and "each)" not in each
    ] == []


def test_a_figure_that_does_not_follow_is_found() -> None:
    """A factor that no unit asks for is told for each figure that ought to have stayed."""
    tables = random_season(seeded(3))
    season = costing.cost(as_records(tables))
    dearer = costing.cost(as_records(tables | {"overheads": [row | {"amount": "1"} for row in tables["overheads"]]}))
    pairs = zip(_figures(season), _figures(dearer), strict=True)
    assert {name for (name, _, one), (_, _, other) in pairs if one != other} >= {"products.total", "overheads.carried"}
