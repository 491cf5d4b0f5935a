"""From records to the rows of sheets where the two differ: items with what is known of them, formulas as recipe cards."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from costing.fields.catalogue import ingredients
from costing.records.order_of_making import formula_of, making_order
from costing.records.schema import SeasonRecords
from costing.tables.buying.items import Item
from costing.tables.making.recipe_cards import Formula, Line, MakingRow, Step
from costing.tables.whole.at_a_glance import GlanceRow


def item_rows(records: SeasonRecords) -> list[Item]:
    """Return every item that the season names, with the catalogue's figures where the maker wrote none."""
    own = {row.item: row for row in records.items}
    made = {row.formula for row in records.formulas}
    named = dict.fromkeys(row.item for row in records.purchases if row.is_goods)
    named.update(dict.fromkeys(line.item for line in records.lines if formula_of(line.item) not in made))
    named.update(dict.fromkeys(row.part for row in records.tubs))
    named.update(dict.fromkeys(own))
    return [_item(key, own.get(key)) for key in named]


def packaged_item(key: str) -> Item:
    """Return an item as it stands on Items where the maker wrote nothing about it."""
    return _item(key, None)


def _item(key: str, own: Item | None) -> Item:
    known: dict[str, Any] = {"name": key.replace("-", " ").capitalize()}
    ingredient = ingredients().get(key)
    if ingredient:
        known = {
            "name": ingredient.name,
            "kind": ingredient.kind,
            "label_name": ingredient.label_name,
            "density": ingredient.density,
            "highest_percent": ingredient.highest_percent,
            "source": "; ".join(filter(None, (ingredient.density_source, ingredient.highest_source))),
            "note": ingredient.note,
        }
    if own:
        known |= {column: getattr(own, column) for column in own.model_fields_set}
    defaults = {column: info.default for column, info in Item.model_fields.items() if not info.is_required()}
    return Item.model_construct(**(defaults | known | {"item": key}))


def making_rows(records: SeasonRecords) -> list[MakingRow]:
    """Return the recipe cards of all formulas, each after those it uses."""
    formulas = {row.formula: row for row in records.formulas}
    lines: dict[str, list[Line]] = defaultdict(list)
    for line in records.lines:
        lines[line.formula].append(line)
    steps: dict[str, list[Step]] = defaultdict(list)
    for step in records.steps:
        steps[step.formula].append(step)
    outputs: dict[str, list[MakingRow]] = defaultdict(list)
    for output in records.outputs:
        outputs[output.formula].append(
            _row(
                output.formula, "output",
                what=output.output, percent=output.percent, valued=output.valued, price_per_kg=output.price_per_kg,
            )
        )  # fmt: skip
    uses = {key: [formula_of(line.item) for line in lines[key] if formula_of(line.item) in formulas] for key in formulas}
    cards: list[MakingRow] = []
    for key in making_order(uses):
        cards += [_head(formulas[key]), *_steps_with_lines(key, steps[key], lines[key]), _row(key, "yield")]
        cards += outputs[key]
    return cards


_BLANK = {
    "step": "", "what": "", "percent": None, "grams": None, "minutes": None, "watts": None,
    "hours": None, "valued": "", "price_per_kg": None, "note": "",
}  # fmt: skip


def _row(formula: str, kind: str, **cells: Any) -> MakingRow:
    return MakingRow.model_construct(**(_BLANK | {"formula": formula, "row": kind} | cells))


def _head(formula: Formula) -> MakingRow:
    return _row(formula.formula, "formula", what=formula.name, grams=formula.batch_grams, note=formula.note)


def _steps_with_lines(formula: str, steps: list[Step], lines: list[Line]) -> Iterator[MakingRow]:
    if not steps:
        names = dict.fromkeys(line.step for line in lines)
        steps = [Step(formula=formula, step=name) for name in names]
    for step in steps:
        for line in lines:
            if line.step == step.step:
                yield _row(formula, "line", step=line.step, what=line.item, percent=line.percent, grams=line.grams)
        yield _row(
            formula, "step",
            step=step.step, percent=step.loss_percent, minutes=step.minutes, watts=step.watts, hours=step.hours,
        )  # fmt: skip


def glance_rows(records: SeasonRecords) -> list[GlanceRow]:
    """Return a line of the first sheet for each product."""
    return [GlanceRow(product=row.product) for row in records.products]
