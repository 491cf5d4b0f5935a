"""When hours are short: what to make first, by what an own hour brings, until the hours are used."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import Figures, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    counted,
    highest_of,
    look_up,
    ratio,
    round_down,
    round_half,
    smaller,
    sum_where,
    total,
)
from costing.engine.table import FigureList, Table
from costing.fields.types import NumberField, Record, given
from costing.fields.views import Cells, Number, OptionalNumber
from costing.tables.deciding.decide_sheet import DECIDE
from costing.tables.deciding.dials import HEADINGS
from costing.tables.deciding.if_dropped import droppable_rows
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class Hours(Record):
    """How many own hours there are."""

    hours: OptionalNumber = given(
        "Own hours that there are",
        "For making and filling, this season; blank for those that the plan takes.",
        NumberField("hour", above=0),
        default=None,
    )


class HoursFigures(Hours, Figures):
    """The hours, and what they bring."""

    @worked("The plan takes", "hour", decimals=1)
    def plan(self, season: Book) -> float:
        """Hands-on time for all that is planned."""
        return total(season.droppable.hours)

    @worked("There are", "hour", decimals=1)
    def there(self, _: Book) -> float:
        """The hours above, or those of the plan."""
        return choose(self.hours > 0, self.hours, self.plan)

    @worked("First on", "text")
    def first(self, season: Book) -> str:
        """The product on which an hour brings most."""
        return look_up(season.droppable.product, season.droppable.rank, 1)

    @worked("Products planned", decimals=0)
    def products(self, season: Book) -> float:
        """How many there are to choose among."""
        return counted(season.droppable.product)

    @worked("Last on", "text")
    def last(self, season: Book) -> str:
        """The product on which it brings least."""
        mine = season.droppable
        return choose(self.products > 0, look_up(mine.product, mine.rank, self.products), NOTHING)

    @worked("They bring", "money", decimals=0)
    def brings(self, season: Book) -> float:
        """What the list below contributes to your work and the overheads."""
        return total(season.short.brings)

    @worked("One hour more would bring", "money/hour")
    def one_more(self, season: Book) -> float:
        """What is contributed in an hour on the first product that is not made in full; 0 where the hours are enough."""
        return highest_of(season.short.unmade_hour)


HOURS = FigureList(
    "hours",
    DECIDE,
    "hours_",
    HoursFigures,
    "When hours are short",
    HEADINGS,
    record=lambda _: Hours.model_construct(hours=None),
)


class Turn(Record):
    """A place in the order of making."""

    place: Number = given("Place", "First what an own hour brings most on.", NumberField("", above=0))


def _of(row: TurnRow, season: Book, values: Cells[float]) -> float:
    return sum_where(values, season.droppable.rank, row.place)


class TurnRow(Turn, Rules):
    """What is made of a product while there are hours."""

    @worked("Product", "text")
    def product(self, season: Book) -> str:
        """What is made."""
        return choose(self.place == 0, NOTHING, look_up(season.droppable.product, season.droppable.rank, self.place))

    @worked("An own hour brings", "money/hour")
    def per_hour(self, season: Book) -> float:
        """What it contributes to your work and the overheads in an hour."""
        return _of(self, season, season.droppable.per_hour)

    @worked("Planned", decimals=0)
    def planned(self, season: Book) -> float:
        """How many are planned."""
        return _of(self, season, season.droppable.planned)

    @worked("Takes", "hour", decimals=1)
    def takes(self, season: Book) -> float:
        """Own hours for all that are planned."""
        return _of(self, season, season.droppable.hours)

    @worked("Contributes", "money", decimals=0)
    def contributes(self, season: Book) -> float:
        """What all that are planned contribute."""
        return _of(self, season, season.droppable.contribution)

    @worked("Hours then left", "hour", decimals=1)
    def left(self, season: Book) -> float:
        """What those above leave of the hours."""
        return season.hours.there - total(self.above.used)

    @worked("Could be made", decimals=1)
    def possible(self, _: Book) -> float:
        """How many these hours are enough for."""
        return ratio(self.left * self.planned, self.takes, self.planned)

    @worked("Make", decimals=0)
    def make(self, season: Book) -> float:
        """How many of the plan to make, whole ones; none of what each costs more than it brings."""
        whole = round_down(round_half(self.possible, season.settings.fine_decimals), 0)
        return choose(self.contributes > 0, smaller(self.planned, whole), 0)

    @worked("In hours", "hour", decimals=1)
    def used(self, _: Book) -> float:
        """What that takes."""
        return ratio(self.make * self.takes, self.planned)

    @worked("Brings", "money", decimals=0)
    def brings(self, _: Book) -> float:
        """What that contributes."""
        return ratio(self.make * self.contributes, self.planned)

    @worked("Not made, an hour", "money/hour")
    def unmade_hour(self, _: Book) -> float:
        """What an hour brings where fewer are made than planned."""
        return choose(both(self.contributes > 0, self.make < self.planned), self.per_hour, 0)


def turn_rows(source: Source) -> list[Turn]:
    """Return as many places as products are planned."""
    return [Turn.model_construct(place=Decimal(at)) for at in range(1, len(source.of(droppable_rows)) + 1)]


SHORT = Table(
    "short",
    DECIDE,
    "What to make first",
    "Products by what an own hour on them brings, and how many to make until the hours are used.",
    TurnRow,
    spare=0,
    fixed=True,
    rows=turn_rows,
    results=("product", "per_hour", "planned", "takes", "make", "used", "brings"),
)
