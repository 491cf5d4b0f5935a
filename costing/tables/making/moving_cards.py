"""The recipe cards if a rate or the losses change: their last columns, and the table of them all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import worked
from costing.engine.operations import choose, ratio, sum_where, value_at
from costing.engine.table import Sheet, Table
from costing.fields.views import Cells
from costing.tables import equations
from costing.tables.making.card_entries import card_entries
from costing.tables.making.lye_on_cards import LyeCardRow
from costing.tables.making.recipe_cards import CardRow

if TYPE_CHECKING:
    from costing.tables.book import Book

UP, DOWN = 1, -1


class RatesRow(LyeCardRow):
    """What of a row moves with the rates for work and power."""

    @worked("Work that moves", "money")
    def work_moving(self, _: Book) -> float:
        """Work of a line or step that its rate moves."""
        return _moving(self, self.work, self.above.gram_work, self.above.gram_work_moving)

    @worked("Moving work per gram", "money/gram", decimals=5)
    def gram_work_moving(self, _: Book) -> float:
        """Work in a gram of what is made that its rate moves."""
        return _moving_per_gram(self, self.through.work_moving)

    @worked("Power that moves", "money")
    def power_moving(self, _: Book) -> float:
        """Power of a line or step that its rate moves."""
        return _moving(self, self.power, self.above.gram_power, self.above.gram_power_moving)

    @worked("Moving power per gram", "money/gram", decimals=5)
    def gram_power_moving(self, _: Book) -> float:
        """Power in a gram of what is made that its rate moves."""
        return _moving_per_gram(self, self.through.power_moving)


def _moving(row: CardRow, own: float, borne_above: Cells[float], moving_above: Cells[float]) -> float:
    """What of a row's work or power moves with its rate: all but the set worth in what was made before. [money]"""
    return own - row.added * (value_at(borne_above, row.made_row) - value_at(moving_above, row.made_row))


def _moving_per_gram(row: CardRow, moving: Cells[float]) -> float:
    return ratio(row.takes * sum_where(moving, row.through.formula, row.formula), row.yields)


class HigherLossesRow(RatesRow):
    """The cards worked out once more, with every loss higher by the dial on What moves it."""

    @worked("Weight after step, losses higher", "gram", decimals=1)
    def weight_up(self, season: Book) -> float:
        """What a step leaves if every loss is higher by the dial on What moves it."""
        return _weight(self, season, self.above.weight_up, UP)

    @worked("Yields, losses higher", "gram", decimals=1)
    def yields_up(self, _: Book) -> float:
        """What is left after the last step if every loss is higher by the dial on What moves it."""
        return _yields(self, self.through.weight_up)

    @worked("Cost of row, losses higher", "money")
    def cost_up(self, _: Book) -> float:
        """What a line or step costs if every loss is higher by the dial on What moves it."""
        return _cost(self, self.above.per_gram_up)

    @worked("Batch to share, losses higher", "money")
    def to_share_up(self, _: Book) -> float:
        """What the batch costs beyond all set worth if every loss is higher by the dial on What moves it."""
        return _to_share(self, self.through.cost_up, self.yields_up)

    @worked("Cost per gram, losses higher", "money/gram", decimals=5)
    def per_gram_up(self, _: Book) -> float:
        """What a gram of what is made costs if every loss is higher by the dial on What moves it."""
        return _per_gram(self, self.yields_up, self.to_share_up)


class LowerLossesRow(HigherLossesRow):
    """The cards worked out once more, with every loss lower by the dial on What moves it."""

    @worked("Weight after step, losses lower", "gram", decimals=1)
    def weight_down(self, season: Book) -> float:
        """What a step leaves if every loss is lower by the dial on What moves it."""
        return _weight(self, season, self.above.weight_down, DOWN)

    @worked("Yields, losses lower", "gram", decimals=1)
    def yields_down(self, _: Book) -> float:
        """What is left after the last step if every loss is lower by the dial on What moves it."""
        return _yields(self, self.through.weight_down)

    @worked("Cost of row, losses lower", "money")
    def cost_down(self, _: Book) -> float:
        """What a line or step costs if every loss is lower by the dial on What moves it."""
        return _cost(self, self.above.per_gram_down)

    @worked("Batch to share, losses lower", "money")
    def to_share_down(self, _: Book) -> float:
        """What the batch costs beyond all set worth if every loss is lower by the dial on What moves it."""
        return _to_share(self, self.through.cost_down, self.yields_down)

    @worked("Cost per gram, losses lower", "money/gram", decimals=5)
    def per_gram_down(self, _: Book) -> float:
        """What a gram of what is made costs if every loss is lower by the dial on What moves it."""
        return _per_gram(self, self.yields_down, self.to_share_down)


def _weight(row: CardRow, season: Book, weight_above: Cells[float], direction: int) -> float:
    before = sum_where(weight_above, row.above.formula, row.formula, row.above.steps_done, row.steps_done - 1)
    put_in = sum_where(row.through.added, row.through.formula, row.formula, row.through.step, row.step)
    loss = row.percent * (1 + direction * season.moves.change)
    return choose(row.row == "step", equations.weight_after(before, put_in, loss), 0)


def _yields(row: CardRow, weight: Cells[float]) -> float:
    left = sum_where(weight, row.through.formula, row.formula, row.through.steps_done, row.steps_done)
    return (choose(row.row == "output", row.percent, 0) + choose(row.row == "yield", 1, 0)) * left


def _cost(row: CardRow, per_gram_above: Cells[float]) -> float:
    made = value_at(per_gram_above, row.made_row)
    return row.cost + row.added * (made - value_at(row.above.per_gram, row.made_row))


def _to_share(row: CardRow, cost: Cells[float], left: float) -> float:
    return sum_where(cost, row.through.formula, row.formula) - row.all_set * ratio(left, row.yields)


def _per_gram(row: CardRow, left: float, to_share: float) -> float:
    set_worth = choose(row.row == "yield", row.all_set, row.set_value) * ratio(left, row.yields)
    return ratio(set_worth + row.takes * to_share, left)


MAKING = Table(
    "making",
    Sheet("Formulas", frozen=4, everyday=True),
    "Formulas",
    "Recipe cards in the order of making: what goes in, step by step; what is left; what a gram of it costs.",
    LowerLossesRow,
    spare=24,
    cards=True,
    rows=card_entries,
    results=("added", "yields", "cost", "per_gram"),
    aside=("watts", "hours", "valued", "price_per_kg"),
)
