"""The further sheets in the terminal: what is in a tub, what to buy."""

from __future__ import annotations

from costing.records import day_of
from costing.report import table
from costing.season import Season


def more_report(season: Season) -> str:
    """Return what is in the tubs and what to buy, as text."""
    return "\n\n".join((f"What is in a tub\n{_in_tubs(season)}", f"What to buy for the plan\n{_buying(season)}"))


def _in_tubs(season: Season) -> str:
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


def _buying(season: Season) -> str:
    rows = [
        (
            row.item, row.counted_in, f"{row.needed:,.0f}", f"{row.on_hand:,.0f}", f"{row.short:,.0f}", f"{row.pack:,.0f}",
            f"{row.packs:g}", f"{row.cost:,.2f}", day_of(row.bought_on).isoformat() if row.bought_on else "never",
        )
        for row in season.buying.rows
    ]  # fmt: skip
    headings = ("item", "in", "plan takes", "on hand", "to get", "pack", "packs", "cost", "last bought")
    return f"{table(headings, rows, texts=2)}\nmoney needed: {season.cash.needed_money:,.2f}"
