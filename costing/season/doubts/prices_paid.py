"""Doubts about what a gram or piece cost: against the item's other purchases, its kind, its usual price, its sizes."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator

from costing.errors import Doubt
from costing.fields.numerals import plainly
from costing.season.costed import Season
from costing.season.doubts.places import purchase_place
from costing.season.doubts.price_level import Paid, PriceLevel
from costing.season.doubts.tubs import parts_in_sorts
from costing.season.robust import Crowd, is_far, likely_factor
from costing.tables.buying.items import ITEMS

# Kinds of things whose prices lie near enough together to tell a slip, and the ratio up to which it is none
# (common practice, no source).
ALIKE = {"oil": 12.0, "fatty-acid": 12.0, "clay": 12.0, "exfoliant": 12.0, "packaging": 40.0, "piece": 40.0}
POUNDS = 1 / 0.45359237  # in a kilogram
GRAMS = (
    ("kg for g", 1 / 1000), ("g for kg", 1000.0), ("lb for kg", POUNDS), ("oz for lb", 16.0), ("lb for oz", 1 / 16),
)  # fmt: skip
A_SLIP = 1.25  # how near a ratio must come to that of a slip which the row itself suggests (common practice, no source)
BLANK_AT_LEAST = 1.6  # times the usual price, where packs were left blank (common practice, no source)
LOOK = "look at packs, size, unit and paid"


def price_doubts(season: Season, level: PriceLevel) -> Iterator[Doubt]:
    """Yield each purchase whose price per gram or piece is out of line, by the first witness that says so."""
    told: set[str] = set()
    for rule in (_by_its_others, _by_its_kind, _by_its_sizes, _by_its_usual):
        for doubt in sorted(rule(season, level), key=lambda doubt: (doubt.where, doubt.what)):
            if doubt.where not in told:
                told.add(doubt.where)
                yield doubt


def _by_its_others(_: Season, level: PriceLevel) -> Iterator[Doubt]:
    """Yield what Purchases marks as unlike the item's other prices."""
    for bought in level.paid.values():
        for paid in (each for each in bought if each.is_unlike):
            yield _far(paid, paid.times_usual, len(bought) - 1)


def _far(paid: Paid, ratio: float, others: int) -> Doubt:
    what = f"{times(ratio)} its usual price, by {others} other purchase{'s' if others > 1 else ''}"
    return _doubt(paid, what, _asked(paid, ratio))


def _asked(paid: Paid, ratio: float) -> str:
    packs = float(paid.row.packs)
    of_one = [(f"the price of one pack, with packs at {plainly(paid.row.packs)}", 1 / packs)] if packs > 1 else []
    meant = likely_factor(ratio, [*of_one, *GRAMS])
    return f"did you write {meant}?" if meant else LOOK


def times(ratio: float) -> str:
    """Say a ratio in words: so many times, or so many times less than."""
    return f"{ratio:.1f} times" if ratio > 1 else f"{1 / ratio:.1f} times less than"


def _doubt(paid: Paid, what: str, do: str) -> Doubt:
    return Doubt(purchase_place(paid.row), what, do, row=paid.number)


def _by_its_kind(season: Season, level: PriceLevel) -> Iterator[Doubt]:
    """Yield a thing bought once whose price is far from all others of its kind: a box of pieces taken for one, say."""
    alike: dict[tuple[str, str], list[str]] = defaultdict(list)
    for known in season[ITEMS].rows:
        kind = known.kind or known.counted_in
        if known.item in level.middles and kind in ALIKE:
            alike[kind, known.counted_in].append(known.item)
    for (kind, _), items in alike.items():
        middles = Crowd([level.middles[item] for item in items])
        for item in items if len(middles) > 3 else ():
            price = level.middles[item]
            if len(level.paid[item]) == 1 and middles.is_far(price, never_under=ALIKE[kind], always_over=ALIKE[kind]):
                yield _doubt(
                    level.paid[item][0], f"{times(middles.times_the_usual(price))} what others of its kind cost", LOOK
                )


# --- the same thing in several sizes ---------------------------------------------------------------------------------

OF_A_SORT = 6.0  # times what other lids, or other jars, cost (common practice, no source)
DEARER, GROWTH = 2.0, 0.8  # how a jar's price grows with what it holds: as its 0.8th power, or twice that at most


def _by_its_sizes(season: Season, level: PriceLevel) -> Iterator[Doubt]:
    """Yield pieces out of line with their other sizes: a jar of 350 mL that costs less than one of 100 mL."""
    families: dict[str, list[tuple[float, str]]] = defaultdict(list)
    for row in season[ITEMS].rows:
        numbers = re.findall(r"\d+(?:[.,]\d+)?", row.item)
        if row.counted_in == "piece" and row.item in level.paid and len(numbers) == 1:
            size = float(numbers[0].replace(",", "."))
            if size > 0:
                families[row.item.replace(numbers[0], "#").casefold()].append((size, row.item))
    yield from _by_its_sort(season, level)
    for family in families.values():
        for size, item in family:
            others = [(other, level.middles[sibling]) for other, sibling in family if other != size]
            wrong = [other for other, price in others if _unlike_size(size, level.middles[item], other, price)]
            if len(wrong) * 2 > len(others):
                paid = max(level.paid[item], key=lambda each: (each.row.bought_on, each.each))
                yield _doubt(paid, "its price does not go with the other sizes of it", LOOK)


def _by_its_sort(season: Season, level: PriceLevel) -> Iterator[Doubt]:
    """Yield parts many times dearer or cheaper than those of their sort: a large lid at a twelfth of a small one."""
    for sort in parts_in_sorts(season):
        bought = sorted(part for part in sort if part in level.middles)
        prices = Crowd([level.middles[part] for part in bought])
        for part in bought if len(bought) > 1 else ():
            if prices.is_far(level.middles[part], never_under=OF_A_SORT, always_over=OF_A_SORT):
                paid = max(level.paid[part], key=lambda each: (each.row.bought_on, each.each))
                yield _doubt(paid, f"{times(prices.times_the_usual(paid.each))} what others of its sort cost", LOOK)


def _unlike_size(size: float, price: float, other_size: float, other_price: float) -> bool:
    (small, cheap), (large, dear) = sorted([(size, price), (other_size, other_price)])
    return cheap > dear * 1.7 or dear > cheap * (large / small) ** GROWTH * DEARER


# --- what it usually costs -------------------------------------------------------------------------------------------


def _by_its_usual(season: Season, level: PriceLevel) -> Iterator[Doubt]:
    """Yield purchases far from what such a thing costs small makers, at this season's level; of each thing the newest."""
    leaves_blank, in_pounds = _leaves_packs_blank(season), _buys_in_pounds(season)
    for item, bought in level.paid.items():
        newest = max(bought, key=lambda paid: (paid.row.bought_on, paid.each, paid.row.invoice))
        ratio = level.times_usual(item, newest.each)
        if ratio is None:
            continue
        room = level.room(item)
        if not 1 / room <= ratio <= room:
            yield _doubt(newest, f"about {times(ratio)} what {item} usually costs", _asked(newest, ratio))
        elif len(bought) == 1 and level.is_sure:
            yield from _suggested_by_its_row(newest, ratio, leaves_blank=leaves_blank, in_pounds=in_pounds)


def _leaves_packs_blank(season: Season) -> bool:
    """Whether the maker has the habit of leaving packs blank, which means one."""
    goods = [row for row in season.records.purchases if row.is_goods]
    return sum("packs" not in row.model_fields_set for row in goods) * 5 > len(goods)


def _buys_in_pounds(season: Season) -> bool:
    """Whether pounds are what the maker usually buys in, and no slip of a maker who buys in kilograms."""
    units = [row.unit for row in season.records.purchases]
    return units.count("lb") > units.count("kg")


def _suggested_by_its_row(paid: Paid, ratio: float, *, leaves_blank: bool, in_pounds: bool) -> Iterator[Doubt]:
    """Yield what is off by just the number of packs, or by a pound for a kilogram: each alone would say little."""
    packs, unit = float(paid.row.packs), paid.row.unit
    if packs > 1 and _near(ratio * packs) and not _near(ratio):
        yield _doubt(paid, f"about {times(ratio)} what it usually costs", "is paid for all packs, and size of one?")
    elif "packs" not in paid.row.model_fields_set and not leaves_blank and ratio > BLANK_AT_LEAST:
        yield _doubt(paid, f"about {times(ratio)} what it usually costs, and packs is blank", "how many packs were there?")
    elif unit == "lb" and not in_pounds and _near(ratio / POUNDS) and not _near(ratio):
        yield _doubt(paid, f"about {times(ratio)} what it usually costs", "did you write lb for kg?")


def _near(ratio: float) -> bool:
    return not is_far(ratio, [1.0], never_under=A_SLIP, always_over=A_SLIP)
