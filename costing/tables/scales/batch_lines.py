"""Batch lines: what really went into each batch, weighed straight or by difference, and what it cost on that day."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import model_validator

from costing.engine.operations import NOTHING, both, choose, count_where, largest_until, look_up, ratio, read_as, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, NumberField, Record, Reference, fault, given

NOT_IN_FORMULA = "not in the formula"

OnScales = Annotated[Decimal | None, NumberField("gram", least=0, suffix="g")]


class BatchLine(Record):
    """One thing that went into a batch."""

    batch: Key = given("Batch", "The batch it went into.", refers="batches.batch")
    item: Reference = given("Item", "A bought item, a formula, or formula/output.")
    step: Key = given("Step", "The step in which it was added.")
    grams: Annotated[Decimal | None, NumberField("gram", above=0, suffix="g")] = given(
        "Grams", "What went in; blank where it was weighed by difference.", default=None
    )
    before_grams: OnScales = given("Jug before", "The jug or pot with what is in it, before.", default=None)
    after_grams: OnScales = given("Jug after", "The same jug or pot afterwards.", default=None)

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


BATCH_LINES = Table(
    "batch_lines",
    "Batch lines",
    "Batch lines",
    "What really went into each batch. To take it over into a formula, copy Of the batch into Percent on Formulas, as "
    "values.",
    BatchLine,
    spare=40,
)


@BATCH_LINES.works_out("Went in", "gram")
def used(row: Any, _: Any) -> Any:
    """The grams, or what the jug lost."""
    return row.grams + row.before_grams - row.after_grams


@BATCH_LINES.works_out("Formula", "text")
def formula(row: Any, season: Any) -> Any:
    """The formula of the batch."""
    mine = season.batches
    return choose(count_where(mine.batch, row.batch) == 0, NOTHING, look_up(mine.formula, mine.batch, row.batch))


@BATCH_LINES.works_out("Of the batch", shape="percent", decimals=2)
def share(row: Any, season: Any) -> Any:
    """Its part of all that went in: the percentage to write in the formula if batches are to be made like this one."""
    return ratio(row.used, sum_where(season.batches.went_in, season.batches.batch, row.batch))


@BATCH_LINES.works_out("In the formula", shape="percent", decimals=2)
def formula_share(row: Any, season: Any) -> Any:
    """What the formula has of it in that step."""
    mine = season.making
    own = sum_where(mine.added, mine.formula, row.formula, mine.step, row.step, mine.what, row.item, mine.row, "line")
    return ratio(own, sum_where(mine.added, mine.formula, row.formula))


@BATCH_LINES.works_out("Season's cost per gram", "money/gram", decimals=5)
def standard(row: Any, season: Any) -> Any:
    """What a gram counts at in this season."""
    bought = sum_where(season.items.per_gram, season.items.item, row.item)
    return bought + sum_where(season.making.per_gram, season.making.made, row.item)


@BATCH_LINES.works_out("Last bought by then", "day", shape="date")
def bought_on(row: Any, season: Any) -> Any:
    """The newest day, up to that of the batch, on which it was paid for."""
    mine = season.purchases
    made_on = sum_where(season.batches.made_on, season.batches.batch, row.batch)
    return largest_until(mine.priced_day, mine.item, row.item, made_on)


@BATCH_LINES.works_out("Came in on that day", "gram")
def bought_grams(row: Any, season: Any) -> Any:
    """Grams that were paid for on that day."""
    mine = season.purchases
    amount = sum_where(mine.priced_amount, mine.item, row.item, mine.priced_day, row.bought_on)
    return read_as(amount, "gram")


@BATCH_LINES.works_out("Cost per gram then", "money/gram", decimals=5)
def actual(row: Any, season: Any) -> Any:
    """Its newest price on the day of the batch; for what is made, or was not bought by then, the season's cost."""
    mine = season.purchases
    landed = sum_where(mine.landed, mine.item, row.item, mine.priced_day, row.bought_on)
    return ratio(landed, row.bought_grams, row.standard)


@BATCH_LINES.works_out("Cost", "money")
def cost(row: Any, _: Any) -> Any:
    """What it cost at that price."""
    return row.used * row.actual


@BATCH_LINES.works_out("At season's prices", "money")
def at_standard(row: Any, _: Any) -> Any:
    """What it costs at the season's."""
    return row.used * row.standard


@BATCH_LINES.works_out("Look at", "text")
def remark(row: Any, _: Any) -> Any:
    """Says so when the formula has no such thing in that step."""
    return choose(both(row.used > 0, row.formula_share == 0), NOT_IN_FORMULA, NOTHING)
