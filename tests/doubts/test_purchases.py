"""Doubts about purchases: what looks like a slip is told with the likely meaning, and what is usual is not."""

from __future__ import annotations

from tests.doubts.small import doubts, usual
from tests.published.seasons import Row, bought, line


def test_usual_prices_are_not_doubted() -> None:
    """Within half as much again nothing is a slip, however close together the others lie."""
    assert doubts(*usual(10, 10.1, 9.9, 14)) == []


def test_grams_typed_for_kilograms_are_doubted_with_what_was_meant() -> None:
    """10 g for 10 kg makes a thousandfold price."""
    rows = [*usual(10, 10.5, 9.8), bought("wares", 10, size=1, bought_on="2026-07-01")]
    assert doubts(*rows) == [
        "purchases, wares of 2026-07-01: 1000.0 times its usual price, by 3 other purchases; did you write g for kg?"
    ]


def test_the_price_of_one_pack_is_doubted() -> None:
    """Twelve packs at the price of one."""
    rows = [*usual(10, 10.5, 9.8), bought("wares", 10, packs=12, size=1000, bought_on="2026-07-01")]
    (told,) = doubts(*rows)
    assert told.endswith("did you write the price of one pack, with packs at 12?")


def test_a_row_typed_twice_is_doubted() -> None:
    """The same to the cent on the same receipt."""
    (told,) = doubts(*usual(10), *usual(10))
    assert "stands 2 times, the same to the cent" in told


def test_the_total_of_a_receipt_is_doubted() -> None:
    """10 + 20 = 30, typed as a third row."""
    receipt: Row = {"supplier": "Sandrel", "invoice": "S-1"}
    goods = (("wares", 10, 1000), ("filler", 20, 1000), ("wares", 30, 3000))
    rows = [bought(item, paid, size=size, **receipt) for item, paid, size in goods]
    assert any("30 is the sum of the other rows of its receipt" in told for told in doubts(*rows))


def test_what_nothing_uses_is_doubted_with_another_name_of_it() -> None:
    """Glicerina is glycerin, however unlike the names in use are spelled."""
    rows = [*usual(10), bought("glycerin", 5, size=1000), bought("Glicerina vegetal", 30, size=3000)]
    lines = [line("filling", "filler", 1), line("filling", "wares", 1), line("filling", "glycerin", 1)]
    (told,) = doubts(*rows, lines=lines)
    assert told.startswith("purchases, Glicerina vegetal")
    assert told.endswith('did you mean "glycerin"?')


def test_what_nothing_uses_is_doubted_with_the_nearest_name() -> None:
    """`waresx` is bought, and the filling asks for `wares`."""
    (told,) = doubts(*usual(10), bought("waresx", 12, size=1000))
    assert "12.00 EUR spent on it" in told
    assert told.endswith('did you mean "wares"?')


def test_a_purchase_after_the_day_priced_on_is_doubted() -> None:
    """It is left out, and told."""
    (told,) = doubts(*usual(10), bought("wares", 11, size=1000, bought_on="2027-03-02"))
    assert "after the day priced on, 2026-07-31, and so left out" in told


def test_a_tax_unlike_the_others_is_doubted() -> None:
    """Three receipts at 23 %, and 23 typed as the tax of a fourth."""
    rows = [dict(row) | {"paid": 12.3, "tax": 2.3} for row in usual(10, 10, 10)]
    (told,) = doubts(*rows, bought("wares", 30, size=2500, tax=23, bought_on="2026-07-02"))
    assert "a tax of 23 in 30 paid is 328.6%, and others are at 23%" in told


def test_a_rate_turned_round_is_doubted() -> None:
    """1.5 EUR for a dollar among 0.9."""
    rows = [
        dict(row) | {"currency": "USD", "rate": rate} for row, rate in zip(usual(10, 10, 10), (0.9, 0.91, 0.89), strict=True)
    ]
    told = doubts(*rows, bought("wares", 10, size=1000, currency="USD", rate=1.5, bought_on="2026-07-02"))
    assert any("1 USD for 1.5 EUR, unlike the other receipts in USD" in each for each in told)
