"""Lye that oils take up, against saponification values of the food standards and molar masses.

Sources: Codex CXS 210 and CXS 33; British Pharmacopoeia 1993; United States Pharmacopeia 35; the ``chemicals`` package.
Grams of sodium hydroxide are computed here from the saponification value [mg of potassium hydroxide per g].
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from chemicals import MW

from costing.catalogue import ingredients
from costing.cautions import KOH_TO_NAOH
from tests.published.closeness import printed
from tests.published.seasons import bought, costed, line

NAOH, KOH, STEARIC_ACID = "1310-73-2", "1310-58-3", "57-11-4"

RANGES = [
    ("sunflower-oil", 187, 194, 0.13331, 0.13830),  # CXS 210 as amended in 2022, printed
    ("coconut-oil", 248, 265, 0.17680, 0.18892),  # CXS 210, on secondary pages
    ("castor-oil", 176, 187, 0.12547, 0.13331),  # British Pharmacopoeia 1993, on a secondary page
    ("hydrogenated-castor-oil", 176, 182, 0.12547, 0.12975),  # United States Pharmacopeia 35, printed
    ("olive-oil", 184, 196, 0.13117, 0.13973),  # CXS 33, from memory
    ("palm-oil", 190, 209, 0.13545, 0.14899),  # CXS 210, from memory
    ("palm-kernel-oil", 230, 254, 0.16396, 0.18107),  # CXS 210, from memory
    ("soya-oil", 189, 195, 0.13474, 0.13901),  # CXS 210, from memory
    ("rapeseed-oil", 182, 193, 0.12975, 0.13759),  # CXS 210, from memory
]


def lye_cautions(lye: str, lye_grams: float, oil: str = "coconut-oil") -> list[str]:
    """Return what is said about the lye of a bar of 1,000 g of oil."""
    season = costed(
        purchases=[bought(lye, 1, size=500), bought(oil, 1, size=1000)],
        lines=[line("bar", lye, lye_grams), line("bar", oil, 1000)],
    )
    return [each.what for each in season.cautions if each.where == "formulas, bar" and "lye" in each.what]


def test_ratio_of_the_two_lyes() -> None:
    """39.99711 ÷ 56.10564 g/mol, weights of the chemicals package (IUPAC), to the five decimals of the engine."""
    assert float(MW(NAOH)) / float(MW(KOH)) == printed(float(KOH_TO_NAOH), 5)


def test_sodium_hydroxide_from_a_saponification_value() -> None:
    """1,000 g of an oil of value 256.5 take 256.5 g of KOH or 182.856 g of NaOH. Computed here, three decimals."""
    assert float(1000 * KOH_TO_NAOH) * 256.5 / 1000 == printed(182.856, 3)


@pytest.mark.parametrize(("item", "low", "high", "naoh_low", "naoh_high"), RANGES)
def test_range_of_the_catalogue(item: str, low: int, high: int, naoh_low: float, naoh_high: float) -> None:
    """Saponification range of an oil as its standard has it; how each is known stands in the list above.

    Grams of NaOH per gram of oil are computed here to five decimals, with the factor of the engine.
    """
    known = ingredients()[item]
    assert known.saponification_low is not None
    assert known.saponification_high is not None
    assert (known.saponification_low, known.saponification_high) == (Decimal(low), Decimal(high))
    assert float(known.saponification_low * KOH_TO_NAOH) / 1000 == printed(naoh_low, 5)
    assert float(known.saponification_high * KOH_TO_NAOH) / 1000 == printed(naoh_high, 5)


@pytest.mark.parametrize(("oil", "naoh"), [("coconut-oil", 176.80), ("sunflower-oil", 133.31)])
def test_lye_is_spoken_of_from_the_low_end_of_the_range_on(oil: str, naoh: float) -> None:
    """1,000 g of oil at the low end of its Codex range take 176.80 or 133.31 g of NaOH: a gram above, it is said.

    Saponification values: CXS 210, sunflower printed, coconut on secondary pages; grams computed here.
    """
    assert lye_cautions("sodium-hydroxide", naoh - 0.01, oil) == []
    assert len(lye_cautions("sodium-hydroxide", naoh + 1, oil)) == 1


def test_potassium_hydroxide_counts_as_what_it_is_in_sodium_hydroxide() -> None:
    """256.5 g of KOH count as 182.9 g of NaOH, against 176.8 g that coconut oil takes at least.

    Value of 248 from CXS 210 on secondary pages; both figures computed here, one decimal.
    """
    told = lye_cautions("potassium-hydroxide", 256.5)
    assert told == ["182.9 g of lye (as sodium hydroxide), and oils known to take up 176.8 g"]


def test_stearic_acid_of_the_catalogue_holds_the_pure_acid() -> None:
    """Pure stearic acid has the value 197.22 and takes 0.14060 g of NaOH per gram. Computed here from molar masses."""
    value = float(MW(KOH)) * 1000 / float(MW(STEARIC_ACID))
    assert value == printed(197.22, 2)
    assert value * float(KOH_TO_NAOH) / 1000 == printed(0.14060, 5)
    known = ingredients()["stearic-acid"]
    assert known.saponification_low is not None
    assert known.saponification_high is not None
    assert known.saponification_low <= value <= known.saponification_high


def test_lye_without_oils_is_always_spoken_of() -> None:
    """Lye with something that takes up none is a caution and never a clearance. Common practice, no source."""
    season = costed(
        purchases=[bought("sodium-hydroxide", 1), bought("water", 1)],
        lines=[line("lye", "sodium-hydroxide", 1), line("lye", "water", 2)],
    )
    told = [each for each in season.cautions if each.where == "formulas, lye"]
    assert any("oils known to take up 0.0 g" in each.what for each in told)
