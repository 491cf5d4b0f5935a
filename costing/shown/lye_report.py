"""Lye against what the oils take up. Never a clearance."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from costing.season.costed import Season
from costing.season.lye_safety import not_counted
from costing.shown.keyed_figures import known
from costing.shown.report import percent, table, titled
from costing.tables.making.lye_balance import LYE, LyeRow

NO_CLEARANCE = "No clearance: goggles, gloves, fresh air; additions only when cool; test each bar."
HOW_FAR = "Counted: oils, butters, waxes and acids by the packaged list; not counted: what bases, milk or scent take up."


def figures(season: Season) -> dict[str, Any]:
    """Return what each formula with lye leaves, under stable keys."""
    return {"lye": {row.made: _lye(row) for row in season[LYE].rows}}


def _lye(row: LyeRow) -> dict[str, Any]:
    """Return grams of a batch as sodium hydroxide, and what they leave; remark is empty where nothing is to be said."""
    return {
        "lye_grams": row.lye,
        "taken_up_low": row.low,
        "taken_up_high": row.high,
        "superfat_low": known(row.superfat_low),
        "superfat_high": known(row.superfat_high),
        "not_known_share": row.unknown_share,
        "remark": row.remark.strip(),
    }


def report(season: Season) -> list[str]:
    """Return lye and oils as a titled table, if any formula takes lye."""
    if not season[LYE].rows:
        return []
    rows = [
        (
            row.made, f"{row.lye:,.1f}", f"{row.low:,.1f}", f"{row.high:,.1f}", percent(row.superfat_low),
            percent(row.superfat_high), row.remark.strip(),
        )
        for row in season[LYE].rows
    ]  # fmt: skip
    listed = table(("formula", "lye g", "takes up", "to g", "superfat", "to", ""), rows)
    told = "\n".join((listed, *_not_counted(season), HOW_FAR, NO_CLEARANCE))
    return [titled("Lye, as sodium hydroxide, and what oils and acids take up of it", told)]


def _not_counted(season: Season) -> Iterator[str]:
    """Yield what of each formula with lye was taken as pure, or as taking up nothing."""
    for row in season[LYE].rows:
        pure, unknown = not_counted(season, row.card) if row.made == row.card and row.lye > 0 else ([], [])
        if pure:
            yield f"{row.made}: {' and '.join(pure)} counted as pure; reckon with what the pack says."
        if unknown:
            yield f"{row.made}: not counted, for want of a known value: {', '.join(unknown)}."
