"""Drop-downs: what a maker may choose is chosen and not typed, so that no name is misspelt."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

import costing
from costing.engine.table import Column, Entry
from costing.tables.book import BOOK
from tests.workbook.small_season import TABLES

# Columns and settings that take one of a short list of words …
WORDS = {
    "channels_shown_with_tax": "yes no",
    "drivers_kind": "item hourly-rate power-price losses batch-size fill",
    "items_kind": "oil lye water fatty-acid humectant surfactant preservative exfoliant clay colour antioxidant fragrance "
    "base packaging additive",
    "contents_row": "line made",
    "keeping_sort": "bar soft-soap lye-solution holds-soap other",
    "making_row": "formula line step yield output",
    "making_valued": "weight sales set nothing",
    "plan_row": "output yield line",
    "overheads_shared_by": "units grams minutes",
    "cost_basis": "latest average dearest quote",
    "reclaims_tax": "yes no",
}
# … and those that take what stands in another list.
NAMES = {
    "alternatives_product": "products.product",
    "alternatives_bought": "products.product",
    "batch_lines_batch": "batches.batch",
    "batches_formula": "making.formula",
    "channels_of_channel": "channels.channel",
    "even_product": "products.product",
    "fills_product": "products.product",
    "ladder_channel": "channels.channel",
    "ladder_product": "products.product",
    "moves_product": "products.product",
    "overheads_channel": "channels.channel",
    "prices_channel": "channels.channel",
    "prices_product": "products.product",
    "products_filled_with": "fillings.what",
    "products_tub": "tubs.tub",
    "purchases_unit": "units.unit",
    "main_channel": "channels.channel",
    "shelf_channel": "channels.channel",
    "shelf_product": "products.product",
    "shock_item": "items.item",
    "stock_item": "items.item",
    "tubs_part": "items.item",
    "understood_item": "items.item",
    "wholesale_channel": "channels.channel",
    "wholesale_product": "products.product",
    "weigh_formula": "making.formula",
    "weighings_product": "products.product",
}


def _given() -> Iterator[Column | Entry]:
    for table in BOOK.tables():
        yield from table.given
    for figures in BOOK.lists():
        yield from figures.entries.values()


def test_words_are_chosen_from_their_list() -> None:
    """These and no others have a list of words of their own, in this order."""
    choices = {part.name: getattr(part.field, "choices", ()) for part in _given()}
    found = {name: [word.replace(" ", "-") for word in words if word] for name, words in choices.items() if words}
    assert found == {name: words.split() for name, words in WORDS.items()}


def test_names_are_chosen_from_where_they_were_entered() -> None:
    """These and no others refer to another list."""
    assert {part.name: part.refers for part in _given() if getattr(part, "refers", "")} == NAMES


@pytest.mark.parametrize("place", sorted(set(NAMES.values())))
def test_what_is_referred_to_is_there(place: str) -> None:
    """A list that names are chosen from is a column of a table."""
    table, column = place.split(".")
    assert column in BOOK.parts[table].columns  # type: ignore[union-attr]


@pytest.mark.parametrize("place", sorted(set(NAMES.values())))
def test_a_list_to_choose_from_has_no_gaps(place: str) -> None:
    """Down to its last entry none looks blank: beside one, some programs let everything pass."""
    table, column = place.split(".")
    season = costing.cost(costing.records_from(**TABLES))
    filled = [bool(str(value).strip()) for value in season[BOOK.parts[table]].stores[column].values]
    assert any(filled)
    assert filled == sorted(filled, reverse=True)


def test_tubs_are_filled_with_what_is_made() -> None:
    """Each formula and each output, once, in their order; nothing else."""
    season = costing.cost(costing.records_from(**TABLES))
    listed = [row.what for row in season[BOOK.parts["fillings"]].rows if row.what.strip()]
    assert listed == ["mash", "mash/cream", "mash/rest", "scrub"]
