"""Batch lines: what really went into each batch, weighed straight or by difference, and what it cost on that day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import model_validator

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_where,
    filled_in,
    is_missing,
    largest_until,
    look_up,
    ratio,
    read_as,
    sum_where,
)
from costing.engine.table import Sheet, Table
from costing.fields.types import Key, NumberField, Record, Reference, fault, given
from costing.fields.views import OptionalNumber
from costing.tables import row_remarks
from costing.tables.row_remarks import Tests

if TYPE_CHECKING:
    from costing.tables.book import Book

NOT_IN_FORMULA = "not in the formula"
ON_SCALES = NumberField("gram", least=0)


class BatchLine(Record):
    """One thing that went into a batch."""

    batch: Key = given("Batch", "The batch it went into.", refers="batches.batch")
    item: Reference = given("Item", "A bought item, a formula, or formula/output.")
    step: Key = given("Step", "The step in which it was added.")
    grams: OptionalNumber = given(
        "Grams",
        "What went in; blank where it was weighed by difference.",
        NumberField("gram", above=0),
        default=None,
    )
    before_grams: OptionalNumber = given("Jug before", "The jug or pot with what is in it, before.", ON_SCALES, default=None)
    after_grams: OptionalNumber = given("Jug after", "The same jug or pot afterwards.", ON_SCALES, default=None)

    @model_validator(mode="after")
    def _one_way(self) -> BatchLine:
        before, after = self.before_grams, self.after_grams
        if self.grams is not None and (before is not None or after is not None):
            raise fault("grams, and a jug before or after", "write one of the two")
        if self.grams is None and (before is None or after is None):
            raise fault("neither grams nor the jug before and after", "write what went in, or both weights of the jug")
        if before is not None and after is not None and before <= after:
            raise fault(f"the jug weighs {before} before and {after} after", "write the heavier weight as before_grams")
        return self


def _names(row: BatchLineRow, season: Book) -> Tests:
    yield from row_remarks.left_empty(row, BatchLine)
    yield is_missing(season.batches.batch, row.batch), "Unknown batch"


def _grams(row: BatchLineRow, _: Book) -> Tests:
    jugs = filled_in(row.before_grams, row.after_grams)
    ways = filled_in(row.grams) * 2 + jugs
    yield both(row.used_row == 1, ways != 2), "Grams, or both jugs"
    yield both(row.used_row == 1, row.used <= 0), "Nothing went in"
    yield both(row.item != "", row.found == 0), "Unknown item"


_WRONG = ("wrong_cells", "wrong_names", "wrong_grams")


class BatchLineRow(BatchLine, Rules):
    """What went into a batch against its formula."""

    @worked("Went in", "gram")
    def used(self, _: Book) -> float:
        """The grams, or what the jug lost."""
        return self.grams + self.before_grams - self.after_grams

    @worked("Formula", "text")
    def formula(self, season: Book) -> str:
        """The formula of the batch."""
        return look_up(season.batches.formula, season.batches.batch, self.batch)

    @worked("Of the batch", shape="percent", decimals=2)
    def share(self, season: Book) -> float:
        """Its part of all that went in: the percentage to write in the formula if batches are to be made like this one."""
        return ratio(self.used, sum_where(season.batches.went_in, season.batches.batch, self.batch))

    @worked("In the formula", shape="percent", decimals=2)
    def formula_share(self, season: Book) -> float:
        """What the formula has of it in that step."""
        mine = season.making
        own = sum_where(mine.added, mine.formula, self.formula, mine.step, self.step, mine.what, self.item)
        return ratio(own, sum_where(mine.added, mine.formula, self.formula))

    @worked("Season's cost per gram", "money/gram", decimals=5)
    def standard(self, season: Book) -> float:
        """What a gram counts at in this season."""
        bought = sum_where(season.items.per_gram, season.items.item, self.item)
        return bought + sum_where(season.making.per_gram, season.making.made, self.item)

    @worked("Last bought by then", "day", shape="date")
    def bought_on(self, season: Book) -> float:
        """The newest day, up to that of the batch, on which it was paid for."""
        mine = season.purchases
        made_on = sum_where(season.batches.made_on, season.batches.batch, self.batch)
        return largest_until(mine.priced_day, mine.item, self.item, made_on)

    @worked("Came in on that day", "gram")
    def bought_grams(self, season: Book) -> float:
        """Grams that were paid for on that day."""
        mine = season.purchases
        amount = sum_where(mine.priced_amount, mine.item, self.item, mine.priced_day, self.bought_on)
        return read_as(amount, "gram")

    @worked("Cost per gram then", "money/gram", decimals=5)
    def actual(self, season: Book) -> float:
        """Its newest price on the day of the batch; for what is made, or was not bought by then, the season's cost."""
        mine = season.purchases
        landed = sum_where(mine.landed, mine.item, self.item, mine.priced_day, self.bought_on)
        return ratio(landed, self.bought_grams, self.standard)

    @worked("Cost", "money")
    def cost(self, _: Book) -> float:
        """What it cost at that price."""
        return self.used * self.actual

    @worked("At season's prices", "money")
    def at_standard(self, _: Book) -> float:
        """What it costs at the season's."""
        return self.used * self.standard

    @worked("Look at", "text", role=REMARK)
    def remark(self, _: Book) -> str:
        """Says so when the formula has no such thing in that step."""
        return choose(both(self.used > 0, self.formula_share == 0), NOT_IN_FORMULA, NOTHING)

    used_row = row_remarks.used_row(BatchLine)

    @worked("Found", decimals=0)
    def found(self, season: Book) -> float:
        """How many rows on Items and Formulas have its name."""
        return count_where(season.items.item, self.item) + count_where(season.making.made, self.item)

    wrong_cells = row_remarks.wrong_cells(BatchLine)
    wrong_names = row_remarks.says("Wrong names", "What is empty or leads nowhere.", _names)
    wrong_grams = row_remarks.says("Wrong grams", "Grams in two ways or none, and a jug that did not get lighter.", _grams)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, looks=("remark",))


BATCH_LINES = Table(
    "batch_lines",
    Sheet("Batch lines", frozen=3),
    "Batch lines",
    "What really went into each batch. To take it over into a formula, copy Of the batch into Percent on Formulas, as "
    "values.",
    BatchLineRow,
    spare=40,
    results=("used", "standard", "cost"),
)
