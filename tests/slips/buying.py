"""Slips in purchases: units, packs, money, taxes."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from tests.slips.slip import Slipped, Typist, over, slip, times
from tests.slips.tables import AsTyped, Row


def _in_unit(typist: Typist, unit: str, typed: str) -> Iterator[Slipped]:
    for at, _ in typist.purchases(unit):
        yield typist.typed("purchases", {at: {"unit": typed}})


def _packs_of(typist: Typist, *units: str) -> Iterator[tuple[int, Row]]:
    for at, row in typist.purchases(*units):
        if Decimal(row["packs"] or "1") > 1 and Decimal(row["size"]) != 1:
            yield at, row


def _taxed(typist: Typist) -> Iterator[tuple[int, Row]]:
    for at, row in typist.purchases():
        if Decimal(row["tax"] or "0") > 0:
            yield at, row


def _net(row: Row) -> str:
    return f"{Decimal(row['paid']) - Decimal(row['tax'])}"


# --- units -----------------------------------------------------------------------------------------------------------


@slip
def grams_for_kilograms(typist: Typist) -> Iterator[Slipped]:
    """A drum of 20 kg is typed as 20 with the unit g, because everything else on the table was weighed in grams."""
    return _in_unit(typist, "kg", "g")


@slip
def kilograms_for_grams(typist: Typist) -> Iterator[Slipped]:
    """A bottle of 250 g gets the unit of the rows above it, kg."""
    return _in_unit(typist, "g", "kg")


@slip
def size_in_grams_beside_kilograms(typist: Typist) -> Iterator[Slipped]:
    """The size is typed in grams, as formulas want it, while the unit says kg: 5000 kg."""
    for at, row in typist.purchases("kg"):
        yield typist.typed("purchases", {at: {"size": times(row["size"], "1000")}})


@slip
def millilitres_for_litres(typist: Typist) -> Iterator[Slipped]:
    """A tin of 20 L is typed with mL, the unit of the bottle before it."""
    return _in_unit(typist, "L", "mL")


@slip
def litres_for_millilitres(typist: Typist) -> Iterator[Slipped]:
    """A bottle of 500 mL is typed with L, the unit of the tin before it."""
    return _in_unit(typist, "mL", "L")


@slip
def grams_for_millilitres(typist: Typist) -> Iterator[Slipped]:
    """An oil sold by volume is typed in grams: 500 mL of essential oil weigh some 440 g."""
    return _in_unit(typist, "mL", "g")


@slip
def kilograms_for_litres(typist: Typist) -> Iterator[Slipped]:
    """A tin of oil sold by the litre is typed in kg: 20 L weigh some 18 kg."""
    return _in_unit(typist, "L", "kg")


@slip
def pounds_for_kilograms(typist: Typist) -> Iterator[Slipped]:
    """A unit is picked one row too low in the list: lb for kg."""
    return _in_unit(typist, "kg", "lb")


@slip
def kilograms_for_pounds(typist: Typist) -> Iterator[Slipped]:
    """A box packed abroad says 10 lb, and kg is typed out of habit."""
    return _in_unit(typist, "lb", "kg")


@slip
def ounces_of_weight_for_fluid_ounces(typist: Typist) -> Iterator[Slipped]:
    """A bottle's label says 16.9 fl oz beside 500 mL, and oz is typed."""
    for at, row in typist.purchases("mL"):
        yield typist.typed("purchases", {at: {"size": f"{Decimal(row['size']) / Decimal('29.5735'):.1f}", "unit": "oz"}})


@slip
def imperial_for_american_gallon(typist: Typist) -> Iterator[Slipped]:
    """A gallon is a gallon – but one is a fifth larger than the other."""
    return _in_unit(typist, "us gallon", "imperial gallon")


@slip
def unit_missing(typist: Typist) -> Iterator[Slipped]:
    """The unit's cell is left empty."""
    for at, _ in typist.purchases("kg", "L", "g"):
        yield typist.typed("purchases", {at: {"unit": ""}})


@slip
def thousands_mark_for_decimal_mark(typist: Typist) -> Iterator[Slipped]:
    """A label from abroad says 5,000 kg, or 5.000 kg: five to its printer, thousands to its reader."""
    mark = "," if typist.clean.notation.decimal == "." else "."
    for at, row in typist.purchases("kg", "L"):
        yield typist.typed("purchases", {at: {"size": AsTyped(f"{Decimal(row['size']):.3f}".replace(".", mark))}})


# --- packs and pieces ------------------------------------------------------------------------------------------------


@slip
def price_of_one_pack(typist: Typist) -> Iterator[Slipped]:
    """The receipt has a column for one pack and one for all; the price of one is typed beside the number of packs."""
    for at, row in _packs_of(typist):
        packs = row["packs"]
        yield typist.typed("purchases", {at: {"paid": over(row["paid"], packs), "tax": over(row["tax"] or "0", packs)}})


@slip
def packs_forgotten(typist: Typist) -> Iterator[Slipped]:
    """The packs' cell is left empty, which means one, though the money is for all of them."""
    for at, _ in _packs_of(typist):
        yield typist.typed("purchases", {at: {"packs": ""}})


@slip
def packs_counted_twice(typist: Typist) -> Iterator[Slipped]:
    """Two drums of 5 kg are typed as 2 packs of 10 kg."""
    for at, row in _packs_of(typist):
        yield typist.typed("purchases", {at: {"size": times(row["size"], row["packs"])}}, "size")


@slip
def price_of_one_piece(typist: Typist) -> Iterator[Slipped]:
    """The price for one jar from the price list is typed where the money for the box belongs."""
    for at, row in typist.purchases("piece", "dozen"):
        pieces = times(row["packs"] or "1", times(row["size"], "12" if row["unit"] == "dozen" else "1"))
        yield typist.typed("purchases", {at: {"paid": over(row["paid"], pieces), "tax": over(row["tax"] or "0", pieces)}})


@slip
def pieces_for_dozens(typist: Typist) -> Iterator[Slipped]:
    """Jars sold by the dozen are typed by the piece."""
    return _in_unit(typist, "dozen", "piece")


@slip
def dozens_for_pieces(typist: Typist) -> Iterator[Slipped]:
    """Lids sold singly get the dozen of the jars above them."""
    return _in_unit(typist, "piece", "dozen")


@slip
def box_as_one_piece(typist: Typist) -> Iterator[Slipped]:
    """A carton of 48 jars is typed as one piece: what was lifted from the van."""
    for at, row in typist.purchases("piece"):
        if Decimal(row["size"]) > 1:
            yield typist.typed("purchases", {at: {"size": "1"}})
        elif Decimal(row["packs"]) > 1:
            yield typist.typed("purchases", {at: {"packs": "1"}})


# --- money and taxes -------------------------------------------------------------------------------------------------


@slip
def paid_without_tax_beside_tax(typist: Typist) -> Iterator[Slipped]:
    """The net amount of the invoice is typed as paid, and its tax beside it: the tax comes off twice."""
    for at, row in _taxed(typist):
        yield typist.typed("purchases", {at: {"paid": _net(row)}})


@slip
def tax_left_out(typist: Typist) -> Iterator[Slipped]:
    """The tax cell of a receipt row is left empty."""
    for at, _ in _taxed(typist):
        yield typist.typed("purchases", {at: {"tax": ""}})


@slip
def tax_rate_for_tax(typist: Typist) -> Iterator[Slipped]:
    """The rate from the receipt's head, such as 23, is typed where the tax in money belongs."""
    for at, row in _taxed(typist):
        rate = round(100 * Decimal(row["tax"]) / Decimal(_net(row)))
        yield typist.typed("purchases", {at: {"tax": str(rate)}})


@slip
def tax_as_a_fraction(typist: Typist) -> Iterator[Slipped]:
    """The rate is typed as 0.15 where the tax in money belongs."""
    for at, row in _taxed(typist):
        yield typist.typed("purchases", {at: {"tax": f"{Decimal(row['tax']) / Decimal(_net(row)):.2f}"}})


@slip
def tax_of_the_whole_receipt(typist: Typist) -> Iterator[Slipped]:
    """The tax at the foot of the receipt is typed into one of its rows."""
    for at, row in _taxed(typist):
        same = [other for _, other in typist.rows("purchases") if other["invoice"] and other["invoice"] == row["invoice"]]
        if len(same) > 1:
            yield typist.typed("purchases", {at: {"tax": f"{sum(Decimal(other['tax'] or '0') for other in same)}"}})


@slip
def decimal_mark_left_out(typist: Typist) -> Iterator[Slipped]:
    """242.65 is typed as 24265: the key of the mark did not catch."""
    for at, row in typist.purchases():
        yield typist.typed("purchases", {at: {"paid": row["paid"].replace(".", "")}})


@slip
def decimal_mark_one_place_off(typist: Typist) -> Iterator[Slipped]:
    """242.65 is typed as 24.265."""
    for at, row in typist.purchases():
        yield typist.typed("purchases", {at: {"paid": times(row["paid"], "0.1")}})


@slip
def first_digits_swapped(typist: Typist) -> Iterator[Slipped]:
    """186.30 is typed as 816.30."""
    for at, row in typist.purchases():
        paid = row["paid"]
        if paid[0] != paid[1] and paid[1].isdigit() and paid[1] != "0":
            yield typist.typed("purchases", {at: {"paid": paid[1] + paid[0] + paid[2:]}})


@slip
def paid_left_at_nothing(typist: Typist) -> Iterator[Slipped]:
    """A row is begun before the invoice has come, with 0 for now."""
    for at, _ in typist.purchases():
        yield typist.typed("purchases", {at: {"paid": "0", "tax": "0"}})


@slip
def size_and_paid_in_each_others_place(typist: Typist) -> Iterator[Slipped]:
    """Two numbers stand next to each other on the receipt, and go into each other's cells."""
    for at, row in typist.purchases("kg", "L"):
        yield typist.typed("purchases", {at: {"size": row["paid"], "paid": row["size"], "tax": "0"}})


@slip
def price_of_one_kilogram(typist: Typist) -> Iterator[Slipped]:
    """The shelf says what a kilogram costs, and that is typed as paid for the whole drum."""
    for at, row in typist.purchases("kg", "L"):
        amount = Decimal(row["size"]) * Decimal(row.get("packs") or "1")
        if amount > 2:
            yield typist.typed("purchases", {at: {"paid": over(row["paid"], str(amount)), "tax": "0"}})


@slip
def size_of_the_row_above(typist: Typist) -> Iterator[Slipped]:
    """The eye slips one line up on the receipt: size and unit of another thing are typed."""
    rows = typist.rows("purchases")
    for at, row in typist.purchases("g", "kg"):
        above = rows[at - 1][1] if at else row
        if above.get("unit") in ("g", "kg") and (above["size"], above["unit"]) != (row["size"], row["unit"]):
            yield typist.typed("purchases", {at: {"size": above["size"], "unit": above["unit"]}}, "size")
