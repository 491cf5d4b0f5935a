"""What things are called changes no price: a season and its renaming into another script cost the same."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given

import costing
from tests.renamed import SCRIPTS, renamed
from tests.seasons import SEEDS, Tables, as_records, random_season, sample_tables, seeded


def _figures(tables: Tables) -> list[Any]:
    """Return what every product, price and item comes to, without names, in the order of the rows."""
    season = costing.cost(as_records(tables))
    products = [row.total for row in season.products.rows]
    prices = [(row.suggested, row.floor, row.profit, row.margin) for row in season.prices.rows]
    return [*products, *prices, *sorted((row.per_gram, row.per_piece) for row in season.items.rows)]


@pytest.mark.parametrize("script", SCRIPTS)
def test_the_sample_costs_the_same_under_names_of_another_script(script: str) -> None:
    """To the last digit, though each name is written in capitals here, with two blanks or in parts there."""
    tables = sample_tables()
    assert _figures(renamed(tables, [script], seeded(1))) == _figures(tables)


@pytest.mark.slow
@given(seed=SEEDS)
def test_any_season_costs_the_same_under_other_names(seed: int) -> None:
    tables = random_season(seeded(seed))
    script = list(SCRIPTS)[seed % len(SCRIPTS)]
    assert _figures(renamed(tables, [script], seeded(seed))) == _figures(tables)


def test_what_was_written_first_is_shown() -> None:
    """The spelling of the first row stands for all later ones, and refers to the thing in every table."""
    tables = sample_tables()
    for row in tables["lines"]:
        row["formula"], row["item"] = row["formula"].upper(), row["item"].upper()
    for row in tables["products"]:
        row["filled_with"] = row["filled_with"].upper()
    records = as_records(tables)
    assert [row.item for row in records.lines] == [row["item"] for row in sample_tables()["lines"]]
    assert [row.output for row in records.outputs] == [row["output"] for row in sample_tables()["outputs"]]
    assert [row.filled_with for row in records.products] == [row["filled_with"] for row in sample_tables()["products"]]


def test_a_key_written_twice_in_two_spellings_is_there_twice() -> None:
    tables = sample_tables()
    tables["products"].append(tables["products"][0] | {"product": f" {tables['products'][0]['product'].upper()}"})
    with pytest.raises(costing.Faults, match="is there already in row 1"):
        as_records(tables)
