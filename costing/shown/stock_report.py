"""What lies in stock, by first-in-first-out and by average."""

from __future__ import annotations

from typing import Any

from costing.season.costed import Season
from costing.shown.report import money, table, titled
from costing.tables.buying.stock import STOCK, StockRow


def figures(season: Season) -> dict[str, Any]:
    """Return the worth of the stock under stable keys."""
    return {"stock": _stock(season)}


def _stock(season: Season) -> dict[str, Any]:
    """Return what all stock is worth, and each item on hand."""
    totals = season.stock_totals
    return {
        "slow_days": float(season.records.season.slow_days),
        "first_in_first_out": totals.fifo,
        "average": totals.averaged,
        "latest": totals.latest,
        "slow": totals.slow,
        "spent": totals.spent,
        "into_plan": totals.into_plan,
        "into_stock": totals.into_stock,
        "into_neither": totals.into_neither,
        "items": {row.item: _stocked(row) for row in season[STOCK].rows if row.on_hand > 0},
    }


def _stocked(row: StockRow) -> dict[str, Any]:
    keys = {
        "on_hand": "on_hand", "valued": "covered", "first_in_first_out": "by_fifo", "average": "by_average",
        "latest": "at_latest", "older_than_price": "older", "days_since_bought": "age",
        "covers_of_plan": "covers",
    }  # fmt: skip
    return {key: float(getattr(row, column)) for key, column in keys.items()} | {"remark": row.remark.strip()}


def report(season: Season) -> list[str]:
    """Return the worth of the stock as a titled table, if there is any."""
    return [titled("What is in stock", _stock_table(season))] if any(row.on_hand for row in season[STOCK].rows) else []


def _stock_table(season: Season) -> str:
    """Return the worth of all stock, and of what deserves a look."""
    seen = [row for row in season[STOCK].rows if row.remark.strip() or row.older]
    rows = [
        (row.item, f"{row.on_hand:,.0f}", money(row.by_fifo), money(row.by_average), money(row.at_latest), row.remark)
        for row in seen
    ]
    totals = season.stock_totals
    whole = ("all stock", "", money(totals.fifo), money(totals.averaged), money(totals.latest), "")
    return table(("to look at", "on hand", "first in, first out", "average", "latest", ""), [*rows, whole])
