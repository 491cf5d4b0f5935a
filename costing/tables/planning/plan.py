"""From plan to pot: what is asked of everything made, from what is made last to what is made first, and the batches for it.

Formulas stand in the reverse order of making, and look for what asks for them only in the rows above. So no cell depends
on itself, even for programs that take a formula to need every cell of each range it names. A formula has a row for each
of its outputs, one for its yield, and one for each made thing that its lines take.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_larger,
    count_same,
    count_where,
    larger,
    largest_where,
    pick,
    position_of,
    ratio,
    read_as,
    round_down,
    round_half,
    round_up,
    sum_where,
    value_at,
)
from costing.engine.table import Sheet, Table
from costing.fields.types import ChoiceField, Key, Name, Record, Reference, given
from costing.fields.views import Words
from costing.tables.lookups import of_made
from costing.tables.making.card_entries import card_entries
from costing.tables.ones import ONE_DAY, ONE_MONEY
from costing.tables.order_of_making import formula_of
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book

PLAN_SHEET = Sheet("From plan to pot", frozen=3)
OUTPUT, YIELD, LINE = "output", "yield", "line"
TOO_LATE, LEFT_OVER = "should have begun already", "much is left over"


class Asked(Record):
    """Something made that is asked for, or a line that asks for it."""

    formula: Key = given("Formula", "The formula.")
    row: Words = given(
        "Row",
        "What is made as a whole is a yield, a part of it an output; a line asks for what was made before.",
        ChoiceField((OUTPUT, YIELD, LINE)),
    )
    what: Reference = given("What", "The thing made, or what the line takes.")
    taken_from: Name = given("Taken from", "The formula that makes what a line takes.", default="")


class AskedRow(Asked, Rules):
    """What is asked of a thing, and how many batches that takes."""

    @worked("Made here", "text")
    def thing(self, _: Book) -> str:
        """The thing made; nothing on lines."""
        return choose(self.row == LINE, NOTHING, self.what)

    @worked("Place on Formulas", decimals=0)
    def card_row(self, season: Book) -> float:
        """In which row on Formulas the thing's figures stand, the heading being 1; 0 on lines."""
        return position_of(season.making.found_as, self.thing)

    @worked("One batch yields", "gram", decimals=0)
    def yields(self, season: Book) -> float:
        """Grams of it that one batch yields."""
        return value_at(season.making.yields, self.card_row)

    @worked("Of the whole", shape="percent")
    def share(self, season: Book) -> float:
        """Its part of all that the formula yields."""
        mine = season.making
        return ratio(self.yields, sum_where(mine.yields, mine.formula, self.formula, mine.row, YIELD))

    @worked("Parted", decimals=0)
    def parted(self, _: Book) -> float:
        """1 on the yield of a formula with outputs: its figures are theirs together."""
        outputs = count_where(self.above.formula, self.formula, self.above.row, OUTPUT)
        return choose(both(self.row == YIELD, outputs > 0), 1, 0)

    @worked("Rows so far", decimals=0)
    def so_far(self, _: Book) -> float:
        """How many rows of the formula stand down to this one."""
        return count_where(self.through.formula, self.formula)

    @worked("Asked as a whole", "gram", decimals=0)
    def asked_whole(self, season: Book) -> float:
        """Grams that tubs and lines ask of the formula without naming an output."""
        tubs = sum_where(season.products.to_fill, season.products.filled_with, self.formula)
        return tubs + sum_where(self.above.asks, self.above.what, self.formula)

    @worked("Asked by name", "gram", decimals=0)
    def asked_alone(self, season: Book) -> float:
        """Grams that they ask of an output by its name."""
        tubs = sum_where(season.products.to_fill, season.products.filled_with, self.what)
        asked = tubs + sum_where(self.above.asks, self.above.what, self.what)
        return choose(self.row == OUTPUT, asked, 0)

    @worked("On hand", "gram", decimals=0)
    def on_hand(self, season: Book) -> float:
        """Grams that are there already, by Made; of what was not parted yet, an output has its part."""
        alone = choose(self.row == OUTPUT, read_as(of_made(self.what, season), "gram"), 0)
        whole = alone + self.share * read_as(of_made(self.formula, season), "gram")
        parted = sum_where(self.above.on_hand, self.above.formula, self.formula, self.above.row, OUTPUT)
        return choose(self.parted == 1, parted, whole)

    @worked("Asked for", "gram", decimals=0)
    def asked(self, _: Book) -> float:
        """Grams that the plan asks of it; who asks for the whole asks for each output in its part."""
        parted = sum_where(self.above.asked, self.above.formula, self.formula, self.above.row, OUTPUT)
        return choose(self.parted == 1, parted, self.asked_alone + self.share * self.asked_whole)

    @worked("To make", "gram", decimals=0)
    def demand(self, _: Book) -> float:
        """Grams that are asked for beyond what is on hand."""
        parted = sum_where(self.above.demand, self.above.formula, self.formula, self.above.row, OUTPUT)
        return choose(self.parted == 1, parted, larger(self.asked - self.on_hand, 0))

    @worked("Batches for it alone", decimals=3)
    def alone(self, _: Book) -> float:
        """How many batches that would take if nothing else were asked; of what is parted its outputs tell."""
        return choose(self.parted == 1, 0, ratio(self.demand, self.yields))

    @worked("Batches, exact", decimals=3)
    def exact(self, _: Book) -> float:
        """How many batches the formula takes down to this row: what asks for most of them settles it."""
        before = sum_where(self.above.exact, self.above.formula, self.formula, self.above.so_far, self.so_far - 1)
        return larger(self.alone, before)

    @worked("Batches, whole", decimals=0)
    def whole(self, season: Book) -> float:
        """The same rounded up, on yields and lines: a pot is not made in part."""
        whole = round_up(round_half(self.exact, season.settings.fine_decimals), 0)
        return choose(self.row == OUTPUT, 0, whole)

    @worked("A batch takes", "gram", decimals=1)
    def per_batch(self, season: Book) -> float:
        """Grams of a line's thing that go into one batch."""
        mine = season.making
        return choose(self.row == LINE, sum_where(mine.added, mine.formula, self.formula, mine.what, self.what), 0)

    @worked("Asks for", "gram", decimals=0)
    def asks(self, _: Book) -> float:
        """Grams of a line's thing that all batches take."""
        return self.per_batch * self.whole

    @worked("Its own waiting", "day", decimals=1)
    def waiting(self, season: Book) -> float:
        """Days that its steps have to wait: setting, curing."""
        return choose(self.row == YIELD, sum_where(season.making.days, season.making.formula, self.formula), 0)

    @worked("Takers so far", decimals=0)
    def takers(self, _: Book) -> float:
        """On a line, how many lines down to it take from the same formula."""
        return count_where(self.through.taken_from, self.taken_from)

    @worked("Takers of it", decimals=0)
    def taken_by(self, _: Book) -> float:
        """How many lines above take from the formula."""
        return count_where(self.above.taken_from, self.formula)

    @worked("Waiting after it", "day", decimals=1)
    def after(self, _: Book) -> float:
        """On a yield, the longest chain of waiting in what is made from it; 0 where nothing is."""
        longest = sum_where(self.above.longest, self.above.taken_from, self.formula, self.above.takers, self.taken_by)
        return choose(self.row == YIELD, longest, 0)

    @worked("Before all is ready", "day", decimals=1)
    def lead(self, _: Book) -> float:
        """Days from its start until all that is made from it is ready; 0 where no batch is made."""
        mine = sum_where(self.above.lead, self.above.formula, self.formula, self.above.row, YIELD)
        return choose(self.whole > 0, mine + self.waiting + self.after, 0)

    @worked("Longest of the takers", "day", decimals=1)
    def longest(self, _: Book) -> float:
        """On a line, the longest chain of waiting of all lines down to it that take from the same formula."""
        before = sum_where(self.above.longest, self.above.taken_from, self.taken_from, self.above.takers, self.takers - 1)
        return choose(self.row == LINE, larger(self.lead, before), 0)


class PlanRow(AskedRow):
    """What comes of it: what is left over, when to begin, what it takes of the maker's time."""

    @worked("Batches made", decimals=0)
    def batches(self, season: Book) -> float:
        """Whole batches of the formula."""
        mine = season.plan
        made = sum_where(mine.whole, mine.formula, self.formula, mine.row, YIELD)
        return choose(self.row == LINE, 0, made)

    @worked("They yield", "gram", decimals=0)
    def makes(self, _: Book) -> float:
        """Grams of it that these batches yield."""
        return self.batches * self.yields

    @worked("Left over", "gram", decimals=0)
    def left(self, _: Book) -> float:
        """Grams of that nobody asks for."""
        return self.makes - self.demand

    @worked("Left over, at cost", "money")
    def left_cost(self, season: Book) -> float:
        """What they cost; what is valued at nothing costs nothing."""
        return self.left * value_at(season.making.per_gram, self.card_row)

    @worked("Of that another output's", shape="percent")
    def idle(self, season: Book) -> float:
        """On an output, the part of it that is made only because another output asks for so many batches."""
        mine = season.plan
        exact = sum_where(mine.exact, mine.formula, self.formula, mine.row, YIELD)
        return choose(self.row == OUTPUT, 1 - ratio(self.alone, exact, 1), 0)

    @worked("Hands-on", "minute", decimals=0)
    def minutes(self, season: Book) -> float:
        """On a yield, the hands-on minutes of its own steps for all batches."""
        own = sum_where(season.making.minutes, season.making.formula, self.formula)
        return choose(self.row == YIELD, self.whole * own, 0)

    @worked("Whole days before", "day", decimals=0)
    def days(self, season: Book) -> float:
        """Days before all is ready, rounded up; a hands-on day is not added."""
        return round_up(round_half(self.lead, season.settings.fine_decimals), 0)

    @worked("Start by", "day", shape="date")
    def start_by(self, season: Book) -> float:
        """On a yield of which something is to be made, the last day to begin so that all is ready in time."""
        settings = season.settings
        ready = choose(settings.ready_by > 0, settings.ready_by, settings.priced_on)
        return choose(both(self.row == YIELD, self.whole > 0), ready - self.days, 0)

    @worked("Comes early as", decimals=0)
    def early(self, _: Book) -> float:
        """On a yield, the larger the earlier it begins; 0 where nothing is made, below 0 on other rows."""
        made = choose(self.start_by > 0, self.days / ONE_DAY + 1, 0)
        return made - choose(self.row == YIELD, 0, 1)

    @worked("Order of starting", decimals=0)
    def rank(self, season: Book) -> float:
        """On a yield, its place in the order of starting; of two that start on one day, what is made first stands first."""
        mine = season.plan
        together = count_same(mine.early, self.early) - count_same(self.through.early, self.early) + 1
        return choose(self.row == YIELD, count_larger(mine.early, self.early) + together, 0)

    @worked("Least covered", decimals=6)
    def tightest(self, season: Book) -> float:
        """On a yield, how little of one line is on hand: 1 where nothing is, near 0 where there is enough for many."""
        tightest = largest_where(season.making.tight, season.making.formula, self.formula)
        return choose(self.row == YIELD, tightest, 0)

    @worked("Batches possible now", decimals=0)
    def possible(self, season: Book) -> float:
        """On a yield, how many whole batches can be made at once of what is on hand; water is there."""
        batches = round_half(ratio(1, self.tightest, 1) - 1, season.settings.fine_decimals)
        return round_down(batches, 0)

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so where the start is past, or where much of an output is left because another asks for so many batches."""
        late = both(self.start_by > 0, self.start_by < season.settings.priced_on)
        worth = self.left_cost > season.settings.tolerance * ONE_MONEY
        much = both(self.idle > season.settings.much_left, worth)
        return pick(1 + choose(late, 1, 0) + choose(much, 2, 0), NOTHING, TOO_LATE, LEFT_OVER)

    @worked("Told of the formula", "text")
    def told(self, season: Book) -> str:
        """On a yield, what is to be looked at in it or one of its outputs."""
        mine = season.plan
        much = count_where(mine.formula, self.formula, mine.remark, LEFT_OVER) > 0
        return choose(both(self.row == YIELD, self.remark == NOTHING, much), LEFT_OVER, self.remark)


def plan_rows(source: Source) -> list[Asked]:
    """Return the outputs, the yield and the made things taken of every formula, the last made first."""
    cards = source.of(card_entries)
    formulas = list(dict.fromkeys(card.formula for card in cards))
    made = {*formulas, *(f"{card.formula}/{card.what}" for card in cards if card.row == OUTPUT)}
    rows: list[Asked] = []
    for formula in reversed(formulas):
        mine = [card for card in cards if card.formula == formula]
        rows += [_row(formula, OUTPUT, f"{formula}/{card.what}") for card in mine if card.row == OUTPUT]
        rows.append(_row(formula, YIELD, formula))
        taken = dict.fromkeys(card.what for card in mine if card.row == LINE and card.what in made)
        rows += [_row(formula, LINE, what, formula_of(what)) for what in taken]
    return rows


def _row(formula: str, row: str, what: str, taken_from: str = "") -> Asked:
    return Asked.model_construct(formula=formula, row=row, what=what, taken_from=taken_from)


PLAN = Table(
    "plan",
    PLAN_SHEET,
    "From plan to pot",
    "What the plan asks of everything that is made, the last made first, in grams as they are weighed; what is left over.",
    PlanRow,
    spare=0,
    fixed=True,
    rows=plan_rows,
    results=("asked", "on_hand", "demand", "exact", "batches", "makes", "left", "left_cost", "start_by"),
)
