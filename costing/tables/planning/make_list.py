"""What to make: the formulas of the plan in the order of starting, and the tubs that are still to be filled."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import NOTHING, choose, look_up, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, NumberField, Record, given
from costing.fields.views import Cells, Number
from costing.tables.lookups import of_product
from costing.tables.planning.plan import plan_rows
from costing.tables.planning.shopping_list import BUYING_SHEET
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class Turn(Record):
    """One place in the order of starting."""

    turn: Number = given("Turn", "The first to begin stands first.", NumberField("", above=0))


class TurnRow(Turn, Rules):
    """The formula whose turn it is."""

    @worked("Make", "text")
    def formula(self, season: Book) -> str:
        """The formula; those of which nothing is to be made stand last."""
        return look_up(season.plan.formula, season.plan.rank, self.turn)

    @worked("Start by", "day", shape="date")
    def start_by(self, season: Book) -> float:
        """The last day to begin, so that all is ready in time, with all waiting in what is made from it."""
        return _of_turn(self, season, season.plan.start_by)

    @worked("Batches", decimals=0)
    def batches(self, season: Book) -> float:
        """Whole batches."""
        return _of_turn(self, season, season.plan.whole)

    @worked("Of these needed", decimals=3)
    def exact(self, season: Book) -> float:
        """How many batches the plan takes exactly."""
        return _of_turn(self, season, season.plan.exact)

    @worked("They yield", "gram", decimals=0)
    def makes(self, season: Book) -> float:
        """Grams that these batches yield."""
        return _of_turn(self, season, season.plan.makes)

    @worked("Left over", "gram", decimals=0)
    def left(self, season: Book) -> float:
        """Grams that nobody asks for; From plan to pot has them output by output."""
        return _of_turn(self, season, season.plan.left)

    @worked("Left over, at cost", "money")
    def left_cost(self, season: Book) -> float:
        """What they cost."""
        return _of_turn(self, season, season.plan.left_cost)

    @worked("Hands-on", "minute", decimals=0)
    def minutes(self, season: Book) -> float:
        """Hands-on minutes of its own steps for all batches."""
        return _of_turn(self, season, season.plan.minutes)

    @worked("Possible now", decimals=0)
    def possible(self, season: Book) -> float:
        """How many batches can be made at once of what is on hand."""
        return _of_turn(self, season, season.plan.possible)

    @worked("What stops more", "text")
    def stopped_by(self, season: Book) -> str:
        """What there is too little of for all its batches; nothing where there is enough for all."""
        stopped = look_up(season.making.what, season.making.stops, self.formula)
        return choose(self.possible < self.batches, stopped, NOTHING)

    @worked("Look at", "text", role=REMARK)
    def told(self, season: Book) -> str:
        """What is to be looked at: a start that is past, or much that is left over of one of its outputs."""
        return look_up(season.plan.told, season.plan.rank, self.turn)


def _of_turn(row: TurnRow, season: Book, values: Cells[float]) -> float:
    return sum_where(values, season.plan.rank, row.turn)


def turn_rows(source: Source) -> list[Turn]:
    """Return a place for every formula."""
    formulas = dict.fromkeys(row.formula for row in source.of(plan_rows))
    return [Turn.model_construct(turn=Decimal(at)) for at in range(1, len(formulas) + 1)]


TURNS = Table(
    "turns",
    BUYING_SHEET,
    "What to make, in the order of starting",
    "Whole batches of every formula, so that the plan on Prices can be filled.",
    TurnRow,
    spare=0,
    fixed=True,
    rows=turn_rows,
)


class ToFill(Record):
    """One product."""

    product: Key = given("Product", "What is sold.")


class ToFillRow(ToFill, Rules):
    """How many of it are still to be filled."""

    @worked("Planned", decimals=0)
    def planned(self, season: Book) -> float:
        """How many are planned for the season."""
        return of_product(self.product, season, season.products.planned)

    @worked("On hand", decimals=0)
    def on_hand(self, season: Book) -> float:
        """How many are there already, by Made."""
        return of_product(self.product, season, season.products.on_hand)

    @worked("To fill", decimals=0)
    def to_make(self, season: Book) -> float:
        """How many are still to be filled."""
        return of_product(self.product, season, season.products.to_make)

    @worked("Takes", "gram", decimals=0)
    def to_fill(self, season: Book) -> float:
        """What filling these takes, with what is lost while filling."""
        return of_product(self.product, season, season.products.to_fill)

    @worked("Hands-on", "minute", decimals=0)
    def minutes(self, season: Book) -> float:
        """Minutes to fill and pack these."""
        return self.to_make * of_product(self.product, season, season.products.minutes)


def to_fill_rows(source: Source) -> list[ToFill]:
    """Return every product."""
    return [ToFill.model_construct(product=row.product) for row in source.records.products]


TO_FILL = Table(
    "filling",
    BUYING_SHEET,
    "What to fill",
    "The tubs of the plan that are not there yet.",
    ToFillRow,
    spare=0,
    fixed=True,
    rows=to_fill_rows,
)
