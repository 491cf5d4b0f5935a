"""The rows of the recipe cards: each formula's head, lines, steps, yield and outputs, in the order of making."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from costing.fields.types import ChoiceField, Key, Name, NumberField, PercentField, Record, Text, given
from costing.fields.views import OptionalNumber, Words
from costing.tables.making.recipes import OPTIONAL_GRAMS, PRICE_PER_KG, VALUED, WAIT, Formula, Line, Step
from costing.tables.order_of_making import formulas_used, making_order
from costing.tables.sources import Source

ROW_KINDS = ("formula", "line", "step", "yield", "output")
SHARE = PercentField()


class CardEntry(Record):
    """One row of the recipe cards: a formula's head, a line, a step, the yield, or an output."""

    formula: Key = given("Formula", "The formula that the row belongs to.")
    row: Words = given(
        "Row",
        "formula heads a card; line adds something; step closes a step; yield is what is made; output a part of it.",
        ChoiceField((*ROW_KINDS, "")),
    )
    step: Name = given("Step", "The step of a line or step row.", default="")
    what: Text = given(
        "What", "The formula's longer name on its head, the item of a line, the name of an output.", default=""
    )
    percent: OptionalNumber = given(
        "Percent", "Of the batch on lines, of the yield on outputs, lost on steps.", SHARE, default=None
    )
    grams: OptionalNumber = given(
        "Grams", "The batch on the head of a card; a line's grams in place of a percentage.", OPTIONAL_GRAMS, default=None
    )
    minutes: OptionalNumber = given("Minutes", "Hands-on minutes of a step.", NumberField("minute", least=0), default=None)
    watts: OptionalNumber = given("Watts", "Power drawn in a step.", NumberField("watt", least=0), default=None)
    hours: OptionalNumber = given("Hours", "How long it is drawn.", NumberField("hour", least=0), default=None)
    days: OptionalNumber = given("Days", "Days of waiting after a step: setting, curing.", WAIT, default=None)
    valued: Words = given("Valued", "How an output is valued.", ChoiceField((*VALUED, "")), default="")
    price_per_kg: OptionalNumber = given(
        "Worth per kg", "What an output is worth, for sales and set.", PRICE_PER_KG, default=None
    )
    note: Text = given("Note", "On the head of a card, anything worth remembering.", default="")


def card_entries(source: Source) -> list[CardEntry]:
    """Return the recipe cards of all formulas, each after those it uses."""
    records = source.records
    formulas = {row.formula: row for row in records.formulas}
    lines: dict[str, list[Line]] = defaultdict(list)
    for line in records.lines:
        lines[line.formula].append(line)
    steps: dict[str, list[Step]] = defaultdict(list)
    for step in records.steps:
        steps[step.formula].append(step)
    outputs: dict[str, list[CardEntry]] = defaultdict(list)
    for output in records.outputs:
        outputs[output.formula].append(
            _row(
                output.formula, "output",
                what=output.output, percent=output.percent, valued=output.valued, price_per_kg=output.price_per_kg,
            )
        )  # fmt: skip
    uses = formulas_used(formulas, ((line.formula, line.item) for line in records.lines))
    cards: list[CardEntry] = []
    for key in making_order(uses):
        cards += [_head(formulas[key]), *_steps_with_lines(key, steps[key], lines[key]), _row(key, "yield")]
        cards += outputs[key]
    return cards


def taken_by_cards(source: Source) -> dict[str, list[str]]:
    """Return what the lines of each formula take, in the order of making."""
    taken: dict[str, list[str]] = {}
    for row in source.of(card_entries):
        named = taken.setdefault(row.formula, [])
        if row.row == "line":
            named.append(row.what)
    return taken


_BLANK = {
    "step": "", "what": "", "percent": None, "grams": None, "minutes": None, "watts": None,
    "hours": None, "days": None, "valued": "", "price_per_kg": None, "note": "",
}  # fmt: skip


def _row(formula: str, kind: str, **cells: Any) -> CardEntry:
    return CardEntry.model_construct(**(_BLANK | {"formula": formula, "row": kind} | cells))


def _head(formula: Formula) -> CardEntry:
    return _row(formula.formula, "formula", what=formula.name, grams=formula.batch_grams, note=formula.note)


def _steps_with_lines(formula: str, steps: list[Step], lines: list[Line]) -> Iterator[CardEntry]:
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
            days=step.days,
        )  # fmt: skip
