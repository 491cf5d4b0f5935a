"""Doubts: what looks like a slip is told with its row and the likely meaning, and what is usual is not."""

from __future__ import annotations

from pathlib import Path

import pytest

import costing
from costing.errors import Doubt
from costing.fields.catalogue import usual_ranges
from tests.published.seasons import Row, bought, costed, line, product

USED = [line("filling", "filler", 1), line("filling", "wares", 1)]
DAYS = ("2026-03-02", "2026-04-02", "2026-05-02", "2026-06-02")


def doubts(*rows: Row, **tables: object) -> list[str]:
    """Return the doubts of a season whose filling holds wares."""
    tables = {"lines": USED, "products": [product("any", "filling", grams=100)]} | tables
    found = costed(purchases=[*rows], **tables)  # type: ignore[arg-type]  # tables of rows
    return [str(each) for each in found.cautions if isinstance(each, Doubt) and "filler" not in each.where]


def usual(*prices: float) -> list[Row]:
    """Return purchases of a kilogram of wares at these prices, a month apart."""
    return [bought("wares", price, size=1000, bought_on=day) for price, day in zip(prices, DAYS, strict=False)]


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


@pytest.mark.parametrize(("cells", "said"), [({"fill_grams": 0.12}, "fill_grams 0.12"), ({"minutes": 90}, "minutes 90")])
def test_a_figure_outside_what_small_makers_use_is_doubted(cells: Row, said: str) -> None:
    """A fill in kilograms, and the minutes of a whole batch for one tub."""
    tub = dict(product("any", "filling", grams=100)) | dict(cells)
    (told,) = doubts(*usual(10), products=[tub])
    assert told.startswith(f"products, any: {said}, where small makers write")


def test_a_part_of_one_beside_percentages_is_doubted() -> None:
    """0.35 for a margin of 35 %, beside one of 30."""
    channels = [{"channel": "stall", "margin_percent": 30}, {"channel": "shops", "margin_percent": 0.35}]
    told = doubts(*usual(10), channels=channels)
    assert any(each.endswith("did you mean 35?") for each in told)


def test_an_overhead_that_sums_the_others_is_doubted() -> None:
    """10 + 20 = 30."""
    overheads = [{"overhead": key, "amount": amount} for key, amount in (("stall", 10), ("web", 20), ("all of it", 30))]
    prices = [{"product": "any", "channel": "stall", "planned": 5}]
    told = doubts(*usual(10), overheads=overheads, prices=prices)
    assert any(each.startswith("overheads, all of it: 30 is the sum of those above it") for each in told)


def test_a_clean_season_has_hardly_a_doubt() -> None:
    """A warning for nothing costs the next one its reader: at most two on the sample, and on its last season."""
    for folder in ("sample", "sample/last-season"):
        told = costing.cost(costing.read_season(folder)).cautions
        assert len([each for each in told if isinstance(each, Doubt)]) <= 2, folder


def test_ranges_of_use_are_ranges_and_say_that_they_are_common_practice() -> None:
    """Each has a lower and an upper end, a question, and what it rests on."""
    assert len(usual_ranges()) >= 10
    for each in usual_ranges():
        assert 0 < each.low < each.high
        assert each.meant.endswith("?")
        assert each.source == "common practice, no source"


def test_what_was_looked_at_is_quiet_and_only_that(tmp_path: Path) -> None:
    """A row of seen silences the doubt of that place, in the workbook's records too; another place is still told."""
    rows = [*usual(10, 10.5, 9.8), bought("wares", 10, size=1, bought_on="2026-07-01")]
    rows += [bought("wares", 10, size=1, bought_on="2026-07-02")]
    where = "purchases, wares of 2026-07-01"
    told = doubts(*rows)
    seen = {"where": where, "note": "a tester"}
    left = doubts(*rows, seen=[seen])
    assert len(left) == len(told) - 1 > 0
    assert left == [each for each in told if not each.startswith(f"{where}:")]
    season = costed(purchases=rows, lines=USED, products=[product("any", "filling", grams=100)], seen=[seen])
    costing.export(season, tmp_path / "book.xlsx")
    read_back = costing.read_season(tmp_path / "book.xlsx")
    assert [(row.where, row.note) for row in read_back.seen] == [(where, "a tester")]
