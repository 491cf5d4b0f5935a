"""Weigh out: the bench card of one formula – what goes in, step by step, for so many batches or so many grams of it."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Figures, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_where,
    either,
    look_up,
    pick,
    position_of,
    ratio,
    round_half,
    sum_where,
    text_at,
    total,
    value_at,
)
from costing.engine.table import FigureList, Sheet, Table
from costing.fields.types import Key, NumberField, Record, given
from costing.fields.views import Number, OptionalNumber
from costing.tables.buying.items import LYE as LYE_KIND
from costing.tables.deciding.dials import HEADINGS
from costing.tables.deciding.keeping import OTHER, SOAP
from costing.tables.making.card_entries import card_entries
from costing.tables.making.recipes import OPTIONAL_GRAMS
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book

LINE, STEP = "line", "step"
MADE_BEFORE, COARSE, BOTH = "made before", "too little for this scale", "made before; too little for this scale"
LYE_LINE = "stir it into the water, never the other way round"
STEP_DONE = "expected after this step"
_SPARE = 3  # rows for lines that are added to a formula in the workbook

LYE = (
    "Lye burns skin and eyes: goggles, gloves, long sleeves, fresh air, nobody else near. Lye into water, never water into "
    "lye. Follow the supplier's safety data sheet, and test each batch before anyone uses it."
)
HOT = (
    "Hot melts hold their heat and stick to skin; waxes and oils can catch fire. Melt in a water bath, stay there, and add "
    "scent and whatever is volatile only when it has cooled."
)
WATERY = (
    "It holds water and can spoil, which cannot always be seen. Preserve it as the supplier's document says for its pH; a "
    "challenge test and the safety assessment tell whether it keeps."
)
SKIN = (
    "Skin: the suppliers' documents for these very packs, the product's safety assessment and local law decide what may go "
    "in and be sold. This card is no clearance."
)
GENERAL = (LYE, HOT, WATERY, SKIN)


class Weigh(Record):
    """What is to be weighed out."""

    formula: Key = given("Formula", "What is to be made. Choose another: all below follows.", refers="making.formula")
    batches: Number = given(
        "Batches", "How many at once; 0.5 for half of one.", NumberField("", above=0), default=Decimal(1)
    )
    grams: OptionalNumber = given(
        "Grams wanted", "Grams that are to come out, in place of the batches; blank to go by these.", OPTIONAL_GRAMS,
        default=None,
    )  # fmt: skip


class WeighFigures(Weigh, Figures):
    """The formula, and how much of it."""

    @worked("Place on Formulas", decimals=0)
    def head(self, season: Book) -> float:
        """In which row on Formulas its card begins, the heading being 1."""
        return position_of(season.making.formula, self.formula)

    @worked("Rows of its card", decimals=0)
    def rows(self, season: Book) -> float:
        """How many rows its card has there."""
        return count_where(season.making.formula, self.formula)

    @worked("One batch yields", "gram", decimals=1)
    def yields(self, season: Book) -> float:
        """What is left of one batch after its last step."""
        return sum_where(season.making.yields, season.making.formula, self.formula, season.making.row, "yield")

    @worked("Batches weighed out", decimals=3)
    def times(self, _: Book) -> float:
        """As many batches as give the grams wanted, or as chosen."""
        return choose(self.grams > 0, ratio(self.grams, self.yields), self.batches)

    @worked("Expected to come out", "gram", decimals=1)
    def expected(self, _: Book) -> float:
        """What so many batches yield."""
        return self.times * self.yields

    @worked("To weigh, together", "gram", decimals=2)
    def weighed(self, season: Book) -> float:
        """The sum of the amounts as they are shown below."""
        return total(season.weighed.shown)

    @worked("Rounding adds", "gram", decimals=2)
    def rounding(self, season: Book) -> float:
        """What these are more than the formula's own amounts; below zero, less."""
        return self.weighed - total(season.weighed.exact)

    @worked("Hands-on", "minute", decimals=0)
    def minutes(self, season: Book) -> float:
        """Minutes of the steps below, if a batch takes what the formula says."""
        return total(season.weighed.minutes)


def first_weighed(source: Source) -> Weigh:
    """Return the first formula that is made, one batch of it."""
    cards = source.of(card_entries)
    return Weigh.model_construct(formula=cards[0].formula if cards else "", batches=Decimal(1), grams=None)


WEIGH_SHEET = Sheet(
    "Weigh out",
    "Weigh out",
    "The bench card. Choose a formula, and batches or grams; all below follows. Write what was really weighed into the last "
    "column.",
    notes_run_on=True,
    one_page=True,
)

WEIGH = FigureList("weigh", WEIGH_SHEET, "weigh_", WeighFigures, "What to make", HEADINGS, record=first_weighed)


class Weighed(Record):
    """One line of the bench card."""

    place: Number = given("No.", "In the order of doing.", NumberField("", above=0))


class WeighedRow(Weighed, Rules):
    """Something to weigh in, or a step that is done."""

    @worked("Place on Formulas", decimals=0)
    def card_row(self, season: Book) -> float:
        """In which row on Formulas it stands, the heading being 1; 0 beyond the end of the card."""
        return choose(self.place < season.weigh.rows, season.weigh.head + self.place, 0)

    @worked("Sort", decimals=0)
    def sort(self, season: Book) -> float:
        """1 for something to weigh in, 2 for a step that is done, 0 for no more."""
        row = text_at(season.making.row, self.card_row)
        return choose(row == LINE, 1, 0) + choose(row == STEP, 2, 0)

    @worked("Step", "text")
    def step(self, season: Book) -> str:
        """The step in which it is added, or that is done."""
        return choose(self.sort > 0, text_at(season.making.step, self.card_row), NOTHING)

    @worked("What", "text")
    def what(self, season: Book) -> str:
        """What is weighed in."""
        return pick(1 + self.sort, NOTHING, text_at(season.making.what, self.card_row), STEP_DONE)

    @worked("Exactly", "gram", decimals=3)
    def exact(self, season: Book) -> float:
        """What the formula says, for so many batches."""
        return value_at(season.making.added, self.card_row) * season.weigh.times

    @worked("Weigh in", "gram", decimals=2)
    def shown(self, season: Book) -> float:
        """The same to the step of the scale."""
        step = season.settings.scale_step
        return round_half(ratio(self.exact, step), 0) * step

    @worked("Then in the pot", "gram", decimals=2)
    def pot(self, season: Book) -> float:
        """What is in the pot then, of what is shown; after a step less its loss, to the step of the scale."""
        before = sum_where(self.above.pot, self.above.place, self.place - 1)
        step = season.settings.scale_step
        left = before * (1 - value_at(season.making.percent, self.card_row))
        return choose(
            self.sort == 2, round_half(ratio(left, step), 0) * step, choose(self.sort == 1, before + self.shown, 0)
        )

    @worked("Minutes", "minute", decimals=0)
    def minutes(self, season: Book) -> float:
        """Hands-on minutes of a step, for so many batches."""
        return value_at(season.making.minutes, self.card_row) * season.weigh.times

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says what is lye, what must be made before, and what is too little for the scale: take a finer one, or more."""
        made = choose(value_at(season.making.made_row, self.card_row) > 0, 1, 0)
        coarse = both(self.exact > 0, self.exact < season.settings.coarse_steps * season.settings.scale_step)
        lye = text_at(season.items.kind, value_at(season.making.item_row, self.card_row)) == LYE_KIND
        return pick(choose(lye, 5, 1 + made + choose(coarse, 2, 0)), NOTHING, MADE_BEFORE, COARSE, BOTH, LYE_LINE)

    @worked("Really weighed", "text")
    def really(self, _: Book) -> str:
        """Room to write what the scale showed."""
        return choose(self.sort > 0, "…………", NOTHING)


def weighed_rows(source: Source) -> list[Weighed]:
    """Return as many lines as the longest card has, and a few more."""
    counts: dict[str, int] = {}
    for row in source.of(card_entries):
        counts[row.formula] = counts.get(row.formula, 0) + (row.row in (LINE, STEP))
    return [Weighed.model_construct(place=Decimal(at)) for at in range(1, max(counts.values(), default=0) + _SPARE + 1)]


WEIGHED = Table(
    "weighed",
    WEIGH_SHEET,
    "Step by step",
    "What to weigh in, in this order, and what is then in the pot. What is made before has a card of its own.",
    WeighedRow,
    spare=0,
    fixed=True,
    rows=weighed_rows,
    results=("step", "what", "shown", "pot", "minutes", "really"),
)


class Bench(Record):
    """One place for a caution."""

    rank: Number = given("Rank", "Lye first.", NumberField("", above=0))


class BenchRow(Bench, Rules):
    """A caution that holds for the chosen formula."""

    @worked("Caution", "text")
    def caution(self, season: Book) -> str:
        """What to mind; blank where it does not apply."""
        formula, keeping = season.weigh.formula, season.keeping
        sort = look_up(keeping.sort, keeping.formula, formula)
        lye = choose(either(sort == OTHER, sort == SOAP), NOTHING, LYE)
        heated = sum_where(season.making.watts, season.making.formula, formula)
        hot = choose(either(heated > 0, sort != OTHER), HOT, NOTHING)
        watery = choose(sum_where(keeping.watery, keeping.formula, formula) > 0, WATERY, NOTHING)
        unkept, grains = (look_up(each, keeping.formula, formula) for each in (keeping.remark, keeping.grain_remark))
        balance = look_up(season.lye.remark, season.lye.made, formula)
        return pick(self.rank, lye, balance, hot, watery, unkept, grains, SKIN)


def bench_rows(_: Source) -> list[Bench]:
    """Return the places of the cautions."""
    return [Bench.model_construct(rank=Decimal(at)) for at in range(1, 8)]


BENCH = Table(
    "bench",
    WEIGH_SHEET,
    "Before you begin",
    "Cautions of this formula. The suppliers' documents, the safety assessment and local law come first.",
    BenchRow,
    spare=0,
    fixed=True,
    rows=bench_rows,
    results=("caution",),
)
