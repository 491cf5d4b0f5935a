"""Deciding: the profit wanted, what to make first, what would be missing, a price step, and how sure costs are."""

from __future__ import annotations

from typing import Any

from costing.season.costed import Season
from costing.shown.keyed_figures import known
from costing.shown.report import money, percent, table, titled
from costing.tables.deciding.cost_ranges import COST_RANGES
from costing.tables.deciding.if_dropped import DROPPABLE, LEAVABLE, DroppableRow, LeavableRow
from costing.tables.deciding.price_steps import STEPS, StepRow
from costing.tables.deciding.profit_wanted import REACH
from costing.tables.deciding.short_hours import SHORT, TurnRow


def figures(season: Season) -> dict[str, Any]:
    """Return them under stable keys; percents as fractions, what has no value as None."""
    reach = season[REACH]
    return {
        "deciding": {"prices_up": known(reach.prices_up), "sales_up": known(reach.sales_up)},
        "make_first": [_turn(row) for row in season[SHORT].rows],
        "if_dropped": {row.product: _missing(row) for row in season[DROPPABLE].rows},
        "if_left": {row.channel: _missing(row) for row in season[LEAVABLE].rows},
        "price_steps": [_step(row) for row in season[STEPS].rows],
        "ranges": {
            row.product: {"likely": row.likely, "cheapest": row.cheapest, "dearest": row.dearest}
            for row in season[COST_RANGES].rows
        },
    }


def _turn(row: TurnRow) -> dict[str, Any]:
    return {
        "product": row.product, "per_hour": row.per_hour, "planned": row.planned, "make": float(row.make),
        "hours": row.used, "contribution": row.brings,
    }  # fmt: skip


def _missing(row: DroppableRow | LeavableRow) -> dict[str, float]:
    return {"contribution": row.contribution, "hours": row.hours}


def _step(row: StepRow) -> dict[str, Any]:
    return {
        "product": row.product, "channel": row.channel, "contribution": row.contribution,
        "up_may_lose": known(row.may_lose), "down_must_win": known(row.must_win),
    }  # fmt: skip


def report(season: Season) -> list[str]:
    """Return them as titled tables."""
    return [
        titled("The profit wanted", _reach_table(season)),
        titled("What to make first, while there are hours", _short_table(season)),
        titled("What would be missing without it", _missing_table(season)),
        titled("One price step up or down, for the same contribution", _step_table(season)),
        titled("How sure the cost is, by your receipts", _range_table(season)),
    ]


def _reach_table(season: Season) -> str:
    reach = season[REACH]
    rows = [
        ("the plan leaves", money(reach.profit)),
        ("profit wanted", money(reach.wanted)),
        ("all prices up by", percent(reach.prices_up)),
        ("or all sales up by", percent(reach.sales_up)),
        ("of its sales may stay away before it loses", percent(reach.safe)),
    ]
    return table(("", ""), rows).lstrip("\n")


def _short_table(season: Season) -> str:
    rows = [
        (row.product, money(row.per_hour), f"{row.planned:g}", f"{row.make:g}", f"{row.used:,.1f}", money(row.brings))
        for row in season[SHORT].rows
    ]
    return table(("product", "an hour brings", "planned", "make", "hours", "brings"), rows)


def _missing_table(season: Season) -> str:
    products = [(row.product, money(row.contribution), f"{row.hours:,.1f}") for row in season[DROPPABLE].rows]
    channels = [(row.channel, money(row.contribution), f"{row.hours:,.1f}") for row in season[LEAVABLE].rows]
    return table(("product or channel", "missing", "hours freed"), [*products, *channels])


def _step_table(season: Season) -> str:
    rows = [
        (row.product, row.channel, money(row.price), money(row.contribution), percent(row.may_lose), percent(row.must_win))
        for row in season[STEPS].rows
    ]
    return table(("product", "channel", "price", "contributes", "up may lose", "down must win"), rows, texts=2)


def _range_table(season: Season) -> str:
    rows = [
        (row.product, money(row.cost), f"±{row.likely:,.2f}", money(row.cheapest), money(row.dearest))
        for row in season[COST_RANGES].rows
    ]
    return table(("product", "costs", "likely", "at the cheapest", "at the dearest"), rows)
