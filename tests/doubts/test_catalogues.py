"""The rough figures by which doubts judge: ranges are ranges, every row says what it rests on, and is of something known."""

from __future__ import annotations

from costing.fields.catalogue import (
    catalogue_rows,
    currencies,
    currency_worths,
    ingredients,
    usual_overheads,
    usual_prices,
    usual_ranges,
    usual_shares,
)
from costing.tables.buying.items import KINDS


def test_ranges_of_use_are_ranges_and_say_that_they_are_common_practice() -> None:
    """Each has a lower and an upper end, a question, and what it rests on."""
    assert len(usual_ranges()) >= 10
    for each in usual_ranges():
        assert 0 < each.low < each.high
        assert each.meant.endswith("?")
        assert each.source == "common practice, no source"


def test_usual_shares_are_of_kinds_and_leave_room_for_packaged_limits() -> None:
    """A preservative or scent at its packaged limit is never outside what is usual of its kind."""
    assert set(usual_shares()) <= set(KINDS)
    assert all(0 < low < high <= 100 for low, high in usual_shares().values())
    for each in ingredients().values():
        low, high = usual_shares().get(each.kind, (0.0, 100.0))
        assert each.least_percent is None or low <= float(each.least_percent)
        assert each.highest_percent is None or float(each.highest_percent) <= high or each.kind in ("lye", "additive"), (
            each.item
        )


def test_usual_prices_are_of_packaged_ingredients_and_said_to_be_from_memory() -> None:
    assert set(usual_prices()) <= set(ingredients())
    assert all(each.euros_per_kg > 0 and each.within >= 2 for each in usual_prices().values())
    assert all("from memory" in row["source"] for row in catalogue_rows("usual_prices.csv"))


def test_overheads_are_known_by_words_that_mean_one_of_them() -> None:
    every = [word for each in usual_overheads() for word in each.words]
    assert len(every) == len(set(every))
    assert all(word == word.casefold() and " " not in word for word in every)
    assert all(0 < each.low < each.high for each in usual_overheads())


def test_worths_are_of_currencies() -> None:
    assert set(currency_worths()) <= set(currencies())
    assert currency_worths()["EUR"] == 1
