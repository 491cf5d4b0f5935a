"""Slips in what is sold: tubs, products, channels, prices, overheads, and the season's own figures."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from tests.slips.slip import Slipped, Typist, over, slip, times
from tests.slips.tables import Row


def _filled(typist: Typist, table: str, column: str) -> list[tuple[int, Row]]:
    return [(at, row) for at, row in typist.rows(table) if Decimal(row.get(column) or "0") > 0]


def _planned(typist: Typist) -> list[tuple[int, Row]]:
    planned = {row["product"] for _, row in _filled(typist, "prices", "planned")}
    return [(at, row) for at, row in typist.rows("products") if row["product"] in planned]


def _scaled(typist: Typist, table: str, column: str, factor: str) -> Iterator[Slipped]:
    for at, row in _filled(typist, table, column):
        yield typist.typed(table, {at: {column: times(row[column], factor)}})


def _setting(typist: Typist, key: str, value: str) -> Iterator[Slipped]:
    yield typist.typed("season", {typist.setting(key): {"value": value}})


def _value(typist: Typist, key: str) -> str:
    return typist.rows("season")[typist.setting(key)][1]["value"]


# --- tubs and products -----------------------------------------------------------------------------------------------


@slip
def jar_without_its_lid(typist: Typist) -> Iterator[Slipped]:
    """A jar's lid is bought on another invoice, and forgotten in its tub."""
    for at, row in typist.rows("tubs"):
        if row["part"].lower().startswith(("lid", "tampa")):
            yield typist.left_out("tubs", at, "part")


@slip
def count_of_a_pack(typist: Typist) -> Iterator[Slipped]:
    """How many come in a carton is typed where the number for one tub belongs."""
    for at, _ in typist.rows("tubs"):
        yield typist.typed("tubs", {at: {"count": "12"}})


@slip
def wrong_tub(typist: Typist) -> Iterator[Slipped]:
    """A tub is picked one row too low in the list."""
    tubs = list(dict.fromkeys(row["tub"] for _, row in typist.rows("tubs")))
    for at, row in _planned(typist):
        yield typist.typed("products", {at: {"tub": tubs[(tubs.index(row["tub"]) + 1) % len(tubs)]}})


@slip
def fill_of_another_tub(typist: Typist) -> Iterator[Slipped]:
    """A product is made by copying the row of another size, and the weights are left as they were."""
    places = _planned(typist)
    for at, row in places:
        other = next((other for _, other in places if other["tub"] != row["tub"] and other is not row), row)
        if other["fill_grams"] != row["fill_grams"]:
            cells = {column: other[column] for column in ("fill_grams", "label_grams")}
            yield typist.typed("products", {at: cells})


@slip
def fill_in_kilograms(typist: Typist) -> Iterator[Slipped]:
    """0.25 is typed for 250 g, in fill and label."""
    for at, row in _planned(typist):
        cells = {column: times(row[column], "0.001") for column in ("fill_grams", "label_grams")}
        yield typist.typed("products", {at: cells})


@slip
def fill_in_ounces(typist: Typist) -> Iterator[Slipped]:
    """4.2 oz are typed where grams are asked for, in fill and label."""
    for at, row in _planned(typist):
        cells = {column: f"{Decimal(row[column]) / Decimal('28.35'):.1f}" for column in ("fill_grams", "label_grams")}
        yield typist.typed("products", {at: cells})


@slip
def fill_and_label_swapped(typist: Typist) -> Iterator[Slipped]:
    """What is filled and what the label says stand in each other's place."""
    for at, row in _planned(typist):
        yield typist.typed("products", {at: {"fill_grams": row["label_grams"], "label_grams": row["fill_grams"]}})


@slip
def digits_of_the_fill_swapped(typist: Typist) -> Iterator[Slipped]:
    """121 is typed as 211, while the label still says 120."""
    for at, row in _planned(typist):
        fill = row["fill_grams"]
        if fill[0] != fill[1] and fill[1] != "0":
            yield typist.typed("products", {at: {"fill_grams": fill[1] + fill[0] + fill[2:]}})


@slip
def filled_with_another_formula(typist: Typist) -> Iterator[Slipped]:
    """A formula is picked one row too low in the list: the tub gets what another product is named after."""
    filled = list(dict.fromkeys(row["filled_with"] for _, row in typist.rows("products")))
    for at, row in _planned(typist):
        yield typist.typed("products", {at: {"filled_with": filled[(filled.index(row["filled_with"]) + 1) % len(filled)]}})


@slip
def waste_tenfold(typist: Typist) -> Iterator[Slipped]:
    """2 % lost while filling is typed as 20."""
    return _scaled(typist, "products", "waste_percent", "10")


@slip
def minutes_of_the_whole_filling(typist: Typist) -> Iterator[Slipped]:
    """The minutes for all forty tubs of a batch are typed as those of one."""
    return _scaled(typist, "products", "minutes", "40")


# --- channels and prices ---------------------------------------------------------------------------------------------


@slip
def fee_as_a_fraction(typist: Typist) -> Iterator[Slipped]:
    """0.034 is typed for 3.4 %."""
    return _scaled(typist, "channels", "fee_percent", "0.01")


@slip
def fee_tenfold(typist: Typist) -> Iterator[Slipped]:
    """3.4 % is typed as 34."""
    return _scaled(typist, "channels", "fee_percent", "10")


@slip
def margin_as_a_fraction(typist: Typist) -> Iterator[Slipped]:
    """0.35 is typed for 35 %."""
    return _scaled(typist, "channels", "margin_percent", "0.01")


@slip
def sales_tax_as_a_fraction(typist: Typist) -> Iterator[Slipped]:
    """0.23 is typed for 23 %."""
    return _scaled(typist, "channels", "sales_tax_percent", "0.01")


@slip
def sales_tax_left_out(typist: Typist) -> Iterator[Slipped]:
    """A channel's tax cell is left empty, though the others have one."""
    for at, _ in _filled(typist, "channels", "sales_tax_percent"):
        yield typist.typed("channels", {at: {"sales_tax_percent": ""}})


@slip
def parcel_in_cents(typist: Typist) -> Iterator[Slipped]:
    """A parcel of 5.80 is typed as 580."""
    return _scaled(typist, "channels", "parcel_each", "100")


@slip
def fees_in_each_others_place(typist: Typist) -> Iterator[Slipped]:
    """The fee in per cent and the fee on each sale stand in each other's place."""
    for at, row in _filled(typist, "channels", "fee_each"):
        yield typist.typed("channels", {at: {"fee_percent": row["fee_each"], "fee_each": row["fee_percent"]}})


@slip
def planned_tenfold(typist: Typist) -> Iterator[Slipped]:
    """One nought too many in the plan: overheads seem to be borne by ten times as many tubs."""
    return _scaled(typist, "prices", "planned", "10")


@slip
def own_price_without_tax(typist: Typist) -> Iterator[Slipped]:
    """The maker's own price is typed without tax, where the channel shows it with tax."""
    tax = {row["channel"]: Decimal(row["sales_tax_percent"] or "0") for _, row in typist.rows("channels")}
    for at, row in _filled(typist, "prices", "price"):
        yield typist.typed("prices", {at: {"price": over(row["price"], str(1 + tax[row["channel"]] / 100))}})


@slip
def own_price_with_tax_twice(typist: Typist) -> Iterator[Slipped]:
    """The tax is added by hand to a price that has it already."""
    tax = {row["channel"]: Decimal(row["sales_tax_percent"] or "0") for _, row in typist.rows("channels")}
    for at, row in _filled(typist, "prices", "price"):
        yield typist.typed("prices", {at: {"price": f"{Decimal(row['price']) * (1 + tax[row['channel']] / 100):.2f}"}})


@slip
def own_price_without_its_mark(typist: Typist) -> Iterator[Slipped]:
    """9.50 is typed as 950."""
    return _scaled(typist, "prices", "price", "100")


# --- overheads and the season's figures ------------------------------------------------------------------------------


@slip
def overheads_sum_row(typist: Typist) -> Iterator[Slipped]:
    """The sheet from which overheads are copied has a last row with their sum."""
    total = f"{sum(Decimal(row['amount'] or '0') for _, row in typist.rows('overheads'))}"
    yield typist.added("overheads", {"overhead": "total", "amount": total, "shared_by": "units"}, "amount")


@slip
def overhead_of_a_month(typist: Typist) -> Iterator[Slipped]:
    """A month's rent is typed where the season's six are asked for."""
    for at, row in sorted(_filled(typist, "overheads", "amount"), key=lambda place: -Decimal(place[1]["amount"])):
        yield typist.typed("overheads", {at: {"amount": over(row["amount"], "6")}})


@slip
def overhead_in_cents(typist: Typist) -> Iterator[Slipped]:
    """310.00 is typed as 31000."""
    return _scaled(typist, "overheads", "amount", "100")


@slip
def rate_of_a_minute(typist: Typist) -> Iterator[Slipped]:
    """The hourly rate is typed for a minute."""
    return _setting(typist, "hourly_rate", f"{Decimal(_value(typist, 'hourly_rate')) / 60:.2f}")


@slip
def rate_of_a_day(typist: Typist) -> Iterator[Slipped]:
    """The hourly rate is typed for a day of eight hours."""
    return _setting(typist, "hourly_rate", times(_value(typist, "hourly_rate"), "8"))


@slip
def power_price_in_cents(typist: Typist) -> Iterator[Slipped]:
    """The bill says 34 cents, and 34 is typed."""
    return _setting(typist, "power_price", times(_value(typist, "power_price"), "100"))


@slip
def tax_got_back_left_at_no(typist: Typist) -> Iterator[Slipped]:
    """Whether tax is claimed back is left at no, though every receipt row has its tax."""
    return _setting(typist, "reclaims_tax", "no")


@slip
def priced_on_last_year(typist: Typist) -> Iterator[Slipped]:
    """The season is made from last year's, and its day is left: everything bought since is left out."""
    day = _value(typist, "priced_on")
    return _setting(typist, "priced_on", f"{int(day[:4]) - 1}{day[4:]}")


@slip
def price_step_in_cents(typist: Typist) -> Iterator[Slipped]:
    """Prices go up in steps of 50 cents, and 50 is typed."""
    return _setting(typist, "price_step", "50")


@slip
def overhead_under_two_names(typist: Typist) -> Iterator[Slipped]:
    """The bank's list and the folder of bills both have it: the same amount is typed again under another name."""
    for _, row in sorted(_filled(typist, "overheads", "amount"), key=lambda place: -Decimal(place[1]["amount"])):
        yield typist.added("overheads", {**row, "overhead": f"{row['overhead']} 2"}, "amount")


@slip
def own_price_of_another_size(typist: Typist) -> Iterator[Slipped]:
    """Two own prices of one channel stand in each other's place."""
    rows = _filled(typist, "prices", "price")
    for at, row in rows:
        beside = [place for place in rows if place[1]["channel"] == row["channel"]]
        others = [(place, each) for place, each in beside if each["price"] != row["price"]]
        for place, other in others[:1]:
            yield typist.typed("prices", {at: {"price": other["price"]}, place: {"price": row["price"]}})


@slip
def planned_for_one_market_day(typist: Typist) -> Iterator[Slipped]:
    """What one day at the stall sells is typed, not what the season does."""
    for at, row in _filled(typist, "prices", "planned"):
        yield typist.typed("prices", {at: {"planned": f"{max(Decimal(row['planned']) / 25, Decimal(1)):.0f}"}})


@slip
def mark_up_for_margin(typist: Typist) -> Iterator[Slipped]:
    """Someone who reckons in mark-ups types 150 where the margin is asked for."""
    for at, _ in typist.rows("channels"):
        yield typist.typed("channels", {at: {"margin_percent": "150"}})


@slip
def price_ending_in_cents(typist: Typist) -> Iterator[Slipped]:
    """Prices are to end in .90, and 90 is typed."""
    return _setting(typist, "price_ending", "90")


@slip
def fill_of_the_whole_batch(typist: Typist) -> Iterator[Slipped]:
    """What goes into a dozen tubs is typed for one, in fill and label."""
    for at, row in _planned(typist):
        label = {"label_grams": times(row["label_grams"], "12")} if row.get("label_grams") else {}
        yield typist.typed("products", {at: {"fill_grams": times(row["fill_grams"], "12"), **label}})
