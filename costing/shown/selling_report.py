"""Prices that hang together: sizes against each other, and how many must be sold."""

from __future__ import annotations

from typing import Any

from costing.season.costed import Season
from costing.shown.keyed_figures import known
from costing.shown.report import money, table, titled
from costing.tables.selling.break_even import EVEN, BreakEvenRow
from costing.tables.selling.price_ladder import LADDER, LadderRow


def figures(season: Season) -> dict[str, Any]:
    """Return the price ladder and the break-even under stable keys."""
    reached = season.totals.contribution > 0
    settings = season.records.season
    return {
        "main_channel": settings.main_channel or None,
        "price_ladder": [_step(row) for row in season[LADDER].rows],
        "break_even": {row.product: _even(row, reached=reached) for row in season[EVEN].rows},
    }


def _step(row: LadderRow) -> dict[str, Any]:
    """Return a line of the price ladder. What needs a smaller size or a main channel is None without one."""
    stepped = row.smaller > 0
    compared = {"smaller": row.smaller, "step": row.step, "saves_per_100g": row.saves}
    return {
        "product": row.product,
        "channel": row.channel,
        "label_grams": row.on_label,
        "price": row.price,
        "unit_price_100g": row.per_100g,
        "unit_price_kg": row.per_kg,
        "without_tax_and_parcel": row.bare,
        "part_of_main_channel": row.against_main or None,
    } | {key: float(value) if stepped else None for key, value in compared.items()}


def _even(row: BreakEvenRow, *, reached: bool) -> dict[str, Any]:
    return {
        "planned": row.planned,
        "part_of_plan": row.part,
        "break_even": row.even if reached else None,
        "contribution_each": row.contribution_each,
        "pay_per_hour": known(row.pay_per_hour),
    }


def report(season: Season) -> list[str]:
    """Return the break-even and the steps between sizes as titled tables, those that there are."""
    tables = []
    if season[EVEN].rows:
        tables.append(titled("How many must be sold, at the planned mix", _even_table(season)))
    if any(row.smaller for row in season[LADDER].rows):
        tables.append(titled("What the next size saves", _step_table(season)))
    return tables


def _even_table(season: Season) -> str:
    reached = season.totals.contribution > 0
    rows = [
        (
            row.product,
            f"{row.planned:,.0f}",
            f"{row.even:,.0f}" if reached else "–",
            money(row.contribution_each),
            money(row.pay_per_hour),
        )
        for row in season[EVEN].rows
    ]
    return table(("product", "planned", "break-even", "one leaves", "per hour"), rows)


def _step_table(season: Season) -> str:
    rows = [
        (
            row.product, row.channel, f"{row.smaller:g}", f"{row.on_label:g}", money(row.step), f"{row.per_100g:,.2f}",
            f"{row.saves:,.2f}", row.remark.strip(),
        )
        for row in season[LADDER].rows
        if row.smaller
    ]  # fmt: skip
    headings = ("product", "channel", "from g", "to g", "step", "per 100 g", "saves", "")
    return table(headings, rows, texts=2)
