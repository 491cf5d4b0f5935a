"""Slips in purchases: names, rows, days, currencies, delivery and discount."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from tests.slips.slip import Slipped, Typist, slip, times
from tests.slips.tables import Row


def _spread(typist: Typist, item: str) -> Iterator[tuple[int, Row]]:
    places = [(at, row) for at, row in typist.rows("purchases") if row["item"] == item]
    yield from sorted(places, key=lambda place: place[1]["bought_on"], reverse=True)


def _abroad(typist: Typist) -> Iterator[tuple[int, Row]]:
    for at, row in typist.purchases():
        if row["currency"]:
            yield at, row


# --- names and rows --------------------------------------------------------------------------------------------------


@slip
def item_misspelt(typist: Typist) -> Iterator[Slipped]:
    """A letter is left out of a name: a new thing, bought and used nowhere, while the old one keeps its old price."""
    for at, row in typist.purchases():
        yield typist.typed("purchases", {at: {"item": row["item"][:2] + row["item"][3:]}})


@slip
def item_under_another_name(typist: Typist) -> Iterator[Slipped]:
    """The supplier turns the words round, and the maker copies it: oil, olive."""
    for at, row in typist.purchases():
        mark = "-" if "-" in row["item"] else " "
        first, *others = row["item"].split(mark)
        if others:
            yield typist.typed("purchases", {at: {"item": mark.join([*others, first])}})


@slip
def row_of_another_item(typist: Typist) -> Iterator[Slipped]:
    """A name is picked one row too low in the list: the money of one thing is booked on another, in the same unit."""
    bought = typist.purchases("kg")
    for (at, row), (_, other) in zip(bought, reversed(bought), strict=True):
        if row["item"] != other["item"]:
            yield typist.typed("purchases", {at: {"item": other["item"]}})


@slip
def row_typed_twice(typist: Typist) -> Iterator[Slipped]:
    """After the telephone the same row of a receipt with delivery is typed once more."""
    for at, row in typist.purchases():
        if any(other["invoice"] == row["invoice"] for _, other in _spread(typist, "delivery")):
            yield typist.added("purchases", dict(row), "item", after=at)


@slip
def delivery_typed_twice(typist: Typist) -> Iterator[Slipped]:
    """Delivery stands on the receipt and on the slip in the parcel, and is typed from both."""
    for at, row in _spread(typist, "delivery"):
        yield typist.added("purchases", dict(row), "item", after=at)


@slip
def total_row_of_a_receipt(typist: Typist) -> Iterator[Slipped]:
    """The receipt's last line, its total, is typed like the lines above it."""
    for at, row in _spread(typist, "delivery"):
        same = [other for _, other in typist.rows("purchases") if other["invoice"] == row["invoice"]]
        sums = {column: f"{sum(Decimal(other[column] or '0') for other in same)}" for column in ("paid", "tax")}
        total = {**row, "item": typist.clean.delivery_words[1], "packs": "1", "size": "1", "unit": "piece", **sums}
        slipped = typist.added("purchases", total, "item", after=at)
        yield Slipped(slipped.tables, "purchases", "item", frozenset({at + 3}), frozenset({total["item"]}))


@slip
def row_left_out(typist: Typist) -> Iterator[Slipped]:
    """One row of a receipt is skipped: a thing in use was never bought, and delivery falls on the rest."""
    for at, row in typist.purchases():
        if any(other["invoice"] == row["invoice"] for _, other in _spread(typist, "delivery")):
            older = [other for _, other in typist.rows("purchases") if other["item"] == row["item"] and other is not row]
            if not older:
                yield typist.left_out("purchases", at, "item")


# --- days ------------------------------------------------------------------------------------------------------------


@slip
def year_not_yet_come(typist: Typist) -> Iterator[Slipped]:
    """The year is typed one too high: the purchase lies after the day priced on and is left out."""
    for at, row in typist.purchases():
        yield typist.typed("purchases", {at: {"bought_on": f"{int(row['bought_on'][:4]) + 1}{row['bought_on'][4:]}"}})


@slip
def last_years_year(typist: Typist) -> Iterator[Slipped]:
    """In January the old year still comes from the fingers: the newest price counts as an old one."""
    for at, row in typist.purchases():
        yield typist.typed("purchases", {at: {"bought_on": f"{int(row['bought_on'][:4]) - 1}{row['bought_on'][4:]}"}})


@slip
def day_and_month_swapped(typist: Typist) -> Iterator[Slipped]:
    """A foreign invoice writes the month first."""
    for at, row in typist.purchases():
        year, month, day = row["bought_on"].split("-")
        if int(day) <= 12 and day != month:
            yield typist.typed("purchases", {at: {"bought_on": f"{year}-{day}-{month}"}})


# --- currencies ------------------------------------------------------------------------------------------------------


@slip
def currency_forgotten(typist: Typist) -> Iterator[Slipped]:
    """A foreign invoice is typed like one from next door: no currency, no rate."""
    for at, _ in _abroad(typist):
        yield typist.typed("purchases", {at: {"currency": "", "rate": ""}})


@slip
def rate_forgotten(typist: Typist) -> Iterator[Slipped]:
    """The currency is typed, its rate is not."""
    for at, _ in _abroad(typist):
        yield typist.typed("purchases", {at: {"rate": ""}})


@slip
def rate_the_wrong_way_round(typist: Typist) -> Iterator[Slipped]:
    """The bank quotes how much abroad one's own money buys, and that is typed."""
    for at, row in _abroad(typist):
        yield typist.typed("purchases", {at: {"rate": f"{1 / Decimal(row['rate']):.4f}"}})


@slip
def rate_one_place_off(typist: Typist) -> Iterator[Slipped]:
    """1.11 is typed as 11.1."""
    for at, row in _abroad(typist):
        yield typist.typed("purchases", {at: {"rate": times(row["rate"], "10")}})


@slip
def currency_of_the_row_above(typist: Typist) -> Iterator[Slipped]:
    """Currency and rate are filled down one row too far, onto an invoice from at home."""
    abroad = next(_abroad(typist), None)
    for at, row in typist.purchases():
        if abroad and not row["currency"]:
            cells = {"currency": abroad[1]["currency"], "rate": abroad[1]["rate"]}
            yield typist.typed("purchases", {at: cells}, "currency")


# --- delivery, discount, returns -------------------------------------------------------------------------------------


@slip
def delivery_under_an_everyday_word(typist: Typist) -> Iterator[Slipped]:
    """Delivery is called what the invoice calls it, and becomes a thing bought and used nowhere."""
    for at, _ in _spread(typist, "delivery"):
        cells = {"item": typist.clean.delivery_words[0], "packs": "1", "size": "1", "unit": "piece"}
        yield typist.typed("purchases", {at: cells}, "item")


@slip
def delivery_on_another_invoice(typist: Typist) -> Iterator[Slipped]:
    """The invoice number of the delivery is mistyped: there are no goods on that invoice."""
    for at, row in _spread(typist, "delivery"):
        yield typist.typed("purchases", {at: {"invoice": row["invoice"][:-1] + "0X"}})


@slip
def discount_below_zero(typist: Typist) -> Iterator[Slipped]:
    """A discount is typed with the minus that the receipt prints."""
    for at, row in _spread(typist, "discount"):
        yield typist.typed("purchases", {at: {"paid": times(row["paid"], "-1"), "tax": times(row["tax"] or "0", "-1")}})


@slip
def discount_as_delivery(typist: Typist) -> Iterator[Slipped]:
    """The word of the row above is copied down: what was taken off is added."""
    for at, _ in _spread(typist, "discount"):
        yield typist.typed("purchases", {at: {"item": "delivery"}})


@slip
def return_without_its_minus(typist: Typist) -> Iterator[Slipped]:
    """A credit note is typed like an invoice: what went back has been bought twice."""
    for at, row in typist.rows("purchases"):
        if row["packs"].startswith("-"):
            cells = {column: row[column].lstrip("-") for column in ("packs", "paid", "tax")}
            yield typist.typed("purchases", {at: cells}, "packs")


@slip
def return_with_one_minus(typist: Typist) -> Iterator[Slipped]:
    """A credit note gets its minus before the money and not before the packs."""
    for at, row in typist.rows("purchases"):
        if row["packs"].startswith("-"):
            yield typist.typed("purchases", {at: {"packs": row["packs"].lstrip("-")}})
