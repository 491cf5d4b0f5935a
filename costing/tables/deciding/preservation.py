"""What is watery, what keeps, and what dissolves: the packaged figures, and what acids of preservatives do in soap.

A weak acid keeps by what of it is not split into ions: the share 1 ÷ (1 + 10^(pH − pKa)), after Henderson and Hasselbalch.
Soap of lye and fat has a pH of about 9 to 10.5 (common practice, no source); at its mildest end least is split.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import both, choose, either
from costing.engine.table import Table
from costing.fields.catalogue import Ingredient, ingredients
from costing.fields.types import Key, NumberField, PercentField, Record, Text, given
from costing.fields.views import OptionalNumber
from costing.tables.looked_up import LOOK_UPS
from costing.tables.settings import SOAP_PH
from costing.tables.sources import packaged

if TYPE_CHECKING:
    from costing.tables.book import Book

PH = NumberField("", least=0, most=14)
GRAMS = NumberField("", above=0)


class Keeper(Record):
    """One ingredient of the packaged list that is watery, keeps, or dissolves in water."""

    item: Key = given("Item", "The key under which formulas name it.")
    source: Text = given("Source", "Where its figures are from, and how they are known.")
    water: OptionalNumber = given("Water", "How much of it is water.", PercentField())
    least: OptionalNumber = given("Least share", "Of the product, below which it is not known to work.", PercentField())
    lowest_ph: OptionalNumber = given("Lowest pH", "Below which it is not known to work.", PH)
    highest_ph: OptionalNumber = given("Highest pH", "Above which it is not known to work.", PH)
    pka: OptionalNumber = given("pKa", "Of its acid: at that pH half of it is split into ions.", PH)
    whole_acid: OptionalNumber = given(
        "Acid left whole in soap", "How much of that acid is not split at the mildest pH of soap.", PercentField()
    )
    dissolves: OptionalNumber = given("Dissolves", "Grams of it that a gram of water dissolves.", GRAMS)


class KeeperRow(Keeper, Rules):
    """What follows for a formula."""

    @worked("Free water", shape="percent", decimals=0)
    def free_water(self, season: Book) -> float:
        """Its water; none where that is only the moisture of a dry thing, as of brown sugar."""
        return choose(self.water < season.settings.moist, 0, self.water)

    @worked("Idle in soap", decimals=0)
    def idle(self, season: Book) -> float:
        """1 for a preservative that does not work at any pH of soap: out of its range, or its acid nearly all split."""
        settings = season.settings
        split = both(self.pka > 0, self.whole_acid < settings.acid_needed)
        out = both(self.highest_ph > 0, either(self.highest_ph < settings.soap_ph, self.lowest_ph > settings.soap_ph_most))
        return choose(either(split, out), 1, 0)


def acid_left_whole(ph: float, pka: float) -> float:
    """The share of a weak acid that is not split into ions at a pH, after Henderson and Hasselbalch. [1]

    >>> acid_left_whole(4.76, 4.76), round(acid_left_whole(5.76, 4.76), 4)
    (0.5, 0.0909)
    """
    return 1 / (1 + 10 ** (ph - pka))


@packaged
def keeper_records() -> list[Keeper]:
    """Return the packaged ingredients of which any of these figures is known."""
    return [_keeper(each) for each in ingredients().values() if _sources(each)]


def _keeper(each: Ingredient) -> Keeper:
    return Keeper.model_construct(
        item=each.item,
        source="; ".join(_sources(each)),
        water=each.water_percent,
        least=each.least_percent,
        lowest_ph=each.lowest_ph,
        highest_ph=each.highest_ph,
        pka=each.pka,
        whole_acid=None if each.pka is None else Decimal(f"{100 * acid_left_whole(SOAP_PH, float(each.pka)):.6f}"),
        dissolves=each.dissolves,
    )


def _sources(each: Ingredient) -> list[str]:
    named = (each.water_source, each.least_source, each.ph_source, each.dissolves_source)
    return list(dict.fromkeys(source for source in named if source))


KEEPERS = Table(
    "keepers",
    LOOK_UPS,
    "What is watery, keeps or dissolves",
    "Figures of the packaged list. What a supplier's document says of a pack comes before them.",
    KeeperRow,
    spare=0,
    fixed=True,
    rows=keeper_records,
)
