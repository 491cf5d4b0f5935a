"""Returns belong to their receipt, and nothing that is got back or taken off leaves a price below zero."""

from __future__ import annotations

import pytest

import costing
from tests.published.seasons import Row, bought, costed

JUNE: Row = {"supplier": "Sandrel", "invoice": "S-1", "bought_on": "2026-06-01"}
JULY: Row = {"supplier": "Sandrel", "invoice": "S-2", "bought_on": "2026-07-20"}
AVERAGE = {"cost_basis": "average", "average_days": 30}


def per_gram(*rows: Row, settings: Row | None = None) -> float:
    """Return what a gram of wares counts at."""
    season = costed(settings=settings, purchases=[*rows])
    return float(season.row("items", item="wares").per_gram)


def told(*rows: Row) -> list[str]:
    """Return what the faults of a season with these purchases say."""
    with pytest.raises(costing.Faults) as raised:
        costed(purchases=[*rows])
    return [fault.what for fault in raised.value.faults]


def test_a_return_counts_in_the_window_of_its_receipt_and_not_in_that_of_its_own_day() -> None:
    """June's 1,000 g at 1.00 a gram lie before the 30 days; 900 g sent back in July leave July's price of 2.00 alone."""
    june, july = bought("wares", 1000, size=1000, **JUNE), bought("wares", 200, size=100, **JULY)
    back = bought("wares", -900, packs=-1, size=900, supplier="Sandrel", invoice="S-1", bought_on="2026-07-25")
    assert per_gram(june, july, back, settings=AVERAGE) == pytest.approx(2.0)


def test_a_return_without_a_receipt_belongs_to_the_newest_purchase_before_it() -> None:
    """100 g at 2.00 less 50 g at 1.00 leave 50 g for 150: 3.00 a gram, within the window of that purchase."""
    june, july = bought("wares", 1000, size=1000, **JUNE), bought("wares", 200, size=100, **JULY)
    back = bought("wares", -50, packs=-1, size=50, supplier="", invoice="", bought_on="2026-07-25")
    assert per_gram(june, july, back, settings=AVERAGE) == pytest.approx(3.0)


def test_a_return_of_more_than_came_in_is_a_fault() -> None:
    """110 g cannot go back of 100."""
    back = bought("wares", -110, packs=-1, size=110, **JULY)
    assert told(bought("wares", 200, size=100, **JULY), back) == [
        "more wares is returned than came in on 2026-07-20, to which the return belongs"
    ]


def test_a_return_of_what_was_never_bought_is_a_fault() -> None:
    """There is no purchase that it could take down."""
    assert told(bought("wares", -10, packs=-1, size=10, **JULY)) == [
        "a return of wares, and no earlier purchase of it is on record"
    ]


def test_a_discount_over_the_goods_of_its_receipt_is_a_fault() -> None:
    """30 off goods of 20 would leave a price of less than nothing."""
    rows = [bought("wares", 20, size=10, **JULY), dict(JULY) | {"item": "discount", "paid": 30}]
    assert told(*rows)[0] == "a discount of 30.00 is more than the goods of its receipt cost (20.00)"


def test_an_average_below_zero_is_a_fault() -> None:
    """100 g for 10, of which 20 g went back for 50."""
    rows = [bought("wares", 10, size=100, **JULY), bought("wares", -50, packs=-1, size=20, **JULY)]
    with pytest.raises(costing.Faults) as raised:
        costed(purchases=rows, settings=AVERAGE)
    assert raised.value.faults[0].what == "wares would count at -0.50000, less than nothing"


def test_a_delivery_after_the_day_priced_on_is_told() -> None:
    """The goods of its receipt count without it, and the maker is told where it stands."""
    late = dict(JULY) | {"item": "delivery", "paid": 5, "bought_on": "2026-08-02"}
    season = costed(purchases=[bought("wares", 20, size=10, **JULY), late])
    assert season.row("items", item="wares").per_gram == pytest.approx(2.0)
    assert [caution.what for caution in season.cautions if "delivery" in caution.what] == [
        "a delivery of 2026-08-02, after the day priced on: its goods count without it"
    ]


def test_a_delivery_by_the_day_priced_on_is_not_told() -> None:
    """It is shared as it should be."""
    season = costed(purchases=[bought("wares", 20, size=10, **JULY), dict(JULY) | {"item": "delivery", "paid": 5}])
    assert season.row("items", item="wares").per_gram == pytest.approx(2.5)
    assert not [caution for caution in season.cautions if "delivery" in caution.what]
