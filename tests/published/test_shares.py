"""Shares of acids that share one limit with their salts, against molar masses and Regulation (EC) 1223/2009 Annex V.

Maxima as acid: no. 1 benzoic 2.5 % (wash-off), read in the version of 3 September 2017; nos. 3, 4 and 13 salicylic 0.5 %,
sorbic 0.6 %, dehydroacetic 0.6 %, read in the French order of 6 February 2001, which has the same numbers and maxima.
"""

from __future__ import annotations

import pytest
from chemicals import MW

from costing.fields.catalogue import ingredients
from tests.published.closeness import printed
from tests.published.seasons import bought, costed, line

# Acid, salt, their CAS numbers, salt per acid, the maximum as acid and as salt [%]; factors and salt computed here.
Row = tuple[str, str, str, str, float, float, float]
SALTS: list[Row] = [
    ("benzoic-acid", "sodium-benzoate", "65-85-0", "532-32-1", 1.18000, 2.5, 2.950),
    ("sorbic-acid", "potassium-sorbate", "110-44-1", "24634-61-5", 1.33971, 0.6, 0.8038),
    ("dehydroacetic-acid", "sodium-dehydroacetate", "520-45-6", "4418-26-2", 1.13073, 0.6, 0.6784),
    ("salicylic-acid", "sodium-salicylate", "69-72-7", "54-21-7", 1.15915, 0.5, 0.5796),
]


def told(**percents: float) -> list[str]:
    """Return what is said about shares of a formula of which these are percents and sugar the rest."""
    grams = {item.replace("_", "-"): percent for item, percent in percents.items()}
    rest = {"white-sugar": 100 - sum(grams.values())}
    season = costed(
        purchases=[bought(item, 1) for item in grams | rest],
        lines=[line("mix", item, amount) for item, amount in (grams | rest).items()],
    )
    return [each.what for each in season.cautions if "above" in each.what]


@pytest.mark.parametrize("row", SALTS, ids=lambda row: row[0])
def test_factor_between_acid_and_salt(row: Row) -> None:
    """Grams of salt that hold one gram of acid follow from molar masses, five decimals; so does the salt's maximum."""
    acid, salt, acid_number, salt_number, factor, maximum, as_salt = row
    assert float(MW(salt_number)) / float(MW(acid_number)) == printed(factor, 5)
    assert float(ingredients()[salt].limit_factor or 0) == printed(factor, 5)
    assert float(ingredients()[acid].highest_percent or 0) == maximum
    assert maximum * factor == printed(as_salt, 4)


@pytest.mark.parametrize("row", SALTS, ids=lambda row: row[0])
def test_acid_and_salt_are_added_up_as_acid(row: Row) -> None:
    """Half the limit in each is no caution, a hundredth of a percent more is one, though neither is above its own."""
    acid, salt, _, _, factor, maximum, _ = row
    half = {acid.replace("-", "_"): maximum / 2, salt.replace("-", "_"): maximum / 2 * factor - 1e-5}
    assert told(**half) == []
    more = half | {acid.replace("-", "_"): maximum / 2 + 0.01}
    said = f"{maximum + 0.01:.2f}% of {acid} and {salt} together, counted as {acid}, above {maximum:.2f}%"
    assert told(**more) == [said]
