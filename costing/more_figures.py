"""Figures beyond prices and costs, for other programs: what is in a tub, what to buy."""

from __future__ import annotations

from typing import Any

from costing.records import day_of
from costing.season import Season


def more_figures(season: Season) -> dict[str, Any]:
    """Return the figures of the further sheets under stable keys; money, grams and pieces as plain numbers."""
    return {
        "in_tubs": _in_tubs(season),
        "buying": [_to_buy(row) for row in season.buying.rows],
        "cash_needed": float(season.cash.needed_money),
    }


def _in_tubs(season: Season) -> dict[str, dict[str, dict[str, float]]]:
    found: dict[str, dict[str, dict[str, float]]] = {row.product: {} for row in season.products.rows}
    for row in season.in_tubs.rows:
        amount = {"pieces": float(row.pieces)} if row.pieces else {"grams": float(row.grams)}
        found[row.product][row.item] = amount | {"cost": float(row.cost), "share": float(row.share)}
    return found


def _to_buy(row: Any) -> dict[str, Any]:
    figures = ("needed", "on_hand", "short", "pack", "packs", "cost")
    bought = day_of(row.bought_on).isoformat() if row.bought_on else None
    return {"item": row.item, "in": row.counted_in, "bought_on": bought} | {key: float(getattr(row, key)) for key in figures}
