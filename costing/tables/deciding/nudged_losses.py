"""The recipe cards if a price, a rate or the losses change: what of it arrives in a gram of what is made."""

from __future__ import annotations

from typing import Any

from costing.engine.operations import choose, ratio, sum_where
from costing.tables import equations
from costing.tables.making.recipe_cards import MAKING

UP, DOWN = 1, -1


def _add_rate(key: str, words: str) -> None:
    """Add what hangs on a rate: the work or power of a row that moves with it, and that in a gram of what is made."""

    def moving(row: Any, _: Any) -> Any:
        borne = sum_where(getattr(row.above, f"gram_{key}"), row.above.made, row.what)
        taken = sum_where(getattr(row.above, f"gram_{key}_moving"), row.above.made, row.what)
        return getattr(row, key) - row.added * (borne - taken)

    def per_gram(row: Any, _: Any) -> Any:
        batch = sum_where(getattr(row.through, f"{key}_moving"), row.through.formula, row.formula)
        return ratio(row.takes * batch, row.yields)

    for rule, name, heading, unit, decimals, note in (
        (moving, f"{key}_moving", f"{words} that moves", "money", None, f"{words} of a line or step that its rate moves."),
        (
            per_gram,
            f"gram_{key}_moving",
            f"Moving {words.lower()} per gram",
            "money/gram",
            5,
            f"{words} in a gram of what is made that its rate moves.",
        ),
    ):
        rule.__name__ = name
        rule.__doc__ = note
        MAKING.works_out(heading, unit, decimals=decimals)(rule)


def _add_losses(suffix: str, words: str, direction: int) -> None:
    """Add the columns of one direction: weight, yield, cost of row, batch, and cost per gram."""

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

    def to_share(row: Any, _: Any) -> Any:
        batch = sum_where(through(row, "cost"), row.through.formula, row.formula)
        return batch - row.all_set * ratio(getattr(row, f"yields_{suffix}"), row.yields)

    def per_gram(row: Any, _: Any) -> Any:
        left = getattr(row, f"yields_{suffix}")
        whole = choose(row.row == "yield", row.all_set, row.set_value) * ratio(left, row.yields)
        return ratio(whole + row.takes * getattr(row, f"to_share_{suffix}"), left)

    for rule, key, heading, unit, decimals, note in (
        (weight, "weight", "Weight after step", "gram", 1, "What a step leaves"),
        (yields, "yields", "Yields", "gram", 1, "What is left after the last step"),
        (cost, "cost", "Cost of row", "money", None, "What a line or step costs"),
        (to_share, "to_share", "Batch to share", "money", None, "What the batch costs beyond all set worth"),
        (per_gram, "per_gram", "Cost per gram", "money/gram", 5, "What a gram of what is made costs"),
    ):
        rule.__name__ = f"{key}_{suffix}"
        rule.__doc__ = f"{note} if every loss is {words} by the dial on What moves it."
        MAKING.works_out(f"{heading}, losses {words}", unit, decimals=decimals)(rule)


_add_rate("work", "Work")
_add_rate("power", "Power")
_add_losses("up", "higher", UP)
_add_losses("down", "lower", DOWN)
