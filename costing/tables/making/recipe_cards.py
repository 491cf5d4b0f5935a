"""Making: each formula as a recipe card – its lines and steps in order, what it yields, and what a gram of that costs.

Formulas stand in the order in which they are made, and look for made things only in the rows above. So no cell depends
on itself, even for programs that take a formula to need every cell of each range it names.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_where,
    either,
    join,
    pick,
    position_of,
    ratio,
    sum_where,
    total,
    value_at,
)
from costing.fields.views import Cells
from costing.tables import equations, row_remarks
from costing.tables.buying.items import LYE
from costing.tables.making import card_remarks
from costing.tables.making.card_entries import CardEntry
from costing.tables.ones import ONE_GRAM, ONE_MONEY
from costing.tables.usual_values import says_unusual

if TYPE_CHECKING:
    from costing.tables.book import Book

UNPRICED, OFF = "not found above", "not 100 %"


_WRONG = ("wrong_cells", "wrong_words", "wrong_cards", "wrong_steps", "wrong_things", "wrong_outputs", "wrong_names")


_DOUBTS = ("doubt", "unusual_batch", "unusual_minutes", "unusual_watts", "unusual_hours", "unusual_loss")


class CardRow(CardEntry, Rules):
    """What follows from a row of the recipe cards."""

    @worked("Makes", "text")
    def made(self, _: Book) -> str:
        """The key under which what is made can be used further down."""
        place = 1 + choose(self.formula == "", 0, 1) + choose(self.row == "output", 1, 0)
        return pick(place, NOTHING, self.formula, join(self.formula, "/", self.what))

    @worked("Found as", "text")
    def found_as(self, _: Book) -> str:
        """The same key, on the yield or output only, whose figures are used further down."""
        return choose(either(self.row == "yield", self.row == "output"), self.made, NOTHING)

    @worked("One more made", decimals=0)
    def one_made(self, _: Book) -> float:
        """1 on the yield or output that can be filled into tubs."""
        return choose(self.found_as == NOTHING, 0, 1)

    @worked("Number of what is made", decimals=0)
    def made_number(self, _: Book) -> float:
        """Its place in the list that Products chooses from; 0 on other rows."""
        return choose(self.one_made == 1, total(self.through.one_made), 0)

    @worked("Place on Items", decimals=0)
    def item_row(self, season: Book) -> float:
        """In which row on Items a line's item stands, the heading being 1; 0 where it does not."""
        return position_of(season.items.found_as, self.what)

    @worked("Place above", decimals=0)
    def made_row(self, _: Book) -> float:
        """In which row of these cards a line's item was made before, the heading being 1; 0 where it was not."""
        return position_of(self.above.found_as, self.what)

    @worked("Steps done", decimals=0)
    def steps_done(self, _: Book) -> float:
        """How many steps of the card are behind this row."""
        return count_where(self.through.formula, self.formula, self.through.row, "step")

    @worked("Put in", "gram", decimals=1)
    def added(self, _: Book) -> float:
        """The grams of a line: its percentage of the batch, or as given."""
        batch = sum_where(self.through.grams, self.through.formula, self.formula, self.through.row, "formula")
        return choose(self.row == "line", self.percent * batch + self.grams, 0)

    @worked("Weight after step", "gram", decimals=1)
    def weight_after(self, _: Book) -> float:
        """What is in the pot after a step: what was there, what was added, less the step's loss."""
        before = sum_where(
            self.above.weight_after, self.above.formula, self.formula, self.above.steps_done, self.steps_done - 1
        )
        put_in = sum_where(self.through.added, self.through.formula, self.formula, self.through.step, self.step)
        return choose(self.row == "step", equations.weight_after(before, put_in, self.percent), 0)

    @worked("Yields", "gram", decimals=1)
    def yields(self, _: Book) -> float:
        """What is left after the last step, and each output's part of it."""
        share = choose(self.row == "output", self.percent, 0) + choose(self.row == "yield", 1, 0)
        return share * sum_where(
            self.through.weight_after, self.through.formula, self.formula, self.through.steps_done, self.steps_done
        )

    @worked("Set worth", "money")
    def set_value(self, _: Book) -> float:
        """What an output of a set worth takes out of the batch's cost before the rest is shared."""
        return choose(self.valued == "set", equations.value_at(self.yields, self.price_per_kg), 0)

    @worked("Shares as")
    def basis(self, _: Book) -> float:
        """What the rest of the cost is shared by: the output's weight, or its sales value."""
        by_sales = equations.value_at(self.yields, self.price_per_kg) / ONE_MONEY
        by_weight = both(self.row == "output", either(self.valued == "weight", self.valued == ""))
        return choose(by_weight, self.yields / ONE_GRAM, 0) + choose(self.valued == "sales", by_sales, 0)

    @worked("All set worth", "money")
    def all_set(self, season: Book) -> float:
        """The set worth of all outputs of the formula."""
        return sum_where(season.making.set_value, season.making.formula, self.formula)

    @worked("All shares")
    def all_basis(self, season: Book) -> float:
        """What all outputs of the formula share as."""
        return sum_where(season.making.basis, season.making.formula, self.formula)

    @worked("Materials", "money")
    def materials(self, season: Book) -> float:
        """What a line costs in bought things, its own and those in what was made before."""
        bought = value_at(season.items.per_gram, self.item_row)
        return _cost_of_item(self, bought, self.above.gram_materials)

    @worked("Work", "money")
    def work(self, season: Book) -> float:
        """Hands-on time of a step at the hourly rate, and the work in what was made before."""
        return _cost_of_item(self, 0, self.above.gram_work) + equations.wage(self.minutes, season.settings.hourly_rate)

    @worked("Power", "money")
    def power(self, season: Book) -> float:
        """Power of a step, and that in what was made before."""
        used = equations.energy_cost(self.watts, self.hours, season.settings.power_price)
        return _cost_of_item(self, 0, self.above.gram_power) + used

    @worked("Cost of row", "money")
    def cost(self, _: Book) -> float:
        """Materials, work and power of a line or step."""
        return self.materials + self.work + self.power

    @worked("Hands-on", "minute", decimals=1)
    def hands_on(self, _: Book) -> float:
        """Minutes of a step, and those in what was made before."""
        return self.minutes + _cost_of_item(self, 0, self.above.gram_minutes)

    @worked("Batch so far", "money")
    def batch_cost(self, _: Book) -> float:
        """Materials, work and power of the formula down to this row; on yields and outputs, of the whole batch."""
        return sum_where(self.through.cost, self.through.formula, self.formula)

    @worked("Bears of batch", shape="percent")
    def bears(self, _: Book) -> float:
        """The part of the batch's cost that the yield or an output bears."""
        shared = equations.share_of_joint_cost(self.set_value, self.all_set, self.basis, self.all_basis, self.batch_cost)
        return shared + choose(self.row == "yield", 1, 0)

    @worked("Materials per gram", "money/gram", decimals=5)
    def gram_materials(self, _: Book) -> float:
        """Bought things in a gram of what is made."""
        return _per_gram(self, self.through.materials)

    @worked("Work per gram", "money/gram", decimals=5)
    def gram_work(self, _: Book) -> float:
        """Work in a gram of what is made."""
        return _per_gram(self, self.through.work)

    @worked("Power per gram", "money/gram", decimals=5)
    def gram_power(self, _: Book) -> float:
        """Power in a gram of what is made."""
        return _per_gram(self, self.through.power)

    @worked("Cost per gram", "money/gram", decimals=5)
    def per_gram(self, _: Book) -> float:
        """What a gram of what is made costs."""
        return self.gram_materials + self.gram_work + self.gram_power

    @worked("Minutes per gram", "minute/gram", decimals=5)
    def gram_minutes(self, _: Book) -> float:
        """Hands-on minutes in a gram of what is made."""
        return _per_gram(self, self.through.hands_on)

    @worked("Takes of a change", shape="percent")
    def takes(self, _: Book) -> float:
        """The part of a change in the batch's cost that the yield or an output takes: nothing where its worth is set."""
        return ratio(self.basis, self.all_basis) + choose(self.row == "yield", 1, 0)

    @worked("Bought base put in", "gram", decimals=1)
    def base_grams(self, season: Book) -> float:
        """Grams of bought base in a line, its own and those in what was made before."""
        own = value_at(season.items.base_share, self.item_row)
        return _cost_of_item(self, own, self.above.gram_base)

    @worked("Cost of that base", "money")
    def base_cost(self, season: Book) -> float:
        """What that bought base costs."""
        share = value_at(season.items.base_share, self.item_row)
        own = share * value_at(season.items.per_gram, self.item_row)
        return _cost_of_item(self, own, self.above.gram_base_cost)

    @worked("Base per gram", decimals=5)
    def gram_base(self, _: Book) -> float:
        """Grams of bought base whose price a gram of what is made follows: an output of set worth follows none."""
        return _changing(self, self.through.base_grams)

    @worked("Base cost per gram", "money/gram", decimals=5)
    def gram_base_cost(self, _: Book) -> float:
        """Cost of that base in a gram of what is made."""
        return _changing(self, self.through.base_cost)

    @worked("Percent on card", shape="percent")
    def percent_total(self, _: Book) -> float:
        """On the yield, the percentages of all the card's lines together."""
        lines = sum_where(self.through.percent, self.through.formula, self.formula, self.through.row, "line")
        return choose(self.row == "yield", lines, 0)

    @worked("Outputs on card", shape="percent")
    def outputs_total(self, season: Book) -> float:
        """On the yield, the percentages of all its outputs together."""
        mine = season.making
        outputs = sum_where(mine.percent, mine.formula, self.formula, mine.row, "output")
        return choose(self.row == "yield", outputs, 0)

    @worked("Of these off 100", decimals=0)
    def off(self, season: Book) -> float:
        """How many of these two, where there are any, do not add up to 100."""
        return _off(self.percent_total, season) + _off(self.outputs_total, season)

    @worked("Has outputs", decimals=0)
    def first_output(self, _: Book) -> float:
        """1 on the first output of a card."""
        so_far = count_where(self.through.formula, self.formula, self.through.row, "output")
        return choose(both(self.row == "output", so_far == 1), 1, 0)

    @worked("Item has a price", decimals=0)
    def priced(self, season: Book) -> float:
        """1 for a line's item that has a price on Items."""
        return value_at(season.items.has_price, self.item_row)

    @worked("Look at", "text", role=REMARK)
    def remark(self, _: Book) -> str:
        """Says so when a line's item neither has a price on Items nor is made further up, or when percentages miss 100."""
        lost = both(self.row == "line", self.priced == 0, self.made_row == 0)
        return pick(1 + choose(lost, 1, 0) + choose(self.off > 0, 2, 0), NOTHING, UNPRICED, OFF)

    name_flaws = row_remarks.name_flaws("formula")
    used_row = row_remarks.used_row(CardEntry)

    @worked("Heads so far", decimals=0)
    def heads(self, _: Book) -> float:
        """How many heads of its card stand down to this row: one, if all is well."""
        return count_where(self.through.formula, self.formula, self.through.row, "formula")

    @worked("Yields on card", decimals=0)
    def yields_on_card(self, season: Book) -> float:
        """How many yields its card has: one, if all is well."""
        return count_where(season.making.formula, self.formula, season.making.row, "yield")

    @worked("Steps on card", decimals=0)
    def steps_on_card(self, season: Book) -> float:
        """How many steps its card has."""
        return count_where(season.making.formula, self.formula, season.making.row, "step")

    @worked("Percent of all lines", shape="percent")
    def percent_lines(self, season: Book) -> float:
        """The percentages of all lines of its card together."""
        mine = season.making
        return sum_where(mine.percent, mine.formula, self.formula, mine.row, "line")

    @worked("Steps of its name", decimals=0)
    def steps_named(self, season: Book) -> float:
        """How many steps of its card are called as this row's: one, if all is well."""
        mine = season.making
        return count_where(mine.formula, self.formula, mine.row, "step", mine.step, self.step)

    @worked("Of these behind it", decimals=0)
    def steps_behind(self, _: Book) -> float:
        """How many of them stand above: none for a line, if all is well."""
        above = self.above
        return count_where(above.formula, self.formula, above.row, "step", above.step, self.step)

    @worked("Outputs by weight", decimals=0)
    def by_weight(self, season: Book) -> float:
        """How many outputs of its card share its cost by weight."""
        return _outputs_by(self, season, "weight")

    @worked("Outputs by sales", decimals=0)
    def by_sales(self, season: Book) -> float:
        """How many share it by what they sell for."""
        return _outputs_by(self, season, "sales")

    wrong_cells = row_remarks.wrong_cells(CardEntry)
    wrong_words = row_remarks.wrong_words(CardEntry)
    wrong_cards = row_remarks.says("Wrong cards", "Cards that lack their head, steps, yield or batch.", card_remarks.cards)
    wrong_steps = row_remarks.says(
        "Wrong steps", "Steps that are not there, or stand above their lines.", card_remarks.steps
    )
    wrong_things = row_remarks.says("Wrong lines", "Lines without amount, outputs without worth.", card_remarks.things)
    wrong_outputs = row_remarks.says(
        "Wrong outputs", "Outputs that bear no cost, or stand there twice.", card_remarks.outputs
    )
    wrong_names = row_remarks.says("Wrong names", "Names that are empty, or mean something to a sheet.", card_remarks.names)

    @worked("Grams of the batch", "gram", decimals=0)
    def batch_grams(self, _: Book) -> float:
        """On the head of a card, what a batch weighs."""
        return choose(self.row == "formula", self.grams, 0)

    @worked("Loss of a step", shape="percent")
    def step_loss(self, _: Book) -> float:
        """On a step, what it loses."""
        return choose(self.row == "step", self.percent, 0)

    unusual_batch = says_unusual("formulas", "batch_grams", "batch")
    unusual_minutes = says_unusual("steps", "minutes", "minutes")
    unusual_watts = says_unusual("steps", "watts", "watts")
    unusual_hours = says_unusual("steps", "hours", "hours")
    unusual_loss = says_unusual("steps", "loss_percent", "loss", of="step_loss")

    doubt = row_remarks.says("Look at its outputs", "Outputs below one in a hundred.", card_remarks.doubts)

    @worked("Name on Seen", "text")
    def seen_as(self, _: Book) -> str:
        """What Seen calls the row: a formula, a step of one, or an output."""
        step, output = choose(self.row == "step", 1, 0), choose(self.row == "output", 2, 0)
        of_step, of_output = join("steps, ", self.formula, ", ", self.step), join("outputs, ", self.formula, ", ", self.what)
        of_row = pick(1 + step + output, join("formulas, ", self.formula), of_step, of_output)
        return choose(either(self.row == "formula", step + output > 0), of_row, NOTHING)

    looked_at = row_remarks.looked_at()

    @worked("Place on Weigh out", decimals=0)
    def bench_place(self, season: Book) -> float:
        """Which line of Weigh out shows it: lines and steps of the formula chosen there, in their order."""
        mine = self.through
        before = count_where(mine.formula, self.formula, mine.row, "line") + self.steps_done
        shown = both(self.formula == season.weigh.formula, either(self.row == "line", self.row == "step"))
        return choose(shown, before, 0)

    @worked("Mark on Weigh out", decimals=0)
    def bench_mark(self, season: Book) -> float:
        """2 where what is weighed in is made before, 3 where it is lye."""
        mine = season.items
        lye = count_where(mine.found_as, self.what, mine.kind, LYE) > 0
        return choose(either(lye, self.made_row > 0), 2, 0) + choose(lye, 1, 0)

    to_look_at = row_remarks.to_look_at(*_DOUBTS, seen=True)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, looks=("remark",), doubts=_DOUBTS)


def _outputs_by(row: CardRow, season: Book, way: str) -> float:
    mine = season.making
    return count_where(mine.formula, row.formula, mine.row, "output", mine.valued, way)


def _off(together: float, season: Book) -> float:
    """Return 1 where a card's percentages, if it has any, do not add up to 100."""
    settings = season.settings
    off = equations.off_a_hundred(together, settings.percent_slack, settings.step_decimals)
    return choose(both(together > 0, off), 1, 0)


def _cost_of_item(row: CardRow, bought: float, made_above: Cells[float]) -> float:
    return row.added * (bought + value_at(made_above, row.made_row))


def _per_gram(row: CardRow, of: Cells[float]) -> float:
    return ratio(row.bears * sum_where(of, row.through.formula, row.formula), row.yields)


def _changing(row: CardRow, of: Cells[float]) -> float:
    return ratio(row.takes * sum_where(of, row.through.formula, row.formula), row.yields)
