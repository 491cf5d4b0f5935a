"""Doubts about purchases: rows that look like a slip, with what was probably meant. They stop nothing.

A price is held against the item's own other prices, as ratios (costing/season/robust.py); a tax against the rates of the
other receipts; a rate of exchange against the others of its currency; a row against the rows of its receipt.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from datetime import timedelta
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING

from costing.errors import Doubt, suggestion
from costing.fields.numerals import plainly
from costing.fields.types import day_of
from costing.season.robust import (
    is_far,
    likely_factor,
    nearest_rate,
    rounding_of_a_rate,
    sums_the_rows,
    times_the_usual,
    turned_round,
    usual,
)
from costing.tables.buying.items import ITEMS
from costing.tables.buying.purchases import PURCHASES, Purchase, PurchaseRow

if TYPE_CHECKING:
    from costing.season.costed import Season

COIN = Decimal("0.01")  # the smallest of most currencies, by which sums and taxes are rounded
# Kinds of things whose prices lie near enough together to tell a slip, and the ratio up to which it is none
# (common practice, no source).
ALIKE = {"oil": 12.0, "fatty-acid": 12.0, "clay": 12.0, "exfoliant": 12.0, "packaging": 40.0, "piece": 40.0}
A_YEAR = timedelta(days=365)
GRAMS = (
    ("kg for g", 1 / 1000), ("g for kg", 1000.0), ("lb for kg", 1 / 0.45359237), ("oz for lb", 16.0), ("lb for oz", 1 / 16),
)  # fmt: skip


def purchase_doubts(season: Season) -> Iterator[Doubt]:
    """Yield every row of a receipt that looks like a slip."""
    for doubts in (_prices, _kinds, _taxes, _rates, _twice, _totals, _days, _unused):
        yield from doubts(season)


def _where(row: Purchase) -> str:
    """Name a row by what the maker sees: its item, day and receipt."""
    receipt = " ".join(part for part in (row.supplier, row.invoice) if part)
    return f"purchases, {row.item} of {row.bought_on}" + (f", {receipt}" if receipt else "")


def _when(row: Purchase) -> tuple[object, ...]:
    return row.bought_on, row.supplier, row.invoice, row.item


def _newest(rows: Iterable[Purchase]) -> Purchase:
    """Return the newest of some purchases, in whatever order they stand."""
    return max(rows, key=_when)


def _worked(season: Season) -> Iterator[tuple[Purchase, PurchaseRow]]:
    """Yield each purchase of goods that was paid for and came in, as written and as worked out."""
    for record, row in zip(season.records.purchases, season[PURCHASES].rows, strict=True):
        if record.is_goods and row.paid > 0 and row.amount > 0 and row.landed > 0:
            yield record, row


def _by_item(season: Season) -> dict[str, list[tuple[Purchase, float]]]:
    """Return each item's purchases with what a gram or piece of them cost. [money/gram or money/piece]"""
    found: dict[str, list[tuple[Purchase, float]]] = defaultdict(list)
    for record, row in _worked(season):
        found[record.item].append((record, row.landed_each))
    return found


def _prices(season: Season) -> Iterator[Doubt]:
    for bought in _by_item(season).values():
        for at, (record, price) in enumerate(bought):
            others = [other for place, (_, other) in enumerate(bought) if place != at]
            if others and is_far(price, others):
                yield _far(record, times_the_usual(price, others), len(others))


def _kinds(season: Season) -> Iterator[Doubt]:
    """Yield a thing bought once whose price is far from all others of its kind: a box of pieces taken for one, say."""
    prices = _by_item(season)
    middles = {item: usual([price for _, price in bought]) for item, bought in prices.items()}
    alike: dict[tuple[str, str], list[str]] = defaultdict(list)
    for known in season[ITEMS].rows:
        kind = known.kind or known.counted_in
        if known.item in middles and kind in ALIKE:
            alike[kind, known.counted_in].append(known.item)
    for (kind, _), items in alike.items():
        for item in items:
            others = [middles[other] for other in items if other != item]
            lonely = len(prices[item]) == 1 and len(others) >= 3
            if lonely and is_far(middles[item], others, never_under=ALIKE[kind], always_over=ALIKE[kind]):
                yield _unlike(prices[item][0][0], times_the_usual(middles[item], others))


def _unlike(record: Purchase, ratio: float) -> Doubt:
    return Doubt(_where(record), f"{_times(ratio)} what others of its kind cost", "look at packs, size, unit and paid")


def _times(ratio: float) -> str:
    return f"{ratio:.1f} times" if ratio > 1 else f"{1 / ratio:.1f} times less than"


def _far(record: Purchase, ratio: float, others: int) -> Doubt:
    packs = (
        [(f"the price of one pack, with packs at {plainly(record.packs)}", 1 / float(record.packs))]
        if record.packs > 1
        else []
    )
    meant = likely_factor(ratio, [*packs, *GRAMS])
    asked = f"did you write {meant}?" if meant else "look at packs, size, unit and paid"
    what = f"{_times(ratio)} its usual price, by {others} other purchase{'s' if others > 1 else ''}"
    return Doubt(_where(record), what, asked)


def _taxes(season: Season) -> Iterator[Doubt]:
    found = [(row, float(row.tax_in_money), float(row.paid)) for row in season.records.purchases]
    taxed = [(row, tax / (paid - tax), paid - tax) for row, tax, paid in found if tax and paid != tax]
    seen = Counter(round(rate, 2) for _, rate, _ in taxed)
    for row, rate, net in taxed:
        known = [other for other, times in seen.items() if times - (other == round(rate, 2)) >= 2]
        allowance = rounding_of_a_rate(net, float(COIN)) + 0.006
        if len(taxed) >= 4 and known and nearest_rate(rate, known, allowance=allowance) is None:
            usual = ", ".join(f"{each:.0%}" for each in sorted(known))
            tax = plainly(round(row.tax_in_money, 2))
            what = f"a tax of {tax} in {plainly(row.paid)} paid is {rate:.1%}, and others are at {usual}"
            yield Doubt(_where(row), what, "write the tax in money, as the receipt has it, and what was paid with it")


def _rates(season: Season) -> Iterator[Doubt]:
    by_currency: dict[str, list[Purchase]] = defaultdict(list)
    for row in season.records.purchases:
        if row.currency and row.currency != season.records.season.currency:
            by_currency[row.currency].append(row)
    for currency, rows in by_currency.items():
        for row in rows:
            others = [float(other.rate) for other in rows if other.rate != row.rate]
            alone = sum(other.rate == row.rate for other in rows) * 2 <= len(rows)
            if others and alone and is_far(float(row.rate), others, never_under=1.2, always_over=1.5):
                round_about = turned_round(float(row.rate), others)
                do = "is it turned round?" if round_about else "look at the day's rate"
                home = season.records.season.currency
                yield Doubt(
                    _where(row), f"1 {currency} for {plainly(row.rate)} {home}, unlike the other receipts in {currency}", do
                )
        if all(row.rate == 1 for row in rows):
            what = f"a receipt in {currency} counts as if 1 {currency} were 1 {season.records.season.currency}"
            yield Doubt(_where(_newest(rows)), what, "write in rate what one of it cost")


def _twice(season: Season) -> Iterator[Doubt]:
    alike: dict[tuple[object, ...], list[Purchase]] = defaultdict(list)
    for row in season.records.purchases:
        alike[row.bought_on, row.supplier, row.invoice, row.item, row.packs, row.size, row.unit, row.paid].append(row)
    for rows in alike.values():
        if len(rows) > 1:
            what = f"stands {len(rows)} times, the same to the cent"
            yield Doubt(_where(rows[0]), what, "take one out, if it was bought once")


def _totals(season: Season) -> Iterator[Doubt]:
    receipts: dict[tuple[str, str, object], list[Purchase]] = defaultdict(list)
    for row in season.records.purchases:
        receipts[row.supplier, row.invoice, row.bought_on].append(row)
    for rows in receipts.values():
        for at, row in enumerate(rows):
            others = [other.paid for other in (*rows[:at], *rows[at + 1 :])]
            if row.is_goods and sums_the_rows(row.paid, others, coin=COIN):
                what = f"{plainly(row.paid)} is the sum of the other rows of its receipt"
                yield Doubt(_where(row), what, "take the total of the receipt out")


def _days(season: Season) -> Iterator[Doubt]:
    priced_on = season.records.season.priced_on
    rows = sorted(season.records.purchases, key=_when)
    for row in rows:
        if row.bought_on > priced_on and row.is_goods:
            what = f"after the day priced on, {priced_on}, and so left out"
            yield Doubt(_where(row), what, "look at the year, and at priced_on")
    for row, following in pairwise(rows):
        if row.bought_on < following.bought_on - A_YEAR:
            yield Doubt(_where(row), "more than a year before all others that follow", "look at the year")


def _unused(season: Season) -> Iterator[Doubt]:
    used = {row.known_as: row.item for row in season[ITEMS].rows if row.used_in}
    spent: dict[str, float] = defaultdict(float)
    bought: dict[str, list[Purchase]] = defaultdict(list)
    for record, row in _worked(season):
        spent[record.item] += row.landed
        bought[record.item].append(record)
    for item in season[ITEMS].rows:
        if not item.used_in and item.item in bought and not item.on_hand:
            near = used.get(item.known_as) or suggestion(item.item, used.values()).nearest
            asked = f'did you mean "{near}"?' if near else "name it in a formula or tub, or write what is left into on_hand"
            currency = season.records.season.currency
            what = f"{spent[item.item]:.2f} {currency} spent on it, last on {day_of(item.latest_day)}, and nothing uses it"
            yield Doubt(_where(_newest(bought[item.item])), what, asked)
