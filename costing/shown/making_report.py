"""What to make and when, what is left over of it, what to fill, and what is made already."""

from __future__ import annotations

from typing import Any

from costing.fields.types import day_of
from costing.season.costed import Season
from costing.shown.report import money, table, titled
from costing.tables.planning.made import MADE, MadeRow
from costing.tables.planning.make_list import TURNS, TurnRow
from costing.tables.planning.plan import LINE, PLAN


def figures(season: Season) -> dict[str, Any]:
    """Return what to make under stable keys; money, grams, pieces and minutes as plain numbers."""
    settings = season.records.season
    return {
        "ready_by": (settings.ready_by or settings.priced_on).isoformat(),
        "making": [_making(row) for row in season[TURNS].rows],
        "left_over": {row.what: float(row.left) for row in season[PLAN].rows if row.row != LINE},
        "tubs_to_make": {row.product: float(row.to_make) for row in season.products.rows},
        "made_stock": [_made(row) for row in season[MADE].rows],
    }


def _day(number: float) -> str | None:
    return day_of(number).isoformat() if number else None


def _making(row: TurnRow) -> dict[str, Any]:
    return {
        "formula": row.formula, "exact_batches": float(row.exact), "batches": float(row.batches),
        "start_by": _day(row.start_by), "minutes": float(row.minutes), "possible_now": float(row.possible),
        "stopped_by": row.stopped_by.strip() or None,
    }  # fmt: skip


def _made(row: MadeRow) -> dict[str, Any]:
    keys = {"on_hand": "on_hand", "cost": "at_cost", "worth": "worth"}
    return {"what": row.what, "in": row.counted_in} | {key: float(getattr(row, column)) for key, column in keys.items()}


def report(season: Season) -> list[str]:
    """Return what to make, what to fill and what is made already as titled tables."""
    found = [
        titled("What to make, in the order of starting", _making_table(season)),
        titled("What to fill", _filling_table(season)),
    ]
    return [*found, titled("Made and on hand", _made_table(season))] if season.made.rows else found


def _making_table(season: Season) -> str:
    rows = [
        (
            row.formula, _day(row.start_by) or "–", f"{row.batches:g}", f"{row.exact:.2f}", f"{row.makes:,.0f}",
            f"{row.left:,.0f}", money(row.left_cost), f"{row.minutes:,.0f}", f"{row.possible:g}", row.stopped_by.strip(),
        )
        for row in season[TURNS].rows
        if row.batches
    ]  # fmt: skip
    headings = ("make", "start by", "batches", "exactly", "yield g", "left g", "worth", "minutes", "now", "stopped by")
    return table(headings, rows)


def _filling_table(season: Season) -> str:
    rows = [
        (row.product, f"{row.planned:g}", f"{row.on_hand:g}", f"{row.to_make:g}", f"{row.to_fill:,.0f}")
        for row in season.products.rows
        if row.planned
    ]
    return table(("product", "planned", "on hand", "to fill", "takes g"), rows)


def _made_table(season: Season) -> str:
    rows = [
        (row.what, f"{row.on_hand:,.0f}", row.counted_in, money(row.at_cost), money(row.worth)) for row in season[MADE].rows
    ]
    return table(("what", "on hand", "", "cost", "worth"), rows)
