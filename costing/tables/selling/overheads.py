"""Overheads: what the season costs whatever is made, and how it is shared among the tubs planned."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import both, choose, counted, either, ratio, size_of, total
from costing.engine.table import Sheet, Table
from costing.fields.types import ChoiceField, Key, Money, Record, given
from costing.fields.views import Words
from costing.tables import row_remarks
from costing.tables.ones import ONE_MONEY
from costing.tables.row_remarks import Tests

if TYPE_CHECKING:
    from costing.tables.book import Book

DRIVERS = ("units", "grams", "minutes")


class Overhead(Record):
    """One overhead."""

    overhead: Key = given("Overhead", "What it is for: stall, insurance, rent.")
    amount: Money = given("Amount", "For the whole season.")
    shared_by: Words = given(
        "Shared by",
        "units: every tub alike; grams: by fill; minutes: by hands-on time.",
        ChoiceField(DRIVERS),
        default="units",
    )


def _names(row: OverheadRow, _: Book) -> Tests:
    yield from row_remarks.left_empty(row, Overhead)
    yield from row_remarks.twice(row, "overhead")


def _doubts(row: OverheadRow, season: Book) -> Tests:
    mine, coin = season.overheads, season.settings.coin * ONE_MONEY
    is_sum = size_of(row.amount * 2 - total(mine.amount)) < coin
    yield both(row.amount > 0, is_sum, counted(mine.overhead) > 2), "The sum of the others"


_WRONG = ("wrong_cells", "wrong_words", "wrong_names")


class OverheadRow(Overhead, Rules):
    """How an overhead is shared."""

    @worked("Per unit", "money", decimals=4)
    def per_unit(self, season: Book) -> float:
        """Its part in every tub, where it is shared by units, or nothing is said."""
        return choose(either(self.shared_by == "units", self.shared_by == ""), self.amount, 0) * ratio(
            1, total(season.products.planned)
        )

    @worked("Per gram of fill", "money/gram", decimals=6)
    def per_gram(self, season: Book) -> float:
        """Its part in every gram filled, where it is shared by grams."""
        return choose(self.shared_by == "grams", self.amount, 0) * ratio(1, total(season.products.planned_grams))

    @worked("Per hands-on minute", "money/minute", decimals=4)
    def per_minute(self, season: Book) -> float:
        """Its part in every hands-on minute, where it is shared by minutes."""
        return choose(self.shared_by == "minutes", self.amount, 0) * ratio(1, total(season.products.planned_minutes))

    @worked("Carried by the plan", "money")
    def carried(self, season: Book) -> float:
        """What the planned tubs carry of it: all of it, where anything is planned."""
        mine = season.products
        return (
            self.per_unit * total(mine.planned)
            + self.per_gram * total(mine.planned_grams)
            + self.per_minute * total(mine.planned_minutes)
        )

    used_row = row_remarks.used_row(Overhead)
    wrong_cells = row_remarks.wrong_cells(Overhead)
    wrong_words = row_remarks.wrong_words(Overhead)
    wrong_names = row_remarks.says("Wrong names", "What is empty or stands there twice.", _names)
    doubt = row_remarks.says("Look at", "What looks like the sum of the others.", _doubts)
    looked_at = row_remarks.looked_at("overheads", "overhead")
    to_look_at = row_remarks.to_look_at("doubt", seen=True)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, doubts=("doubt",))


OVERHEADS = Table(
    "overheads",
    Sheet("Overheads", everyday=True),
    "Overheads",
    "The season's costs that no single tub causes, shared among the tubs planned on Prices.",
    OverheadRow,
    results=("per_unit", "per_gram", "per_minute", "carried"),
)
