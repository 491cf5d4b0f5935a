"""Overheads: what the season costs whatever is made, and how it is shared among the tubs planned."""

from __future__ import annotations

from typing import Annotated, Any

from costing.engine.operations import choose, either, ratio, total
from costing.engine.table import Table
from costing.fields.types import ChoiceField, Key, Money, Record, given

DRIVERS = ("units", "grams", "minutes")


class Overhead(Record):
    """One overhead."""

    overhead: Key = given("Overhead", "What it is for: stall, insurance, rent.")
    amount: Money = given("Amount", "For the whole season.")
    shared_by: Annotated[str, ChoiceField(DRIVERS)] = given(
        "Shared by", "units: every tub alike; grams: by fill; minutes: by hands-on time.", default="units"
    )


OVERHEADS = Table(
    "overheads",
    "Overheads",
    "Overheads",
    "The season's costs that no single tub causes, shared among the tubs planned on Prices.",
    Overhead,
)


@OVERHEADS.works_out("Per unit", "money", decimals=4)
def per_unit(row: Any, season: Any) -> Any:
    """Its part in every tub, where it is shared by units, or nothing is said."""
    return choose(either(row.shared_by == "units", row.shared_by == ""), row.amount, 0) * ratio(
        1, total(season.products.planned)
    )


@OVERHEADS.works_out("Per gram of fill", "money/gram", decimals=6)
def per_gram(row: Any, season: Any) -> Any:
    """Its part in every gram filled, where it is shared by grams."""
    return choose(row.shared_by == "grams", row.amount, 0) * ratio(1, total(season.products.planned_grams))


@OVERHEADS.works_out("Per hands-on minute", "money/minute", decimals=4)
def per_minute(row: Any, season: Any) -> Any:
    """Its part in every hands-on minute, where it is shared by minutes."""
    return choose(row.shared_by == "minutes", row.amount, 0) * ratio(1, total(season.products.planned_minutes))


@OVERHEADS.works_out("Carried by the plan", "money")
def carried(row: Any, season: Any) -> Any:
    """What the planned tubs carry of it: all of it, where anything is planned."""
    mine = season.products
    return (
        row.per_unit * total(mine.planned)
        + row.per_gram * total(mine.planned_grams)
        + row.per_minute * total(mine.planned_minutes)
    )
