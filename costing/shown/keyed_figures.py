"""The figures of a costed season as one object of plain numbers, for other programs. The keys do not change."""

from __future__ import annotations

from typing import Any

from costing.fields.types import day_of
from costing.season.costed import Season
from costing.tables.buying.items import ITEMS, ItemRow
from costing.tables.making.lye_on_cards import LyeCardRow
from costing.tables.making.moving_cards import MAKING
from costing.tables.making.recipe_cards import CardRow
from costing.tables.selling.own_or_bought import ALTERNATIVES, AlternativeRow
from costing.tables.selling.prices import PRICES, PriceRow
from costing.tables.selling.products import PRODUCTS, ProductRow
from costing.tables.settings import FURTHER_SETTINGS


def figures(season: Season) -> dict[str, Any]:
    """Return everything worked out, under stable keys.

    Money as plain numbers in the season's currency, unrounded unless a price; percents as fractions; grams, minutes.
    What has no value, such as pay per hour without hours, is None.
    """
    return {
        "season": _settings(season),
        "items": _items(season),
        "formulas": {row.formula: _formula(season, row) for row in season[MAKING].rows if row.row == "yield"},
        "outputs": {row.made: _output(row) for row in season[MAKING].rows if row.row == "output"},
        "products": {row.product: _product(row) for row in season[PRODUCTS].rows},
        "prices": [_price(row) for row in season[PRICES].rows],
        "alternatives": [_alternative(row) for row in season[ALTERNATIVES].rows],
        "totals": {key: known(getattr(season.totals, key)) for key in ("revenue", "cost", "profit", "break_even_share")},
        "cautions": [{"where": each.where, "what": each.what, "do": each.do} for each in season.cautions],
    }


def known(value: Any) -> float | None:
    """Return a figure, or None for one that has no value."""
    return None if isinstance(value, str) else float(value)


def _settings(season: Season) -> dict[str, Any]:
    return season.records.season.model_dump(mode="json", exclude=FURTHER_SETTINGS) | {
        key: float(getattr(season.records.season, key))
        for key in ("average_days", "stale_days", "hourly_rate", "power_price", "price_step", "price_ending")
    }


def _items(season: Season) -> dict[str, Any]:
    return {row.item: _item(row) for row in season[ITEMS].rows}


def _item(row: ItemRow) -> dict[str, Any]:
    by_piece = row.counted_in == "piece"
    counted = {"per_piece" if by_piece else "per_gram": row.price if row.has_price else None}
    bought = day_of(row.latest_day).isoformat() if row.latest_day else None
    return counted | {"basis": row.basis, "bought_on": bought}


def _per_gram(row: CardRow) -> dict[str, float]:
    return {
        "materials": row.gram_materials, "work": row.gram_work, "power": row.gram_power, "total": row.per_gram,
    }  # fmt: skip


def _formula(season: Season, row: LyeCardRow) -> dict[str, Any]:
    batch = next(formula.batch_grams for formula in season.records.formulas if formula.formula == row.formula)
    return {
        "batch_grams": float(batch) if batch is not None else row.all_added,
        "output_grams": row.yields,
        "per_gram": _per_gram(row),
        "minutes_per_gram": row.gram_minutes,
    }


def _output(row: CardRow) -> dict[str, Any]:
    return {"grams": row.yields, "per_gram": _per_gram(row)}


def _product(row: ProductRow) -> dict[str, Any]:
    parts = ("materials", "packaging", "work", "power", "unsold", "overheads", "total")
    return {
        "fill_grams": row.fill_grams,
        "minutes": row.hands_on,
        "cost": {part: float(getattr(row, part)) for part in parts},
    }


def _price(row: PriceRow) -> dict[str, Any]:
    keys = {
        "planned": "planned", "cost": "cost", "channel_overheads": "channel_overheads", "suggested": "suggested",
        "floor": "floor", "cash_floor": "cash_floor", "price": "used", "net": "net", "fees": "fees",
        "contribution": "contribution", "profit": "profit", "margin": "margin", "markup": "markup",
        "pay_per_hour": "pay_per_hour", "per_100g": "per_100g",
    }  # fmt: skip
    found = {key: known(getattr(row, column)) for key, column in keys.items()}
    return {"product": row.product, "channel": row.channel} | found


def _alternative(row: AlternativeRow) -> dict[str, Any]:
    keys = {
        "saving": "saving", "cash_saving": "cash_saving", "saving_percent": "saving_percent",
        "season_saving": "season_saving",
        "extra_minutes": "extra_minutes", "pay_per_extra_hour": "pay_per_extra_hour",
        "base_break_even_per_kg": "base_break_even",
    }  # fmt: skip
    found = {key: known(getattr(row, column)) for key, column in keys.items()}
    return {"product": row.product, "bought": row.bought} | found
