"""Purchases: what was paid, what came in, and what it cost with its share of delivery and discount."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated, Any

from pydantic import model_validator

from costing.engine.expressions import Factor
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    either,
    join,
    largest_until,
    ratio,
    read_as,
    sum_after,
    sum_where,
)
from costing.engine.table import Table
from costing.fields.types import Day, Key, Name, NumberField, Record, Text, TextField, fault, given
from costing.fields.units import VESSELS, purchase_units, spelled_unit
from costing.tables import equations
from costing.tables.settings import Currency

DELIVERY, DISCOUNT = "delivery", "discount"
ONE_DAY, ONE_EACH = Factor(1, "day"), Factor(1, "each")


class UnitField(TextField):
    """A unit of purchases, in its standard spelling."""

    def read(self, value: object, info: object) -> str:
        """Return the standard spelling of a unit."""
        text = str(value).strip()
        unit = spelled_unit(text)
        if unit:
            return unit
        words = text.lower().rstrip(".").split()
        if any(word in VESSELS for word in words):
            raise fault(f'"{text}" is no measure of weight', "weigh it and write grams")
        if match := re.fullmatch(r"([\d.,]+)\s*(\D+)", text):
            do = f"write {match[1]} in size and {spelled_unit(match[2]) or match[2]} in unit"
            raise fault(f'"{text}" is a number with its unit', do)
        last = words[-1].rstrip("s") if words else ""
        if last in ("gallon", "gal", "quart", "pint") or {"fl", "fluid"} & set(words):
            measure = "fl oz" if {"fl", "fluid"} & set(words) else "gallon" if last == "gal" else last
            raise fault(f'"{text}" differs between countries', f"write us {measure} or imperial {measure}")
        raise fault(f'"{text}" is no unit known here', f"write one of {', '.join(purchase_units())}")


Unit = Annotated[str, UnitField()]


class Purchase(Record):
    """One row of a receipt."""

    bought_on: Day = given("Bought on", "The day on the receipt.")
    supplier: Name = given("Supplier", "Who it was bought from.", default="")
    invoice: Name = given(
        "Invoice", "The number on the receipt. Delivery and discount are shared among the rows of one.", default=""
    )
    item: Key = given("Item", "What was bought. Two words are special: delivery and discount, for such rows of a receipt.")
    packs: Annotated[Decimal, NumberField("")] = given(
        "Packs", "How many; a return has a negative number and a negative payment.", default=Decimal(1)
    )
    size: Annotated[Decimal | None, NumberField("", above=0)] = given("Size", "What one pack holds.", default=None)
    unit: Unit = given("Unit", "The unit of the size.", default="", refers="units.unit")
    paid: Annotated[Decimal, NumberField("money")] = given("Paid", "What was paid for the row, tax included.")
    tax: Annotated[Decimal, NumberField("money")] = given("Tax in it", "The part that is tax.", default=Decimal(0))
    currency: Currency = given("Currency", "The currency of the receipt; blank for the season's.", default="")
    rate: Annotated[Decimal, NumberField("", above=0)] = given(
        "Rate", "How much of the season's currency one unit of the receipt's cost.", default=Decimal(1)
    )
    note: Text = given("Note", "Anything worth remembering.", default="")

    @property
    def is_goods(self) -> bool:
        """Whether the row is goods, and not delivery or discount."""
        return self.item not in (DELIVERY, DISCOUNT)

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


def _check_goods(row: Purchase) -> None:
    if row.size is None or not row.unit:
        raise fault("size and unit are not both filled in", "write what one pack holds, as 500 and g, or 1 and piece")
    if row.packs == 0:
        raise fault("0 packs", "write how many were bought, or delete the row")
    if row.paid * row.packs < 0:
        raise fault(
            f"{row.packs} packs paid with {row.paid}",
            "write both positive for a purchase, both negative for a return",
        )


def _check_tax(row: Purchase) -> None:
    if abs(row.tax) > abs(row.paid) or row.tax * row.paid < 0:
        raise fault(f"tax of {row.tax} in {row.paid} paid", "write the part of the amount paid that is tax")


PURCHASES = Table(
    "purchases",
    "Purchases",
    "Purchases",
    "One row for each row of a receipt. Type new ones in the free rows below the last: they count at once.",
    Purchase,
    spare=120,
)


@PURCHASES.works_out("Receipt", "text")
def receipt(row: Any, _: Any) -> Any:
    """The supplier and invoice as one, two blanks between them, to find the rows of the same receipt."""
    return choose(row.item == "", NOTHING, join("from ", row.supplier, ",  ", row.invoice))


@PURCHASES.works_out("Packs, or one")
def packs_counted(row: Any, _: Any) -> Any:
    """How many packs; one where goods have a blank there."""
    return row.packs + choose(both(row.item != "", row.packs == ""), 1, 0)


@PURCHASES.works_out("Rate, or one", decimals=4)
def rate_counted(row: Any, _: Any) -> Any:
    """The rate; one where a purchase has a blank there."""
    return row.rate + choose(both(row.item != "", row.rate == ""), 1, 0)


@PURCHASES.works_out("Tax got back", shape="percent")
def reclaimed(row: Any, season: Any) -> Any:
    """The part of the tax that is got back: all or none of it."""
    return choose(both(row.item != "", season.settings.reclaims_tax == "yes"), 1, 0)


@PURCHASES.works_out("Borne", "money")
def borne(row: Any, season: Any) -> Any:
    """What was paid up to the day priced on, without tax that is reclaimed, in the season's currency."""
    paid = equations.goods_paid(row.paid, row.tax, row.reclaimed, row.rate_counted)
    return choose(row.bought_on <= season.settings.priced_on, paid, 0)


@PURCHASES.works_out("Of it goods", "money")
def goods(row: Any, _: Any) -> Any:
    """What was borne for goods: nothing on delivery and discount rows."""
    return choose(either(row.item == DELIVERY, row.item == DISCOUNT), 0, row.borne)


@PURCHASES.works_out("To share", "money")
def to_share(row: Any, _: Any) -> Any:
    """A delivery to add to, or a discount to take off, the goods of the same receipt."""
    return choose(row.item == DELIVERY, row.borne, 0) - choose(row.item == DISCOUNT, row.borne, 0)


@PURCHASES.works_out("Share", "money")
def share(row: Any, season: Any) -> Any:
    """This row's part of its receipt's delivery and discount, in proportion to its goods."""
    mine = season.purchases
    return equations.share_in_proportion(
        sum_where(mine.to_share, mine.receipt, row.receipt), row.goods, sum_where(mine.goods, mine.receipt, row.receipt)
    )


@PURCHASES.works_out("Landed cost", "money")
def landed(row: Any, _: Any) -> Any:
    """What the goods cost with their share of delivery and discount."""
    return row.goods + row.share


@PURCHASES.works_out("Grams", "gram")
def grams(row: Any, season: Any) -> Any:
    """What came in by weight; a volume is weighed through the item's density."""
    units, items = season.units, season.items
    return equations.contents(
        row.packs_counted,
        row.size,
        sum_where(units.grams, units.unit, row.unit),
        sum_where(units.millilitres, units.unit, row.unit),
        sum_where(items.density, items.item, row.item),
    )


@PURCHASES.works_out("Pieces", "piece")
def pieces(row: Any, season: Any) -> Any:
    """What came in by the piece."""
    return row.packs_counted * row.size * sum_where(season.units.pieces, season.units.unit, row.unit)


@PURCHASES.works_out("Grams or pieces", "each")
def amount(row: Any, _: Any) -> Any:
    """What came in, in grams or in pieces, as the item is counted."""
    return read_as(row.grams, "each") + read_as(row.pieces, "each")


@PURCHASES.works_out("Landed per gram or piece", "money/each", decimals=5)
def landed_each(row: Any, _: Any) -> Any:
    """What a gram or piece of this purchase cost."""
    return ratio(row.landed, row.amount)


@PURCHASES.works_out("Sets a price on", "day", shape="date")
def priced_day(row: Any, season: Any) -> Any:
    """The day, if this purchase can set a price: not after the day priced on, no return, not free."""
    counts = both(row.bought_on <= season.settings.priced_on, row.packs_counted > 0, row.paid > 0, row.amount > 0)
    return choose(counts, row.bought_on, 0)


@PURCHASES.works_out("Of it priced", "each")
def priced_amount(row: Any, _: Any) -> Any:
    """What came in, if the purchase can set a price."""
    return choose(row.priced_day > 0, row.amount, 0)


@PURCHASES.works_out("In the window", decimals=0)
def in_window(row: Any, season: Any) -> Any:
    """1 if the purchase lies in the days that average and dearest look at."""
    settings = season.settings
    begins = settings.priced_on - settings.average_days
    return choose(both(row.amount != 0, row.bought_on > begins, row.bought_on <= settings.priced_on), 1, 0)


@PURCHASES.works_out("Price in the window", "money/each", decimals=5)
def window_price(row: Any, _: Any) -> Any:
    """What a gram or piece cost, if the purchase can set a price and lies in the window."""
    return choose(both(row.in_window == 1, row.priced_day > 0), row.landed_each, 0)


@PURCHASES.works_out("Came in on", "day", shape="date")
def came_in(row: Any, season: Any) -> Any:
    """The day, if goods came in by the day priced on: free ones too, returns not."""
    return choose(both(row.amount > 0, row.bought_on <= season.settings.priced_on), row.bought_on, 0)


@PURCHASES.works_out("Counts with the day", "day", shape="date")
def lot_day(row: Any, season: Any) -> Any:
    """The day of its lot: a return is taken to be of the newest that came in before it."""
    mine = season.purchases
    newest = largest_until(mine.came_in, mine.item, row.item, row.bought_on)
    return row.came_in + choose(both(row.amount < 0, row.bought_on <= season.settings.priced_on), newest, 0)


@PURCHASES.works_out("Lot", "each")
def lot_amount(row: Any, season: Any) -> Any:
    """What came in of the item on that day, less what of it was sent back. What comes in on one day is one lot."""
    mine = season.purchases
    return choose(row.lot_day > 0, sum_where(mine.amount, mine.item, row.item, mine.lot_day, row.lot_day), 0)


@PURCHASES.works_out("Kept since", "day", shape="date")
def kept_day(row: Any, season: Any) -> Any:
    """The day of the lot, if anything of it was kept."""
    return choose(row.lot_amount > season.settings.tolerance * ONE_EACH, row.lot_day, 0)


@PURCHASES.works_out("On hand of the lot", "each")
def lot_left(row: Any, season: Any) -> Any:
    """What of the lot is still there, when what came in first is used first: on hand less what came in later."""
    mine, items = season.purchases, season.items
    on_hand = read_as(sum_where(items.on_hand, items.item, row.item), "each")
    later = sum_after(mine.amount, mine.item, row.item, mine.kept_day, row.kept_day)
    return choose(row.kept_day > 0, equations.on_hand_of_lot(on_hand, later, row.lot_amount), 0)


@PURCHASES.works_out("On hand, at cost", "money")
def stock_cost(row: Any, _: Any) -> Any:
    """This row's part in what is still there of its lot, at its landed cost. A return takes its part off."""
    return equations.part_of_cost(row.landed, row.lot_left, row.lot_amount)
