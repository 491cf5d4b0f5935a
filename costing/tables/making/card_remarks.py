"""What is wrong with a row of the recipe cards: cards without head, step or yield, steps and items that are not there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.operations import NOTHING, both, count_same, either, equal, filled_in
from costing.tables import row_remarks
from costing.tables.row_remarks import Tests

if TYPE_CHECKING:
    from costing.tables.book import Book
    from costing.tables.making.recipe_cards import CardRow


def cards(row: CardRow, _: Book) -> Tests:
    """Yield what a card lacks, told on its first row, and rows that are on none."""
    yield both(row.used_row == 1, row.heads != 1), "No head, or two"
    head = row.row == "formula"
    yield both(head, row.yields_on_card != 1), "Not one yield"
    yield both(head, row.steps_on_card == 0), "No step"


def steps(row: CardRow, _: Book) -> Tests:
    """Yield steps that are not there, or come before what is added in them."""
    line, step = row.row == "line", row.row == "step"
    yield both(line, row.steps_named != 1), "Unknown step"
    yield both(step, row.steps_named != 1), "Empty or twice"
    yield both(line, row.steps_behind > 0), "After its step"


def things(row: CardRow, _: Book) -> Tests:
    """Yield lines without their one amount or their item, and outputs without name or worth."""
    yield both(row.row == "line", filled_in(row.percent, row.grams) != 1), "Percent or grams"
    yield both(either(row.row == "line", row.row == "output"), equal(row.what, "")), "No item"
    by_worth = either(row.valued == "sales", row.valued == "set")
    yield both(by_worth, equal(row.price_per_kg, "")), "No worth"


def outputs(row: CardRow, _: Book) -> Tests:
    """Yield outputs that stand there twice, or of which none bears what the batch costs."""
    yield both(row.found_as != NOTHING, count_same(row.through.found_as, row.found_as) > 1), "Made twice"
    yield both(row.outputs_total > 0, row.all_basis == 0), "Nothing bears the cost"
    yield both(row.by_weight > 0, row.by_sales > 0), "By weight and by sales"


def doubts(row: CardRow, season: Book) -> Tests:
    """Yield outputs below one in a hundred: 0.4 for 40."""
    yield both(row.row == "output", row.percent > 0, row.percent < season.settings.one_percent), "Output below 1 %"


def names(row: CardRow, _: Book) -> Tests:
    """Yield rows without their names, and formulas whose name a sheet would take for something else."""
    yield both(row.used_row == 1, either(equal(row.formula, ""), equal(row.row, ""))), "Formula or row empty"
    yield from row_remarks.badly_named(row)
    yield both(row.row == "formula", row.percent_lines > 0, row.grams <= 0), "Batch empty"
