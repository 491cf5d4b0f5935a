"""The units that things are bought in, as a table, so that a purchase typed in the sheet counts at once."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from costing.columns import Table
from costing.records import NumberField, Record, Text, given
from costing.units import purchase_units


class Unit(Record):
    """One unit of purchases."""

    unit: Text = given("Unit", "How the unit is written on Purchases.")
    grams: Annotated[Decimal, NumberField("gram", least=0)] = given("Grams in one", "For what is weighed.")
    millilitres: Annotated[Decimal, NumberField("millilitre", least=0)] = given(
        "Millilitres in one", "For volumes; the item's density turns them into grams."
    )
    pieces: Annotated[Decimal, NumberField("piece", least=0)] = given("Pieces in one", "For what is counted.")


UNITS = Table(
    "units",
    "Settings",
    "Units of purchases",
    "Exact values after NIST SP 811 appendix B.8. Spoons and cups are left out on purpose: weigh it.",
    Unit,
    spare=0,
)


def unit_records() -> list[Unit]:
    """Return the packaged units as rows."""
    return [
        Unit(
            unit=unit.spelling,
            grams=Decimal(str(unit.grams)),
            millilitres=Decimal(str(unit.millilitres)),
            pieces=Decimal(str(unit.pieces)),
        )
        for unit in purchase_units().values()
    ]
