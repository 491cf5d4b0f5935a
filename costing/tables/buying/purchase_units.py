"""The units that things are bought in, as a table, so that a purchase typed in the sheet counts at once."""

from __future__ import annotations

from decimal import Decimal

from costing.engine.table import Table
from costing.fields.types import NumberField, Record, Text, given
from costing.fields.units import purchase_units
from costing.fields.views import OptionalNumber
from costing.tables.looked_up import LOOK_UPS
from costing.tables.sources import packaged


class Unit(Record):
    """One unit of purchases."""

    unit: Text = given("Unit", "How the unit is written on Purchases.")
    grams: OptionalNumber = given("Grams in one", "For what is weighed.", NumberField("gram", least=0), default=None)
    millilitres: OptionalNumber = given(
        "Millilitres in one",
        "For volumes; the item's density turns them into grams.",
        NumberField("millilitre", least=0),
        default=None,
    )
    pieces: OptionalNumber = given("Pieces in one", "For what is counted.", NumberField("piece", least=0), default=None)


@packaged
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


UNITS = Table(
    "units",
    LOOK_UPS,
    "Units of purchases",
    "Exact values after NIST SP 811 appendix B.8. Spoons and cups are left out on purpose: weigh it.",
    Unit,
    spare=0,
    fixed=True,
    rows=unit_records,
)
