"""Lye that oils and acids take up, against saponification values of the food standards and molar masses.

Sources: Codex CXS 210, 33 and 325R; British Pharmacopoeia 1993; United States Pharmacopeia 35; the ``chemicals`` package.
Grams of sodium hydroxide are computed here from the saponification value [mg of potassium hydroxide per g].
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from chemicals import MW

import costing
from costing.fields.catalogue import ingredients
from costing.tables import equations
from costing.tables.settings import SETTINGS
from tests.published.closeness import printed
from tests.published.seasons import bought, costed, line

NAOH, KOH, STEARIC_ACID = "1310-73-2", "1310-58-3", "57-11-4"
NAOH_FOR_KOH: float = SETTINGS.entries["naoh_for_koh"].fixed or 0

RANGES = [
    ("sunflower-oil", 187, 194, 0.13331, 0.13830),  # CXS 210 as amended in 2022, printed
    ("coconut-oil", 248, 265, 0.17680, 0.18892),  # CXS 210, on secondary pages
    ("castor-oil", 176, 187, 0.12547, 0.13331),  # British Pharmacopoeia 1993, on a secondary page
    ("hydrogenated-castor-oil", 176, 182, 0.12547, 0.12975),  # United States Pharmacopeia 35, printed
    ("olive-oil", 184, 196, 0.13117, 0.13973),  # CXS 33, from memory
    ("palm-oil", 190, 209, 0.13545, 0.14899),  # CXS 210, from memory
    ("palm-kernel-oil", 230, 254, 0.16396, 0.18107),  # CXS 210, from memory
    ("soya-oil", 189, 195, 0.13474, 0.13901),  # CXS 210, from memory
    ("shea-butter", 160, 195, 0.11406, 0.13901),  # CXS 325R-2017 for unrefined shea butter, on a secondary page
    ("rapeseed-oil", 182, 193, 0.12975, 0.13759),  # CXS 210, from memory
]

# Acids: number, protons that lye takes, and the value computed here, 1000 × protons × M(KOH) ÷ M(acid), one decimal.
ACIDS = [
    ("citric-acid", "77-92-9", 3, 876.1),
    ("lactic-acid", "50-21-5", 1, 622.9),
    ("benzoic-acid", "65-85-0", 1, 459.4),
    ("sorbic-acid", "110-44-1", 1, 500.4),
    ("salicylic-acid", "69-72-7", 1, 406.2),
    ("dehydroacetic-acid", "520-45-6", 1, 333.7),
    ("stearic-acid", STEARIC_ACID, 1, 197.2),
]


def bar(lye: str, lye_grams: float, oil: str = "coconut-oil") -> costing.Season:
    """Return a season with a bar of 1,000 g of oil."""
    return costed(
        purchases=[bought(lye, 1, size=500), bought(oil, 1, size=1000)],
        lines=[line("bar", lye, lye_grams), line("bar", oil, 1000)],
    )


def of_bar(*args: Any) -> Any:
    """Return the bar's row on Lye."""
    return bar(*args).row("lye", made="bar")


def test_ratio_of_the_two_lyes() -> None:
    """39.99711 ÷ 56.10564 g/mol, weights of the chemicals package (IUPAC), to seven decimals."""
    assert NAOH_FOR_KOH == 0.7128893
    assert float(MW(NAOH)) / float(MW(KOH)) == printed(0.7128893, 7)


def test_sodium_hydroxide_from_a_saponification_value() -> None:
    """1,000 g of an oil of value 256.5 take 182.856 g of NaOH; 173.713 g leave 5 %. Computed here, three decimals."""
    taken_up = 1000 * equations.lye_taken_up(256.5, NAOH_FOR_KOH)
    assert taken_up == printed(182.856, 3)
    assert taken_up * 0.95 == printed(173.713, 3)
    assert equations.superfat(173.713, taken_up) == printed(0.05, 5)


@pytest.mark.parametrize(("item", "low", "high", "naoh_low", "naoh_high"), RANGES)
def test_range_of_the_catalogue(item: str, low: int, high: int, naoh_low: float, naoh_high: float) -> None:
    """Saponification range of an oil as its standard has it; how each is known stands in the list above.

    Grams of NaOH per gram of oil are computed here to five decimals; as much lye leaves no superfat at that end.
    """
    known = ingredients()[item]
    assert (known.saponification_low, known.saponification_high) == (Decimal(low), Decimal(high))
    row = of_bar("sodium-hydroxide", 1000 * naoh_low, item)
    assert (row.low / 1000, row.high / 1000) == (printed(naoh_low, 5), printed(naoh_high, 5))
    assert row.superfat_low == printed(0, 4)
    assert of_bar("sodium-hydroxide", 1000 * naoh_high - 0.01, item).superfat_high == printed(0, 3)


@pytest.mark.parametrize(("oil", "most"), [("coconut-oil", 188.92), ("sunflower-oil", 138.30)])
def test_lye_beyond_the_high_end_of_the_range_is_a_fault(oil: str, most: float) -> None:
    """1,000 g of oil at the high end of its Codex range take 188.92 or 138.30 g of NaOH: a gram more stops everything.

    Saponification values: CXS 210, sunflower printed, coconut on secondary pages; grams computed here.
    """
    assert of_bar("sodium-hydroxide", most - 0.1, oil).remark == "above the careful end"
    with pytest.raises(costing.Faults, match="of lye \\(as sodium hydroxide\\), and its oils take up") as raised:
        bar("sodium-hydroxide", most + 1, oil)
    assert len(raised.value.faults) == 1
    assert "goggles, gloves, fresh air" in raised.value.faults[0].do


def test_potassium_hydroxide_counts_as_what_it_is_in_sodium_hydroxide() -> None:
    """256.5 g of KOH count as 182.9 g of NaOH, against 176.8 g that coconut oil takes at least.

    Value of 248 from CXS 210 on secondary pages; both figures computed here, one decimal.
    """
    row = of_bar("potassium-hydroxide", 256.5)
    assert (row.lye, row.low) == (printed(182.9, 1), printed(176.8, 1))


@pytest.mark.parametrize(("item", "number", "protons", "value"), ACIDS)
def test_acids_of_the_catalogue_hold_the_pure_acid(item: str, number: str, protons: int, value: float) -> None:
    """The acid value that follows from molar masses lies in the range of the catalogue. Computed here, one decimal."""
    pure = protons * float(MW(KOH)) * 1000 / float(MW(number))
    assert pure == printed(value, 1)
    known = ingredients()[item]
    assert known.saponification_low is not None
    assert known.saponification_high is not None
    assert known.saponification_low <= pure <= known.saponification_high


def test_stearic_acid_takes_up_lye() -> None:
    """1 g of stearic acid, 284.477 g/mol, takes up 0.1406 g of NaOH. Computed here from molar masses."""
    value = float(MW(KOH)) * 1000 / float(MW(STEARIC_ACID))
    assert equations.lye_taken_up(value, NAOH_FOR_KOH) == printed(0.1406, 4)
    row = of_bar("sodium-hydroxide", 130, "stearic-acid")
    assert row.low <= 140.6 <= row.high


def test_lye_without_oils_is_always_spoken_of() -> None:
    """Lye with something that takes up none is a caution and never a clearance. Common practice, no source."""
    season = costed(
        purchases=[bought("sodium-hydroxide", 1), bought("water", 1)],
        lines=[line("lye", "sodium-hydroxide", 1), line("lye", "water", 2)],
    )
    told = [each.what for each in season.cautions if each.where == "formulas, lye"]
    assert "1.0 g of lye (as sodium hydroxide), and nothing that takes it up" in told
