"""Rules at their edges: exactly at a bound, with nothing to divide by, nothing planned, nothing named."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

import costing
from costing.engine.calculated import CalculatedFigures
from costing.engine.operations import NOTHING
from costing.tables.buying.purchases import PurchaseRow
from costing.tables.deciding.preservation import KeeperRow
from costing.tables.unlike_prices import held_against
from costing.tables.written import Rows
from tests.published.seasons import bought, costed


def by_rule(row: type[Any], column: str, settings: dict[str, Any], **cells: Any) -> Any:
    """Return what a column's rule makes of a row with these cells."""
    return vars(row)[column].rule(SimpleNamespace(**cells), SimpleNamespace(settings=SimpleNamespace(**settings)))


def test_a_season_without_a_plan_has_all_its_figures() -> None:
    """Nothing planned brings nothing in and pays for nothing: no figure of any list divides by it."""
    season = costed()
    worked = {
        part.figures.key: [getattr(part, key) for key in part.figures.entries]
        for part in season.parts() if isinstance(part, CalculatedFigures)
    }  # fmt: skip
    assert len(worked) > 8
    assert season.answers.plan == "Nothing is planned yet."
    assert season.answers.even == "The plan does not pay the overheads."


@pytest.mark.parametrize(("water", "free"), [(0.0, 0), (0.049, 0), (0.05, 0.05), (0.9, 0.9)])
def test_what_is_as_moist_as_a_watery_thing_counts_as_water(water: float, free: float) -> None:
    """Less than that is the moisture of a dry thing."""
    assert by_rule(KeeperRow, "free_water", {"moist": 0.05}, water=water) == free


def test_records_without_their_places_are_no_table() -> None:
    """Rather than passing over rows silently, where a program makes them by itself."""
    rows = costed(purchases=[bought("stuff", 1), bought("wares", 1)]).records.purchases
    assert [place for _, place in rows.placed()][:2] == ["purchases, row 1", "purchases, row 2"]
    with pytest.raises(ValueError, match="shorter"):
        list(Rows(rows.records, rows.places[:1]).placed())


@pytest.mark.parametrize(("cells", "told"), [
    ({"paid": "£4"}, 'purchases, row 1, paid: "£4" is GBP, and the row in EUR; '
                     "write GBP in currency, with its rate, or the amount in EUR"),
    ({"paid": "£4", "currency": "GBP", "rate": 1.2}, ""),
    ({"paid": "4 €"}, ""),
    ({"paid": "4 €", "currency": "GBP", "rate": 1.2}, 'purchases, row 1, paid: "4 €" is EUR, and the row in GBP; '
                                                      "write EUR in currency, with its rate, or the amount in GBP"),
])  # fmt: skip
def test_money_of_another_currency_than_its_row_is_told(cells: dict[str, Any], told: str) -> None:
    if not told:
        costed(purchases=[{**bought("stuff", 1), **cells}])
        return
    with pytest.raises(costing.Faults) as caught:
        costed(purchases=[{**bought("stuff", 1), **cells}])
    assert [str(fault) for fault in caught.value.faults] == [told]


def test_money_elsewhere_is_to_be_written_in_the_money_of_the_season() -> None:
    with pytest.raises(costing.Faults) as caught:
        costed(overheads=[{"overhead": "rent", "amount": "$60"}])
    (fault,) = caught.value.faults
    assert fault.do == "write the amount in EUR"
    assert "USD or " in fault.what


@pytest.mark.parametrize(("price", "middle"), [(1, 3), (2, 3), (2.9, 3), (3, 2), (9, 2)])
def test_of_two_prices_in_the_middle_the_further_one_counts(price: float, middle: float) -> None:
    """So that of two prices each is held against the other."""
    assert held_against(price, 2, 3) == middle


@pytest.mark.parametrize(("code", "do"), [
    ("ERU", 'did you mean "EUR"?'), ("NZS", 'did you mean "NZD"?'), ("ZZZ", "write its three letters, as EUR, GBP or USD"),
])  # fmt: skip
def test_the_currency_that_was_meant_is_the_one_of_its_letters_or_its_country(code: str, do: str) -> None:
    """A country's codes begin alike (ISO 4217, from memory)."""
    with pytest.raises(costing.Faults) as caught:
        costed(settings={"currency": code})
    assert caught.value.faults[0].do == do


@pytest.mark.parametrize(("item", "supplier", "told"), [
    ("", "", NOTHING), ("oil", "", "no supplier written"), ("oil", "Mill", "Mill"),
])  # fmt: skip
def test_who_an_item_is_bought_from(item: str, supplier: str, told: str) -> None:
    assert by_rule(PurchaseRow, "bought_from", {}, item=item, supplier=supplier) == told
