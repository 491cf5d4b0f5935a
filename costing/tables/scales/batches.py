"""Batches: what one batch really yielded, took and cost, against what its formula says.

The cost of a batch differs from its standard by price, usage and time; usage is mix and yield together. A figure above
zero made the batch dearer. Power is not measured batch by batch: it counts as the formula has it for what was put in.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import NOTHING, both, choose, either, is_blank, is_missing, pick, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import Day, Key, NumberField, Record, given
from costing.fields.views import Cells, OptionalNumber
from costing.tables import equations, row_remarks
from costing.tables.row_remarks import Tests

if TYPE_CHECKING:
    from costing.tables.book import Book

RUINED, GAINED = "ruined", "more out than in"


class Batch(Record):
    """One batch that was made."""

    batch: Key = given("Batch", "The key under which batch lines name it.")
    formula: Key = given("Formula", "What was made.", refers="making.formula")
    made_on: Day = given("Made on", "The day.")
    grams_out: OptionalNumber = given(
        "Came out",
        "What it weighs when done, trimmings and all; 0 or blank for a ruined batch.",
        NumberField("gram", least=0),
        default=None,
    )
    minutes: OptionalNumber = given(
        "Minutes",
        "Hands-on minutes it took; blank for the formula's, by what was put in.",
        NumberField("minute", least=0),
        default=None,
    )


def _card(row: BatchRow, season: Book, values: Cells[float], kind: str) -> float:
    mine = season.making
    return sum_where(values, mine.formula, row.formula, mine.row, kind)


def _lines(row: BatchRow, season: Book, values: Cells[float]) -> float:
    return sum_where(values, season.batch_lines.batch, row.batch)


def _part_of(whole: float, grams: float, all_grams: float) -> float:
    """Return what falls to some grams, where the whole falls to all."""
    return ratio(grams * whole, all_grams)


def _if_something_came_out(row: BatchRow, amount: float) -> float:
    return choose(row.grams_out > 0, amount, 0)


def _names(row: BatchRow, season: Book) -> Tests:
    yield from row_remarks.left_empty(row, Batch)
    yield is_missing(season.making.formula, row.formula), "Unknown formula"


def _keys(row: BatchRow, season: Book) -> Tests:
    yield from row_remarks.badly_named(row)
    yield is_missing(season.batch_lines.batch, row.batch), "No lines"


def _again(row: BatchRow, _: Book) -> Tests:
    yield from row_remarks.twice(row, "batch")


_WRONG = ("wrong_cells", "wrong_names", "wrong_key", "wrong_again")


class BatchRow(Batch, Rules):
    """What a batch cost against its formula."""

    @worked("Went in", "gram", decimals=1)
    def went_in(self, season: Book) -> float:
        """All that was put in."""
        return _lines(self, season, season.batch_lines.used)

    @worked("Lost", shape="percent")
    def loss(self, _: Book) -> float:
        """The part of it that did not come out."""
        return equations.lost_part(self.went_in, self.grams_out, choose(self.went_in == 0, 0, 1))

    @worked("Formula puts in", "gram", decimals=1)
    def formula_in(self, season: Book) -> float:
        """What goes into a batch of the formula."""
        return _card(self, season, season.making.added, "line")

    @worked("Formula yields", "gram", decimals=1)
    def formula_out(self, season: Book) -> float:
        """What is left of it."""
        return _card(self, season, season.making.yields, "yield")

    @worked("Formula loses", shape="percent")
    def formula_loss(self, _: Book) -> float:
        """The part that the formula's steps lose."""
        return equations.lost_part(self.formula_in, self.formula_out, choose(self.formula_in == 0, 0, 1))

    @worked("Allowed in", "gram", decimals=1)
    def allowed_in(self, _: Book) -> float:
        """What the formula would have put in for what came out."""
        return _part_of(self.formula_in, self.grams_out, self.formula_out)

    @worked("Formula's minutes", "minute", decimals=1)
    def formula_minutes(self, season: Book) -> float:
        """Hands-on minutes of the formula's own steps."""
        return _card(self, season, season.making.minutes, "step")

    @worked("Minutes allowed", "minute", decimals=1)
    def minutes_allowed(self, _: Book) -> float:
        """The formula's minutes for what came out."""
        return _part_of(self.formula_minutes, self.grams_out, self.formula_out)

    @worked("Minutes if none are written", "minute", decimals=1)
    def minutes_assumed(self, _: Book) -> float:
        """Those allowed, so that they make no difference; for a ruined batch the formula's for what was put in."""
        put_in = _part_of(self.formula_minutes, self.went_in, self.formula_in)
        return choose(self.grams_out > 0, self.minutes_allowed, put_in)

    @worked("Minutes counted", "minute", decimals=1)
    def minutes_used(self, _: Book) -> float:
        """The minutes it took: 0 is none, a blank those that the formula tells."""
        return choose(is_blank(self.minutes), self.minutes_assumed, self.minutes)

    @worked("Power", "money")
    def power(self, season: Book) -> float:
        """The formula's own power for what was put in."""
        return _part_of(_card(self, season, season.making.power, "step"), self.went_in, self.formula_in)

    @worked("Formula's gram put in", "money/gram", decimals=5)
    def gram_in(self, season: Book) -> float:
        """What a gram of the formula's own mix costs with its power."""
        return ratio(
            _card(self, season, season.making.cost, "line") + _card(self, season, season.making.power, "step"),
            self.formula_in,
        )

    @worked("At season's prices", "money")
    def at_standard(self, season: Book) -> float:
        """What was put in at the prices that the season counts at, with the power."""
        return _lines(self, season, season.batch_lines.at_standard) + self.power

    @worked("Cost", "money")
    def cost(self, season: Book) -> float:
        """What the batch really cost: what was put in at the prices of that day, power, and the minutes."""
        return (
            _lines(self, season, season.batch_lines.cost)
            + self.power
            + equations.wage(self.minutes_used, season.settings.hourly_rate)
        )

    @worked("Standard", "money")
    def standard(self, season: Book) -> float:
        """What came out, at the formula's cost per gram."""
        return self.grams_out * sum_where(season.making.per_gram, season.making.made, self.formula)

    @worked("Price", "money")
    def price(self, season: Book) -> float:
        """Of the difference, what the prices of that day did against those that the season counts at."""
        return _if_something_came_out(self, _lines(self, season, season.batch_lines.cost) + self.power - self.at_standard)

    @worked("Usage", "money")
    def usage(self, _: Book) -> float:
        """Of the difference, what grams put in beyond those allowed did: mix and yield together."""
        return _if_something_came_out(self, self.at_standard - self.allowed_in * self.gram_in)

    @worked("Mix", "money")
    def mix(self, _: Book) -> float:
        """Of usage, what putting in dearer or cheaper things than the formula's mix did."""
        return _if_something_came_out(self, self.at_standard - self.went_in * self.gram_in)

    @worked("Yield", "money")
    def yielded(self, _: Book) -> float:
        """Of usage, what losing more or less than the formula did, at the formula's gram put in."""
        return _if_something_came_out(self, (self.went_in - self.allowed_in) * self.gram_in)

    @worked("Time", "money")
    def time(self, season: Book) -> float:
        """Of the difference, what minutes beyond those allowed did."""
        return _if_something_came_out(
            self, equations.wage(self.minutes_used - self.minutes_allowed, season.settings.hourly_rate)
        )

    @worked("Ruined", "money")
    def lost(self, _: Book) -> float:
        """The whole cost of a batch from which nothing came out: the season's loss, in no tub's cost."""
        return choose(self.grams_out > 0, 0, self.cost)

    @worked("Of this season", decimals=0)
    def of_season(self, season: Book) -> float:
        """1 for a batch made since the season began."""
        return choose(either(self.batch == "", self.made_on < season.settings.began_on), 0, 1)

    @worked("Ruined this season", "money")
    def lost_now(self, _: Book) -> float:
        """What a batch ruined since the season began takes from its profit."""
        return self.of_season * self.lost

    @worked("Minutes ruined this season", "minute", decimals=1)
    def minutes_lost(self, _: Book) -> float:
        """The hands-on minutes in it."""
        return choose(self.lost_now > 0, self.minutes_used, 0)

    @worked("Above standard", "money")
    def difference(self, _: Book) -> float:
        """What the batch cost above its standard: price, usage and time together, or all that was ruined."""
        return self.cost - self.standard

    @worked("Really per gram", "money/gram", decimals=5)
    def per_gram(self, _: Book) -> float:
        """What a gram of the batch really cost."""
        return _if_something_came_out(self, ratio(self.cost, self.grams_out))

    @worked("Look at", "text", role=REMARK)
    def remark(self, _: Book) -> str:
        """Says so when a batch of this season was ruined, or weighs more than what went in."""
        ruined = both(self.batch != "", self.grams_out == 0)
        place = choose(ruined, 1, 0) + choose(self.grams_out > self.went_in, 2, 0)
        return pick(1 + self.of_season * place, NOTHING, RUINED, GAINED)

    name_flaws = row_remarks.name_flaws("batch")
    used_row = row_remarks.used_row(Batch)
    wrong_cells = row_remarks.wrong_cells(Batch)
    wrong_names = row_remarks.says(
        "Wrong names", "What is empty, leads nowhere, has no lines or stands there twice.", _names
    )
    wrong_key = row_remarks.says("Wrong keys", "Names that a sheet takes for something else.", _keys)
    wrong_again = row_remarks.says("Wrongly again", "What stands there twice.", _again)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, looks=("remark",))


BATCHES = Table(
    "batches",
    "Batches",
    "Batches",
    "What batches really yielded and cost, against their formulas. Above zero, a difference made the batch dearer. What "
    "went in stands on Batch lines. A ruined batch is in no tub's cost; it comes off its season's profit.",
    BatchRow,
    results=("loss", "standard", "cost", "difference", "lost", "per_gram"),
)
