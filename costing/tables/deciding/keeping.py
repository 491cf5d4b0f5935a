"""Keeping: whether a formula is watery, whether anything in it preserves there, and whether its sugar or salt dissolves.

Never a clearance: only a challenge test and the safety assessment tell whether a product keeps.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import NOTHING, both, choose, either, pick, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import ChoiceField, Key, Record, given
from costing.fields.views import Cells, Words
from costing.tables import equations
from costing.tables.buying.items import BASE, LYE, POTASH, item_rows, known_under
from costing.tables.lookups import put_in
from costing.tables.making.card_entries import taken_by_cards
from costing.tables.making.lye_balance import lye_solutions, with_lye
from costing.tables.order_of_making import bought_in
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book

BAR, SOFT_SOAP, SOLUTION, SOAP, OTHER = "bar", "soft soap", "lye solution", "holds soap", "other"
SORTS = (BAR, SOFT_SOAP, SOLUTION, SOAP, OTHER)
UNPRESERVED, BAR_UNPRESERVED = "watery, no preservative", "a bar with water, no drying written"
IDLE, WEAK = "watery, preservative idle in soap", "watery, little preservative"
SYRUPY = "sugar or salt may dissolve"


class Kept(Record):
    """One formula."""

    formula: Key = given("Formula", "The formula.")
    sort: Words = given(
        "Sort",
        "A bar is made with sodium hydroxide, a soft soap with potassium hydroxide alone. A lye solution has nothing that "
        "takes it up; what holds soap is made from one of these or from a bought base.",
        ChoiceField(SORTS),
    )


class KeptRow(Kept, Rules):
    """What is to be looked at before it is kept or sold."""

    @worked("Put in", "gram", decimals=1)
    def all_added(self, season: Book) -> float:
        """All that goes into a batch."""
        return put_in(self.formula, season)

    @worked("Left", "gram", decimals=1)
    def left(self, season: Book) -> float:
        """What a batch yields, its outputs together."""
        return sum_where(season.making.yields, season.making.formula, self.formula, season.making.row, "yield")

    @worked("Lost on the way", shape="percent", decimals=1)
    def lost(self, _: Book) -> float:
        """What its steps lose of all that is put in."""
        return equations.lost_part(self.all_added, self.left, 1)

    @worked("Dries", decimals=0)
    def dries(self, season: Book) -> float:
        """1 for a bar whose steps lose weight as drying does; its water is not counted, nor what it brings elsewhere."""
        return choose(both(self.sort == BAR, self.lost > season.settings.drying + season.settings.tolerance), 1, 0)

    @worked("Is soap", decimals=0)
    def is_soap(self, _: Book) -> float:
        """1 where lye or a soap is in it, and its pH so that of soap; a bought base counts as soap."""
        return choose(self.sort == OTHER, 0, 1)

    @worked("Water", shape="percent", decimals=1)
    def water(self, season: Book) -> float:
        """Water of all that is put in, through what it is made from, as if none of it were lost; none where it dries."""
        share = ratio(_held(self, season.contents.water_brought, season), self.all_added)
        return choose(either(self.dries == 1, self.sort == SOLUTION), 0, share)

    @worked("Preservatives", shape="percent", decimals=0)
    def preserved(self, season: Book) -> float:
        """What is there of preservatives, of the least share of each; one without a known least share counts whole."""
        return _held(self, season.contents.preserves, season)

    @worked("Of that acting", shape="percent", decimals=0)
    def acting(self, season: Book) -> float:
        """The same without those that do not work at the pH of soap, where it is one."""
        return _held(self, season.contents.acting, season)

    @worked("Sugar and salt", shape="percent", decimals=1)
    def grains(self, season: Book) -> float:
        """Sugar and salt, of all that is put in."""
        return _held(self, season.contents.grains, season)

    @worked("Of that may dissolve", shape="percent", decimals=0)
    def dissolved(self, season: Book) -> float:
        """How much of it the water could dissolve if all of it were free to."""
        return ratio(self.water, _held(self, season.contents.dissolving, season))

    @worked("Watery", decimals=0)
    def watery(self, season: Book) -> float:
        """1 where so much water is in it that it can spoil."""
        return choose(self.water < season.settings.watery - season.settings.tolerance, 0, 1)

    @worked("Open", decimals=0)
    def open_to_spoil(self, _: Book) -> float:
        """Where it is watery: 1 without any preservative, 2 for a bar of which no drying is written."""
        soft = choose(self.preserved == 0, 1, 0)
        return self.watery * choose(self.sort == BAR, choose(self.acting == 0, 2, 0), soft)

    @worked("Hardly preserved", decimals=0)
    def hardly(self, season: Book) -> float:
        """Where it is watery and no bar, but has a preservative: 1 if none of it works there, 2 if it is far too little."""
        little = choose(self.acting < season.settings.weak - season.settings.tolerance, 2, 0)
        weak = choose(self.acting == 0, 1, little)
        return self.watery * choose(either(self.sort == BAR, self.preserved == 0), 0, weak)

    @worked("Look at", "text", role=REMARK)
    def remark(self, _: Book) -> str:
        """Says so where a watery formula has nothing that preserves, or nothing that does in it, or far too little."""
        hardly = pick(1 + self.hardly, NOTHING, IDLE, WEAK)
        return choose(self.hardly > 0, hardly, pick(1 + self.open_to_spoil, NOTHING, UNPRESERVED, BAR_UNPRESERVED))

    @worked("Look at its grains", "text", role=REMARK)
    def grain_remark(self, season: Book) -> str:
        """Says so where its water could dissolve much of its sugar or salt."""
        much = both(self.grains > season.settings.grainy, self.dissolved > season.settings.syrupy)
        return choose(much, SYRUPY, NOTHING)


def _held(row: KeptRow, values: Cells[float], season: Book) -> float:
    return sum_where(values, season.contents.formula, row.formula)


def keeping_rows(source: Source) -> list[Kept]:
    """Return every formula in the order of making, each with what sort of thing its kinds of items make it."""
    taken = source.of(taken_by_cards)
    inside = bought_in(taken)
    items = {item.item: item for item in source.of(item_rows)}
    alkaline = {key for key, item in items.items() if item.kind in (LYE, BASE)}
    soda = {key for key, item in items.items() if item.kind == LYE and known_under(item) != POTASH}
    solutions, free = source.of(lye_solutions), source.of(with_lye)

    def sort(formula: str) -> str:
        if formula in solutions:
            return SOLUTION
        if formula in free:
            return BAR if soda & set(inside[formula]) else SOFT_SOAP
        return SOAP if alkaline & set(inside[formula]) else OTHER

    return [Kept.model_construct(formula=formula, sort=sort(formula)) for formula in taken]


KEEPING = Table(
    "keeping",
    "Keeping",
    "Will it keep?",
    "Water, what preserves, and sugar or salt in each formula. Never a clearance: see the supplier's document, a challenge "
    "test, the product's safety assessment and local law.",
    KeptRow,
    spare=0,
    fixed=True,
    rows=keeping_rows,
    results=("left", "water", "preserved", "acting", "grains", "dissolved"),
)
