"""The season's totals, for the first sheet."""

from __future__ import annotations

from typing import Any

from costing.engine.operations import ratio_if, total
from costing.engine.table import FigureList
from costing.tables import equations

TOTALS = FigureList("totals", "At a glance", "season_")


@TOTALS.works_out("Sales, without tax", "money")
def revenue(season: Any) -> Any:
    """All planned sales at the prices used, without tax."""
    return total(season.prices.season_net)


@TOTALS.works_out("Profit", "money")
def profit(season: Any) -> Any:
    """What is left of them after every cost, your own work at the hourly rate and the overheads among them."""
    return total(season.prices.season_profit)


@TOTALS.works_out("Costs, fees and parcels", "money")
def cost(season: Any) -> Any:
    """What the planned sales cost."""
    return season.totals.revenue - season.totals.profit


@TOTALS.works_out("Overheads", "money")
def overheads(season: Any) -> Any:
    """The season's costs that no single tub causes."""
    return total(season.overheads.amount)


@TOTALS.works_out("Left for overheads", "money")
def contribution(season: Any) -> Any:
    """What the planned sales leave before overheads."""
    return total(season.prices.season_contribution)


@TOTALS.works_out("Break-even at", shape="percent")
def break_even_share(season: Any) -> Any:
    """The part of the plan that must be sold to pay all costs: after that the season earns."""
    return ratio_if(season.totals.contribution > 0, season.totals.overheads, season.totals.contribution)


@TOTALS.works_out("Hands-on hours", "hour", decimals=1)
def hours(season: Any) -> Any:
    """Hands-on time for the whole plan."""
    return total(season.products.planned_minutes) / equations.MINUTES_PER_HOUR


@TOTALS.works_out("Your hour earns", "money/hour")
def pay_per_hour(season: Any) -> Any:
    """Profit and the work already priced in, for each hands-on hour."""
    earned = season.totals.profit + total(season.products.planned_work)
    return ratio_if(season.totals.hours > 0, earned, season.totals.hours)


@TOTALS.works_out("Making it yourself saves", "money")
def saving(season: Any) -> Any:
    """Over the plan, against a bought base, for the tubs compared on Own or bought."""
    return total(season.alternatives.season_saving)
