"""Adding a slip never makes a check quieter: what was doubted where one was typed is doubted, or refused, beside another."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

import pytest

import costing
from tests.doubts.small import told
from tests.doubts.workshop import Change, left_out, typed, workshop
from tests.seasons import seeded

Slip = tuple[str, Change]  # the table typed into, and what is typed


def _in(table: str, cells: Mapping[str, str], **where: str) -> Slip:
    return table, typed(table, cells, **where)


SLIPS: dict[str, Slip] = {
    "kaolin in grams": _in("purchases", {"unit": "g"}, item="kaolin"),
    "half the soda paid": _in("purchases", {"paid": "30.00", "tax": "5.00"}, item="Caustic soda"),
    "a cheap jar": _in("purchases", {"paid": "13.20", "tax": "2.20"}, item="Jar 300 mL"),
    "lids by the dozen": _in("purchases", {"unit": "dozen"}, item="Small lid"),
    "labels without tax": _in("purchases", {"tax": ""}, item="Round label"),
    "jars without tax": _in("purchases", {"tax": ""}, item="Jar 100 mL"),
    "sugar at home": _in("purchases", {"currency": "", "rate": ""}, item="White sugar"),
    "oil tenfold": _in("purchases", {"paid": "2100"}, item="Olive oil"),
    "much kaolin": _in("items", {"on_hand": "60000"}, item="kaolin"),
    "much lavender": _in("items", {"on_hand": "25000"}, item="Lavender oil"),
    "many minutes": _in("steps", {"minutes": "300"}, formula="Plain bar", step="blend"),
    "many more": _in("steps", {"minutes": "250"}, formula="Lavender cream", step="whip"),
    "much lost": _in("steps", {"loss_percent": "25"}, formula="White cream", step="melt"),
    "long hours": _in("steps", {"hours": "30"}, formula="White cream", step="whip"),
    "a huge batch": _in("formulas", {"batch_grams": "60000"}, formula="Plain bar"),
    "another huge batch": _in("formulas", {"batch_grams": "30000"}, formula="Lavender scrub"),
    "no lid": ("tubs", left_out("tubs", tub="Small", part="Small lid")),
    "a box of lids": _in("tubs", {"count": "12"}, tub="Large", part="Large lid"),
    "a wrong tub": _in("products", {"tub": "Large"}, product="White cream 120 g"),
    "a wrong filling": _in("products", {"filled_with": "Lavender cream"}, product="White cream 120 g"),
    "waste": _in("products", {"waste_percent": "11"}, product="White cream 120 g"),
    "more waste": _in("products", {"waste_percent": "12"}, product="Lavender cream 120 g"),
    "untaxed market": _in("channels", {"sales_tax_percent": ""}, channel="Market"),
    "untaxed shop": _in("channels", {"sales_tax_percent": ""}, channel="Shop"),
    "a price without tax": _in("prices", {"price": "6.67"}, product="Lavender bar 100 g"),
    "another without tax": _in("prices", {"price": "6.25"}, product="Plain bar 110 g"),
    "a thousand planned": _in("prices", {"planned": "1100"}, product="Lavender bar 100 g"),
    "hundreds planned": _in("prices", {"planned": "900"}, product="Plain bar 110 g"),
    "rent in pence": _in("overheads", {"amount": "54000"}, overhead="Rent"),
    "stall in pence": _in("overheads", {"amount": "32000"}, overhead="Stall"),
    "pay of a minute": _in("season", {"hourly_rate": "0.20"}),
    "power in pence": _in("season", {"power_price": "28"}),
}
# A batch ten times as large that takes ten times the minutes is as right as before.
RIGHT_TOGETHER = {("many minutes", "a huge batch")}
PAIRS = [pair for pair in combinations(SLIPS, 2) if pair not in RIGHT_TOGETHER]


def _places(*slips: Slip) -> set[str] | None:
    """Return the places in the tables typed into that are doubted; None where the season is refused.

    What only follows from a slip, a price far from the suggested one say, may be right again by the other.
    """
    tables = {table for table, _ in slips}
    try:
        lines = told(workshop(*(change for _, change in slips)))
    except costing.Faults:
        return None
    return {line.split(": ")[0] for line in lines if line.split(", ")[0] in tables}


def _is_still_told(pair: tuple[str, str]) -> None:
    one, other = (SLIPS[name] for name in pair)
    both = _places(one, other)
    assert both is None or (_places(one) or set()) | (_places(other) or set()) <= both


@pytest.mark.parametrize("pair", seeded(7).sample(PAIRS, 8), ids=" beside ".join)
def test_a_slip_beside_another_is_still_told(pair: tuple[str, str]) -> None:
    _is_still_told(pair)


@pytest.mark.long
@pytest.mark.parametrize("pair", PAIRS, ids=" beside ".join)
def test_every_slip_beside_every_other_is_still_told(pair: tuple[str, str]) -> None:
    _is_still_told(pair)
