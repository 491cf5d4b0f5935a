"""Adding a slip never makes a check quieter: what was doubted of one slip is doubted, or refused, beside another."""

from __future__ import annotations

from itertools import combinations

import pytest

import costing
from tests.doubts.small import told
from tests.doubts.workshop import Change, left_out, typed, workshop
from tests.seasons import seeded

SLIPS: dict[str, Change] = {
    "kaolin in grams": typed("purchases", {"unit": "g"}, item="kaolin"),
    "half the soda paid": typed("purchases", {"paid": "30.00", "tax": "5.00"}, item="Caustic soda"),
    "a cheap jar": typed("purchases", {"paid": "13.20", "tax": "2.20"}, item="Jar 300 mL"),
    "lids by the dozen": typed("purchases", {"unit": "dozen"}, item="Small lid"),
    "labels without tax": typed("purchases", {"tax": ""}, item="Round label"),
    "jars without tax": typed("purchases", {"tax": ""}, item="Jar 100 mL"),
    "sugar at home": typed("purchases", {"currency": "", "rate": ""}, item="White sugar"),
    "oil tenfold": typed("purchases", {"paid": "2100"}, item="Olive oil"),
    "much kaolin": typed("items", {"on_hand": "60000"}, item="kaolin"),
    "much lavender": typed("items", {"on_hand": "25000"}, item="Lavender oil"),
    "many minutes": typed("steps", {"minutes": "300"}, formula="Plain bar", step="blend"),
    "many more": typed("steps", {"minutes": "250"}, formula="Lavender cream", step="whip"),
    "much lost": typed("steps", {"loss_percent": "25"}, formula="White cream", step="melt"),
    "long hours": typed("steps", {"hours": "30"}, formula="White cream", step="whip"),
    "a huge batch": typed("formulas", {"batch_grams": "60000"}, formula="Plain bar"),
    "another huge batch": typed("formulas", {"batch_grams": "30000"}, formula="Lavender scrub"),
    "no lid": left_out("tubs", tub="Small", part="Small lid"),
    "a box of lids": typed("tubs", {"count": "12"}, tub="Large", part="Large lid"),
    "a wrong tub": typed("products", {"tub": "Large"}, product="White cream 120 g"),
    "a wrong filling": typed("products", {"filled_with": "Lavender cream"}, product="White cream 120 g"),
    "waste": typed("products", {"waste_percent": "11"}, product="White cream 120 g"),
    "more waste": typed("products", {"waste_percent": "12"}, product="Lavender cream 120 g"),
    "untaxed market": typed("channels", {"sales_tax_percent": ""}, channel="Market"),
    "untaxed shop": typed("channels", {"sales_tax_percent": ""}, channel="Shop"),
    "a price without tax": typed("prices", {"price": "6.67"}, product="Lavender bar 100 g"),
    "another without tax": typed("prices", {"price": "6.25"}, product="Plain bar 110 g"),
    "a thousand planned": typed("prices", {"planned": "1100"}, product="Lavender bar 100 g"),
    "hundreds planned": typed("prices", {"planned": "900"}, product="Plain bar 110 g"),
    "rent in pence": typed("overheads", {"amount": "54000"}, overhead="Rent"),
    "stall in pence": typed("overheads", {"amount": "32000"}, overhead="Stall"),
    "pay of a minute": typed("season", {"hourly_rate": "0.20"}),
    "power in pence": typed("season", {"power_price": "28"}),
}
PAIRS = list(combinations(SLIPS, 2))


def _places(*changes: Change) -> set[str] | None:
    """Return the places that are doubted; None where the season is refused."""
    try:
        return {each.split(": ")[0] for each in told(workshop(*changes))}
    except costing.Faults:
        return None


@pytest.mark.parametrize("pair", seeded(7).sample(PAIRS, 8), ids=" beside ".join)
def test_a_slip_beside_another_is_still_told(pair: tuple[str, str]) -> None:
    one, other = (SLIPS[name] for name in pair)
    both = _places(one, other)
    assert both is None or (_places(one) or set()) | (_places(other) or set()) <= both
