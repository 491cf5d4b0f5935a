"""Break-even: how many of each product pay all costs at the planned mix, and what an hour of each earns."""

from __future__ import annotations

from typing import Any

from costing.engine.operations import choose, ratio, ratio_if, round_half, round_up, sum_where, total
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.tables import equations
from costing.tables.lookups import of_product, text_of_product


class EvenRow(Record):
    """One line of the break-even: a product."""

    product: Key = given("Product", "A product. To see a new one here, choose it in a free line.", refers="products.product")


EVEN = Table(
    "even",
    "Break-even",
    "Break-even",
    "How many of each must be sold to pay all costs, if all are sold in the proportions of the plan on Prices.",
    EvenRow,
    spare=6,
)


def _prices(row: Any, season: Any, key: str) -> Any:
    return sum_where(getattr(season.prices, key), season.prices.product, row.product)


@EVEN.works_out("Name", "text")
def name(row: Any, season: Any) -> Any:
    """Its name."""
    return text_of_product(row, season, "name")


@EVEN.works_out("Planned", decimals=0)
def planned(row: Any, season: Any) -> Any:
    """How many are planned over all channels."""
    return of_product(row, season, "planned")


@EVEN.works_out("Part of the plan", shape="percent")
def part(row: Any, season: Any) -> Any:
    """Its part of all tubs planned: the mix."""
    return ratio(row.planned, total(season.products.planned))


@EVEN.works_out("Towards the overheads", "money")
def contribution(row: Any, season: Any) -> Any:
    """What all planned sales of it leave before overheads."""
    return _prices(row, season, "season_contribution")


@EVEN.works_out("Of it, one", "money")
def contribution_each(row: Any, _: Any) -> Any:
    """What one leaves before overheads, over the plan."""
    return ratio(row.contribution, row.planned)


@EVEN.works_out("Break-even", decimals=0)
def even(row: Any, season: Any) -> Any:
    """How many of it pay all costs together with the others, in whole tubs. Blank where the plan never does."""
    totals = season.totals
    units = equations.break_even_units(row.planned, totals.overheads, totals.contribution)
    return round_up(round_half(units, season.settings.fine_decimals), 0)


@EVEN.works_out("Above it", decimals=0)
def spare(row: Any, season: Any) -> Any:
    """How many of the plan may stay unsold before the season loses. Below zero the plan is too small."""
    return choose(season.totals.contribution > 0, row.planned - row.even, 0)


@EVEN.works_out("Season's profit", "money")
def profit(row: Any, season: Any) -> Any:
    """What is left of all planned sales of it after every cost."""
    return _prices(row, season, "season_profit")


@EVEN.works_out("Hours", "hour", decimals=1)
def hours(row: Any, season: Any) -> Any:
    """Hands-on time for all planned."""
    return of_product(row, season, "planned_minutes") / equations.MINUTES_PER_HOUR


@EVEN.works_out("An hour earns", "money/hour")
def pay_per_hour(row: Any, season: Any) -> Any:
    """What an hour of hands-on work on it earns over the plan: the profit and the work already priced in."""
    return ratio_if(row.hours > 0, row.profit + of_product(row, season, "planned_work"), row.hours)
