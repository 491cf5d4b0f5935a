"""Slips in what is made: formulas, steps, lines, outputs, and what is said of items."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from decimal import Decimal

from tests.slips.slip import Slipped, Typist, slip, times
from tests.slips.tables import Row

LYE, WATER = ("hydroxide", "caustic", "cáustica"), ("water", "água", "agua")  # parts of what they are called


def _batches(typist: Typist) -> list[tuple[int, Row]]:
    """Return the formulas whose batch carries work, the ones used most on top."""
    working = {row["formula"] for _, row in typist.rows("steps") if Decimal(row["minutes"] or "0") > 0}
    return [(at, row) for at, row in typist.rows("formulas") if row["formula"] in working]


def _steps(typist: Typist, column: str) -> list[tuple[int, Row]]:
    """Return the steps with something in a column, the largest first."""
    filled = [(at, row) for at, row in typist.rows("steps") if Decimal(row[column] or "0") > 0]
    return sorted(filled, key=lambda place: -Decimal(place[1][column]))


def _lines(typist: Typist) -> list[tuple[int, Row]]:
    return sorted(typist.rows("lines"), key=lambda place: -Decimal(place[1]["percent"]))


def _called(name: str, words: tuple[str, ...]) -> bool:
    return any(word in name.lower() for word in words)


def _lye(typist: Typist) -> list[tuple[int, Row]]:
    return [(at, row) for at, row in typist.rows("lines") if _called(row["item"], LYE)]


def _without(typist: Typist, at: int) -> Slipped:
    """Leave a line out and let the largest of its formula take its share, as a maker does whose sum must be 100."""
    gone = typist.clean.tables["lines"][at]
    rest = [(place, row) for place, row in _lines(typist) if row["formula"] == gone["formula"] and place != at]
    place, largest = rest[0]
    slipped = typist.left_out("lines", at, "percent")
    tables = copy.deepcopy(slipped.tables)
    tables["lines"][place - (place > at)]["percent"] = str(Decimal(largest["percent"]) + Decimal(gone["percent"]))
    return Slipped(tables, "lines", "percent", frozenset({place - (place > at) + 2}), slipped.names)


# --- formulas and lines ----------------------------------------------------------------------------------------------


@slip
def batch_in_kilograms(typist: Typist) -> Iterator[Slipped]:
    """The bowl takes 3 kg, and 3 is typed where grams are asked for."""
    for at, row in _batches(typist):
        yield typist.typed("formulas", {at: {"batch_grams": times(row["batch_grams"], "0.001")}})


@slip
def batch_tenfold(typist: Typist) -> Iterator[Slipped]:
    """One nought too many: work and power seem to be shared by ten times as much soap."""
    for at, row in _batches(typist):
        yield typist.typed("formulas", {at: {"batch_grams": times(row["batch_grams"], "10")}})


@slip
def percent_as_a_fraction(typist: Typist) -> Iterator[Slipped]:
    """0.38 is typed for 38 %."""
    for at, row in _lines(typist):
        yield typist.typed("lines", {at: {"percent": times(row["percent"], "0.01")}})


@slip
def all_percents_as_fractions(typist: Typist) -> Iterator[Slipped]:
    """A formula is copied from a sheet whose cells are shown as percentages: its lines add up to 1."""
    for name in {row["formula"]: None for _, row in typist.rows("lines")}:
        places = [(at, row) for at, row in typist.rows("lines") if row["formula"] == name]
        yield typist.typed("lines", {at: {"percent": times(row["percent"], "0.01")} for at, row in places})


@slip
def percents_of_the_oils(typist: Typist) -> Iterator[Slipped]:
    """A bar's shares are copied from a formula reckoned on its oils, so that all together are far over 100."""
    for name in dict.fromkeys(row["formula"] for _, row in _lye(typist)):
        places = [(at, row) for at, row in typist.rows("lines") if row["formula"] == name]
        yield typist.typed(
            "lines", {at: {"percent": f"{Decimal(row['percent']) / Decimal('0.7'):.2f}"} for at, row in places}
        )


@slip
def percents_swapped(typist: Typist) -> Iterator[Slipped]:
    """Two lines' shares stand in each other's place; the sum is still 100."""
    for name in {row["formula"]: None for _, row in typist.rows("lines")}:
        places = [(at, row) for at, row in _lines(typist) if row["formula"] == name]
        (one, first), (two, second) = places[0], places[-1]
        if first["percent"] != second["percent"]:
            yield typist.typed("lines", {one: {"percent": second["percent"]}, two: {"percent": first["percent"]}})


@slip
def water_forgotten(typist: Typist) -> Iterator[Slipped]:
    """Water costs next to nothing and is left out; what is largest takes its share, so that the sum is 100."""
    for at, row in typist.rows("lines"):
        if _called(row["item"], WATER):
            yield _without(typist, at)


@slip
def lye_forgotten(typist: Typist) -> Iterator[Slipped]:
    """The lye stands on another sheet of paper and is left out of the bar."""
    for at, _ in _lye(typist):
        yield _without(typist, at)


@slip
def lye_by_its_everyday_name(typist: Typist) -> Iterator[Slipped]:
    """The lye is called soda in the formula, and bought under another name."""
    for at, _ in _lye(typist):
        yield typist.typed("lines", {at: {"item": typist.clean.lye_word}})


# --- steps -----------------------------------------------------------------------------------------------------------


@slip
def hours_for_minutes(typist: Typist) -> Iterator[Slipped]:
    """Half an hour of work is typed as 0.5 in the column of minutes."""
    for at, row in _steps(typist, "minutes"):
        yield typist.typed("steps", {at: {"minutes": f"{Decimal(row['minutes']) / 60:.2f}"}})


@slip
def minutes_for_hours(typist: Typist) -> Iterator[Slipped]:
    """The mixer ran for 30 minutes, and 30 is typed in the column of hours."""
    for at, row in _steps(typist, "watts"):
        yield typist.typed("steps", {at: {"hours": times(row["hours"], "60")}})


@slip
def kilowatts_for_watts(typist: Typist) -> Iterator[Slipped]:
    """The plate says 1.4 kW, and 1.4 is typed."""
    for at, row in _steps(typist, "watts"):
        yield typist.typed("steps", {at: {"watts": times(row["watts"], "0.001")}})


@slip
def minutes_tenfold(typist: Typist) -> Iterator[Slipped]:
    """25 minutes are typed as 250."""
    for at, row in _steps(typist, "minutes"):
        yield typist.typed("steps", {at: {"minutes": times(row["minutes"], "10")}})


@slip
def loss_as_a_fraction(typist: Typist) -> Iterator[Slipped]:
    """0.12 is typed for 12 %."""
    for at, row in _steps(typist, "loss_percent"):
        yield typist.typed("steps", {at: {"loss_percent": times(row["loss_percent"], "0.01")}})


@slip
def what_is_left_for_the_loss(typist: Typist) -> Iterator[Slipped]:
    """The bars keep 88 % of their weight, and 88 is typed as the loss."""
    for at, row in _steps(typist, "loss_percent"):
        yield typist.typed("steps", {at: {"loss_percent": str(100 - Decimal(row["loss_percent"]))}})


@slip
def loss_tenfold(typist: Typist) -> Iterator[Slipped]:
    """2.5 % is typed as 25: the mark did not catch."""
    for at, row in _steps(typist, "loss_percent"):
        if Decimal(row["loss_percent"]) < 5:
            yield typist.typed("steps", {at: {"loss_percent": times(row["loss_percent"], "10")}})


# --- outputs and items -----------------------------------------------------------------------------------------------


@slip
def outputs_as_fractions(typist: Typist) -> Iterator[Slipped]:
    """0.91 and 0.09 are typed for 91 and 9 %."""
    for name in dict.fromkeys(row["formula"] for _, row in typist.rows("outputs")):
        places = [(at, row) for at, row in typist.rows("outputs") if row["formula"] == name]
        yield typist.typed("outputs", {at: {"percent": times(row["percent"], "0.01")} for at, row in places})


@slip
def outputs_swapped(typist: Typist) -> Iterator[Slipped]:
    """Bars and trimmings get each other's share."""
    for name in dict.fromkeys(row["formula"] for _, row in typist.rows("outputs")):
        (one, first), (two, second) = ((at, row) for at, row in typist.rows("outputs") if row["formula"] == name)
        yield typist.typed("outputs", {one: {"percent": second["percent"]}, two: {"percent": first["percent"]}})


@slip
def worth_per_gram(typist: Typist) -> Iterator[Slipped]:
    """What trimmings are worth is typed for a gram instead of a kilogram."""
    for at, row in typist.rows("outputs"):
        if row.get("price_per_kg"):
            yield typist.typed("outputs", {at: {"price_per_kg": times(row["price_per_kg"], "0.001")}})


@slip
def density_in_kilograms_per_cubic_metre(typist: Typist) -> Iterator[Slipped]:
    """The supplier's sheet says 915, in kg/m³, and that is typed as the density."""
    for _, row in typist.purchases("L", "mL"):
        place = next((at for at, item in typist.rows("items") if item["item"] == row["item"]), None)
        if place is None:
            yield typist.added("items", {"item": row["item"], "density": "915"}, "density")
        else:
            yield typist.typed("items", {place: {"density": "915"}})


@slip
def stock_in_kilograms(typist: Typist) -> Iterator[Slipped]:
    """Nine kilograms are in the drum, and 9 is typed where grams are asked for. No price hangs on it, but buying does."""
    for at, row in typist.rows("items"):
        if Decimal(row["on_hand"] or "0") >= 5000:
            yield typist.typed("items", {at: {"on_hand": times(row["on_hand"], "0.001")}})


@slip
def watts_and_hours_swapped(typist: Typist) -> Iterator[Slipped]:
    """Watts and hours stand next to each other, and go into each other's cells."""
    for at, row in typist.rows("steps"):
        if row.get("watts") and row.get("hours") and row["watts"] != row["hours"]:
            yield typist.typed("steps", {at: {"watts": row["hours"], "hours": row["watts"]}})


@slip
def line_typed_twice(typist: Typist) -> Iterator[Slipped]:
    """A line of a card is copied once too often."""
    for at, row in typist.rows("lines"):
        yield typist.added("lines", dict(row), "item", after=at)


@slip
def percent_as_grams(typist: Typist) -> Iterator[Slipped]:
    """A share is typed one cell too far to the right, where grams are asked for."""
    for at, row in typist.rows("lines"):
        if row.get("percent"):
            yield typist.typed("lines", {at: {"grams": row["percent"], "percent": ""}}, "grams")
