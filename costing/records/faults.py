"""Faults that only show when the tables are seen together: names that lead nowhere, sums that miss, circles."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any

from costing.errors import Fault, did_you_mean
from costing.fields.catalogue import ingredient_named
from costing.fields.units import purchase_units
from costing.fields.words import plain_word, words
from costing.records.known import Known
from costing.records.surroundings import Unread
from costing.records.together import told_together
from costing.tables import equations
from costing.tables.buying.items import WATER
from costing.tables.making.recipes import Line
from costing.tables.order_of_making import Circle, formula_of, formulas_used, making_order, shortest_circle
from costing.tables.scales.batch_lines import BatchLine
from costing.tables.selling.overheads import Overhead
from costing.tables.settings import PERCENT_SLACK, SHARE_DECIMALS
from costing.tables.written import Rows, SeasonRecords

HALF_A_CENT = 0.005
LATE = 3  # one in so many purchases after the day priced on are more than stray ones (common practice, no source)
MOST_CIRCLES = 20  # told at once
BOUGHT = "bought"  # what checks lean on that need only the names of what was bought


def faults_between(records: SeasonRecords, unread: Unread | None = None) -> list[Fault]:
    """Return every fault between the tables of a season.

    ``unread`` says what could not be read: what leans on that is not judged, so that one fault does not bring up others
    that are none.
    """
    unread = unread or Unread()
    known = Known(records, unread.items or frozenset())
    missing = set(unread.tables) | (set() if unread.items is not None else {BOUGHT})
    found = [fault for check, leans_on in _CHECKS if not leans_on & missing for fault in check(known)]
    return told_together(sorted(found, key=lambda fault: not isinstance(fault, NameUnknown)))


class NameUnknown(Fault):
    """A name that leads nowhere, or a day on which it does: to be mended before what follows from it is judged."""


def _unknown(where: str, word: str, choices: Iterable[str], kind: str) -> Fault:
    return NameUnknown(where, f'there is no {kind} "{word}"', did_you_mean(word, choices))


def _day_priced_on(known: Known) -> Iterator[Fault]:
    """Tell of a day before many purchases where something in use has no price by it: the one cause of many faults."""
    day = known.records.season.priced_on
    late = [row for row, _ in known.goods if row.bought_on > day]
    used = {row.item for row in known.records.lines} | {row.part for row in known.records.tubs}
    if len(late) * LATE > len(known.goods) and {row.item for row in late} & used - known.priced:
        what = f"{len(late)} of {len(known.goods)} purchases are later than {day}, some of things that have no other price"
        yield NameUnknown(known.records.setting_place("priced_on"), what, "look at the year")


def _purchases(known: Known) -> Iterator[Fault]:
    currency = known.records.season.currency
    for row, place in known.records.purchases.placed():
        foreign = row.currency not in ("", currency)
        if foreign and "rate" not in row.model_fields_set:
            do = f"write how many {currency} one {row.currency} costs"
            yield Fault(f"{place}, rate", f"is empty for a purchase in {row.currency}", do)
        if not foreign and row.rate != 1:
            yield Fault(f"{place}, rate", f"{row.rate} for a purchase in {currency}", "leave it blank, or name the currency")
    for row, place in known.goods:
        if purchase_units()[row.unit].millilitres and row.item not in known.densities:
            do = f"add its density in g/mL to items, or weigh it and write g ({row.item})"
            yield Fault(f"{place}, unit", f"{row.unit} of an item without density", do)
        if row.item in known.made:
            yield Fault(f"{place}, item", f'"{row.item}" is also a formula', "give one of the two another key")
    for own, place in known.records.items.placed():
        if own.item in known.made:
            yield Fault(f"{place}, item", f'"{own.item}" is also a formula', "give one of the two another key")
    for item in sorted(known.by_piece.keys() & known.by_weight.keys()):
        do = f"{known.by_weight[item]} has it by weight: make two items of it, or use one way"
        yield Fault(f"{known.by_piece[item]}, unit", f'"{item}" is bought by the piece', do)


def _invoices(known: Known) -> Iterator[Fault]:
    settings = known.records.season
    goods: dict[tuple[str, str], float] = defaultdict(float)
    reclaimed = float(settings.reclaims_tax == "yes")
    counted = [(row, place) for row, place in known.records.purchases.placed() if row.bought_on <= settings.priced_on]
    for row, _ in counted:
        if row.is_goods:
            paid = equations.goods_paid(float(row.paid), float(row.tax_in_money), reclaimed, float(row.rate))
            goods[row.supplier.lower(), row.invoice.lower()] += paid
    invoices: dict[str, set[str]] = defaultdict(set)
    for row, _ in counted:
        if row.is_goods:
            invoices[row.supplier].add(row.invoice)
    for row, place in counted:
        if not row.is_goods and row.paid and abs(goods[row.supplier.lower(), row.invoice.lower()]) < HALF_A_CENT:
            what = f"no goods of {row.supplier}, invoice {row.invoice}, to share this {row.item} among"
            others = invoices[row.supplier]
            paid_nothing = row.invoice in others
            do = "write what its goods cost, or leave this row out" if paid_nothing else did_you_mean(row.invoice, others)
            yield Fault(f"{place}, invoice", what, do)


def _formulas(known: Known) -> Iterator[Fault]:
    with_lines = {row.formula for row in known.records.lines}
    for row, place in known.records.formulas.placed():
        if row.formula not in with_lines:
            yield Fault(f"{place}, formula", f'"{row.formula}" has no lines', "write in lines what goes into it")


def _named(known: Known, rows: Rows[Any]) -> Iterator[Fault]:
    for row, place in rows.placed():
        formula = str(getattr(row, "formula", ""))
        if formula not in known.formulas:
            yield _unknown(f"{place}, formula", formula, known.formulas, "formula")


def _steps(known: Known) -> Iterator[Fault]:
    for rows in (known.records.steps, known.records.lines, known.records.outputs):
        yield from _named(known, rows)
    steps: dict[str, list[str]] = defaultdict(list)
    for step in known.records.steps:
        steps[step.formula].append(step.step)
    for row, place in known.records.lines.placed():
        if row.formula in steps and row.step not in steps[row.formula]:
            yield _unknown(f"{place}, step", row.step, steps[row.formula], f"step of {row.formula}")


def _lines(known: Known) -> Iterator[Fault]:
    yield from _put_in(known, known.records.lines)


def _put_in(known: Known, rows: Rows[Line] | Rows[BatchLine]) -> Iterator[Fault]:
    for row, place in rows.placed():
        where = f"{place}, item"
        if row.item in known.made:
            continue
        if row.item in known.by_piece:
            yield Fault(where, f'"{row.item}" is bought by the piece', "a formula takes grams: buy it by weight")
        elif row.item in known.priced and "/" not in row.item:
            continue
        elif formula_of(row.item) in known.formulas:
            outputs = [f"{out.formula}/{out.output}" for out in known.records.outputs]
            yield _unknown(where, row.item, outputs, "output")
        else:
            yield _never_bought(known, where, row.item)


def _never_bought(known: Known, where: str, item: str) -> Fault:
    settings = known.records.season
    if item in known.bought:
        what = f'"{item}" was never bought by {settings.priced_on}, the day priced on'
        return NameUnknown(where, what, "write an earlier purchase of it in purchases, or move priced_on")
    ingredient = ingredient_named(item)
    bought_as = [
        each for each in sorted(known.priced & known.bought) if ingredient and known.ingredients[each] is ingredient
    ]
    if not bought_as and (ingredient or any(row.item == item for row in known.records.items)):
        free = ", for water from the tap 1000 kg paid with 0" if ingredient and ingredient.kind == WATER else ""
        return NameUnknown(where, f'"{item}" was never bought', f"write what you paid for it in purchases{free}")
    meant = did_you_mean(bought_as[0] if bought_as else item, known.priced | known.made)
    return NameUnknown(where, f'"{item}" is neither bought nor made', f"write it in purchases or formulas; {meant}")


def _percentages(known: Known) -> Iterator[Fault]:
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for line in known.records.lines:
        if line.percent is not None:
            sums[line.formula] += line.percent
    for row, place in known.records.formulas.placed():
        total = sums.get(row.formula)
        if total is None:
            continue
        if _off_a_hundred(total):
            do = f"make its lines in lines add up to 100 ({100 - total:+} to go)"
            yield Fault(f"{place}, formula", f"percentages of {row.formula} add up to {total}", do)
        if row.batch_grams is None:
            yield Fault(f"{place}, batch_grams", f"is empty, but {row.formula} is in percent", "write what a batch weighs")


def _off_a_hundred(total: Decimal) -> bool:
    return equations.off_a_hundred(float(total / 100), PERCENT_SLACK, SHARE_DECIMALS)


def _circles(known: Known) -> Iterator[Fault]:
    made = ((line.formula, line.item) for line in known.records.lines if line.item in known.made)  # not every output is
    uses = formulas_used([row.formula for row in known.records.formulas], made)
    told = 0
    while (circle := _first_circle(uses)) and (told := told + 1) <= MOST_CIRCLES:
        first, second = circle.formulas[:2]
        rows = known.records.lines.placed()
        place = next(place for line, place in rows if line.formula == first and formula_of(line.item) == second)
        yield Fault(f"{place}, item", f"formulas use each other in a circle: {circle}", "take one of these lines out")
        uses[first] = [used for used in uses[first] if used != second]


def _first_circle(uses: Mapping[str, list[str]]) -> Circle | None:
    try:
        making_order(uses)
    except Circle as circle:
        return shortest_circle(circle, uses)
    return None


def _outputs(known: Known) -> Iterator[Fault]:
    by_formula: dict[str, list[int]] = defaultdict(list)
    rows = known.records.outputs
    for at, row in enumerate(rows.records):
        by_formula[row.formula].append(at)
    for formula, positions in by_formula.items():
        outputs = [rows.records[at] for at in positions]
        place = rows.places[positions[0]]
        total = sum((output.percent for output in outputs), Decimal(0))
        if _off_a_hundred(total):
            do = "make them add up to 100; what is thrown away is an output valued nothing"
            yield Fault(f"{place}, percent", f"outputs of {formula} add up to {total}", do)
        ways = sorted({output.valued for output in outputs} & {"weight", "sales"})
        if len(ways) == 2:
            do = "value them all by weight, or all by sales"
            yield Fault(f"{place}, valued", f"outputs of {formula} share by weight and by sales", do)
        elif not ways:
            do = "value at least one of them by weight or sales"
            yield Fault(f"{place}, valued", f"no output of {formula} bears the rest of its cost", do)
        elif not any(output.percent * (output.price_per_kg or 1) for output in outputs if output.valued == ways[0]):
            do = "write a percentage and a price above 0 for one of them"
            yield Fault(f"{place}, percent", f"outputs of {formula} have nothing to share its cost by", do)
        elif ways == ["sales"] and not any(o.percent * (o.price_per_kg or 0) for o in outputs if o.valued == "sales"):
            do = "write a price_per_kg above 0 for one of them"
            yield Fault(f"{place}, price_per_kg", f"outputs of {formula} have no sales value to share by", do)


def _tubs(known: Known) -> Iterator[Fault]:
    for row, place in known.records.tubs.placed():
        where = f"{place}, part"
        if row.part in known.by_weight:
            yield Fault(where, f'"{row.part}" is bought by weight', "a tub's parts are bought by the piece")
        elif row.part in known.made:
            yield Fault(where, f'"{row.part}" is made, not bought by the piece', "name a part that is bought")
        elif row.part not in known.priced:
            yield _never_bought(known, where, row.part)


def _products(known: Known) -> Iterator[Fault]:
    tubs = {row.tub for row in known.records.tubs}
    for row, place in known.records.products.placed():
        if row.filled_with not in known.made:
            yield _unknown(f"{place}, filled_with", row.filled_with, known.made, "formula or output")
        if row.tub not in tubs:
            do = f"write its parts in tubs; {did_you_mean(row.tub, tubs)}"
            yield NameUnknown(f"{place}, tub", f'tub "{row.tub}" has no parts', do)


def _references(rows: Rows[Any], columns: Mapping[str, tuple[set[str], str]]) -> Iterator[Fault]:
    for row, place in rows.placed():
        for column, (choices, kind) in columns.items():
            word = getattr(row, column)
            if word not in choices:
                yield _unknown(f"{place}, {column}", word, choices, kind)


def _prices(known: Known) -> Iterator[Fault]:
    products = {row.product for row in known.records.products}
    channels = {row.channel for row in known.records.channels}
    named = {"product": (products, "product"), "channel": (channels, "channel")}
    yield from _references(known.records.prices, named)


def _margins(known: Known) -> Iterator[Fault]:
    for row, place in known.records.channels.placed():
        margin, fee, tax = (float(x) / 100 for x in (row.margin_percent, row.fee_percent, row.sales_tax_percent))
        if equations.nothing_kept(equations.kept_of_net(margin, fee, tax), SHARE_DECIMALS):
            what = f"no price reaches a margin of {row.margin_percent} % at a fee of {row.fee_percent} %"
            yield Fault(f"{place}, margin_percent", what, "lower one of the two")


def _shops(known: Known) -> Iterator[Fault]:
    """Tell of shops that sell on at a channel that is not there, or at another such shop, and of half of what they need."""
    channels = {row.channel: row for row in known.records.channels}
    for row, place in known.records.channels.placed():
        asks = channels.get(row.of_channel)
        if row.of_channel and asks is None:
            yield _unknown(f"{place}, of_channel", row.of_channel, channels, "channel")
        elif asks is not None and asks.of_channel:
            what = f"{asks.channel} is itself a shop that sells on"
            yield Fault(f"{place}, of_channel", what, "name the channel whose price customers pay")
        elif row.of_channel and not row.shop_margin_percent:
            what = "is nothing, for a shop that sells on"
            yield Fault(f"{place}, shop_margin_percent", what, "write what it keeps of its price without tax, as 40")
        elif row.shop_margin_percent and not row.of_channel:
            what = "is empty, where the shop keeps something"
            yield Fault(
                f"{place}, of_channel", what, "name the channel whose price it asks, or leave shop_margin_percent blank"
            )


def _alternatives(known: Known) -> Iterator[Fault]:
    products = {row.product for row in known.records.products}
    named = {"product": (products, "product"), "bought": (products, "product")}
    yield from _references(known.records.alternatives, named)


def _main_channel(known: Known) -> Iterator[Fault]:
    main, channels = known.records.season.main_channel, {row.channel for row in known.records.channels}
    if main and main not in channels:
        yield _unknown(known.records.setting_place("main_channel"), main, channels, "channel")


def _overheads(known: Known) -> Iterator[Fault]:
    yield from _totals(known.records.overheads)
    channels = {row.channel for row in known.records.channels}
    sold = {row.channel for row in known.records.prices if row.planned}
    told = False
    for row, place in known.records.overheads.placed():
        if not row.model_fields_set & {"amount", "hours"}:
            what = "is empty, as are its hours"
            yield Fault(f"{place}, amount", what, "write what it costs, your own hours for it, or both; 0 for nothing")
        elif row.channel and row.channel not in channels:
            yield _unknown(f"{place}, channel", row.channel, channels, "channel")
        elif row.channel and row.channel not in sold and sold and (row.amount or row.hours):
            what = f"nothing is planned in {row.channel} to carry it"
            yield Fault(f"{place}, channel", what, "write planned numbers in prices, or leave the channel blank")
        elif not sold and not told and (row.amount or row.hours):
            told = True
            column = "amount" if row.amount else "hours"
            yield Fault(f"{place}, {column}", "nothing is planned to carry it", "write planned numbers in prices")


def _totals(rows: Rows[Overhead]) -> Iterator[Fault]:
    """Tell of a row that is called a total and is the sum of the others: it would count everything twice."""
    together = sum(row.amount for row in rows)
    for row, place in rows.placed():
        if words("receipt").get(plain_word(row.overhead)) == "total" and row.amount and 2 * row.amount == together:
            yield Fault(f"{place}, overhead", f'"{row.overhead}" is the sum of the other rows', "delete the row")


def _weighings(known: Known) -> Iterator[Fault]:
    named = {"product": ({row.product for row in known.records.products}, "product")}
    yield from _references(known.records.weighings, named)


def _batches(known: Known) -> Iterator[Fault]:
    named = {"formula": (known.formulas, "formula")}
    yield from _references(known.records.batches, named)
    with_lines = {row.batch for row in known.records.batch_lines}
    for row, place in known.records.batches.placed():
        if row.batch not in with_lines:
            yield Fault(f"{place}, batch", f'"{row.batch}" has no lines', "write in batch_lines what went into it")


def _made(known: Known) -> Iterator[Fault]:
    products = {row.product for row in known.records.products}
    for row, place in known.records.made.placed():
        if row.what in known.made and row.what in products:
            do = "call the product otherwise, so that grams and pieces can be told apart"
            yield Fault(f"{place}, what", f'"{row.what}" is a formula and a product', do)
        elif row.what not in known.made | products:
            yield _unknown(f"{place}, what", row.what, known.made | products, "formula, output or product")


def _batch_lines(known: Known) -> Iterator[Fault]:
    formulas = {row.batch: row.formula for row in known.records.batches}
    steps: dict[str, set[str]] = defaultdict(set)
    for step in (*known.records.steps, *known.records.lines):
        steps[step.formula].add(step.step)
    for row, place in known.records.batch_lines.placed():
        formula = formulas.get(row.batch)
        if formula is None:
            yield _unknown(f"{place}, batch", row.batch, formulas, "batch")
        elif formula in known.formulas and row.step not in steps[formula]:
            yield _unknown(f"{place}, step", row.step, steps[formula], f"step of {formula}")
    yield from _put_in(known, known.records.batch_lines)


_CHECKS: tuple[tuple[Callable[[Known], Iterator[Fault]], set[str]], ...] = (
    (_day_priced_on, {BOUGHT, "lines", "tubs"}),
    (_purchases, {"items", "formulas", "outputs"}),
    (_invoices, {"purchases"}),
    (_formulas, {"lines"}),
    (_steps, {"formulas", "steps"}),
    (_lines, {BOUGHT, "items", "formulas", "outputs"}),
    (_percentages, {"lines"}),
    (_circles, {"lines"}),
    (_outputs, {"outputs"}),
    (_tubs, {BOUGHT, "items", "formulas", "outputs"}),
    (_products, {"formulas", "outputs", "tubs"}),
    (_prices, {"products", "channels"}),
    (_margins, set()),
    (_shops, set()),
    (_main_channel, {"channels"}),
    (_alternatives, {"products"}),
    (_overheads, {"prices", "channels"}),
    (_weighings, {"products"}),
    (_batches, {"formulas", "batch_lines"}),
    (_made, {"formulas", "outputs", "products"}),
    (_batch_lines, {BOUGHT, "items", "formulas", "outputs", "steps", "lines", "batches"}),
)
