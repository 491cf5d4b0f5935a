"""From records to the rows of sheets where the two differ: items with what is known of them, formulas as recipe cards."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from costing.catalogue import ingredients
from costing.formulas import formula_of, making_order
from costing.schema import SeasonRecords
from costing.tables.buying import ToBuy
from costing.tables.contents import Content
from costing.tables.fills import FillRow
from costing.tables.glance import GlanceRow
from costing.tables.in_tubs import InTub
from costing.tables.items import Item
from costing.tables.making import Formula, Line, MakingRow, Step
from costing.tables.moves import KINDS, Driver, Place
from costing.tables.shock import Shocked

MOST_PLACES = 15


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


def content_rows(cards: list[MakingRow]) -> list[Content]:
    """Return every bought item on its way through the formulas, in the order of the cards.

    A formula that takes a made thing takes all that is in it; so each formula's items are those of its lines together.
    """
    inside: dict[str, list[str]] = {}
    rows: list[Content] = []
    for formula in dict.fromkeys(card.formula for card in cards):
        own = [card for card in cards if card.formula == formula]
        items: dict[str, None] = {}
        for what in dict.fromkeys(card.what for card in own if card.row == "line"):
            for item in inside.get(what, [what]):
                items[item] = None
                rows.append(_content(formula, "line", what, item))
        outputs = [f"{formula}/{card.what}" for card in own if card.row == "output"]
        for made in (formula, *outputs):
            inside[made] = list(items)
            rows += [_content(formula, "made", made, item) for item in items]
    return rows


def _content(formula: str, row: str, what: str, item: str) -> Content:
    return Content.model_construct(formula=formula, row=row, what=what, item=item)


def in_tub_rows(records: SeasonRecords, contents: list[Content]) -> list[InTub]:
    """Return every bought item of every product: those in its filling, then the parts of its tub."""
    inside: dict[str, list[str]] = defaultdict(list)
    for row in contents:
        if row.row == "made":
            inside[row.what].append(row.item)
    parts: dict[str, list[str]] = defaultdict(list)
    for part in records.tubs:
        parts[part.tub].append(part.part)
    return [
        InTub.model_construct(product=product.product, item=item)
        for product in records.products
        for item in dict.fromkeys([*inside[product.filled_with], *parts[product.tub]])
    ]


def buying_rows(in_tubs: list[InTub]) -> list[ToBuy]:
    """Return every item that any product takes."""
    return [ToBuy.model_construct(item=item) for item in dict.fromkeys(row.item for row in in_tubs)]


def driver_rows(items: list[ToBuy]) -> list[Driver]:
    """Return all that can move the cost of a tub."""
    prices = [Driver.model_construct(driver=f"price of {row.item}", kind="item", item=row.item) for row in items]
    return prices + [Driver.model_construct(driver=kind, kind=kind, item="") for kind in KINDS if kind != "item"]


def ranked_rows(drivers: list[Driver]) -> list[Place]:
    """Return the places of the sorted list."""
    return [Place.model_construct(place=Decimal(at)) for at in range(1, min(len(drivers), MOST_PLACES) + 1)]


def shocked_rows(records: SeasonRecords) -> list[Shocked]:
    """Return every price, to be looked at after a change."""
    return [Shocked.model_construct(product=row.product, channel=row.channel) for row in records.prices]


def glance_rows(records: SeasonRecords) -> list[GlanceRow]:
    """Return a line of the first sheet for each product."""
    return [GlanceRow(product=row.product) for row in records.products]


def fill_rows(records: SeasonRecords) -> list[FillRow]:
    """Return a line of Fill for each product."""
    return [FillRow(product=row.product) for row in records.products]
