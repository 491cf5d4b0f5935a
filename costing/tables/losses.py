"""Losses a little higher or lower: the recipe cards worked out again with every loss changed by the dial."""

from __future__ import annotations

from typing import Any

from costing import equations
from costing.operations import choose, ratio, sum_where
from costing.tables.making import MAKING

UP, DOWN = 1, -1


def _add(suffix: str, words: str, direction: int) -> None:
    """Add the columns of one direction: weight, yield, cost of row and cost per gram."""

    def above(row: Any, key: str) -> Any:
        return getattr(row.above, f"{key}_{suffix}")

    def through(row: Any, key: str) -> Any:
        return getattr(row.through, f"{key}_{suffix}")

    def weight(row: Any, season: Any) -> Any:
        before = sum_where(above(row, "weight"), row.above.formula, row.formula, row.above.steps_done, row.steps_done - 1)
        put_in = sum_where(row.through.added, row.through.formula, row.formula, row.through.step, row.step)
        loss = row.percent * (1 + direction * season.moves.change)
        return choose(row.row == "step", equations.weight_after(before, put_in, loss), 0)

    def yields(row: Any, _: Any) -> Any:
        left = sum_where(through(row, "weight"), row.through.formula, row.formula, row.through.steps_done, row.steps_done)
        return (choose(row.row == "output", row.percent, 0) + choose(row.row == "yield", 1, 0)) * left

    def cost(row: Any, _: Any) -> Any:
        made = sum_where(above(row, "per_gram"), row.above.made, row.what)
        return row.cost + row.added * (made - sum_where(row.above.per_gram, row.above.made, row.what))

    def per_gram(row: Any, _: Any) -> Any:
        batch = sum_where(through(row, "cost"), row.through.formula, row.formula)
        return ratio(row.bears * batch, getattr(row, f"yields_{suffix}"))

    for rule, key, heading, unit, decimals, note in (
        (weight, "weight", "Weight after step", "gram", 1, "What a step leaves"),
        (yields, "yields", "Yields", "gram", 1, "What is left after the last step"),
        (cost, "cost", "Cost of row", "money", None, "What a line or step costs"),
        (per_gram, "per_gram", "Cost per gram", "money/gram", 5, "What a gram of what is made costs"),
    ):
        rule.__name__ = f"{key}_{suffix}"
        rule.__doc__ = f"{note} if every loss is {words} by the dial on What moves it."
        MAKING.works_out(f"{heading}, losses {words}", unit, decimals=decimals)(rule)


_add("up", "higher", UP)
_add("down", "lower", DOWN)
