"""The units that things are bought in, as a table, so that a purchase typed in the sheet counts at once."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from costing.engine.table import Table
from costing.fields.types import NumberField, Record, Text, given
from costing.fields.units import purchase_units


class Unit(Record):
    """One unit of purchases."""

    unit: Text = given("Unit", "How the unit is written on Purchases.")
    grams: Annotated[Decimal | None, NumberField("gram", least=0)] = given(
        "Grams in one", "For what is weighed.", default=None
    )
    millilitres: Annotated[Decimal | None, NumberField("millilitre", least=0)] = given(
        "Millilitres in one", "For volumes; the item's density turns them into grams.", default=None
    )
    pieces: Annotated[Decimal | None, NumberField("piece", least=0)] = given(
        "Pieces in one", "For what is counted.", default=None
    )


UNITS = Table(
    "units",
    "Settings",
    "Units of purchases",
    "Exact values after NIST SP 811 appendix B.8. Spoons and cups are left out on purpose: weigh it.",
    Unit,
    spare=0,
    fixed=True,
)


def unit_records() -> list[Unit]:
    """Return the packaged units as rows."""
    return [
        Unit(
            unit=unit.spelling,
            grams=Decimal(str(unit.grams)) if unit.grams else None,
            millilitres=Decimal(str(unit.millilitres)) if unit.millilitres else None,
            pieces=Decimal(str(unit.pieces)) if unit.pieces else None,
        )
        for unit in purchase_units().values()
    ]
