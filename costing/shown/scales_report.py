"""What the scales say: fills against their labels, batches against their formulas."""

from __future__ import annotations

from typing import Any

from costing.fields.types import day_of
from costing.season.costed import Season
from costing.shown.report import money, percent, table, titled
from costing.tables.scales.batch_lines import BATCH_LINES, BatchLineRow
from costing.tables.scales.batches import BATCHES, BatchRow
from costing.tables.scales.fills import FILLS, FillRow


def figures(season: Season) -> dict[str, Any]:
    """Return what the weighings and the batches say; products never weighed are left out."""
    scales = {
        "fills": {row.product: _fill(row) for row in season[FILLS].rows if row.number},
        "batches": {row.batch: _batch(season, row) for row in season[BATCHES].rows},
        "lost": season.looks.lost,
    }
    return {"scales": scales}


def _fill(row: FillRow) -> dict[str, Any]:
    keys = {
        "weighed": "number", "label_grams": "on_label", "mean": "mean", "spread": "spread", "over": "over",
        "given_away": "given_away", "season_given_away": "season_given_away", "tolerable_shortfall": "tolerable_grams",
        "short": "short", "far_short": "far_short", "mean_needed": "mean_needed", "aim": "least_aim",
    }  # fmt: skip
    spread = {} if row.number > 1 else {"spread": None, "aim": None}
    return {key: float(getattr(row, column)) for key, column in keys.items()} | spread | {"remark": row.remark.strip()}


def _batch(season: Season, row: BatchRow) -> dict[str, Any]:
    costs = {"real": "cost", "standard": "standard", "difference": "difference"}
    costs |= {part: part for part in ("price", "usage", "mix", "time")} | {"yield": "yielded", "ruined": "lost"}
    return {
        "formula": row.formula,
        "made_on": day_of(row.made_on).isoformat(),
        "grams_in": row.went_in,
        "grams_out": row.grams_out,
        "loss": row.loss,
        "formula_loss": row.formula_loss,
        "minutes": row.minutes_used,
        "minutes_allowed": row.minutes_allowed,
        "cost": {key: float(getattr(row, column)) for key, column in costs.items()},
        "per_gram": row.per_gram if row.grams_out else None,
        "lines": [_batch_line(line) for line in season[BATCH_LINES].rows if line.batch == row.batch],
    }


def _batch_line(row: BatchLineRow) -> dict[str, Any]:
    return {
        "item": row.item, "step": row.step, "grams": row.used, "percent": row.share, "formula_percent": row.formula_share,
        "per_gram": row.actual, "standard_per_gram": row.standard,
    }  # fmt: skip


def report(season: Season) -> list[str]:
    """Return weighings and batches as titled tables, those that there are."""
    tables = []
    if season.weighings.rows:
        tables.append(titled("What the scales say of the fill", _fill_table(season)))
    if season[BATCHES].rows:
        tables.append(titled("Batches against their formulas: above zero, dearer", _batch_table(season)))
        tables.append(titled("What really went in, in percent of the batch", _batch_line_table(season)))
    return tables


def _fill_table(season: Season) -> str:
    rows = [
        (
            row.product, row.number, f"{row.on_label:g}", f"{row.mean:.2f}", f"{row.spread:.2f}", f"{row.over:.2f}",
            f"{row.given_away:.4f}", money(row.season_given_away), f"{row.tolerable_grams:.1f}", f"{row.short:g}",
            f"{row.far_short:g}", f"{row.mean_needed:.2f}", f"{row.least_aim:.1f}" if row.number > 1 else "–",
            row.remark.strip(),
        )
        for row in season[FILLS].rows
        if row.number
    ]  # fmt: skip
    headings = (
        "product", "weighed", "label g", "mean", "spread", "over", "given away", "season", "tolerable", "short",
        "far short", "mean needs", "aim at", "",
    )  # fmt: skip
    law = "Rules of the EU and the UK; elsewhere look up your local law. No substitute for the reference test."
    return f"{table(headings, rows)}\n{law}"


def _batch_table(season: Season) -> str:
    rows = [
        (
            row.batch, row.formula, f"{row.went_in:,.0f}", f"{row.grams_out:,.0f}", percent(row.loss),
            percent(row.formula_loss), f"{row.minutes_used:.0f}",
            *(money(getattr(row, part)) for part in ("cost", "standard", "price", "mix", "yielded", "time", "lost")),
        )
        for row in season[BATCHES].rows
    ]  # fmt: skip
    headings = (
        "batch", "formula", "in g", "out g", "lost", "formula", "minutes", "cost", "standard", "price", "mix", "yield",
        "time", "ruined",
    )  # fmt: skip
    return table(headings, rows, texts=2)


def _batch_line_table(season: Season) -> str:
    rows = [
        (
            row.batch, row.step, row.item, f"{row.used:,.1f}", f"{row.share:.3%}", f"{row.formula_share:.3%}",
            f"{row.actual:.5f}", f"{row.standard:.5f}", row.remark.strip(),
        )
        for row in season[BATCH_LINES].rows
    ]  # fmt: skip
    headings = ("batch", "step", "item", "grams", "of batch", "formula", "per gram then", "season's", "")
    return table(headings, rows, texts=3)
