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
    ratio,
    round_half,
    sum_where,
    total,
)
from costing.engine.table import FigureList, Sheet, Table
from costing.fields.types import Key, NumberField, Record, given
from costing.fields.views import Cells, Number, OptionalNumber
from costing.tables import equations
from costing.tables.buying.items import LYE as LYE_KIND
from costing.tables.deciding.dials import HEADINGS
from costing.tables.deciding.keeping import OTHER, SOAP
from costing.tables.lookups import put_in
from costing.tables.making.card_entries import card_entries
from costing.tables.making.recipes import OPTIONAL_GRAMS
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book

LINE, STEP = "line", "step"
MADE_BEFORE, COARSE, BOTH = "made before", "too little for this scale", "made before; too little for this scale"
LYE_LINE = "stir it into the water, never the other way round"
ROOM = "…………"
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
        return self.weighed - self.times * put_in(self.formula, season)

    @worked("Hands-on", "minute", decimals=0)
    def minutes(self, season: Book) -> float:
        """Minutes of the steps below, if a batch takes what the formula says."""
        return total(season.weighed.minutes)

    @worked("Waiting", "day", decimals=0)
    def days(self, season: Book) -> float:
        """Days of setting and curing, until it can be used."""
        return total(season.weighed.days)


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

    @worked("Step", "text")
    def step(self, season: Book) -> str:
        """The step in which it is added, or that is done."""
        return look_up(season.making.step, season.making.bench_place, self.place)

    @worked("What", "text")
    def what(self, season: Book) -> str:
        """What is weighed in."""
        item = look_up(season.making.what, season.making.bench_place, self.place)
        return pick(1 + _is(self, season, LINE) + 2 * _is(self, season, STEP), NOTHING, item, STEP_DONE)

    @worked("Weigh in", "gram", decimals=2)
    def shown(self, season: Book) -> float:
        """What the formula says, for so many batches, to the step of the scale."""
        return _to_scale(_of_card(self, season, season.making.added) * season.weigh.times, season)

    @worked("Then in the pot", "gram", decimals=2)
    def pot(self, season: Book) -> float:
        """What is in the pot then, of what is shown; after a step less its loss, to the step of the scale."""
        before = sum_where(self.above.pot, self.above.place, self.place - 1)
        left = _to_scale(equations.weight_after(before, 0, _of_card(self, season, season.making.percent)), season)
        with_line = choose(_is(self, season, LINE) == 1, before + self.shown, 0)
        return choose(_is(self, season, STEP) == 1, left, with_line)

    @worked("Minutes", "minute", decimals=0)
    def minutes(self, season: Book) -> float:
        """Hands-on minutes of a step, for so many batches."""
        return _of_card(self, season, season.making.minutes) * season.weigh.times

    @worked("Then wait", "day", decimals=0)
    def days(self, season: Book) -> float:
        """Days of setting or curing after the step."""
        return _of_card(self, season, season.making.days)

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says what is lye, what must be made before, and what is too little for the scale: take a finer one, or more."""
        settings, exact = season.settings, _of_card(self, season, season.making.added) * season.weigh.times
        made = choose(_of_card(self, season, season.making.made_row) > 0, 1, 0)
        coarse = both(exact > 0, exact < settings.coarse_steps * settings.scale_step)
        lye = look_up(season.items.kind, season.items.found_as, self.what) == LYE_KIND
        return pick(choose(lye, 5, 1 + made + choose(coarse, 2, 0)), NOTHING, MADE_BEFORE, COARSE, BOTH, LYE_LINE)

    @worked("Really weighed", "text")
    def really(self, season: Book) -> str:
        """Room to write what the scale showed."""
        return pick(1 + _is(self, season, LINE) + _is(self, season, STEP), NOTHING, ROOM)


def _of_card(row: WeighedRow, season: Book, values: Cells[float]) -> float:
    """Return the figure of its row on Formulas."""
    return sum_where(values, season.making.bench_place, row.place)


def _is(row: WeighedRow, season: Book, kind: str) -> float:
    """Return 1 if its row on Formulas is of a kind."""
    return count_where(season.making.bench_place, row.place, season.making.row, kind)


def _to_scale(grams: float, season: Book) -> float:
    step = season.settings.scale_step
    return round_half(ratio(grams, step), 0) * step


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
)
