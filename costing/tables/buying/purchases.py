"""Purchases: what was paid, what came in, and what it cost with its share of delivery and discount."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from pydantic import ValidationInfo, model_validator

from costing.engine.declared import Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_where,
    count_within,
    either,
    join,
    larger,
    largest_until,
    largest_where,
    or_one,
    pick,
    position_of,
    power,
    ratio,
    read_as,
    round_half,
    size_of,
    sum_after,
    sum_where,
    tidy,
    value_at,
    written_day,
)
from costing.engine.table import Sheet, Table
from costing.fields.numerals import Unreadable
from costing.fields.quantities import amount, is_vessel, parted
from costing.fields.types import Day, Key, Name, NumberField, PercentField, Record, Text, TextField, fault, given
from costing.fields.units import purchase_units, registered_unit, same_kind, spelled_unit
from costing.fields.views import Number, OptionalNumber, Words
from costing.fields.words import plain_word, words
from costing.tables import equations, row_remarks, unlike_prices
from costing.tables.buying import purchase_remarks
from costing.tables.ones import ONE_EACH, ONE_MONEY
from costing.tables.settings import CURRENCY

if TYPE_CHECKING:
    from costing.tables.book import Book

DELIVERY, DISCOUNT = "delivery", "discount"
NOT_SAID = "no supplier written"


class UnitField(TextField):
    """A unit of purchases, in its standard spelling."""

    def read(self, value: object, info: object) -> str:
        """Return the standard spelling of a unit."""
        text = str(value).strip()
        unit = spelled_unit(text)
        if unit:
            return unit
        if is_vessel(text):
            raise fault(f'"{text}" is no measure of weight', "weigh it and write grams")
        found = words_of(text)
        if match := re.fullmatch(r"([\d.,]+)\s*(\D+)", text):
            do = f"write {match[1]} in size and {spelled_unit(match[2]) or match[2]} in unit"
            raise fault(f'"{text}" is a number with its unit', do)
        last = found[-1].rstrip("s") if found else ""
        if last in ("gallon", "gal", "quart", "pint") or {"fl", "fluid"} & set(found):
            measure = "fl oz" if {"fl", "fluid"} & set(found) else "gallon" if last == "gal" else last
            raise fault(f'"{text}" differs between countries', f"write us {measure} or imperial {measure}")
        raise fault(f'"{text}" is no unit known here', f"write one of {', '.join(purchase_units())}")


def words_of(text: str) -> list[str]:
    """Return the words of a unit as they are compared."""
    return text.lower().rstrip(".").split()


UNIT = UnitField()


class Purchase(Record):
    """One row of a receipt."""

    bought_on: Day = given("Bought on", "The day on the receipt.")
    supplier: Name = given("Supplier", "Who it was bought from.", default="")
    invoice: Name = given(
        "Invoice", "The number on the receipt. Delivery and discount are shared among the rows of one.", default=""
    )
    item: Key = given("Item", "What was bought. Two words are special: delivery and discount, for such rows of a receipt.")
    packs: Number = given(
        "Packs", "How many; a return has a negative number and a negative payment.", NumberField(""), default=Decimal(1)
    )
    size: OptionalNumber = given("Size", "What one pack holds.", NumberField("", above=0), default=None)
    unit: Words = given("Unit", "The unit of the size.", UNIT, default="", refers="units.unit")
    paid: Number = given("Paid", "What was paid for the row, tax included.", NumberField("money"))
    tax: Number = given(
        "Tax in it",
        "The part that is tax, in money; or write its rate in tax_percent.",
        NumberField("money", instead="name the column tax_percent, or write the tax in money"),
        default=Decimal(0),
    )
    tax_percent: OptionalNumber = given(
        "Tax rate in it",
        "The rate of tax that the amount paid includes, in place of the tax in money.",
        PercentField(),
        default=None,
    )
    currency: Words = given("Currency", "The currency of the receipt; blank for the season's.", CURRENCY, default="")
    rate: Number = given(
        "Rate",
        "How much of the season's currency one unit of the receipt's cost.",
        NumberField("", above=0),
        default=Decimal(1),
    )
    note: Text = given("Note", "Anything worth remembering.", default="")

    @property
    def tax_in_money(self) -> Decimal:
        """The part of the amount paid that is tax, as written or by its rate."""
        rate = (self.tax_percent or Decimal(0)) / 100
        return equations.tax_within(self.paid, self.tax, rate)

    @property
    def is_goods(self) -> bool:
        """Whether the row is goods, and not delivery or discount."""
        return self.item not in (DELIVERY, DISCOUNT)

    @model_validator(mode="before")
    @classmethod
    def _size_with_its_unit(cls, cells: Any, info: ValidationInfo) -> Any:
        return _size_apart(_in_plain_words(cells), decimal_comma=bool((info.context or {}).get("decimal_comma")))

    @model_validator(mode="after")
    def _hangs_together(self) -> Purchase:
        _check_tax(self)
        if self.is_goods:
            _check_goods(self)
        elif not (self.invoice and self.supplier):
            raise fault(
                f"a {self.item} without supplier and invoice cannot be shared",
                "write the supplier and invoice of the goods it belongs to",
            )
        elif self.item == DISCOUNT and self.paid < 0:
            raise fault(f"discount of {self.paid}", "write a discount as a positive amount; it is taken off")
        return self


def _in_plain_words(cells: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return a row's cells with delivery or discount for another word that means it, on a row without size and unit."""
    meant = words("receipt").get(plain_word(str(cells.get("item") or "")))
    reads_so = meant in (DELIVERY, DISCOUNT) and not (cells.get("size") or cells.get("unit"))
    return {**cells, "item": meant} if reads_so else cells


def _size_apart(cells: Mapping[str, Any], *, decimal_comma: bool) -> Mapping[str, Any]:
    """Return a row's cells with a unit written behind the size in the unit's own cell, or converted to the one there."""
    size = parted(str(cells.get("size") or ""))
    written = spelled_unit(size.mark) if size.mark else None
    if written is None:
        return cells
    unit = spelled_unit(str(cells.get("unit") or ""))
    if not unit and (cells.get("unit") or not size.rest):
        return cells if cells.get("unit") else {**cells, "size": size.digits, "unit": written}
    if unit and not same_kind(written, unit):
        raise fault(f'size "{size.text}" beside the unit {unit}', "write the size in that unit, or clear the unit", "size")
    try:
        whole = amount(size, (registered_unit(unit or written) or "",), decimal_comma=decimal_comma)
        return {**cells, "size": whole, "unit": unit or written}
    except Unreadable:  # which the size's own reader tells
        return cells


def _check_goods(row: Purchase) -> None:
    if row.size is None or not row.unit:
        if row.size is None and words("receipt").get(plain_word(row.item)) == "total":
            raise fault(
                f'"{row.item}" has no size and unit, and looks like the total of a receipt', "delete the row", "item"
            )
        raise fault("size and unit are not both filled in", "write what one pack holds, as 500 and g, or 1 and piece")
    if row.packs == 0:
        raise fault("0 packs", "write how many were bought, or delete the row")
    if row.paid * row.packs < 0:
        raise fault(
            f"{row.packs} packs paid with {row.paid}",
            "write both positive for a purchase, both negative for a return",
        )


def _check_tax(row: Purchase) -> None:
    if row.tax and row.tax_percent is not None:
        raise fault(f"tax of {row.tax} and tax_percent of {row.tax_percent}", "write one of the two", "tax_percent")
    if abs(row.tax) > abs(row.paid) or row.tax * row.paid < 0:
        raise fault(f"tax of {row.tax} in {row.paid} paid", "write the part of the amount paid that is tax")


_DOUBTS = ("doubt", "doubt_of_receipt", "doubt_of_day", "doubt_of_tax")
_WRONG = (
    "wrong_cells", "wrong_empty", "wrong_names", "wrong_keys",
    "wrong_amounts", "wrong_counts", "wrong_receipt", "wrong_return", "wrong_rate",
)  # fmt: skip


class PurchaseRow(Purchase, Rules):
    """What a row of a receipt cost when all is shared, and what came in with it."""

    @worked("Receipt", "text")
    def receipt(self, _: Book) -> str:
        """The supplier and invoice as one, two blanks between them, to find the rows of the same receipt."""
        return choose(self.item == "", NOTHING, join("from ", self.supplier, ",  ", self.invoice))

    @worked("Packs, or one")
    def packs_counted(self, _: Book) -> float:
        """How many packs; one where goods have a blank there."""
        return or_one(self.packs, self.item)

    @worked("Rate, or one", decimals=4)
    def rate_counted(self, _: Book) -> float:
        """The rate; one where a purchase has a blank there."""
        return or_one(self.rate, self.item)

    @worked("Tax got back", shape="percent")
    def reclaimed(self, season: Book) -> float:
        """The part of the tax that is got back: all or none of it."""
        return choose(both(self.item != "", season.settings.reclaims_tax == "yes"), 1, 0)

    @worked("Tax, in money", "money")
    def tax_counted(self, _: Book) -> float:
        """The part of the amount paid that is tax: as written, or by its rate."""
        return equations.tax_within(self.paid, self.tax, self.tax_percent)

    @worked("Borne", "money")
    def borne(self, season: Book) -> float:
        """What was paid up to the day priced on, without tax that is reclaimed, in the season's currency."""
        paid = equations.goods_paid(self.paid, self.tax_counted, self.reclaimed, self.rate_counted)
        return choose(self.bought_on <= season.settings.priced_on, paid, 0)

    @worked("Of it goods", "money")
    def goods(self, _: Book) -> float:
        """What was borne for goods: nothing on delivery and discount rows."""
        return choose(either(self.item == DELIVERY, self.item == DISCOUNT), 0, self.borne)

    @worked("To share", "money")
    def to_share(self, _: Book) -> float:
        """A delivery to add to, or a discount to take off, the goods of the same receipt."""
        return choose(self.item == DELIVERY, self.borne, 0) - choose(self.item == DISCOUNT, self.borne, 0)

    @worked("To share on its receipt", "money")
    def receipt_shared(self, season: Book) -> float:
        """Delivery less discount of its receipt."""
        return sum_where(season.purchases.to_share, season.purchases.receipt, self.receipt)

    @worked("Goods on its receipt", "money")
    def receipt_goods(self, season: Book) -> float:
        """All goods of its receipt."""
        return sum_where(season.purchases.goods, season.purchases.receipt, self.receipt)

    @worked("Share", "money")
    def share(self, _: Book) -> float:
        """This row's part of its receipt's delivery and discount, in proportion to its goods."""
        return equations.share_in_proportion(self.receipt_shared, self.goods, self.receipt_goods)

    @worked("Landed cost", "money")
    def landed(self, _: Book) -> float:
        """What the goods cost with their share of delivery and discount."""
        return self.goods + self.share

    @worked("Grams", "gram")
    def grams(self, season: Book) -> float:
        """What came in by weight; a volume is weighed through the item's density."""
        units, items = season.units, season.items
        return equations.contents(
            self.packs_counted,
            self.size,
            sum_where(units.grams, units.unit, self.unit),
            sum_where(units.millilitres, units.unit, self.unit),
            sum_where(items.density, items.item, self.item),
        )

    @worked("Pieces", "piece")
    def pieces(self, season: Book) -> float:
        """What came in by the piece."""
        return self.packs_counted * self.size * sum_where(season.units.pieces, season.units.unit, self.unit)

    @worked("By piece", decimals=0)
    def by_piece(self, season: Book) -> float:
        """1 where its unit counts pieces."""
        return choose(sum_where(season.units.pieces, season.units.unit, self.unit) > 0, 1, 0)

    @worked("By weight", decimals=0)
    def by_weight(self, season: Book) -> float:
        """1 where its unit weighs, or measures a volume."""
        grams = sum_where(season.units.grams, season.units.unit, self.unit)
        millilitres = sum_where(season.units.millilitres, season.units.unit, self.unit)
        return choose(either(grams > 0, millilitres > 0), 1, 0)

    @worked("Grams or pieces", "each")
    def amount(self, _: Book) -> float:
        """What came in, in grams or in pieces, as the item is counted."""
        return read_as(self.grams, "each") + read_as(self.pieces, "each")

    @worked("Landed per gram or piece", "money/each", decimals=5)
    def landed_each(self, _: Book) -> float:
        """What a gram or piece of this purchase cost."""
        return ratio(self.landed, self.amount)

    @worked("Came in on", "day", shape="date")
    def came_in(self, season: Book) -> float:
        """The day, if goods came in by the day priced on: free ones too, returns not."""
        came_in = equations.came_in(self.bought_on, season.settings.priced_on, self.packs_counted)
        return choose(both(came_in, self.amount > 0), self.bought_on, 0)

    @worked("Sets a price on", "day", shape="date")
    def priced_day(self, season: Book) -> float:
        """The day, if this purchase can set a price: not after the day priced on, no return, not free."""
        counts = both(self.came_in > 0, self.paid > 0)
        return choose(counts, self.bought_on, 0)

    @worked("Of it priced", "each")
    def priced_amount(self, _: Book) -> float:
        """What came in, if the purchase can set a price."""
        return choose(self.priced_day > 0, self.amount, 0)

    @worked("Item on its receipt", "text")
    def on_receipt(self, _: Book) -> str:
        """The receipt and the item as one, where an invoice is named: a return finds by it what it belongs to."""
        return choose(self.invoice == "", NOTHING, join(self.receipt, ",  ", self.item))

    @worked("Came in on that receipt", "day", shape="date")
    def receipt_day(self, season: Book) -> float:
        """The day on which the same item came in on the same receipt."""
        mine = season.purchases
        return choose(self.invoice == "", 0, largest_where(mine.came_in, mine.on_receipt, self.on_receipt))

    @worked("Returned of", "day", shape="date")
    def returned_of(self, season: Book) -> float:
        """The day of what a return belongs to: that of its receipt, else the newest before it."""
        mine = season.purchases
        newest = largest_until(mine.came_in, mine.item, self.item, self.bought_on)
        return choose(self.receipt_day > 0, self.receipt_day, newest)

    @worked("Counts with the day", "day", shape="date")
    def lot_day(self, season: Book) -> float:
        """The day of its lot: that on which it came in, or for a return the day of what it belongs to."""
        returned = both(self.amount < 0, self.bought_on <= season.settings.priced_on)
        return self.came_in + choose(returned, self.returned_of, 0)

    @worked("In the window", decimals=0)
    def in_window(self, season: Book) -> float:
        """1 if it came in during the days that average and dearest look at; a return counts with what it belongs to."""
        begins = season.settings.priced_on - season.settings.average_days
        return choose(both(self.lot_day > 0, self.lot_day > begins), 1, 0)

    @worked("Price in the window", "money/each", decimals=5)
    def window_price(self, _: Book) -> float:
        """What a gram or piece cost, if the purchase can set a price and lies in the window."""
        return choose(both(self.in_window == 1, self.priced_day > 0), self.landed_each, 0)

    @worked("Counts in the window", decimals=0)
    def window_counts(self, _: Book) -> float:
        """1 where there is one."""
        return choose(self.window_price > 0, 1, 0)

    @worked("Lot", "each")
    def lot_amount(self, season: Book) -> float:
        """What came in of the item on that day, less what of it was sent back. What comes in on one day is one lot."""
        mine = season.purchases
        return choose(self.lot_day > 0, sum_where(mine.amount, mine.item, self.item, mine.lot_day, self.lot_day), 0)

    @worked("Kept since", "day", shape="date")
    def kept_day(self, season: Book) -> float:
        """The day of the lot, if anything of it was kept."""
        return choose(self.lot_amount > season.settings.tolerance * ONE_EACH, self.lot_day, 0)

    @worked("On hand of the lot", "each")
    def lot_left(self, season: Book) -> float:
        """What of the lot is still there, when what came in first is used first: on hand less what came in later."""
        mine, items = season.purchases, season.items
        on_hand = read_as(sum_where(items.on_hand, items.item, self.item), "each")
        later = sum_after(mine.amount, mine.item, self.item, mine.kept_day, self.kept_day)
        there = both(self.item != "", self.kept_day > 0)
        return choose(there, equations.on_hand_of_lot(on_hand, later, self.lot_amount), 0)

    @worked("On hand, at cost", "money")
    def stock_cost(self, _: Book) -> float:
        """This row's part in what is still there of its lot, at its landed cost. A return takes its part off."""
        return equations.part_of_cost(self.landed, self.lot_left, self.lot_amount)

    @worked("Its price alone", "money/each", decimals=5)
    def price_seen(self, _: Book) -> float:
        """What a gram or piece cost, if the purchase was paid for and came in by the day priced on."""
        return choose(both(self.came_in > 0, self.landed > 0), self.landed_each, 0)

    @worked("Price counts", decimals=0)
    def price_counts(self, _: Book) -> float:
        """1 where that is known."""
        return choose(self.price_seen > 0, 1, 0)

    @worked("Place on Items", decimals=0)
    def item_row(self, season: Book) -> float:
        """In which row of Items its item stands, the heading being 1."""
        return position_of(season.items.item, self.item)

    @worked("Other purchases of it", decimals=0)
    def others(self, season: Book) -> float:
        """How many other purchases of the item have a price."""
        return larger(value_at(season.items.purchases_seen, self.item_row) - 1, 0)

    @worked("Held against", "money/each", decimals=5)
    def held_against(self, season: Book) -> float:
        """The middle one of all the item's prices; where two are in the middle, the one further from this."""
        items, row = season.items, self.item_row
        return unlike_prices.held_against(self.price_seen, value_at(items.middle_low, row), value_at(items.middle_high, row))

    @worked("Times the usual", decimals=2)
    def times_usual(self, _: Book) -> float:
        """What it cost, as times that price."""
        return ratio(self.price_seen, self.held_against)

    @worked("Times off", decimals=2)
    def times_off(self, _: Book) -> float:
        """How many times dearer or cheaper that is; 1 where it has no price."""
        return choose(self.item == "", 0, unlike_prices.times_off(self.times_usual))

    @worked("Near is", decimals=3)
    def near_is(self, season: Book) -> float:
        """Within so many times the usual the others must lie for this price to be out of line with them."""
        return choose(self.item == "", 0, power(self.times_off, season.settings.scatter))

    @worked("Others near", decimals=0)
    def near(self, season: Book) -> float:
        """How many of the others do, where that matters."""
        mine, off, rules = season.purchases, self.times_off, season.settings
        low, high = ratio(self.held_against, self.near_is), self.held_against * self.near_is
        matters = both(off > rules.near_price, off < rules.far_price)
        return choose(matters, count_within(mine.item, self.item, mine.price_seen, low, high), 0)

    @worked("Unlike its other prices", decimals=0)
    def unlike(self, season: Book) -> float:
        """1 where it is out of line with them: how far for certain, and how many must lie near, Settings says."""
        rules = season.settings
        return unlike_prices.is_unlike(
            self.times_off, self.others, self.near,
            never_under=rules.near_price, always_over=rules.far_price, scattering=rules.scattering,
        )  # fmt: skip

    @worked("Bought from", "text")
    def bought_from(self, _: Book) -> str:
        """The supplier, for the shopping list."""
        return pick(1 + choose(self.item == "", 0, 1) + choose(self.supplier == "", 0, 1), NOTHING, NOT_SAID, self.supplier)

    @worked("Tax got back, in money", "money")
    def tax_back(self, season: Book) -> float:
        """The tax on this row that is got back later, if it was paid by the day priced on."""
        paid = self.tax_counted * self.reclaimed * self.rate_counted
        return choose(self.bought_on <= season.settings.priced_on, paid, 0)

    @worked("Pack, or carton", "each", decimals=0)
    def pack(self, _: Book) -> float:
        """What one pack held; where pieces were written one by one, all that were bought."""
        one = ratio(self.amount, self.packs_counted)
        return choose(both(self.by_piece == 1, one == ONE_EACH), self.amount, one)

    @worked("Got for money", "each/money", decimals=3)
    def for_money(self, season: Book) -> float:
        """Grams or pieces for one of money, if it was bought on the newest day of its item."""
        newest = sum_where(season.items.latest_day, season.items.item, self.item)
        bought_then = both(self.priced_day > 0, self.priced_day == newest)
        return choose(bought_then, ratio(self.amount, self.landed), 0)

    @worked("Pack of", "text")
    def pack_of(self, season: Book) -> str:
        """Its item, if this is the cheapest purchase of that day: the shopping list counts in its packs."""
        most = sum_where(season.packs.cheapest, season.packs.item, self.item)
        return choose(both(most > 0, self.for_money >= most), self.item, NOTHING)

    @worked("Alike", decimals=0)
    def alike(self, season: Book) -> float:
        """How many rows of the same receipt have this item, amount and payment."""
        mine = season.purchases
        return count_where(
            mine.item, self.item, mine.receipt, self.receipt, mine.bought_on, self.bought_on, mine.amount, self.amount,
            mine.paid, self.paid,
        )  # fmt: skip

    name_flaws = row_remarks.name_flaws("item")
    used_row = row_remarks.used_row(Purchase)

    @worked("Goods or shared", decimals=0)
    def is_goods_row(self, _: Book) -> float:
        """1 for goods, 2 for a delivery or discount."""
        shared = either(self.item == DELIVERY, self.item == DISCOUNT)
        return choose(self.item == "", 0, 1) + choose(shared, 1, 0)

    @worked("On Items", decimals=0)
    def on_items(self, season: Book) -> float:
        """How many rows on Items have its name: one, if all is well."""
        return count_where(season.items.item, self.item)

    @worked("Millilitres in its unit", "millilitre", decimals=0)
    def millilitres(self, season: Book) -> float:
        """Above 0 for what is bought by volume."""
        return sum_where(season.units.millilitres, season.units.unit, self.unit)

    wrong_cells = row_remarks.wrong_cells(Purchase)
    wrong_empty = row_remarks.says("Wrongly empty", "Cells that must be filled in, and are not.", purchase_remarks.empty)
    wrong_names = row_remarks.says("Wrong names", "Names that lead nowhere.", purchase_remarks.names)
    wrong_keys = row_remarks.says("Wrong keys", "Names that a sheet takes for something else.", purchase_remarks.keys)
    wrong_amounts = row_remarks.says("Wrong amounts", "Amounts that contradict one another.", purchase_remarks.amounts)
    wrong_counts = row_remarks.says("Wrong counts", "Zeros where there must be more.", purchase_remarks.counts)
    wrong_receipt = row_remarks.says("Wrong receipts", "What cannot be shared among goods.", purchase_remarks.receipts)
    wrong_return = row_remarks.says("Wrong returns", "Returns of what was not bought.", purchase_remarks.returns)
    wrong_rate = row_remarks.says("Wrong rates", "Rates and currencies that lack one another.", purchase_remarks.rates)

    @worked("Rate of its tax, in percent", decimals=0)
    def tax_rate(self, _: Book) -> float:
        """What its tax is of the rest, in whole percent; 0 where it has none."""
        return round_half(ratio(self.tax_counted, self.paid - self.tax_counted) * 100, 0)

    @worked("Others with that tax", decimals=0)
    def taxed_alike(self, season: Book) -> float:
        """How many other purchases have it, or nearly."""
        rates = season.tax_rates
        listed = both(self.tax_rate > 0, self.tax_rate <= season.settings.highest_tax)
        return choose(listed, value_at(rates.usual, self.tax_rate + 1) - 1, 0)

    @worked("Sums its receipt", decimals=0)
    def sums_up(self, season: Book) -> float:
        """1 where it is the sum of the other rows of its receipt, to the cent, and there are two of them or more."""
        beyond = size_of(self.goods * 2 - self.receipt_goods - self.receipt_shared)
        is_sum = both(self.goods > 0, self.invoice != "", beyond < season.settings.coin * ONE_MONEY)
        return choose(is_sum, choose(count_where(season.purchases.receipt, self.receipt) > 2, 1, 0), 0)

    @worked("Deliveries on its receipt", decimals=0)
    def deliveries(self, season: Book) -> float:
        """How many there are, where it is one itself."""
        mine = season.purchases
        return choose(self.item == DELIVERY, count_where(mine.receipt, self.receipt, mine.item, DELIVERY), 0)

    doubt = row_remarks.says("Look at", "What looks like a slip, right as it may be.", purchase_remarks.doubts)
    doubt_of_receipt = row_remarks.says(
        "Look at its receipt", "Rows that receipts hardly have.", purchase_remarks.odd_receipts
    )
    doubt_of_day = row_remarks.says("Look at its day", "Days and rates that look like a slip.", purchase_remarks.odd_days)
    doubt_of_tax = row_remarks.says("Look at its tax", "Taxes and dozens that look like a slip.", purchase_remarks.odd_taxes)

    @worked("Day as written", "text")
    def day_written(self, _: Book) -> str:
        """Its day, as Seen writes it."""
        return choose(self.item == "", NOTHING, written_day(self.bought_on))

    @worked("Name on Seen", "text")
    def seen_as(self, _: Book) -> str:
        """What Seen calls the row: its item, its day and its receipt."""
        paper = tidy(join(self.supplier, " ", self.invoice))
        receipt = choose(both(self.supplier == "", self.invoice == ""), "", join(", ", paper))
        return choose(self.item == "", NOTHING, join("purchases, ", self.item, " of ", self.day_written, receipt))

    looked_at = row_remarks.looked_at()

    @worked("Looked at on", "day", shape="date")
    def looked_day(self, _: Book) -> float:
        """Its day, if Seen names it."""
        return choose(self.looked_at > 0, self.bought_on, 0)

    to_look_at = row_remarks.to_look_at(*_DOUBTS, seen=True)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(*_WRONG, doubts=_DOUBTS)


PURCHASES = Table(
    "purchases",
    Sheet("Purchases", frozen=4, everyday=True),
    "Purchases",
    "One row for each row of a receipt. Type new ones in the free rows below the last: they count at once.",
    PurchaseRow,
    spare=120,
    results=("landed",),
    seldom=("tax_percent", "currency", "rate"),
)
