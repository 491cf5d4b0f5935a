"""What is in each tub, and what to buy for the plan."""

from __future__ import annotations

from typing import Any

from costing.fields.types import day_of
from costing.season.costed import Season
from costing.shown.report import table, titled
from costing.tables.deciding.shopping_list import BUYING, ToBuyRow


def figures(season: Season) -> dict[str, Any]:
    """Return contents and shopping list under stable keys; money, grams and pieces as plain numbers."""
    return {
        "in_tubs": _in_tubs(season),
        "buying": [_to_buy(row) for row in season[BUYING].rows],
        "cash_needed": float(season.cash.needed_money),
    }


def _in_tubs(season: Season) -> dict[str, dict[str, dict[str, float]]]:
    found: dict[str, dict[str, dict[str, float]]] = {row.product: {} for row in season.products.rows}
    for row in season.in_tubs.rows:
        amount = {"pieces": float(row.pieces)} if row.pieces else {"grams": float(row.grams)}
        found[row.product][row.item] = amount | {"cost": float(row.cost), "share": float(row.share)}
    return found


def _to_buy(row: ToBuyRow) -> dict[str, Any]:
    figures = ("needed", "on_hand", "short", "pack", "packs", "cost")
    bought = day_of(row.bought_on).isoformat() if row.bought_on else None
    return {"item": row.item, "in": row.counted_in, "bought_on": bought} | {key: float(getattr(row, key)) for key in figures}


def report(season: Season) -> list[str]:
    """Return contents and shopping list as titled tables."""
    return [titled("What is in a tub", _contents_table(season)), titled("What to buy for the plan", _buying_table(season))]


def _contents_table(season: Season) -> str:
    rows = [
        (
            row.product,
            row.item,
            f"{row.grams:,.2f}" if not row.pieces else f"{row.pieces:g} pcs",
            f"{row.cost:.3f}",
            f"{row.share:.1%}",
        )
        for row in season.in_tubs.rows
    ]
    return table(("product", "item", "grams", "cost", "of cost"), rows, texts=2)


def _buying_table(season: Season) -> str:
    rows = [
        (
            row.item, row.counted_in, f"{row.needed:,.0f}", f"{row.on_hand:,.0f}", f"{row.short:,.0f}", f"{row.pack:,.0f}",
            f"{row.packs:g}", f"{row.cost:,.2f}", day_of(row.bought_on).isoformat() if row.bought_on else "never",
        )
        for row in season[BUYING].rows
    ]  # fmt: skip
    headings = ("item", "in", "plan takes", "on hand", "to get", "pack", "packs", "cost", "last bought")
    return f"{table(headings, rows, texts=2)}\nmoney needed: {season.cash.needed_money:,.2f}"
