"""Overheads: what the season costs whatever is made, and how it is shared among the tubs planned."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import both, choose, counted, either, is_blank, is_missing, ratio, size_of, sum_where, total
from costing.engine.table import Sheet, Table
from costing.fields.types import ChoiceField, Key, Money, NumberField, Record, given
from costing.fields.views import Cells, Number, Words
from costing.tables import equations, row_remarks
from costing.tables.ones import ONE_MONEY
from costing.tables.row_remarks import Tests
from costing.tables.usual_values import says_unusual

if TYPE_CHECKING:
    from costing.tables.book import Book

DRIVERS = ("units", "grams", "minutes")


class Overhead(Record):
    """One overhead."""

    overhead: Key = given("Overhead", "What it is for: stall, insurance, rent.")
    amount: Money = given(
        "Amount", "For the whole season, without the tax that you get back; blank where only hours.", default=Decimal(0)
    )
    hours: Number = given(
        "Hours",
        "Your own, for the whole season, at the hourly rate: market days, posting, cleaning, books.",
        NumberField("hour", least=0),
        default=Decimal(0),
    )
    shared_by: Words = given(
        "Shared by",
        "units: every tub alike; grams: by fill; minutes: by hands-on time.",
        ChoiceField(DRIVERS),
        default="units",
    )
    channel: Key = given(
        "Channel", "The only channel whose sales carry it; blank for all.", default="", refers="channels.channel"
    )


def _names(row: OverheadRow, _: Book) -> Tests:
    yield from row_remarks.left_empty(row, Overhead)
    yield from row_remarks.twice(row, "overhead")


def _empty(row: OverheadRow, _: Book) -> Tests:
    yield both(row.overhead != "", is_blank(row.amount), is_blank(row.hours)), "Without hours, amount is empty"


def _carriers(row: OverheadRow, season: Book) -> Tests:
    yield is_missing(season.channels.channel, row.channel), "Unknown channel"
    yield both(row.channel != "", row.units == 0), "Nothing is planned there"


def _doubts(row: OverheadRow, season: Book) -> Tests:
    mine, coin = season.overheads, season.settings.coin * ONE_MONEY
    is_sum = size_of(row.amount * 2 - total(mine.amount)) < coin
    yield both(row.amount > 0, is_sum, counted(mine.overhead) > 2), "The sum of the others"


_DOUBTS = ("doubt", "unusual_hours")
_WRONG = ("wrong_cells", "wrong_words", "wrong_names", "wrong_amount", "wrong_carriers")


class OverheadRow(Overhead, Rules):
    """How an overhead is shared."""

    @worked("Costs", "money")
    def cost(self, season: Book) -> float:
        """The amount, and the hours at the hourly rate."""
        return equations.overhead_cost(self.amount, self.hours, season.settings.hourly_rate)

    @worked("Own time", "minute", decimals=0)
    def time(self, _: Book) -> float:
        """The hours in minutes."""
        return self.hours * equations.MINUTES_PER_HOUR

    @worked("For all", decimals=0)
    def for_all(self, _: Book) -> float:
        """1 where all channels carry it."""
        return choose(both(self.overhead != "", self.channel == ""), 1, 0)

    @worked("Tubs that carry it", decimals=0)
    def units(self, season: Book) -> float:
        """How many are planned in its channel, or in all."""
        return _planned(self, season, season.prices.planned)

    @worked("Their fill", "gram", decimals=0)
    def grams(self, season: Book) -> float:
        """The fill of these together."""
        return _planned(self, season, season.prices.planned_grams)

    @worked("Their hands-on time", "minute", decimals=0)
    def minutes(self, season: Book) -> float:
        """The hands-on minutes in these together."""
        return _planned(self, season, season.prices.planned_minutes)

    @worked("Per unit", "money", decimals=4)
    def per_unit(self, _: Book) -> float:
        """Its part in every tub, where it is shared by units, or nothing is said."""
        return _by_units(self, self.cost) * ratio(1, self.units)

    @worked("Per gram of fill", "money/gram", decimals=6)
    def per_gram(self, _: Book) -> float:
        """Its part in every gram filled, where it is shared by grams."""
        return choose(self.shared_by == "grams", self.cost, 0) * ratio(1, self.grams)

    @worked("Per hands-on minute", "money/minute", decimals=4)
    def per_minute(self, _: Book) -> float:
        """Its part in every hands-on minute, where it is shared by minutes."""
        return choose(self.shared_by == "minutes", self.cost, 0) * ratio(1, self.minutes)

    @worked("Own time per unit", "minute", decimals=2)
    def time_per_unit(self, _: Book) -> float:
        """The part of its own time in every tub, where it is shared by units, or nothing is said."""
        return _by_units(self, self.time) * ratio(1, self.units)

    @worked("Own time per gram of fill", "minute/gram", decimals=4)
    def time_per_gram(self, _: Book) -> float:
        """The part of its own time in every gram filled, where it is shared by grams."""
        return choose(self.shared_by == "grams", self.time, 0) * ratio(1, self.grams)

    @worked("Own time per hands-on minute", decimals=4)
    def time_per_minute(self, _: Book) -> float:
        """The part of its own time in every hands-on minute, where it is shared by minutes."""
        return choose(self.shared_by == "minutes", self.time, 0) * ratio(1, self.minutes)

    @worked("Carried by the plan", "money")
    def carried(self, _: Book) -> float:
        """What the planned tubs carry of it: all of it, where anything is planned."""
        return self.per_unit * self.units + self.per_gram * self.grams + self.per_minute * self.minutes

    used_row = row_remarks.used_row(Overhead)
    wrong_cells = row_remarks.wrong_cells(Overhead)
    wrong_words = row_remarks.wrong_words(Overhead)
    wrong_names = row_remarks.says("Wrong names", "What is empty or stands there twice.", _names)
    wrong_amount = row_remarks.says("Wrong amounts", "What has neither an amount nor hours.", _empty)
    wrong_carriers = row_remarks.says("Wrongly carried", "What nothing carries.", _carriers)
    unusual_hours = says_unusual("overheads", "hours", "hours")
    doubt = row_remarks.says("Look at", "What looks like the sum of the others.", _doubts)
    looked_at = row_remarks.looked_at("overheads", "overhead")
    to_look_at = row_remarks.to_look_at(*_DOUBTS, seen=True)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, doubts=_DOUBTS)


OVERHEADS = Table(
    "overheads",
    Sheet("Overheads", everyday=True),
    "Overheads",
    "The season's costs and hours that no single tub causes, shared among the tubs planned on Prices. Without tax got back.",
    OverheadRow,
    results=("cost", "per_unit", "per_gram", "per_minute", "carried"),
)


def _planned(row: OverheadRow, season: Book, planned: Cells[float]) -> float:
    carriers = choose(row.channel == "", total(planned), sum_where(planned, season.prices.channel, row.channel))
    return choose(row.overhead == "", 0, carriers)


def _by_units(row: OverheadRow, whole: float) -> float:
    return choose(either(row.shared_by == "units", row.shared_by == ""), whole, 0)
