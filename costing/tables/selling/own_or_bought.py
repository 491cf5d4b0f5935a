"""Own or bought: each product beside the one that would be made from a bought base."""

from __future__ import annotations

from typing import Any

from costing.engine.operations import ratio, ratio_if, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.tables import equations


class Alternative(Record):
    """One product and its twin from a bought base."""

    product: Key = given("Own", "The product you make from the bar.", refers="products.product")
    bought: Key = given("From bought base", "The product that would take its place.", refers="products.product")


ALTERNATIVES = Table(
    "alternatives",
    "Own or bought",
    "Own or bought",
    "What making it yourself saves on each tub. Below zero the bought base is cheaper.",
    Alternative,
)


def _of(season: Any, key: str, product: Any) -> Any:
    return sum_where(getattr(season.products, key), season.products.product, product)


def _saved(row: Any, season: Any, key: str) -> Any:
    return _of(season, key, row.bought) - _of(season, key, row.product)


@ALTERNATIVES.works_out("Own costs", "money")
def own_cost(row: Any, season: Any) -> Any:
    """One of your own."""
    return _of(season, "total", row.product)


@ALTERNATIVES.works_out("Bought costs", "money")
def bought_cost(row: Any, season: Any) -> Any:
    """One from the bought base."""
    return _of(season, "total", row.bought)


@ALTERNATIVES.works_out("Saved on materials", "money")
def materials(row: Any, season: Any) -> Any:
    """Materials of the bought one less your own."""
    return _saved(row, season, "materials")


@ALTERNATIVES.works_out("Saved on packaging", "money")
def packaging(row: Any, season: Any) -> Any:
    """Packaging of the bought one less your own."""
    return _saved(row, season, "packaging")


@ALTERNATIVES.works_out("Saved on work", "money")
def work(row: Any, season: Any) -> Any:
    """Work on the bought one less your own."""
    return _saved(row, season, "work")


@ALTERNATIVES.works_out("Saved on power", "money")
def power(row: Any, season: Any) -> Any:
    """Power of the bought one less your own."""
    return _saved(row, season, "power")


@ALTERNATIVES.works_out("Saved on overheads", "money")
def overheads(row: Any, season: Any) -> Any:
    """Overheads of the bought one less your own."""
    return _saved(row, season, "overheads")


@ALTERNATIVES.works_out("Saving", "money")
def saving(row: Any, _: Any) -> Any:
    """What making it yourself saves on one."""
    return row.bought_cost - row.own_cost


@ALTERNATIVES.works_out("Saving of bought cost", shape="percent")
def saving_percent(row: Any, _: Any) -> Any:
    """The saving as a part of what the bought one costs."""
    return ratio(row.saving, row.bought_cost)


@ALTERNATIVES.works_out("Planned", decimals=0)
def planned(row: Any, season: Any) -> Any:
    """How many of your own are planned."""
    return _of(season, "planned", row.product)


@ALTERNATIVES.works_out("Season's saving", "money")
def season_saving(row: Any, _: Any) -> Any:
    """The saving on all that are planned."""
    return row.planned * row.saving


@ALTERNATIVES.works_out("Extra minutes", "minute", decimals=1)
def extra_minutes(row: Any, season: Any) -> Any:
    """Hands-on minutes that your own takes more."""
    return _of(season, "hands_on", row.product) - _of(season, "hands_on", row.bought)


@ALTERNATIVES.works_out("Pay per extra hour", "money/hour")
def pay_per_extra_hour(row: Any, _: Any) -> Any:
    """What an hour of that extra work earns: the saving with work left out of both."""
    without_work = row.saving - row.work
    return ratio_if(row.extra_minutes > 0, without_work * equations.MINUTES_PER_HOUR, row.extra_minutes)


@ALTERNATIVES.works_out("Base in the bought one", "gram", decimals=1)
def base_grams(row: Any, season: Any) -> Any:
    """Grams of bought base whose price the bought one follows."""
    return _of(season, "base_grams", row.bought)


@ALTERNATIVES.works_out("Base costs now, per kg", "money/kilogram")
def base_per_kg(row: Any, season: Any) -> Any:
    """What a kilogram of the base counts at."""
    return ratio(_of(season, "base_cost", row.bought) * equations.GRAMS_PER_KILOGRAM, row.base_grams)


@ALTERNATIVES.works_out("Base price at which both are even", "money/kilogram")
def base_break_even(row: Any, _: Any) -> Any:
    """Below this price per kg the bought base is cheaper, above it your own."""
    saved = row.saving * equations.GRAMS_PER_KILOGRAM
    return ratio_if(row.base_grams > 0, row.base_per_kg * row.base_grams - saved, row.base_grams)
