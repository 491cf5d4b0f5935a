"""Costing a season: its tables filled in their order, what only the figures show to be wrong, and the cautions."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite
from typing import Any

from costing.engine.calculated import CalculatedTable
from costing.errors import Fault, Faults
from costing.records.faults import faults_between
from costing.records.schema import TABLES_BY_NAME
from costing.season.cautions import cautions_of
from costing.season.costed import Season
from costing.season.lye_safety import lye_faults
from costing.season.purchase_faults import purchase_faults
from costing.tables.deciding.cost_drivers import MOVES, Dials
from costing.tables.deciding.price_shock import SHOCK, Shock
from costing.tables.deciding.short_hours import HOURS, Hours
from costing.tables.deciding.weigh_out import WEIGH, Weigh
from costing.tables.written import SeasonRecords


def cost(
    records: SeasonRecords,
    *,
    dials: Dials | None = None,
    shock: Shock | None = None,
    weigh: Weigh | None = None,
    hours: Hours | None = None,
) -> Season:
    """Return the season worked out: every cost, price and saving.

    ``dials``, ``shock``, ``weigh`` and ``hours`` choose what the sheets What moves it, Price shock, Weigh out and Decide
    look at.

    Raises
    ------
    Faults
        With every fault between the tables.

    """
    faults = faults_between(records)
    if faults:
        raise Faults(faults)
    chosen = {MOVES.key: dials, SHOCK.key: shock, WEIGH.key: weigh, HOURS.key: hours}
    season = Season(records, {key: record for key, record in chosen.items() if record})
    for table in sorted(season.tables(), key=_follows):
        _finish(season, table)
    faults = list(_faults_of_figures(season))
    if faults:
        raise Faults(faults)
    season.cautions = tuple(cautions_of(season))
    return season


def _follows(table: CalculatedTable[Any]) -> bool:
    """Whether a table holds no records of its own: those that do are worked out first, so that faults name them."""
    return table.table.key not in TABLES_BY_NAME


def _finish(season: Season, table: CalculatedTable[Any]) -> None:
    """Work all of a table out, as long as its figures can be held: numbers that each pass can come to far more together."""
    try:
        table.finish()
        held = all(isfinite(value) for store in table.stores.values() for value in store.values if isinstance(value, float))
    except ArithmeticError:
        held = False
    if not held:
        key = "lines" if table.table.cards else "purchases" if _follows(table) else table.table.key
        where = getattr(season.records, key).source or key
        do = "look for a number that is far too large or too small, here and in purchases"
        raise Faults([Fault(where, "its figures come to more than can be worked with", do)])


def _faults_of_figures(season: Season) -> Iterator[Fault]:
    """Yield what only the worked figures show."""
    yield from lye_faults(season)
    yield from purchase_faults(season)
    placed = {out.formula: place for out, place in reversed(list(season.records.outputs.placed())) if out.valued == "set"}
    for row in season.making.rows:
        if row.row == "yield" and row.formula in placed and row.all_set > row.batch_cost + season.settings.tolerance:
            what = f"outputs of set worth {row.all_set:.2f} in a batch of {row.formula} that costs {row.batch_cost:.2f}"
            yield Fault(f"{placed[row.formula]}, price_per_kg", what, "lower the price_per_kg of what is set")
    for (record, place), row in zip(season.records.overheads.placed(), season.overheads.rows, strict=True):
        if (record.amount or record.hours) and getattr(row, record.shared_by) == 0:
            what = f"shared by {record.shared_by}, but the plan has none{' there' if record.channel else ''}"
            yield Fault(f"{place}, shared_by", what, "share it by units, or write minutes in steps and products")
