"""What is wrong with a row of Purchases, and which rows look like a slip."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.expressions import Factor
from costing.engine.operations import both, either, equal, filled_in, is_missing, size_of, sum_where, unequal
from costing.tables import row_remarks
from costing.tables.ones import ONE_EACH, ONE_MONEY
from costing.tables.row_remarks import Tests

if TYPE_CHECKING:
    from costing.tables.book import Book
    from costing.tables.buying.purchases import PurchaseRow

AFTER, UNLIKE, TWICE = "After the day priced on", "Unlike its other prices", "The same row twice"
LITTLE = Factor(2, "money")  # of less, a coin is more than a percent
SUMS_UP, MUCH_SHARED, AGAIN = "The sum of its receipt", "Much for its goods", "Two deliveries"
LONG_BEFORE, OF_ONE, ODD_TAX, DOZENS = "Long before all others", "A rate of 1", "Unlike the other taxes", "Many dozens"


def empty(row: PurchaseRow, _: Book) -> Tests:
    """Yield what must be filled in, and is not."""
    used, goods = row.used_row == 1, row.is_goods_row == 1
    yield (
        both(used, either(*(equal(cell, "") for cell in (row.bought_on, row.item, row.paid)))),
        "Day, item or paid is empty",
    )
    yield both(goods, either(equal(row.size, ""), equal(row.unit, ""))), "Size or unit is empty"


def names(row: PurchaseRow, season: Book) -> Tests:
    """Yield names that lead nowhere."""
    yield both(row.is_goods_row == 1, row.on_items == 0), "Not on Items"
    yield is_missing(season.units.unit, row.unit), "Unknown unit"
    yield both(row.millilitres > 0, row.grams == 0), "No density"


def keys(row: PurchaseRow, _: Book) -> Tests:
    """Yield names that a sheet takes for something else."""
    yield from row_remarks.badly_named(row)


def amounts(row: PurchaseRow, _: Book) -> Tests:
    """Yield amounts that contradict one another."""
    yield either(size_of(row.tax) > size_of(row.paid), row.tax * row.paid < 0), "More tax than paid"
    yield both(row.tax != 0, row.tax_percent != 0), "Tax in two ways"
    yield row.packs * row.paid < 0, "Sign of packs or paid"


def counts(row: PurchaseRow, _: Book) -> Tests:
    """Yield zeros where there must be more."""
    yield from row_remarks.zeros(row, "size", "rate")
    yield both(filled_in(row.packs) == 1, row.packs == 0), "0 packs"
    yield both(row.item == "discount", row.paid < 0), "Discount below zero"


def receipts(row: PurchaseRow, season: Book) -> Tests:
    """Yield deliveries and discounts that cannot be shared."""
    shared = row.is_goods_row == 2
    yield both(shared, either(equal(row.supplier, ""), equal(row.invoice, ""))), "Supplier or invoice is empty"
    goods = size_of(sum_where(season.purchases.goods, season.purchases.receipt, row.receipt))
    yield both(row.to_share != 0, goods < season.settings.tolerance * ONE_MONEY), "No goods on it"


def returns(row: PurchaseRow, season: Book) -> Tests:
    """Yield returns of what was not bought."""
    back = both(row.amount < 0, row.bought_on <= season.settings.priced_on)
    yield both(back, row.lot_day == 0), "Returned, never bought"
    yield both(back, row.lot_day > 0, row.lot_amount + season.settings.tolerance * ONE_EACH < 0), "More returned than bought"


def rates(row: PurchaseRow, season: Book) -> Tests:
    """Yield currencies without their rate, and rates without a currency."""
    foreign = both(unequal(row.currency, ""), row.currency != season.settings.currency)
    home = either(equal(row.currency, ""), row.currency == season.settings.currency)
    yield both(foreign, equal(row.rate, "")), "Rate is empty"
    yield both(home, row.item != "", row.rate_counted != 1), "Rate without currency"


def doubts(row: PurchaseRow, season: Book) -> Tests:
    """Yield what looks like a slip."""
    yield both(row.is_goods_row == 1, row.bought_on > season.settings.priced_on), AFTER
    yield row.unlike == 1, UNLIKE
    yield row.alike > 1, TWICE


def odd_receipts(row: PurchaseRow, season: Book) -> Tests:
    """Yield totals of a receipt, deliveries and discounts that are much for its goods, and second deliveries."""
    goods = row.receipt_goods
    much = either(row.to_share > goods, row.to_share + goods * season.settings.most_discount < 0)
    yield row.sums_up == 1, SUMS_UP
    yield both(row.to_share != 0, goods > 0, much), MUCH_SHARED
    yield both(row.to_share > 0, row.deliveries > row.alike), AGAIN


def odd_days(row: PurchaseRow, season: Book) -> Tests:
    """Yield the first day where all others follow a year later, and foreign money at a rate of 1."""
    yield both(row.bought_on > 0, row.bought_on == season.beside.alone_on), LONG_BEFORE
    foreign = both(unequal(row.currency, ""), row.currency != season.settings.currency)
    yield both(foreign, row.rate == 1), OF_ONE


def odd_taxes(row: PurchaseRow, season: Book) -> Tests:
    """Yield a rate of tax that no other purchase has, where most have one of a few, and many packs of a dozen."""
    taxed = both(row.tax_rate > 0, size_of(row.paid) > LITTLE)
    yield both(taxed, row.taxed_alike < 2, season.beside.same_tax > 2), ODD_TAX
    yield both(row.unit == "dozen", row.packs_counted * row.size > season.settings.most_dozens), DOZENS
