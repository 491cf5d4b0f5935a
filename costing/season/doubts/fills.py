"""Doubts about products: fills against labels, names and tubs, what they are filled with, minutes and waste."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator

from costing.errors import Doubt
from costing.fields.units import purchase_units, spelled_unit
from costing.season.costed import Season
from costing.season.doubts.places import numbered
from costing.season.doubts.tubs import words
from costing.season.robust import Crowd, is_far, standing_out, usual
from costing.tables.buying.items import ITEMS
from costing.tables.order_of_making import formula_of
from costing.tables.selling.products import Product
from costing.tables.settings import OVERFILL, UNDERFILL

Numbered = tuple[Product, int]
# All common practice, no source.
NAMED = 1.04  # how far a label may be from the weight in a product's name
OTHER_FILL = 1.5  # times the other fills of a tub, beyond which a fill looks like one of another tub
BETTER = 1.2  # how near the other fills of another tub must be, for it to be the one that was meant
SAME_DENSITY = 1.3  # how near the grams in a millilitre of one formula lie
MINUTES, WASTE = 5.0, 5.0  # times the other products', beyond which a figure stands out
WEIGHT = re.compile(r"(\d+(?:[.,]\d+)?)\s*(g|gr|grams|kg|oz|lb)\b", re.IGNORECASE)
VOLUME = re.compile(r"(\d+(?:[.,]\d+)?)\s*(ml|cl|l)\b", re.IGNORECASE)


def fill_doubts(season: Season) -> Iterator[Doubt]:
    """Yield products whose fill, label, tub, filling, minutes or waste look like a slip."""
    rows = list(numbered(season.records.products))
    yield from _labels(rows)
    yield from _names(rows)
    yield from _tubs(season, rows)
    yield from _fillings(season, rows)
    yield from _no_minutes(rows)
    yield from _standing_out(rows, "minutes", MINUTES, "is it for one, and not for all of a batch?")
    yield from _standing_out(rows, "waste_percent", WASTE, "is it in percent?")


def _doubt(each: Numbered, what: str, do: str) -> Doubt:
    return Doubt(f"products, {each[0].product}", what, do, row=each[1])


def _labelled(row: Product) -> float:
    return float(row.label_grams or row.fill_grams)


def _labels(rows: list[Numbered]) -> Iterator[Doubt]:
    for each in rows:
        share = float(each[0].fill_grams) / _labelled(each[0])
        if share > OVERFILL or share < UNDERFILL:
            what = f"a fill of {float(each[0].fill_grams):g} g with {_labelled(each[0]):g} g on the label"
            yield _doubt(each, what, "are digits in each other's place?")


# --- names -----------------------------------------------------------------------------------------------------------


def _names(rows: list[Numbered]) -> Iterator[Doubt]:
    """Yield labels unlike the weight in the product's name, or unlike its number where that is the others' weight."""
    numbers = {each[0].product: _number(each[0]) for each in rows}
    agreeing = [each for each in rows if (number := numbers[each[0].product]) and _is_near(number, _labelled(each[0]))]
    habit = len(agreeing) >= 2 and len(agreeing) * 2 > len(rows)
    for each in rows:
        weight = _weight(each[0]) or (numbers[each[0].product] if habit else None)
        if weight and not _is_near(weight, _labelled(each[0])):
            what = f"{_labelled(each[0]):g} g on the label, and {weight:g} in its name"
            yield _doubt(each, what, f"did you mean {weight:g}?")


def _is_near(one: float, other: float) -> bool:
    return not is_far(one, [other], never_under=NAMED, always_over=NAMED)


def _weight(row: Product) -> float | None:
    found = WEIGHT.search(f"{row.name} {row.product}".replace("-", " "))
    return _amount(found) if found else None


def _amount(found: re.Match[str]) -> float:
    """Return what a number with its unit in a name comes to. [gram or millilitre]"""
    unit = found[2].lower()
    one = 10.0 if unit == "cl" else purchase_units()[spelled_unit(unit) or ""].holds()
    return _figure(found[1]) * one


def _number(row: Product) -> float | None:
    found = re.findall(r"\d+(?:[.,]\d+)?", row.product)
    return _figure(found[0]) if len(found) == 1 and _figure(found[0]) else None


def _figure(text: str) -> float:
    return float(text.replace(",", "."))


# --- tubs ------------------------------------------------------------------------------------------------------------


def _tubs(season: Season, rows: list[Numbered]) -> Iterator[Doubt]:
    """Yield fills that the other fills of their tub do not suggest, and those of another tub do.

    Light and heavy things may share a jar: where the jars say what they hold, grams in a millilitre that are those of the
    formula's other products clear a fill.
    """
    volumes = _volumes(season)
    fills = _crowds((row.tub, float(row.fill_grams)) for row, _ in rows)
    dense = _crowds((row.filled_with, float(row.fill_grams) / volumes[row.tub]) for row, _ in rows if row.tub in volumes)
    middles = {tub: usual(held.numbers) for tub, held in fills.items()}
    for each in rows:
        fill, tub, held = float(each[0].fill_grams), each[0].tub, fills[each[0].tub]
        mine = fill / volumes[tub] if tub in volumes else None
        sizes = dense[each[0].filled_with] if mine else Crowd([])
        fits = len(sizes) > 1 and mine is not None and not _far(sizes, mine, SAME_DENSITY)
        if fits or (len(held) > 1 and not _far(held, fill, OTHER_FILL)):
            continue
        suits = [name for name, middle in middles.items() if name != tub and 1 / BETTER < middle / fill < BETTER]
        if len(held) > 1 and (suits or len(sizes) > 1 or (len(held) > 2 and not mine)):
            what = f"{fill:g} g in {tub}, whose other fills are about {fill / held.times_the_usual(fill):.0f} g"
            yield _doubt(each, what, f'did you mean the tub "{min(suits)}"?' if suits else "look at tub and fill")
        elif len(held) == 1 and suits and mine is not None and len(sizes) > 1:
            ratio = sizes.times_the_usual(mine)
            what = f"{fill:g} g in {tub}, {ratio:.2f} times as much in a millilitre as its other sizes"
            yield _doubt(each, what, f'did you mean the tub "{min(suits)}"?')


def _crowds(named: Iterable[tuple[str, float]]) -> dict[str, Crowd]:
    found: dict[str, list[float]] = defaultdict(list)
    for name, figure in named:
        found[name].append(figure)
    return {name: Crowd(figures) for name, figures in found.items()}


def _far(crowd: Crowd, figure: float, times: float) -> bool:
    return crowd.is_far(figure, never_under=times, always_over=times)


def _volumes(season: Season) -> dict[str, float]:
    """Return what each tub holds, where its name or the name of a part says so. [millilitre]"""
    found: dict[str, float] = {}
    names = {row.item: row.name for row in season[ITEMS].rows}
    for row in season.records.tubs:
        for name in (row.part, names.get(row.part, ""), row.tub):
            if match := VOLUME.search(name):
                found.setdefault(row.tub, _amount(match))
    return {tub: volume for tub, volume in found.items() if volume > 0}


# --- fillings --------------------------------------------------------------------------------------------------------


def _fillings(season: Season, rows: list[Numbered]) -> Iterator[Doubt]:
    """Yield products named after another formula than the one they are filled with."""
    named = {row.formula: words(row.formula) | words(row.name) for row in season.records.formulas}
    by_word: dict[str, set[str]] = defaultdict(set)
    for formula, its_words in named.items():
        for word in its_words:
            by_word[word].add(formula)
    for each in rows:
        mine = words(each[0].product) | words(each[0].name)
        filled = formula_of(each[0].filled_with)
        score = len(named[filled] & mine) - len(named[filled] - mine)
        rivals = {other for word in mine for other in by_word[word]} - {filled}
        better = [other for other in rivals if named[other] <= mine and len(named[other]) > score]
        if better and not named[filled] <= mine:
            best = max(better, key=lambda other: (len(named[other]), other))
            what = f"filled with {each[0].filled_with}, and named after {best}"
            yield _doubt(each, what, f'did you mean "{best}"?')


# --- minutes and waste -----------------------------------------------------------------------------------------------


def _no_minutes(rows: list[Numbered]) -> Iterator[Doubt]:
    without = [each for each in rows if not each[0].minutes]
    if len(without) == 1 and len(rows) >= 4:
        yield _doubt(
            without[0], "no minutes, and every other product has some", "how long does it take to fill and pack one?"
        )


def _standing_out(rows: list[Numbered], column: str, times: float, do: str) -> Iterator[Doubt]:
    filled = [(each, float(getattr(each[0], column))) for each in rows if getattr(each[0], column)]
    least = standing_out([figure for _, figure in filled], times=times, others=2)
    for each, figure in filled if least else ():
        if least and figure >= least[0]:
            yield _doubt(each, f"{column} {figure:g}, where the other products have about {least[1]:.2g}", do)
