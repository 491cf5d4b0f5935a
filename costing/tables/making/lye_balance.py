"""Lye: what each formula with lye puts in, what its oils and acids take up of it, and so what superfat is left.

What a formula is made from counts too, so that a lye solution or a mix of oils made beforehand is not overlooked. Shares are
taken of what is put in; water lost later leaves the relation of lye and oils as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import NOTHING, both, choose, look_up, pick, position_of, value_at
from costing.engine.table import Table
from costing.fields.catalogue import ingredients
from costing.fields.types import Key, NumberField, Record, Reference, Text, given
from costing.fields.views import OptionalNumber
from costing.tables import equations
from costing.tables.buying.items import LYE as LYE_KIND
from costing.tables.buying.items import TAKES_UP_LYE, item_rows, known_under
from costing.tables.looked_up import LOOK_UPS
from costing.tables.lookups import put_in
from costing.tables.making.card_entries import card_entries, taken_by_cards
from costing.tables.order_of_making import bought_in, formulas_used, made_from
from costing.tables.sources import Source, packaged

if TYPE_CHECKING:
    from costing.tables.book import Book

VALUE = NumberField("", least=0)
UNTOLD, NEAR, ABOVE, TOO_MUCH, ALONE = "cannot be told", "near", "above the careful end", "too much lye", "lye alone"
TOLD = (UNTOLD, NEAR, ABOVE, TOO_MUCH, ALONE)


class Taking(Record):
    """One oil or acid of the packaged list, with the range of its saponification value."""

    item: Key = given("Item", "The key under which formulas name it.")
    source: Text = given("Source", "Where the range is from, and how it is known.")
    low: OptionalNumber = given(
        "Value, low", "Milligrams of potassium hydroxide that a gram takes up, at the low end.", VALUE
    )
    high: OptionalNumber = given("Value, high", "The same at the high end.", VALUE)


class TakingRow(Taking, Rules):
    """What a gram of an oil or acid takes up."""

    @worked("Lye per gram, low", decimals=4)
    def takes_low(self, season: Book) -> float:
        """Grams of sodium hydroxide that a gram takes up, at the low end."""
        return equations.lye_taken_up(self.low, season.settings.naoh_for_koh)

    @worked("Lye per gram, high", decimals=4)
    def takes_high(self, season: Book) -> float:
        """The same at the high end."""
        return equations.lye_taken_up(self.high, season.settings.naoh_for_koh)


@packaged
def taking_records() -> list[Taking]:
    """Return the packaged ingredients whose range is known."""
    return [
        Taking(
            item=each.item,
            source=each.saponification_source,
            low=each.saponification_low,
            high=each.saponification_high,
        )
        for each in ingredients().values()
        if each.saponification_low is not None
    ]


TAKING = Table(
    "taking",
    LOOK_UPS,
    "What takes up lye",
    "Oils by their saponification values, acids by their acid values, as published.",
    TakingRow,
    spare=0,
    fixed=True,
    rows=taking_records,
)


class Lye(Record):
    """One formula, or one output of it, in which lye and oils are followed."""

    made: Reference = given("Made", "A formula, or formula/output. To look at a new one, write it in a free line.")


class LyeRow(Lye, Rules):
    """Lye against oils in what one formula is made from."""

    @worked("Card", "text")
    def card(self, season: Book) -> str:
        """The formula whose lines count."""
        return look_up(season.making.formula, season.making.made, self.made)

    @worked("Place on Formulas", decimals=0)
    def card_row(self, season: Book) -> float:
        """In which row on Formulas its figures stand, the heading being 1; 0 where it is not made."""
        return position_of(season.making.found_as, self.made)

    @worked("Put in", "gram", decimals=1)
    def put_in(self, season: Book) -> float:
        """All that goes into a batch."""
        return put_in(self.card, season)

    @worked("Lye in it", shape="percent", decimals=2)
    def lye_share(self, season: Book) -> float:
        """Lye as sodium hydroxide, of what is put in; potassium hydroxide by molar mass, each taken as pure."""
        return value_at(season.making.lye_share, self.card_row)

    @worked("Can take up, low", shape="percent", decimals=2)
    def low_share(self, season: Book) -> float:
        """What oils and acids take up at the low end of their ranges, of what is put in."""
        return value_at(season.making.low_share, self.card_row)

    @worked("Can take up, high", shape="percent", decimals=2)
    def high_share(self, season: Book) -> float:
        """The same at the high end."""
        return value_at(season.making.high_share, self.card_row)

    @worked("Not known", shape="percent", decimals=2)
    def unknown_share(self, season: Book) -> float:
        """Oils without a range and lyes of unknown strength, of what is put in."""
        return value_at(season.making.unknown_share, self.card_row)

    @worked("Lye put in", "gram", decimals=1)
    def lye(self, _: Book) -> float:
        """Lye of a batch, as sodium hydroxide."""
        return self.lye_share * self.put_in

    @worked("Taken up, low", "gram", decimals=1)
    def low(self, _: Book) -> float:
        """What its oils and acids take up at the low end of their ranges."""
        return self.low_share * self.put_in

    @worked("Taken up, high", "gram", decimals=1)
    def high(self, _: Book) -> float:
        """The same at the high end."""
        return self.high_share * self.put_in

    @worked("Superfat, careful end", shape="percent", decimals=1)
    def superfat_low(self, _: Book) -> float:
        """What the lye leaves of what can be taken up, at the low end of the ranges. Below zero, lye may be left over."""
        return equations.superfat(self.lye_share, self.low_share)

    @worked("Superfat, other end", shape="percent", decimals=1)
    def superfat_high(self, _: Book) -> float:
        """The same at the high end. Below zero, lye is left over whatever the oils are."""
        return equations.superfat(self.lye_share, self.high_share)

    @worked("How far", decimals=0)
    def how_far(self, season: Book) -> float:
        """0 with superfat left at the careful end, 1 near it, 2 above it, 3 above the other, 4 if nothing takes it up."""
        settings = season.settings
        near = self.lye_share > self.low_share * (1 - settings.near_lye) + settings.tolerance
        above = self.lye_share > self.low_share + settings.tolerance
        beyond = self.lye_share > self.high_share + settings.tolerance
        alone = both(self.lye_share > settings.tolerance, self.high_share == 0)
        return choose(near, 1, 0) + choose(above, 1, 0) + choose(beyond, 1, 0) + choose(alone, 1, 0)

    @worked("Look at", "text", role=REMARK)
    def remark(self, _: Book) -> str:
        """Says so when too little superfat is left, or when it cannot be told."""
        known = choose(self.unknown_share > 0, 0, self.how_far)
        return pick(1 + choose(self.how_far > 0, 1, 0) + known, NOTHING, *TOLD)


def lye_rows(source: Source) -> list[Lye]:
    """Return the formulas with lye of their own or from a lye solution, and before them what they are made from."""
    taken = source.of(taken_by_cards)
    uses = _uses(taken)
    wanted = {each for formula in source.of(with_lye) for each in made_from(formula, uses)}
    named = {what for formula in wanted for what in taken[formula]}
    rows = []
    for row in source.of(card_entries):
        if row.row == "yield" and row.formula in wanted:
            rows.append(Lye(made=row.formula))
        elif row.row == "output" and f"{row.formula}/{row.what}" in named:
            rows.append(Lye(made=f"{row.formula}/{row.what}"))
    return rows


def with_lye(source: Source) -> list[str]:
    """Return the formulas in which lye is still free when they are made: their own, or out of a lye solution."""
    taken, lyes = source.of(taken_by_cards), _lyes(source)
    uses, solutions = _uses(taken), source.of(lye_solutions)
    return [formula for formula, named in taken.items() if lyes & set(named) or solutions & set(uses[formula])]


def lye_solutions(source: Source) -> set[str]:
    """Return the formulas that hold lye and nothing that takes it up."""
    ranged = {record.item for record in source.of(taking_records)}
    takers = {item.item for item in source.of(item_rows) if item.kind in TAKES_UP_LYE or known_under(item) in ranged}
    inside, lyes = bought_in(source.of(taken_by_cards)), _lyes(source)
    return {formula for formula, items in inside.items() if lyes & set(items) and not takers & set(items)}


def _lyes(source: Source) -> set[str]:
    return {item.item for item in source.of(item_rows) if item.kind == LYE_KIND}


def _uses(taken: Mapping[str, list[str]]) -> dict[str, list[str]]:
    return formulas_used(taken, ((formula, what) for formula, named in taken.items() for what in named))


LYE = Table(
    "lye",
    "Lye",
    "Lye",
    "The lye of each formula against what its oils take up by the published ranges. Never a clearance: goggles, gloves, "
    "fresh air; scents and other additions only when it is cool; test each bar.",
    LyeRow,
    spare=4,
    rows=lye_rows,
    results=("put_in", "lye", "low", "high", "superfat_low", "superfat_high", "how_far"),
)
