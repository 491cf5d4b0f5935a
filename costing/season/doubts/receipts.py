"""Doubts about receipts: taxes, totals, rows typed twice, deliveries, currencies and rates, and days."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from datetime import timedelta
from decimal import Decimal
from itertools import pairwise

from costing.errors import Doubt, suggestion
from costing.fields.numerals import plainly
from costing.season.costed import Season
from costing.season.doubts.places import numbered, purchase_place
from costing.season.robust import Crowd, nearest_rate, rounding_of_a_rate, sums_the_rest
from costing.tables.buying.purchases import DELIVERY, DISCOUNT, Purchase
from costing.tables.settings import MOST_DISCOUNT

COIN = Decimal("0.01")  # the smallest of most currencies, by which sums and taxes are rounded
SHARED = {DELIVERY: Decimal(1), DISCOUNT: Decimal(str(MOST_DISCOUNT))}  # of its goods, at most (common practice, no source)
A_YEAR = timedelta(days=365)
Numbered = tuple[Purchase, int]


def receipt_doubts(season: Season) -> Iterator[Doubt]:
    """Yield every row of a receipt that does not go with the others."""
    rows = list(numbered(season.records.purchases))
    receipts, suppliers = _grouped(rows, "supplier", "invoice", "bought_on"), _grouped(rows, "supplier")
    yield from _taxes(rows)
    yield from _untaxed(suppliers, season.records.season.currency)
    yield from _twice(rows)
    yield from _totals(receipts)
    yield from _deliveries(_grouped(rows, "supplier", "invoice"))
    yield from _suppliers(_grouped(rows, "invoice", "bought_on"))
    yield from _rates(rows, season.records.season.currency)
    yield from _currencies(receipts, suppliers, season.records.season.currency)
    yield from _days(rows, season)


def _doubt(numbered_row: Numbered, what: str, do: str) -> Doubt:
    row, number = numbered_row
    return Doubt(purchase_place(row), what, do, row=number)


def _grouped(rows: Iterable[Numbered], *columns: str) -> list[list[Numbered]]:
    """Return the rows that are alike in some columns, together; rows that leave the first of them blank are alone."""
    found: dict[tuple[object, ...], list[Numbered]] = defaultdict(list)
    for row, number in rows:
        found[tuple(getattr(row, column) for column in columns)].append((row, number))
    return list(found.values())


# --- taxes -----------------------------------------------------------------------------------------------------------


def _taxes(rows: list[Numbered]) -> Iterator[Doubt]:
    found = [(each, float(each[0].tax_in_money), float(each[0].paid)) for each in rows]
    taxed = [(each, tax / (paid - tax), paid - tax) for each, tax, paid in found if tax and paid != tax]
    seen = Counter(round(rate, 2) for _, rate, _ in taxed)
    for each, rate, net in taxed:
        known = [other for other, times in seen.items() if times - (other == round(rate, 2)) >= 2]
        allowance = rounding_of_a_rate(net, float(COIN)) + 0.006
        if len(taxed) >= 4 and known and nearest_rate(rate, known, allowance=allowance) is None:
            usual = ", ".join(f"{each:.0%}" for each in sorted(known))
            tax = plainly(round(each[0].tax_in_money, 2))
            what = f"a tax of {tax} in {plainly(each[0].paid)} paid is {rate:.1%}, and others are at {usual}"
            yield _doubt(each, what, "write the tax in money, as the receipt has it, and what was paid with it")


def _untaxed(suppliers: list[list[Numbered]], home: str) -> Iterator[Doubt]:
    """Yield rows without tax where most rows of their supplier have one, but of things that never have it."""
    taxed = {row.item for rows in suppliers for row, _ in rows if row.tax_in_money}
    often = Counter(row.item for rows in suppliers for row, _ in rows if row.paid)
    for rows in suppliers:
        paid = [each for each in rows if each[0].paid and each[0].currency in ("", home)]
        without = [each for each in paid if not each[0].tax_in_money]
        for each in without if len(without) * 3 <= len(paid) and rows[0][0].supplier else ():
            if each[0].item in taxed or often[each[0].item] == 1:
                what = f"no tax in {plainly(each[0].paid)} paid, and other rows of {each[0].supplier} have one"
                yield _doubt(each, what, "write the tax that the receipt has")


# --- rows of one receipt ---------------------------------------------------------------------------------------------


def _twice(rows: list[Numbered]) -> Iterator[Doubt]:
    columns = ("bought_on", "supplier", "invoice", "item", "packs", "size", "unit", "paid")
    for alike in _grouped(rows, *columns):
        if len(alike) > 1:
            yield _doubt(
                alike[-1], f"stands {len(alike)} times, the same to the cent", "take one out, if it was bought once"
            )


def _totals(receipts: list[list[Numbered]]) -> Iterator[Doubt]:
    for rows in receipts:
        paid = sum((row.paid for row, _ in rows), Decimal(0))
        for each in rows:
            if each[0].is_goods and sums_the_rest(each[0].paid, paid, len(rows), coin=COIN):
                what = f"{plainly(each[0].paid)} is the sum of the other rows of its receipt"
                yield _doubt(each, what, "take the total of the receipt out")


def _deliveries(receipts: list[list[Numbered]]) -> Iterator[Doubt]:
    """Yield deliveries and discounts too large for their goods, and deliveries of a receipt that has two of them."""
    for rows in receipts:
        goods = sum((row.paid for row, _ in rows if row.is_goods and row.paid > 0), Decimal(0))
        for each in rows if rows[0][0].invoice else ():
            if goods and not each[0].is_goods and each[0].paid > goods * SHARED[each[0].item]:
                what = f"{each[0].item} of {plainly(each[0].paid)} for goods of {plainly(goods)}"
                yield _doubt(each, what, "look at the decimal point, and of which receipt it is")
        deliveries = [each for each in rows if each[0].item == DELIVERY and each[0].paid > 0]
        if len({row.paid for row, _ in deliveries}) > 1:
            for each in deliveries:
                what = f"one of {len(deliveries)} deliveries on this receipt, {plainly(each[0].paid)}"
                yield _doubt(each, what, "is one of them a discount, or of another receipt?")


def _suppliers(receipts: list[list[Numbered]]) -> Iterator[Doubt]:
    """Yield rows of one receipt whose supplier is spelled otherwise than on the rest: delivery is not shared with them."""
    for rows in receipts:
        often = Counter(row.supplier for row, _ in rows)
        if len(often) < 2 or not rows[0][0].invoice:
            continue
        most = max(often, key=lambda name: (often[name], name))
        for each in rows:
            if each[0].supplier != most and suggestion(each[0].supplier, [most]).nearest:
                what = f'supplier "{each[0].supplier}", and the same receipt has "{most}"'
                yield _doubt(each, what, f'did you mean "{most}"?')


# --- currencies ------------------------------------------------------------------------------------------------------


def _rates(rows: list[Numbered], home: str) -> Iterator[Doubt]:
    by_currency: dict[str, list[Numbered]] = defaultdict(list)
    for each in rows:
        if each[0].currency and each[0].currency != home:
            by_currency[each[0].currency].append(each)
    for currency, abroad in by_currency.items():
        often = Counter(row.rate for row, _ in abroad)
        rates = Crowd([float(rate) for rate in often])
        for each in abroad:
            rate, alone = float(each[0].rate), often[each[0].rate] * 2 <= len(abroad)
            if len(rates) < 2 or not alone:
                continue
            is_round_about = rates.is_turned_round(rate)
            if rates.is_far(rate, never_under=1.2, always_over=1.5) or is_round_about:
                what = f"1 {currency} for {plainly(each[0].rate)} {home}, unlike the other receipts in {currency}"
                yield _doubt(each, what, "is it turned round?" if is_round_about else "look at the day's rate")
        if set(often) == {Decimal(1)}:
            what = f"a receipt in {currency} counts as if 1 {currency} were 1 {home}"
            yield _doubt(_newest(abroad), what, "write in rate what one of it cost")


def _newest(rows: Iterable[Numbered]) -> Numbered:
    """Return the newest of some purchases, in whatever order they stand."""
    return max(rows, key=lambda each: (each[0].bought_on, each[0].supplier, each[0].invoice, each[0].item))


def _currencies(receipts: list[list[Numbered]], suppliers: list[list[Numbered]], home: str) -> Iterator[Doubt]:
    """Yield rows in another currency than the rest of their receipt, or than all else of their supplier."""
    told: set[int] = set()
    for rows in receipts:
        for each in _in_a_rarer_currency(rows, home):
            told.add(id(each[0]))
            yield _doubt(each, f"in {each[0].currency or home}, unlike the rest of its receipt", "look at currency and rate")
    for rows in suppliers:
        rarer = _in_a_rarer_currency(rows, home)
        if len(rarer) == 1 and len(rows) >= 4 and id(rarer[0][0]) not in told:
            what = f"in {rarer[0][0].currency or home}, unlike all else of {rarer[0][0].supplier}"
            yield _doubt(rarer[0], what, "look at currency and rate")


def _in_a_rarer_currency(rows: list[Numbered], home: str) -> list[Numbered]:
    """Return the rows whose currency at most half of them have, where a supplier is named and has more than one."""
    often = Counter(row.currency or home for row, _ in rows)
    if len(often) < 2 or not rows[0][0].supplier:
        return []
    return [each for each in rows if often[each[0].currency or home] * 2 <= len(rows)]


# --- days ------------------------------------------------------------------------------------------------------------


def _days(rows: list[Numbered], season: Season) -> Iterator[Doubt]:
    priced_on = season.records.season.priced_on
    ordered = sorted(rows, key=lambda each: (each[0].bought_on, each[0].supplier, each[0].invoice, each[0].item))
    late = [each for each in ordered if each[0].bought_on > priced_on and each[0].is_goods]
    if len(late) * 3 > len(ordered):  # then it is the day that looks like the slip, which is told of it
        late = []
    for each in late:
        yield _doubt(each, f"after the day priced on, {priced_on}, and so left out", "look at the year, and at priced_on")
    for each, following in pairwise(ordered):
        if each[0].bought_on < following[0].bought_on - A_YEAR:
            yield _doubt(each, "more than a year before all others that follow", "look at the year")
