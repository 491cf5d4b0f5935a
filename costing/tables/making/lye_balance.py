"""Lye: what each formula with lye puts in, what its oils and acids take up of it, and so what superfat is left.

What a formula is made from counts too, so that a lye solution or a mix of oils made beforehand is not overlooked. Shares are
taken of what is put in; water lost later leaves the relation of lye and oils as it is.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from costing.engine.operations import NOTHING, both, choose, count_where, look_up, pick, ratio, sum_where, weighed_where
from costing.engine.table import Table
from costing.fields.catalogue import ingredients
from costing.fields.types import Key, NumberField, Record, Reference, Text, given
from costing.tables import equations

Value = Annotated[Decimal | None, NumberField("", least=0)]
UNTOLD, NEAR, ABOVE, TOO_MUCH, ALONE = "cannot be told", "near", "above the careful end", "too much lye", "lye alone"
TOLD = (UNTOLD, NEAR, ABOVE, TOO_MUCH, ALONE)


class Taking(Record):
    """One oil or acid of the packaged list, with the range of its saponification value."""

    item: Key = given("Item", "The key under which formulas name it.")
    source: Text = given("Source", "Where the range is from, and how it is known.")
    low: Value = given("Value, low", "Milligrams of potassium hydroxide that a gram takes up, at the low end.")
    high: Value = given("Value, high", "The same at the high end.")


TAKING = Table(
    "taking",
    "Lye",
    "What takes up lye",
    "Oils by their saponification values, acids by their acid values, as published.",
    Taking,
    spare=0,
    fixed=True,
)


@TAKING.works_out("Lye per gram, low", decimals=4)
def takes_low(row: Any, season: Any) -> Any:
    """Grams of sodium hydroxide that a gram takes up, at the low end."""
    return equations.lye_taken_up(row.low, season.settings.naoh_for_koh)


@TAKING.works_out("Lye per gram, high", decimals=4)
def takes_high(row: Any, season: Any) -> Any:
    """The same at the high end."""
    return equations.lye_taken_up(row.high, season.settings.naoh_for_koh)


class LyeRow(Record):
    """One formula, or one output of it, in which lye and oils are followed."""

    made: Reference = given(
        "Made", "A formula, or formula/output. To look at a new one, write it in a free line, below what it is made from."
    )


LYE = Table(
    "lye",
    "Lye",
    "Lye",
    "The lye of each formula against what its oils take up by the published ranges. Never a clearance: goggles, gloves, "
    "fresh air; scents and other additions only when it is cool; test each bar.",
    LyeRow,
    spare=4,
)


@LYE.works_out("Card", "text")
def card(row: Any, season: Any) -> Any:
    """The formula whose lines count."""
    found = count_where(season.making.made, row.made)
    return choose(found == 0, NOTHING, look_up(season.making.formula, season.making.made, row.made))


@LYE.works_out("Put in", "gram", decimals=1)
def put_in(row: Any, season: Any) -> Any:
    """All that goes into a batch."""
    return sum_where(season.making.added, season.making.formula, row.card)


def _share(row: Any, season: Any, keys: Any, values: Any, made_above: Any) -> Any:
    """Return the part of a batch: by item from a list, and by what was made before from the rows above."""
    mine = season.making
    found = weighed_where(mine.added, mine.formula, row.card, mine.what, keys, values, row.above.made, made_above)
    return ratio(found, row.put_in)


@LYE.works_out("Lye in it", shape="percent", decimals=2)
def lye_share(row: Any, season: Any) -> Any:
    """Lye as sodium hydroxide, of what is put in; potassium hydroxide by molar mass, each taken as pure."""
    return _share(row, season, season.items.item, season.items.lye, row.above.lye_share)


@LYE.works_out("Can take up, low", shape="percent", decimals=2)
def low_share(row: Any, season: Any) -> Any:
    """What oils and acids take up at the low end of their ranges, of what is put in."""
    return _share(row, season, season.taking.item, season.taking.takes_low, row.above.low_share)


@LYE.works_out("Can take up, high", shape="percent", decimals=2)
def high_share(row: Any, season: Any) -> Any:
    """The same at the high end."""
    return _share(row, season, season.taking.item, season.taking.takes_high, row.above.high_share)


@LYE.works_out("Not known", shape="percent", decimals=2)
def unknown_share(row: Any, season: Any) -> Any:
    """Oils without a range and lyes of unknown strength, of what is put in."""
    return _share(row, season, season.items.item, season.items.lye_unknown, row.above.unknown_share)


@LYE.works_out("Lye put in", "gram", decimals=1)
def lye(row: Any, _: Any) -> Any:
    """Lye of a batch, as sodium hydroxide."""
    return row.lye_share * row.put_in


@LYE.works_out("Taken up, low", "gram", decimals=1)
def low(row: Any, _: Any) -> Any:
    """What its oils and acids take up at the low end of their ranges."""
    return row.low_share * row.put_in


@LYE.works_out("Taken up, high", "gram", decimals=1)
def high(row: Any, _: Any) -> Any:
    """The same at the high end."""
    return row.high_share * row.put_in


@LYE.works_out("Superfat, careful end", shape="percent", decimals=1)
def superfat_low(row: Any, _: Any) -> Any:
    """What the lye leaves of what can be taken up, at the low end of the ranges. Below zero, lye may be left over."""
    return equations.superfat(row.lye_share, row.low_share)


@LYE.works_out("Superfat, other end", shape="percent", decimals=1)
def superfat_high(row: Any, _: Any) -> Any:
    """The same at the high end. Below zero, lye is left over whatever the oils are."""
    return equations.superfat(row.lye_share, row.high_share)


@LYE.works_out("How far", decimals=0)
def how_far(row: Any, season: Any) -> Any:
    """0 with superfat left at the careful end, 1 near it, 2 above it, 3 above the other, 4 with nothing to take it up."""
    settings = season.settings
    near = row.lye_share > row.low_share * (1 - settings.near_lye) + settings.tolerance
    above = row.lye_share > row.low_share + settings.tolerance
    beyond = row.lye_share > row.high_share + settings.tolerance
    alone = both(row.lye_share > settings.tolerance, row.high_share == 0)
    return choose(near, 1, 0) + choose(above, 1, 0) + choose(beyond, 1, 0) + choose(alone, 1, 0)


@LYE.works_out("Look at", "text")
def remark(row: Any, _: Any) -> Any:
    """Says so when too little superfat is left, or when it cannot be told."""
    known = choose(row.unknown_share > 0, 0, row.how_far)
    return pick(1 + choose(row.how_far > 0, 1, 0) + known, NOTHING, *TOLD)


def taking_records() -> list[Taking]:
    """Return the packaged ingredients whose range is known."""
    return [
        Taking(
            item=each.item,
            source=each.saponification_source,
            low=each.saponification_low,
            high=each.saponification_high,
        )
        for each in ingredients().values()
        if each.saponification_low is not None
    ]
