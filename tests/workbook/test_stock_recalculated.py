"""Stock and price ladder where they are hardest, worked out anew by LibreOffice."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import costing
from tests.workbook.libreoffice import differences, recalculated


def _bought(item: str, day: str, packs: float, paid: float, **more: Any) -> dict[str, Any]:
    return {"bought_on": day, "item": item, "packs": packs, "size": 100, "unit": "g", "paid": paid} | more


def _season(**settings: str) -> costing.Season:
    """Return a season with all that stock can meet: see the notes of its purchases."""
    purchases = [
        _bought("oil", "2026-03-02", 10, 40, note="oldest, further down there is more of the same day"),
        _bought("oil", "2026-05-04", 5, 30, note="all that came in on this day is sent back"),
        _bought("oil", "2026-05-04", -5, -30),
        _bought("oil", "2026-06-08", 4, 26),
        _bought("oil", "2026-03-02", 3, 15),
        _bought("oil", "2026-06-09", -1, -5),
        _bought("oil", "2026-12-01", 50, 1, note="after the day priced on"),
        _bought("sugar", "2025-01-07", 10, 3, note="slow, and given on top later"),
        _bought("sugar", "2025-01-09", 1, 0),
        _bought("clay", "2026-02-03", 2, 9, note="more on hand than bought"),
        _bought("jar", "2026-02-03", 1, 12, size=12, unit="piece"),
    ]
    sizes = (("small", 100, 5), ("other-small", 100, 7), ("middle", 120.5, 8), ("large", 400, 20))
    return costing.cost(
        costing.records_from(
            season={"name": "Hard", "currency": "EUR", "priced_on": "2026-11-01"} | settings,
            purchases=purchases,
            items=[{"item": "oil", "on_hand": 1500}, {"item": "sugar", "on_hand": 50}, {"item": "clay", "on_hand": 900}],
            formulas=[{"formula": "scrub", "name": "Scrub"}],
            lines=[{"formula": "scrub", "step": "mix", "item": item, "grams": 100} for item in ("oil", "sugar", "clay")],
            tubs=[{"tub": "jar", "part": "jar"}],
            products=[
                {"product": key, "name": key, "filled_with": "scrub", "tub": "jar", "fill_grams": grams}
                for key, grams, _ in sizes
            ],
            channels=[{"channel": "stall", "margin_percent": 30}, {"channel": "shops", "margin_percent": 10}],
            prices=[
                *({"product": key, "channel": "stall", "price": price, "planned": 10} for key, _, price in sizes),
                {"product": "large", "channel": "shops", "price": 3.9},
            ],
            overheads=[{"overhead": "rent", "amount": 30}],
        )
    )


@pytest.mark.slow
def test_hard_stock_recalculates_to_what_is_stored(tmp_path: Path) -> None:
    """No formula of the workbook differs, with a main channel or without."""
    seasons = {tmp_path / "stall.xlsx": _season(main_channel="stall"), tmp_path / "none.xlsx": _season()}
    for path, season in seasons.items():
        costing.export(season, path, all_sheets=True)
    for path, anew in zip(seasons, recalculated(*seasons), strict=True):
        count, found = differences(path, anew)
        assert found == [], path.name
        assert count > 3000


def test_hard_stock_comes_to_what_is_worked_out_by_hand() -> None:
    """1,500 g of oil: 300 of June less a return, none of May, 1,200 of the 1,300 of March; the others as noted."""
    season = _season(main_channel="stall")
    oil, sugar, clay = (season.row("stock", item=item) for item in ("oil", "sugar", "clay"))
    assert (oil.bought, oil.covered, oil.older) == (1600, 1500, 1200)
    assert oil.by_fifo == pytest.approx((26 - 5) + 55 * 1200 / 1300)
    assert oil.by_average == pytest.approx(1500 * (21 + 55) / 1600)
    assert (sugar.by_fifo, sugar.by_average) == (0, pytest.approx(50 * 3 / 1100))
    assert [row.remark for row in (oil, sugar, clay)] == [" ", "slow", "more than was bought"]
    assert (clay.covered, clay.by_fifo) == (200, 9)
    assert season.checks.overall == "OK"


def test_a_size_that_two_products_have_counts_with_the_mean_of_their_prices() -> None:
    """The middle size steps up from 100 g at 5 and at 7, so from 6; dearer than the one below is marked."""
    season = _season(main_channel="stall")
    middle = season.row("ladder", product="middle", channel="stall")
    assert (middle.smaller, middle.smaller_price, middle.step) == (100, 6, 2)
    assert (middle.per_100g, middle.smaller_per_100g, middle.remark) == (6.64, 6, "dearer per 100 g")
    shop = season.row("ladder", product="large", channel="shops")
    assert (shop.per_100g, shop.per_kg, shop.against_main) == (0.975, 9.75, pytest.approx(3.9 / 20))
    assert season.looks.dearer == 1


def test_a_workbook_gives_back_the_settings_of_stock_and_prices(tmp_path: Path) -> None:
    """Main channel, days until slow and decimals are read back, and the sheets that follow from them are not."""
    path = tmp_path / "hard.xlsx"
    season = _season(main_channel="stall", slow_days="90", unit_price_decimals="3")
    costing.export(season, path, all_sheets=True)
    again = costing.cost(costing.read_season(path))
    assert again.records.season == season.records.season
    assert costing.figures(again) == costing.figures(season)
