"""Units of purchases against what the United States' measurement institute prints.

Figures: NIST SP 811 (2008) appendix B.8, Handbook 44 (2014) appendix C, SP 1038 (2006).
"""

from __future__ import annotations

import pytest

from costing.fields.units import purchase_units
from tests.published.closeness import exactly, printed
from tests.published.seasons import bought, costed

GRAMS = {"g": 1, "kg": 1000, "mg": 0.001, "lb": 453.59237, "oz": 28.349523125}
MILLILITRES = {
    "mL": 1, "L": 1000,
    "us gallon": 3785.411784, "us quart": 946.352946, "us pint": 473.176473, "us fl oz": 29.5735295625,
    "imperial gallon": 4546.09, "imperial quart": 1136.5225, "imperial pint": 568.26125, "imperial fl oz": 28.4130625,
}  # fmt: skip


@pytest.mark.parametrize(("unit", "grams"), GRAMS.items())
def test_units_of_weight_are_exact(unit: str, grams: float) -> None:
    """Pound and ounce are exact by definition. Handbook 44 C-14 and C-20, SP 1038, printed."""
    assert purchase_units()[unit].grams == exactly(grams)


@pytest.mark.parametrize(("unit", "millilitres"), MILLILITRES.items())
def test_units_of_volume_are_exact(unit: str, millilitres: float) -> None:
    """Both gallons are exact by definition, SP 811 and Handbook 44 C-12, printed; their parts are computed here."""
    assert purchase_units()[unit].millilitres == exactly(millilitres)


@pytest.mark.parametrize(
    ("unit", "millilitres", "decimals"),
    [("us quart", 946.3529, 4), ("us pint", 473.1765, 4), ("us fl oz", 29.57353, 5), ("imperial fl oz", 28.41306, 5)],
)
def test_units_of_volume_agree_with_the_rounded_table(unit: str, millilitres: float, decimals: int) -> None:
    """SP 811 appendix B.8, printed to seven digits, so within half a unit of the last."""
    assert purchase_units()[unit].millilitres == printed(millilitres, decimals)


def test_fluid_ounces_of_two_countries_differ() -> None:
    """One US fluid ounce is 1.041 imperial ones, one imperial is 0.961 US ones. Handbook 44 C-18, printed."""
    us, imperial = purchase_units()["us fl oz"].millilitres, purchase_units()["imperial fl oz"].millilitres
    assert us / imperial == printed(1.041, 3)
    assert imperial / us == printed(0.961, 3)


def test_pound_in_a_us_gallon() -> None:
    """One pound per US gallon is 119.8264 kg per cubic metre. SP 811 and SP 1038, printed to seven digits."""
    units = purchase_units()
    assert units["lb"].grams / units["us gallon"].millilitres * 1000 == printed(119.8264, 4)


@pytest.mark.parametrize(("unit", "grams"), GRAMS.items())
def test_purchase_by_weight_is_led_to_grams(unit: str, grams: float) -> None:
    """Three packs of two units, paid with 6, weigh six units and cost what a sixth of that is per gram.

    Exact values of Handbook 44 appendix C, printed; the purchase is made up here.
    """
    season = costed(purchases=[bought("wares", 6, packs=3, size=2, unit=unit)])
    assert season.row("purchases", item="wares").grams == exactly(6 * grams)
    assert season.row("items", item="wares").per_gram == exactly(1 / grams)


@pytest.mark.parametrize(("unit", "millilitres"), MILLILITRES.items())
def test_purchase_by_volume_is_weighed_through_the_density(unit: str, millilitres: float) -> None:
    """Two units of something with 0.9 g in a millilitre. Exact values of SP 811; the density is made up here."""
    season = costed(
        purchases=[bought("wares", 1, packs=2, unit=unit)],
        items=[{"item": "wares", "density": 0.9}],
    )
    assert season.row("purchases", item="wares").grams == exactly(2 * millilitres * 0.9)


def test_dozen_is_twelve_pieces() -> None:
    """Five dozen for 60 are 1 each."""
    season = costed(purchases=[bought("wares", 60, packs=5, unit="dozen")])
    assert season.row("items", item="wares").per_piece == exactly(1)
