"""Products: a tub filled and ready to sell, and everything that one costs."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    either,
    is_missing,
    larger,
    round_half,
    round_up,
    sum_where,
)
from costing.engine.table import Sheet, Table
from costing.fields.types import Grams, Key, Minutes, NumberField, PercentField, Record, Reference, Text, given
from costing.fields.views import Cells, Number, OptionalNumber
from costing.tables import equations, row_remarks
from costing.tables.lookups import of_all, of_made
from costing.tables.row_remarks import Tests
from costing.tables.usual_values import says_unusual

if TYPE_CHECKING:
    from costing.tables.book import Book


class Product(Record):
    """One product."""

    product: Key = given("Product", "What it is called in prices.")
    name: Text = given("Name", "A longer name, for shelf cards; blank where there is none.", default="")
    filled_with: Reference = given("Filled with", "A formula, or formula/output.", refers="fillings.what")
    tub: Key = given("Tub", "The package.", refers="tubs.tub")
    fill_grams: Grams = given("Fill", "What is filled in.")
    label_grams: OptionalNumber = given(
        "Label", "The weight on the label; blank for the fill.", NumberField("gram", above=0), default=None
    )
    minutes: Minutes = given("Minutes", "Hands-on minutes to fill, label and pack one.", default=Decimal(0))
    waste_percent: Number = given("Waste", "Lost while filling.", PercentField(most=99), default=Decimal(0))
    unsold_percent: Number = given(
        "Unsold",
        "The part of those made that is not sold: testers, gifts, spoilt, left over.",
        PercentField(most=99),
        default=Decimal(0),
    )
    carton: OptionalNumber = given(
        "In a carton", "How many go in a carton to shops; blank where none does.", NumberField("", above=0), default=None
    )


OVER_LABELLED = "label above fill"


def _empty(row: ProductRow, _: Book) -> Tests:
    yield from row_remarks.left_empty(row, Product)
    yield from row_remarks.twice(row, "product")


def _names(row: ProductRow, season: Book) -> Tests:
    yield is_missing(season.making.found_as, row.filled_with), "Unknown filling"
    yield is_missing(season.tubs.tub, row.tub), "Unknown tub"


def _keys(row: ProductRow, _: Book) -> Tests:
    yield from row_remarks.badly_named(row)
    yield from row_remarks.zeros(row, "fill_grams")
    yield either(row.waste_percent == 1, row.unsold_percent == 1), "Nothing is left to sell"


def _doubts(row: ProductRow, season: Book) -> Tests:
    rules, label, fill = season.settings, row.on_label, row.fill_grams
    yield either(fill > label * rules.overfill, fill < label * rules.underfill), "Fill unlike label"
    yield both(row.product != "", row.minutes == 0, season.beside.without_minutes == 1), "No minutes, unlike others"


_DOUBTS = ("doubt", "unusual_fill", "unusual_minutes", "unusual_waste", "unusual_unsold")
_WRONG = ("wrong_cells", "wrong_empty", "wrong_names", "wrong_key")


class ProductRow(Product, Rules):
    """What one of a product costs, part by part."""

    @worked("Found as", "text")
    def found_as(self, _: Book) -> str:
        """The same key, under a heading that is none itself: where it is looked for, the heading counts as a row."""
        return choose(self.product == "", NOTHING, self.product)

    @worked("Shown as", "text")
    def shown_as(self, _: Book) -> str:
        """Its longer name, or what it is called everywhere where none is written."""
        return choose(self.name == "", self.found_as, self.name)

    @worked("Used", "gram", decimals=1)
    def used(self, _: Book) -> float:
        """What filling one takes, with what is lost while filling."""
        return equations.weight_used(self.fill_grams, self.waste_percent)

    @worked("Materials", "money")
    def materials(self, season: Book) -> float:
        """Bought things in the filling."""
        return _of_formula(self, season, season.making.gram_materials)

    @worked("Packaging", "money")
    def packaging(self, season: Book) -> float:
        """All parts of the tub."""
        return sum_where(season.tubs.cost, season.tubs.tub, self.tub)

    @worked("Work", "money")
    def work(self, season: Book) -> float:
        """Work in the filling, and the minutes for this one tub at the hourly rate."""
        return _of_formula(self, season, season.making.gram_work) + equations.wage(self.minutes, season.settings.hourly_rate)

    @worked("Power", "money")
    def power(self, season: Book) -> float:
        """Power in the filling."""
        return _of_formula(self, season, season.making.gram_power)

    @worked("Hands-on", "minute", decimals=1)
    def hands_on(self, season: Book) -> float:
        """All hands-on minutes in one, from the bar to the label."""
        return self.minutes + _of_formula(self, season, season.making.gram_minutes)

    @worked("Made for one sold", decimals=4)
    def made_for_one(self, _: Book) -> float:
        """How many are made for each one that is sold."""
        return choose(self.product == "", 0, equations.made_for_one(self.unsold_percent))

    @worked("Cost to make one", "money")
    def made_cost(self, _: Book) -> float:
        """Materials, packaging, work and power, without overheads: what one that is on hand cost."""
        return self.materials + self.packaging + self.work + self.power

    @worked("For those unsold", "money")
    def unsold(self, _: Book) -> float:
        """What each one sold bears of those that are made and not sold."""
        return equations.borne_by_sold(self.made_cost, self.made_for_one)

    @worked("Paid out for one", "money")
    def cash_cost(self, _: Book) -> float:
        """Materials, packaging and power of one sold, with those unsold: without your own work and overheads."""
        return (self.materials + self.packaging + self.power) * self.made_for_one

    @worked("Cost but overheads", "money")
    def direct(self, _: Book) -> float:
        """Materials, packaging, work and power of one sold, with those unsold."""
        return self.made_cost + self.unsold

    @worked("Work in it, with unsold", "money")
    def making_work(self, _: Book) -> float:
        """Work in one sold, with that in those unsold."""
        return self.work * self.made_for_one

    @worked("Hands-on, with unsold", "minute", decimals=1)
    def making_time(self, _: Book) -> float:
        """Hands-on minutes in one sold, with those in the unsold."""
        return self.hands_on * self.made_for_one

    @worked("Planned", decimals=0)
    def planned(self, season: Book) -> float:
        """How many are to be sold this season, over all channels."""
        return sum_where(season.prices.planned, season.prices.product, self.product)

    @worked("Made already", decimals=0)
    def on_hand(self, season: Book) -> float:
        """How many are there already, by Made."""
        return of_made(self.product, season)

    @worked("Made for the plan", decimals=1)
    def made(self, _: Book) -> float:
        """How many the plan takes, with those that are not sold."""
        return self.planned * self.made_for_one

    @worked("To make", decimals=0)
    def to_make(self, season: Book) -> float:
        """How many are still to be filled for the plan, whole ones."""
        short = larger(self.made - self.on_hand, 0)
        return round_up(round_half(short, season.settings.fine_decimals), 0)

    @worked("Filling for these", "gram", decimals=0)
    def to_fill(self, _: Book) -> float:
        """What filling these takes, with what is lost while filling."""
        return self.to_make * self.used

    @worked("Planned fill", "gram", decimals=0)
    def planned_grams(self, _: Book) -> float:
        """Their fill together."""
        return self.planned * self.fill_grams

    @worked("Planned hands-on", "minute", decimals=0)
    def planned_minutes(self, _: Book) -> float:
        """Their hands-on minutes together."""
        return self.planned * self.hands_on

    @worked("Of it on the tubs", "minute", decimals=0)
    def planned_tub_minutes(self, _: Book) -> float:
        """The minutes to fill and pack them."""
        return self.planned * self.minutes

    @worked("Overheads", "money")
    def overheads(self, season: Book) -> float:
        """The tub's part of the overheads that all channels carry: per unit, by its grams, by its minutes."""
        mine = season.overheads
        each = choose(self.product == "", 0, of_all(mine.per_unit, season))
        per_gram, per_minute = of_all(mine.per_gram, season), of_all(mine.per_minute, season)
        return equations.overhead_of_one(each, per_gram, self.fill_grams, per_minute, self.hands_on)

    @worked("Own time in them", "minute", decimals=1)
    def overhead_time(self, season: Book) -> float:
        """The tub's part of the hours in these overheads, shared as they are."""
        mine = season.overheads
        each = choose(self.product == "", 0, of_all(mine.time_per_unit, season))
        per_gram, per_minute = of_all(mine.time_per_gram, season), of_all(mine.time_per_minute, season)
        return equations.overhead_time_of_one(each, per_gram, self.fill_grams, per_minute, self.hands_on)

    @worked("Own work for one", "money")
    def own_work(self, season: Book) -> float:
        """Your own work for one sold: with those unsold, and its part of the hours in overheads."""
        hours = equations.wage(self.overhead_time, season.settings.hourly_rate)
        return self.making_work + hours

    @worked("Own time for one", "minute", decimals=1)
    def own_time(self, _: Book) -> float:
        """Your own minutes for one sold: with those unsold, and its part of the hours in overheads."""
        return self.making_time + self.overhead_time

    @worked("Cost of one", "money")
    def total(self, _: Book) -> float:
        """Everything that one costs before it is sold, but what only its channel costs."""
        return self.direct + self.overheads

    @worked("On the label", "gram", decimals=0)
    def on_label(self, _: Book) -> float:
        """The weight on the label."""
        return choose(self.label_grams > 0, self.label_grams, self.fill_grams)

    @worked("Bought base in it", "gram", decimals=1)
    def base_grams(self, season: Book) -> float:
        """Grams of bought base that one sold takes, with those unsold."""
        return _of_formula(self, season, season.making.gram_base) * self.made_for_one

    @worked("Cost of that base", "money")
    def base_cost(self, season: Book) -> float:
        """What that bought base costs."""
        return _of_formula(self, season, season.making.gram_base_cost) * self.made_for_one

    @worked("Look at", "text", role=REMARK)
    def remark(self, _: Book) -> str:
        """Says so when the label promises more than is filled in."""
        return choose(self.on_label > self.fill_grams, OVER_LABELLED, NOTHING)

    name_flaws = row_remarks.name_flaws("product")
    used_row = row_remarks.used_row(Product)
    wrong_cells = row_remarks.wrong_cells(Product)
    wrong_empty = row_remarks.says("Wrongly empty", "Cells that must be filled in, and are not.", _empty)
    wrong_names = row_remarks.says("Wrong names", "Names that lead nowhere, or stand there twice.", _names)
    wrong_key = row_remarks.says("Wrong keys", "Names that a sheet takes for something else.", _keys)
    unusual_fill = says_unusual("products", "fill_grams", "fill")
    unusual_minutes = says_unusual("products", "minutes", "minutes")
    unusual_waste = says_unusual("products", "waste_percent", "waste")
    unusual_unsold = says_unusual("products", "unsold_percent", "part unsold")
    doubt = row_remarks.says("Look at its fill and minutes", "A fill unlike its label, and minutes left out.", _doubts)
    looked_at = row_remarks.looked_at("products", "product")
    to_look_at = row_remarks.to_look_at(*_DOUBTS, seen=True)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, looks=("remark",), doubts=_DOUBTS)


PRODUCTS = Table(
    "products",
    Sheet("Products", everyday=True),
    "Products",
    "What is sold, and what one costs, part by part.",
    ProductRow,
    results=("materials", "packaging", "work", "total"),
    seldom=("name", "unsold_percent", "carton"),
)


def _of_formula(row: ProductRow, season: Book, per_gram: Cells[float]) -> float:
    return row.used * sum_where(per_gram, season.making.made, row.filled_with)
