"""What is in each tub: what is weighed in of everything bought, and what of its cost the tub bears."""

from __future__ import annotations

from typing import Any

from costing.season.costed import Season
from costing.shown.report import table, titled


def figures(season: Season) -> dict[str, Any]:
    """Return contents under stable keys; money, grams and pieces as plain numbers."""
    return {"in_tubs": _in_tubs(season)}


def _in_tubs(season: Season) -> dict[str, dict[str, dict[str, float]]]:
    found: dict[str, dict[str, dict[str, float]]] = {row.product: {} for row in season.products.rows}
    for row in season.in_tubs.rows:
        amount = {"pieces": float(row.pieces)} if row.pieces else {"grams": float(row.weighed)}
        found[row.product][row.item] = amount | {"cost": float(row.cost), "share": float(row.share)}
    return found


def report(season: Season) -> list[str]:
    """Return contents as a titled table."""
    return [titled("What is in a tub: weighed in, and the cost that it bears", _contents_table(season))]


def _contents_table(season: Season) -> str:
    rows = [
        (
            row.product,
            row.item,
            f"{row.weighed:,.2f}" if not row.pieces else f"{row.pieces:g} pcs",
            f"{row.cost:.3f}",
            f"{row.share:.1%}",
        )
        for row in season.in_tubs.rows
    ]
    return table(("product", "item", "grams", "cost borne", "of cost"), rows, texts=2)
