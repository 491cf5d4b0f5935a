"""Weigh out: the bench card of one formula – what goes in, step by step, for so many batches or so many grams of it."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Figures, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    either,
    larger,
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
from costing.tables.deciding.dials import HEADINGS
from costing.tables.deciding.keeping import OTHER, SOAP
from costing.tables.lookups import put_in
from costing.tables.making.card_entries import card_entries
from costing.tables.making.recipes import OPTIONAL_GRAMS
from costing.tables.sources import Source, packaged

if TYPE_CHECKING:
    from costing.tables.book import Book

LINE, STEP = "line", "step"
COARSE, MADE_BEFORE = "too little for this scale", "made before"
LYE_LINE = "into the water, never the other way"
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

    @worked("Made of", "text")
    def sort(self, season: Book) -> str:
        """What it is for Keeping: a bar, soap, or something else."""
        return look_up(season.keeping.sort, season.keeping.formula, self.formula)

    @worked("Power of its steps", "watt", decimals=0)
    def heated(self, season: Book) -> float:
        """Watts of all its steps; above 0 where it is heated or stirred."""
        return sum_where(season.making.watts, season.making.formula, self.formula)

    @worked("Its lye", "text")
    def lye(self, season: Book) -> str:
        """What Lye says of it."""
        return look_up(season.lye.remark, season.lye.made, self.formula)

    @worked("Its water", "text")
    def water(self, season: Book) -> str:
        """What Keeping says of its water and of what preserves it."""
        return look_up(season.keeping.remark, season.keeping.formula, self.formula)

    @worked("Its grains", "text")
    def grains(self, season: Book) -> str:
        """What Keeping says of its sugar or salt."""
        return look_up(season.keeping.grain_remark, season.keeping.formula, self.formula)

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
    everyday=True,
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

    @worked("Row", "text")
    def sort(self, season: Book) -> str:
        """Whether something is weighed in, or a step done."""
        return look_up(season.making.row, season.making.bench_place, self.place)

    @worked("What", "text")
    def what(self, season: Book) -> str:
        """What is weighed in."""
        item = look_up(season.making.what, season.making.bench_place, self.place)
        return choose(self.sort == LINE, item, choose(self.sort == STEP, STEP_DONE, NOTHING))

    @worked("Weigh in", "gram", decimals=2)
    def shown(self, season: Book) -> float:
        """What the formula says, for so many batches, to the step of the scale."""
        return _to_scale(_of_card(self, season, season.making.added) * season.weigh.times, season)

    @worked("Then in the pot", "gram", decimals=2)
    def pot(self, season: Book) -> float:
        """What is in the pot then, of what is shown; after a step less its loss, to the step of the scale."""
        before = sum_where(self.above.pot, self.above.place, self.place - 1)
        left = equations.weight_after(before, self.shown, _of_card(self, season, season.making.step_loss))
        return choose(self.sort == NOTHING, 0, _to_scale(left, season))

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
        settings = season.settings
        coarse = choose(both(self.sort == LINE, self.shown < settings.coarse_steps * settings.scale_step), 1, 0)
        return pick(
            1 + larger(_of_card(self, season, season.making.bench_mark), coarse), NOTHING, COARSE, MADE_BEFORE, LYE_LINE
        )

    @worked("Really weighed", "text")
    def really(self, season: Book) -> str:
        """Room to write what the scale showed."""
        return choose(self.sort == NOTHING, NOTHING, ROOM)


def _of_card(row: WeighedRow, season: Book, values: Cells[float]) -> float:
    """Return the figure of its row on Formulas."""
    return sum_where(values, season.making.bench_place, row.place)


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

    @worked("Holds", decimals=0)
    def holds(self, season: Book) -> float:
        """1 where it holds for the chosen formula: lye, heat, water; skin always."""
        weigh, keeping = season.weigh, season.keeping
        lye = choose(either(weigh.sort == OTHER, weigh.sort == SOAP), 0, 1)
        hot = choose(either(weigh.heated > 0, weigh.sort != OTHER), 1, 0)
        watery = choose(sum_where(keeping.watery, keeping.formula, weigh.formula) > 0, 1, 0)
        return pick(self.rank, lye, hot, watery, 1)

    @worked("Caution", "text")
    def caution(self, season: Book) -> str:
        """What to mind; blank where it does not apply."""
        mine = season.bench_words
        return choose(self.holds == 1, look_up(mine.words, mine.rank, self.rank), NOTHING)


@packaged
def bench_rows() -> list[Bench]:
    """Return the places of the cautions."""
    return [Bench.model_construct(rank=Decimal(at)) for at, _ in enumerate(GENERAL, start=1)]


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
