"""What powered steps cost.

Figures: OpenStax College Physics sections 7.7 and 20.4.
"""

from __future__ import annotations

import pytest

from costing.tables import equations
from tests.published.closeness import exactly
from tests.published.seasons import bought, costed, line, product

STEPS = [
    (200, 6 * 30, 0.120, 4.32),  # section 7.7, printed: 36.0 kWh
    (60, 1000, 0.12, 7.20),  # section 20.4, printed
    (15, 1000, 0.12, 1.80),  # section 20.4, printed
    (5000, 2 * 365, 0.12, 438.00),  # computed here: 3,650 kWh
]


@pytest.mark.parametrize(("watts", "hours", "power_price", "cost"), STEPS)
def test_energy_cost(watts: float, hours: float, power_price: float, cost: float) -> None:
    """Watts × hours ÷ 1000 × price of a kilowatt-hour. College Physics 7.7 and 20.4, printed; the heater computed."""
    assert equations.energy_cost(watts, hours, power_price) == exactly(cost)


@pytest.mark.parametrize(("watts", "hours", "power_price", "cost"), STEPS)
def test_powered_step_of_a_formula(watts: float, hours: float, power_price: float, cost: float) -> None:
    """The same through a step: all the batch costs is its power. College Physics 7.7 and 20.4 as above."""
    season = costed(
        settings={"power_price": power_price},
        steps=[{"formula": "filling", "step": "mix", "watts": watts, "hours": hours}],
    )
    batch = season.row("making", formula="filling", row="yield")
    assert batch.batch_cost == exactly(cost)
    assert batch.gram_power == exactly(cost)


@pytest.mark.parametrize(
    ("watts", "lamp", "life", "total"), [(60, 0.25, 1000, 7.45), (15, 1.50, 10_000, 1.95)], ids=["wire", "tube"]
)
def test_equipment_is_worn_by_the_hour(watts: float, lamp: float, life: float, total: float) -> None:
    """A lamp over 1,000 h: 7.20 + 0.25 = 7.45, and 1.80 + a tenth of 1.50 = 1.95. College Physics 20.4, printed.

    The lamp is bought by its hours of life, as a material of which a step uses some: here a gram is an hour.
    """
    season = costed(
        settings={"power_price": 0.12},
        purchases=[bought("lamp-hours", lamp, size=life)],
        lines=[line("light", "lamp-hours", 1000)],
        steps=[{"formula": "light", "step": "mix", "watts": watts, "hours": 1000}],
        products=[product("light", "light", 1000)],
    )
    assert season.row("products", product="light").total == exactly(total)


def test_equipment_as_an_overhead() -> None:
    """The same 1.95 where the wear of 0.15 is written as an overhead of the one unit planned. College Physics 20.4."""
    season = costed(
        settings={"power_price": 0.12},
        steps=[{"formula": "filling", "step": "mix", "watts": 15, "hours": 1000}],
        prices=[{"product": "any", "channel": "stall", "planned": 1}],
        overheads=[{"overhead": "lamp", "amount": 1.50 * 1000 / 10_000, "shared_by": "grams"}],
    )
    assert season.row("products", product="any").total == exactly(1.95)
