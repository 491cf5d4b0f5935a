"""What only the worked figures show of purchases: returns of more than was bought, discounts over the goods."""

from __future__ import annotations

from collections.abc import Iterator

from costing.errors import Caution, Fault
from costing.fields.types import day_of
from costing.season.costed import Season
from costing.tables.buying.items import ITEMS
from costing.tables.buying.purchases import DELIVERY, DISCOUNT, PURCHASES, PurchaseRow


def purchase_faults(season: Season) -> Iterator[Fault]:
    """Yield returns and discounts that would leave a price below zero."""
    yield from _returns(season)
    yield from _discounts(season)
    yield from _below_zero(season)


def _placed(season: Season) -> Iterator[tuple[PurchaseRow, str]]:
    """Yield each purchase that counts, worked out, with its place."""
    for row, place in zip(season[PURCHASES].rows, season.records.purchases.places, strict=True):
        if row.bought_on <= season.settings.priced_on:
            yield row, place


def _returns(season: Season) -> Iterator[Fault]:
    told = set()
    for row, place in _placed(season):
        if row.amount >= 0:
            continue
        if not row.lot_day:
            what = f"a return of {row.item}, and no earlier purchase of it is on record"
            yield Fault(place, what, "write the purchase that it belongs to, with the same supplier and invoice")
        elif row.lot_amount < -season.settings.tolerance and (row.item, row.lot_day) not in told:
            told.add((row.item, row.lot_day))
            what = f"more {row.item} is returned than came in on {day_of(row.lot_day)}, to which the return belongs"
            yield Fault(place, what, "write packs and size of what was really returned, and its supplier and invoice")


def _discounts(season: Season) -> Iterator[Fault]:
    goods: dict[str, float] = {}
    shared: dict[str, float] = {}
    for row, _ in _placed(season):
        goods[row.receipt] = goods.get(row.receipt, 0) + row.goods
        shared[row.receipt] = shared.get(row.receipt, 0) + row.to_share
    for row, place in _placed(season):
        if row.item == DISCOUNT and goods[row.receipt] > 0 > goods[row.receipt] + shared[row.receipt]:
            what = f"a discount of {row.paid:.2f} is more than the goods of its receipt cost ({goods[row.receipt]:.2f})"
            yield Fault(f"{place}, paid", what, "write what was really taken off, and of which receipt")


def _below_zero(season: Season) -> Iterator[Fault]:
    where = season.records.purchases.source or PURCHASES.key
    for row in season[ITEMS].rows:
        if row.price < 0:
            what = f"{row.item} would count at {row.price:.5f}, less than nothing"
            yield Fault(
                where, what, f"look through the returns and discounts of {row.item}: one is larger than what it belongs to"
            )


def late_deliveries(season: Season) -> Iterator[Caution]:
    """Yield deliveries and discounts after the day priced on, of a receipt whose goods count."""
    counted = {row.receipt for row, _ in _placed(season) if row.goods}
    for row in season[PURCHASES].rows:
        late = row.bought_on > season.settings.priced_on
        if late and row.item in (DELIVERY, DISCOUNT) and row.receipt in counted:
            what = f"a {row.item} of {day_of(row.bought_on)}, after the day priced on: its goods count without it"
            where = f"purchases, {row.supplier} {row.invoice}"
            yield Caution(where, what, "if it belongs to them, write the day of their receipt")
