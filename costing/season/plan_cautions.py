"""Cautions about the plan: starts that are past, and outputs that do not come in the parts in which they are asked for."""

from __future__ import annotations

from collections.abc import Iterator

from costing.errors import Caution
from costing.fields.types import day_of
from costing.season.costed import Season
from costing.tables.planning.plan import LEFT_OVER, LINE, OUTPUT, PLAN, TOO_LATE, PlanRow
from costing.tables.selling.products import PRODUCTS


def plan_cautions(season: Season) -> Iterator[Caution]:
    """Yield what is too late, and what does not balance, formula by formula."""
    for row in season[PLAN].rows:
        if row.remark == TOO_LATE:
            ready = season.records.season.ready_by or season.records.season.priced_on
            what = f"should begin by {day_of(row.start_by)}, before the day priced on, for all to be ready by {ready}"
            alike = f"should begin before the day priced on, for all to be ready by {ready}"
            yield Caution(f"formulas, {row.formula}", what, "write a later ready_by in season, or plan fewer", alike)
        elif row.remark == LEFT_OVER:
            yield _unbalanced(season, row)


def _unbalanced(season: Season, left: PlanRow) -> Caution:
    rows = season[PLAN].rows
    asks_most = max((row for row in rows if row.formula == left.formula and row.row == OUTPUT), key=lambda row: row.alone)
    what = (
        f"{asks_most.what} takes {left.batches:g} batches, which leave over {left.left:,.0f} g of {left.what}, "
        f"worth {left.left_cost:,.2f}"
    )
    return Caution(f"formulas, {left.formula}", what, " or ".join(_would_balance(season, left, asks_most)))


def _would_balance(season: Season, left: PlanRow, asks_most: PlanRow) -> Iterator[str]:
    """Yield what would bring the two outputs nearer to the parts in which they come."""
    filled = [row for row in season[PRODUCTS].rows if row.filled_with == left.what]
    if filled:
        most = max(filled, key=lambda row: row.planned)
        yield f"plan about {left.left / most.used:,.0f} more {most.product}"
    if takers := _takers(season, left.what):
        yield f"take more of it in {takers}"
    elif takers := _takers(season, asks_most.what):
        shifted = asks_most.demand * left.yields - left.demand * asks_most.yields
        grams = shifted / (left.yields + asks_most.yields)
        yield f"take about {grams:,.0f} g of it for {asks_most.what} in {takers}"
    fewer = asks_most.demand - left.alone * asks_most.yields
    yield f"plan fewer of what takes {asks_most.what}, by about {fewer:,.0f} g of it"


def _takers(season: Season, what: str) -> str:
    """Return the formulas that take something made, with something to be made of them."""
    return " and ".join(row.formula for row in season[PLAN].rows if row.row == LINE and row.what == what and row.asks > 0)
