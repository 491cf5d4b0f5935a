"""Batches: what one batch really yielded, took and cost, against what its formula says.

The cost of a batch differs from its standard by price, usage and time; usage is mix and yield together. A figure above
zero made the batch dearer. Power is not measured batch by batch: it counts as the formula has it for what was put in.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from costing.engine.operations import NOTHING, both, choose, pick, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import Day, Key, NumberField, Record, given
from costing.tables import equations

RUINED, GAINED = "ruined", "more out than in"


class Batch(Record):
    """One batch that was made."""

    batch: Key = given("Batch", "The key under which batch lines name it.")
    formula: Key = given("Formula", "What was made.", refers="making.formula")
    made_on: Day = given("Made on", "The day.")
    grams_out: Annotated[Decimal | None, NumberField("gram", least=0, suffix="g")] = given(
        "Came out", "What it weighs when done, trimmings and all; 0 or blank for a ruined batch.", default=None
    )
    minutes: Annotated[Decimal | None, NumberField("minute", least=0, suffix="min")] = given(
        "Minutes", "Hands-on minutes it took; blank for the formula's, by what was put in.", default=None
    )


BATCHES = Table(
    "batches",
    "Batches",
    "Batches",
    "What batches really yielded and cost, against their formulas. Above zero, a difference made the batch dearer. What "
    "went in stands on Batch lines. A ruined batch is the season's loss and in no tub's cost.",
    Batch,
)


def _card(row: Any, season: Any, key: str, kind: str) -> Any:
    mine = season.making
    return sum_where(getattr(mine, key), mine.formula, row.formula, mine.row, kind)


def _lines(row: Any, season: Any, key: str) -> Any:
    return sum_where(getattr(season.batch_lines, key), season.batch_lines.batch, row.batch)


def _part_of(whole: Any, grams: Any, all_grams: Any) -> Any:
    """Return what falls to some grams, where the whole falls to all."""
    return ratio(grams * whole, all_grams)


def _if_something_came_out(row: Any, amount: Any) -> Any:
    return choose(row.grams_out > 0, amount, 0)


@BATCHES.works_out("Went in", "gram", decimals=1)
def went_in(row: Any, season: Any) -> Any:
    """All that was put in."""
    return _lines(row, season, "used")


@BATCHES.works_out("Lost", shape="percent")
def loss(row: Any, _: Any) -> Any:
    """The part of it that did not come out."""
    return equations.lost_part(row.went_in, row.grams_out, choose(row.went_in == 0, 0, 1))


@BATCHES.works_out("Formula puts in", "gram", decimals=1)
def formula_in(row: Any, season: Any) -> Any:
    """What goes into a batch of the formula."""
    return _card(row, season, "added", "line")


@BATCHES.works_out("Formula yields", "gram", decimals=1)
def formula_out(row: Any, season: Any) -> Any:
    """What is left of it."""
    return _card(row, season, "yields", "yield")


@BATCHES.works_out("Formula loses", shape="percent")
def formula_loss(row: Any, _: Any) -> Any:
    """The part that the formula's steps lose."""
    return equations.lost_part(row.formula_in, row.formula_out, choose(row.formula_in == 0, 0, 1))


@BATCHES.works_out("Allowed in", "gram", decimals=1)
def allowed_in(row: Any, _: Any) -> Any:
    """What the formula would have put in for what came out."""
    return _part_of(row.formula_in, row.grams_out, row.formula_out)


@BATCHES.works_out("Formula's minutes", "minute", decimals=1)
def formula_minutes(row: Any, season: Any) -> Any:
    """Hands-on minutes of the formula's own steps."""
    return _card(row, season, "minutes", "step")


@BATCHES.works_out("Minutes counted", "minute", decimals=1)
def minutes_used(row: Any, _: Any) -> Any:
    """The minutes it took; where none are written, the formula's for what was put in."""
    planned = _part_of(row.formula_minutes, row.went_in, row.formula_in)
    return choose(row.minutes > 0, row.minutes, planned)


@BATCHES.works_out("Minutes allowed", "minute", decimals=1)
def minutes_allowed(row: Any, _: Any) -> Any:
    """The formula's minutes for what came out."""
    return _part_of(row.formula_minutes, row.grams_out, row.formula_out)


@BATCHES.works_out("Power", "money")
def power(row: Any, season: Any) -> Any:
    """The formula's own power for what was put in."""
    return _part_of(_card(row, season, "power", "step"), row.went_in, row.formula_in)


@BATCHES.works_out("Formula's gram put in", "money/gram", decimals=5)
def gram_in(row: Any, season: Any) -> Any:
    """What a gram of the formula's own mix costs with its power."""
    return ratio(_card(row, season, "cost", "line") + _card(row, season, "power", "step"), row.formula_in)


@BATCHES.works_out("At season's prices", "money")
def at_standard(row: Any, season: Any) -> Any:
    """What was put in at the prices that the season counts at, with the power."""
    return _lines(row, season, "at_standard") + row.power


@BATCHES.works_out("Cost", "money")
def cost(row: Any, season: Any) -> Any:
    """What the batch really cost: what was put in at the prices of that day, power, and the minutes."""
    return _lines(row, season, "cost") + row.power + equations.wage(row.minutes_used, season.settings.hourly_rate)


@BATCHES.works_out("Standard", "money")
def standard(row: Any, season: Any) -> Any:
    """What came out, at the formula's cost per gram."""
    return row.grams_out * sum_where(season.making.per_gram, season.making.made, row.formula)


@BATCHES.works_out("Price", "money")
def price(row: Any, season: Any) -> Any:
    """Of the difference, what the prices of that day did against those that the season counts at."""
    return _if_something_came_out(row, _lines(row, season, "cost") + row.power - row.at_standard)


@BATCHES.works_out("Usage", "money")
def usage(row: Any, _: Any) -> Any:
    """Of the difference, what grams put in beyond those allowed did: mix and yield together."""
    return _if_something_came_out(row, row.at_standard - row.allowed_in * row.gram_in)


@BATCHES.works_out("Mix", "money")
def mix(row: Any, _: Any) -> Any:
    """Of usage, what putting in dearer or cheaper things than the formula's mix did."""
    return _if_something_came_out(row, row.at_standard - row.went_in * row.gram_in)


@BATCHES.works_out("Yield", "money")
def yielded(row: Any, _: Any) -> Any:
    """Of usage, what losing more or less than the formula did, at the formula's gram put in."""
    return _if_something_came_out(row, (row.went_in - row.allowed_in) * row.gram_in)


@BATCHES.works_out("Time", "money")
def time(row: Any, season: Any) -> Any:
    """Of the difference, what minutes beyond those allowed did."""
    return _if_something_came_out(row, equations.wage(row.minutes_used - row.minutes_allowed, season.settings.hourly_rate))


@BATCHES.works_out("Ruined", "money")
def lost(row: Any, _: Any) -> Any:
    """The whole cost of a batch from which nothing came out: the season's loss, in no tub's cost."""
    return choose(row.grams_out > 0, 0, row.cost)


@BATCHES.works_out("Above standard", "money")
def difference(row: Any, _: Any) -> Any:
    """What the batch cost above its standard: price, usage and time together, or all that was ruined."""
    return row.cost - row.standard


@BATCHES.works_out("Really per gram", "money/gram", decimals=5)
def per_gram(row: Any, _: Any) -> Any:
    """What a gram of the batch really cost."""
    return _if_something_came_out(row, ratio(row.cost, row.grams_out))


@BATCHES.works_out("Look at", "text")
def remark(row: Any, _: Any) -> Any:
    """Says so when a batch was ruined, or weighs more than what went in."""
    ruined = both(row.batch != "", row.grams_out == 0)
    return pick(1 + choose(ruined, 1, 0) + choose(row.grams_out > row.went_in, 2, 0), NOTHING, RUINED, GAINED)
