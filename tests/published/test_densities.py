"""Densities of the catalogue against the ``chemicals`` package, an independent collection of published correlations."""

from __future__ import annotations

import pytest
from chemicals import MW
from chemicals.dippr import EQ105
from chemicals.iapws import iapws95_rho
from chemicals.volume import rho_data_Perry_8E_105_l, rho_data_VDI_PPDS_2, volume_VDI_PPDS

from costing.fields.catalogue import ingredients
from tests.published.closeness import printed
from tests.published.seasons import bought, costed

TWENTY_DEGREES, ATMOSPHERE = 293.15, 101_325.0


def water() -> float:
    """Return the density of water at 20 °C after IAPWS-95. [g/mL]"""
    return float(iapws95_rho(TWENTY_DEGREES, ATMOSPHERE)) / 1000  # type: ignore[no-untyped-call]  # it has no types


def glycerol() -> float:
    """Return the density of glycerol at 20 °C after VDI-PPDS. [g/mL]"""
    row = rho_data_VDI_PPDS_2.loc["56-81-5"]
    volume = volume_VDI_PPDS(TWENTY_DEGREES, *(float(row[key]) for key in ("Tc", "rhoc", "A", "B", "C", "D", "MW")))  # type: ignore[no-untyped-call]  # it has no types
    return float(row["MW"]) / float(volume) / 1e6


def perry(cas: str) -> float:
    """Return the density of a liquid at 20 °C after Perry's handbook, 8th edition. [g/mL]"""
    row = rho_data_Perry_8E_105_l.loc[cas]
    moles = EQ105(TWENTY_DEGREES, *(float(row[key]) for key in ("C1", "C2", "C3", "C4")))  # type: ignore[no-untyped-call]  # it has no types
    return float(moles) * float(MW(cas)) / 1e6


def in_catalogue(item: str) -> tuple[float, int]:
    """Return a density of the catalogue, and to how many decimals it is written."""
    density = ingredients()[item].density
    assert density is not None
    return float(density), -int(density.as_tuple().exponent)


@pytest.mark.parametrize("item", ["water", "distilled-water"])
def test_water_of_the_catalogue(item: str) -> None:
    """IAPWS-95 at 20 °C and one atmosphere is 998.2071 kg per cubic metre; to the digits the catalogue writes."""
    assert water() == printed(*in_catalogue(item))


def test_glycerin_of_the_catalogue() -> None:
    """VDI-PPDS at 20 °C is 1261.20 kg per cubic metre; to the digits the catalogue writes."""
    assert glycerol() == printed(*in_catalogue("glycerin"))


@pytest.mark.parametrize(
    ("item", "cas"),
    [
        ("propylene-glycol", "57-55-6"),
        ("benzyl-alcohol", "100-51-6"),
        ("ethanol", "64-17-5"),
        ("isopropyl-alcohol", "67-63-0"),
    ],
)
def test_other_liquids_of_the_catalogue(item: str, cas: str) -> None:
    """Perry's handbook, 8th edition, at 20 °C, from the package's copy; to the digits the catalogue writes."""
    assert perry(cas) == printed(*in_catalogue(item))


@pytest.mark.parametrize(
    ("item", "lowest", "highest"),
    [("sunflower-oil", 0.916, 0.923), ("coconut-oil", 0.908, 0.921), ("olive-oil", 0.910, 0.916)],
)
def test_oils_lie_within_their_codex_ranges(item: str, lowest: float, highest: float) -> None:
    """Relative density against water at 20 °C, times the density of water.

    Sunflower: Codex CXS 210 as amended in 2022, printed. Coconut (at 40 °C): CXS 210 on a secondary page. Olive: CXS 33,
    from memory.
    """
    density, _ = in_catalogue(item)
    assert lowest * water() <= density <= highest * water()


def test_us_fluid_ounce_of_water() -> None:
    """29.5735 mL at 0.9982072 g/mL weigh 29.5205 g. Computed here from NIST SP 811 and IAPWS-95, four decimals."""
    season = costed(
        purchases=[bought("spring-water", 1, unit="us fl oz")],
        items=[{"item": "spring-water", "density": water()}],
    )
    assert season.row("purchases", item="spring-water").grams == printed(29.5205, 4)


def test_us_gallon_of_glycerin_at_the_catalogue_density() -> None:
    """3.785411784 L at 1261.20 kg per cubic metre weigh 4.77416 kg. Computed here from SP 811 and VDI-PPDS."""
    season = costed(purchases=[bought("glycerin", 1, unit="us gallon")])
    assert season.row("purchases", item="glycerin").grams / 1000 == printed(4.77416, 5)
