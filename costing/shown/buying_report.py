"""What to buy for the plan, supplier by supplier, and the money it takes."""

from __future__ import annotations

from typing import Any

from costing.fields.types import day_of
from costing.season.costed import Season
from costing.shown.report import money, table, titled
from costing.tables.planning.shopping_list import BUYING, ORDERS, ToBuyRow


def figures(season: Season) -> dict[str, Any]:
    """Return what to buy under stable keys; money, grams and pieces as plain numbers."""
    return {
        "buying": [_to_buy(row) for row in season[BUYING].rows],
        "orders": {row.supplier: float(row.money) for row in season[ORDERS].rows if row.money},
        "cash_needed": float(season.cash.needed_money),
    }


def _day(number: float) -> str | None:
    return day_of(number).isoformat() if number else None


def _to_buy(row: ToBuyRow) -> dict[str, Any]:
    keys = {"needs": "needed", "on_hand": "on_hand", "short": "short", "cost": "cost", "left": "left", "needed": "needed"}
    known = {"pack": float(row.pack), "packs": float(row.packs)} if row.pack else {"pack": None, "packs": None}
    named = {"item": row.item, "in": row.counted_in, "supplier": row.supplier, "bought_on": _day(row.bought_on)}
    return named | {key: float(getattr(row, column)) for key, column in keys.items()} | known


def report(season: Season) -> list[str]:
    """Return what to buy, and the money for each supplier, as titled tables."""
    return [titled("What to buy for the plan", _buying_table(season))]


def _buying_table(season: Season) -> str:
    rows = [
        (
            row.item, row.supplier, row.counted_in, f"{row.needed:,.0f}", f"{row.on_hand:,.0f}", f"{row.short:,.0f}",
            f"{row.pack:,.0f}", f"{row.packs:g}", money(row.cost), f"{row.left:,.0f}", _day(row.bought_on) or "never",
        )
        for row in season[BUYING].rows
    ]  # fmt: skip
    headings = (
        "item", "supplier", "in", "needed", "on hand", "to get", "pack", "packs", "money", "then left", "last bought",
    )  # fmt: skip
    orders = [(row.supplier, money(row.money)) for row in season[ORDERS].rows if row.money]
    whole = ("money needed", money(season.cash.needed_money))
    return f"{table(headings, rows, texts=3)}\n\n{table(('to', 'money'), [*orders, whole])}"
