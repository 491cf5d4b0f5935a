"""Small seasons with one thing typed wrongly, and what is doubted of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import costing
from costing.errors import Doubt
from tests.published.seasons import Row, bought, costed, line, product

SEASONS = Path(__file__).parent / "seasons"
USED = [line("filling", "filler", 1), line("filling", "wares", 1)]
DAYS = ("2026-03-02", "2026-04-02", "2026-05-02", "2026-06-02")


def told(season: costing.Season) -> list[str]:
    """Return the doubts of a season, without the numbers of their rows."""
    return [f"{each.where}: {each.what}; {each.do}" for each in season.cautions if isinstance(each, Doubt)]


def doubts(*rows: Row, **tables: object) -> list[str]:
    """Return the doubts of a season whose filling holds wares."""
    tables = {"lines": USED, "products": [product("any", "filling", grams=100)]} | tables
    return [each for each in told(costed(purchases=[*rows], **tables)) if "filler" not in each]  # type: ignore[arg-type]  # tables of rows


def usual(*prices: float) -> list[Row]:
    """Return purchases of a kilogram of wares at these prices, a month apart."""
    return [bought("wares", price, size=1000, bought_on=day) for price, day in zip(prices, DAYS, strict=False)]


def about(table: str, found: Sequence[str]) -> list[str]:
    """Return the doubts about one table."""
    return [each for each in found if each.startswith(f"{table},")]
