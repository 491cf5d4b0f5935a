"""Tubs: the parts of each package."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from costing.engine.expressions import Factor
from costing.engine.operations import both, choose, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, NumberField, Record, given


class Tub(Record):
    """One part of a tub."""

    tub: Key = given("Tub", "The key under which products name it.")
    part: Key = given("Part", "An item bought by the piece: jar, lid, label, spoon.", refers="items.item")
    count: Annotated[Decimal, NumberField("piece", above=0)] = given("Count", "How many of it.", default=Decimal(1))


ONE_PIECE = Factor(1, "piece")

TUBS = Table("tubs", "Tubs", "Tubs", "What each tub is put together from: one row for each part.", Tub)


@TUBS.works_out("Cost per piece", "money/piece", decimals=4)
def per_piece(row: Any, season: Any) -> Any:
    """What one of the part costs."""
    return sum_where(season.items.per_piece, season.items.item, row.part)


@TUBS.works_out("Cost in tub", "money")
def cost(row: Any, _: Any) -> Any:
    """What the part adds to one tub; a blank count is one."""
    one = choose(both(row.part != "", row.count == ""), 1, 0)
    return (row.count + one * ONE_PIECE) * row.per_piece
