"""What is watery, and what keeps it. Never a clearance."""

from __future__ import annotations

from typing import Any

from costing.season.costed import Season
from costing.shown.report import percent, table, titled
from costing.tables.deciding.keeping import KEEPING, KeptRow

NO_CLEARANCE = "No clearance: ask the supplier's document, a challenge test and the product's safety assessment."


def figures(season: Season) -> dict[str, Any]:
    """Return water and preservatives of each formula under stable keys, as fractions."""
    return {"keeping": {row.formula: _kept(row) for row in season[KEEPING].rows}}


def _kept(row: KeptRow) -> dict[str, Any]:
    return {
        "sort": row.sort,
        "water": row.water,
        "of_least_preservative": row.preserved,
        "of_that_acting": row.acting,
        "sugar_and_salt": row.grains,
        "watery": bool(row.watery),
        "remarks": _remarks(row),
    }


def _remarks(row: KeptRow) -> list[str]:
    return [remark for remark in (row.remark.strip(), row.grain_remark.strip()) if remark]


def report(season: Season) -> list[str]:
    """Return water and preservatives as a titled table."""
    rows = [
        (
            row.formula, row.sort, percent(row.water), percent(row.preserved), percent(row.acting), percent(row.grains),
            "; ".join(_remarks(row)),
        )
        for row in season[KEEPING].rows
    ]  # fmt: skip
    headings = ("formula", "sort", "water", "preserved", "acting", "sugar, salt", "")
    return [
        titled(
            "What is watery, and what of the least preservative is in it",
            f"{table(headings, rows, texts=2)}\n{NO_CLEARANCE}",
        )
    ]
