"""Doubts about how much was bought: against what the plan takes, what is on hand, the other packs, and what is used."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from costing.errors import Doubt, suggestion
from costing.fields.numerals import plainly
from costing.fields.types import day_of
from costing.fields.units import purchase_units
from costing.season.costed import Season
from costing.season.doubts.places import numbered, purchase_place
from costing.season.doubts.price_level import Paid, PriceLevel
from costing.season.robust import Crowd, usual
from costing.tables.buying.items import ITEMS, ingredient_of
from costing.tables.buying.purchases import PURCHASES
from costing.tables.planning.shopping_list import BUYING
from costing.tables.settings import DOZENS, QUOTED

TOO_LITTLE, TOO_MUCH = 20.0, 300.0  # bought, against what the plan takes and how that is with other things
ON_HAND = 5.0  # times what was ever bought (this and the others: common practice, no source)
A_SAMPLE = 0.4  # of what is usually bought: a sample is less (common practice, no source)
MOST_APART = 3  # counts beyond all purchases that are told one by one
DENSITY = 0.12  # how far a density may be from the packaged one (common practice, no source)
ROUND_BOTTLE, NEARLY = 50.0, 0.006  # millilitres that bottles are multiples of, and how near one must come


def amount_doubts(season: Season, level: PriceLevel) -> Iterator[Doubt]:
    """Yield purchases of an amount that the season's other records do not go with."""
    paid = level.paid
    yield from _against_the_plan(season, paid)
    yield from _on_hand(season, paid)
    yield from _quotes(season)
    yield from _densities(season)
    yield from _units(season, paid)
    yield from _dozens(paid)
    yield from _ounces(season, paid)
    yield from _free(season, paid)
    yield from _unused(season, paid)


def _newest(bought: list[Paid]) -> Paid:
    return max(bought, key=lambda paid: (paid.row.bought_on, paid.row.supplier, paid.row.invoice, paid.each))


def _doubt(paid: Paid, what: str, do: str) -> Doubt:
    return Doubt(purchase_place(paid.row), what, do, row=paid.number)


def _against_the_plan(season: Season, paid: dict[str, list[Paid]]) -> Iterator[Doubt]:
    """Yield things of which far too little, or far too much, was bought for the plan, as it is with the others."""
    taken = {
        row.item: row.needed / sum(each.amount for each in paid[row.item])
        for row in season[BUYING].rows
        if row.item in paid and row.needed > 0
    }
    crowd = Crowd(list(taken.values()))
    for item, share in taken.items() if len(taken) >= 5 else ():
        ratio = crowd.times_the_usual(share)
        if ratio > TOO_LITTLE or ratio < 1 / TOO_MUCH:
            how = f"{share:.0f} times" if share > 1 else f"{share:.2%} of"
            yield _doubt(
                _newest(paid[item]), f"the plan takes {how} all that was bought of it", "look at size, packs and unit"
            )


def _on_hand(season: Season, paid: dict[str, list[Paid]]) -> Iterator[Doubt]:
    """Yield counts of far more than was ever bought; all in one where a maker counts much that no receipt tells of."""
    counted = [row for row in season[ITEMS].rows if row.on_hand > 0 and row.item in paid]
    beyond = [row for row in counted if row.on_hand > ON_HAND * sum(each.amount for each in paid[row.item])]
    if len(beyond) > MOST_APART:
        what = f"of {', '.join(row.item for row in beyond)}: many times what was ever bought"
        yield Doubt("items, on_hand", what, "look at the unit here, and whether all purchases are there")
    for row in beyond if len(beyond) <= MOST_APART else ():
        what = f"{row.on_hand:g} on hand, many times what was ever bought"
        yield Doubt(f"items, {row.item}", what, "look at the unit here, and at the size of its purchases")


def _quotes(season: Season) -> Iterator[Doubt]:
    for row in season[ITEMS].rows:
        if row.quoted > 0 and row.latest > 0 and not 1 / QUOTED <= row.quoted / row.latest <= QUOTED:
            what = f"quote of {row.quote:g} is {row.quoted / row.latest:.2f} times what it last cost"
            yield Doubt(f"items, {row.item}", what, "is it for a kilogram, or for a piece?")


def _densities(season: Season) -> Iterator[Doubt]:
    for row, number in numbered(season.records.items):
        known = ingredient_of(row.item, row.same_as)
        if row.density and known and known.density and abs(row.density / known.density - 1) > DENSITY:
            what = f"density of {plainly(row.density)} g/mL, and {known.name} has about {known.density:.2f}"
            yield Doubt(f"items, {row.item}", what, "look at the supplier's document", row=number)


# --- packs and units -------------------------------------------------------------------------------------------------


def _units(season: Season, paid: dict[str, list[Paid]]) -> Iterator[Doubt]:
    """Yield a pack of the usual size in another unit that holds nearly as much, as 20 kg where it is always 20 L."""
    density = {row.item: float(row.density or 1) for row in season[ITEMS].rows}
    for item, bought in paid.items():
        often: dict[object, Counter[str]] = defaultdict(Counter)
        for each in bought:
            often[each.row.size][each.row.unit] += 1
        for each in bought:
            units = often[each.row.size]
            (other, number), *_ = sorted(units.items(), key=lambda pair: (-pair[1], pair[0]))
            alone = other != each.row.unit and units[each.row.unit] == 1 and number >= 2
            if alone and _holds_as_much(each.row.unit, other, density[item]):
                what = f"{plainly(each.row.size or 0)} {each.row.unit}, where others are in {other}"
                yield _doubt(each, what, f"did you mean {other}?")


def _holds_as_much(unit: str, other: str, density: float) -> bool:
    mine, others = (purchase_units()[each].holds(density) for each in (unit, other))
    return 1 / 1.3 < mine / others < 1.3


def _dozens(paid: dict[str, list[Paid]]) -> Iterator[Doubt]:
    for each in (each for bought in paid.values() for each in bought):
        packs = each.row.packs * (each.row.size or 0)
        if each.row.unit == "dozen" and packs > DOZENS:
            yield _doubt(each, f"{plainly(packs)} dozen are {12 * packs:.0f} pieces", "did you mean piece?")


def _ounces(season: Season, paid: dict[str, list[Paid]]) -> Iterator[Doubt]:
    """Yield liquids in ounces whose number is that of a round bottle in fluid ounces: 16.9 are 500 mL."""
    fluid = float(purchase_units()["us fl oz"].millilitres or 0)
    liquid = {row.item for row in season[ITEMS].rows if row.density}
    for each in (each for bought in paid.values() for each in bought):
        size = float(each.row.size or 0)
        bottle = round(size * fluid / ROUND_BOTTLE) * ROUND_BOTTLE
        is_round = bottle > 0 and abs(size * fluid / bottle - 1) < NEARLY and size != round(size)
        if each.row.unit == "oz" and each.row.item in liquid and is_round:
            what = f"{plainly(each.row.size or 0)} oz by weight, and as many fluid ounces are {bottle:.0f} mL"
            yield _doubt(each, what, "did you mean us fl oz, or mL?")


def _free(season: Season, paid: dict[str, list[Paid]]) -> Iterator[Doubt]:
    """Yield what was free in an amount that is otherwise paid for: a sample is small."""
    numbers = season.records.purchases.numbers or [0] * len(season.records.purchases)
    for record, row, number in zip(season.records.purchases, season[PURCHASES].rows, numbers, strict=True):
        if record.is_goods and not record.paid and record.item in paid and row.amount > 0:
            others = usual([each.amount for each in paid[record.item]])
            if row.amount >= A_SAMPLE * others:
                what = f"nothing paid for {row.amount:g}, where it is otherwise bought by {others:g} and paid for"
                yield Doubt(purchase_place(record), what, "write what was paid, when the invoice is there", row=number)


# --- bought and used nowhere -----------------------------------------------------------------------------------------


def _unused(season: Season, paid: dict[str, list[Paid]]) -> Iterator[Doubt]:
    used = {row.known_as: row.item for row in season[ITEMS].rows if row.used_in}
    for item in season[ITEMS].rows:
        if not item.used_in and item.item in paid and not item.on_hand:
            near = used.get(item.known_as) or suggestion(item.item, used.values()).nearest
            asked = f'did you mean "{near}"?' if near else "name it in a formula or tub, or write what is left into on_hand"
            spent = sum(each.each * each.amount for each in paid[item.item])
            money = f"{spent:.2f} {season.records.season.currency}"
            what = f"{money} spent on it, last on {day_of(item.latest_day)}, and nothing uses it"
            yield _doubt(_newest(paid[item.item]), what, asked)
