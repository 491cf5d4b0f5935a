"""All doubts of a season, but those that the maker has looked at."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from costing.errors import Doubt
from costing.season.costed import Season
from costing.season.doubts.amounts import amount_doubts
from costing.season.doubts.fills import fill_doubts
from costing.season.doubts.invoices import invoice_doubts
from costing.season.doubts.outputs import output_doubts
from costing.season.doubts.overheads import overhead_doubts
from costing.season.doubts.places import unseen
from costing.season.doubts.price_level import price_level
from costing.season.doubts.prices_paid import price_doubts
from costing.season.doubts.ranges import range_doubts
from costing.season.doubts.receipts import receipt_doubts
from costing.season.doubts.recipes import recipe_doubts
from costing.season.doubts.selling import selling_doubts
from costing.season.doubts.settings import setting_doubts
from costing.season.doubts.steps import step_doubts
from costing.season.doubts.tubs import tub_doubts

SUBJECTS = (
    receipt_doubts, invoice_doubts, range_doubts, recipe_doubts, output_doubts, step_doubts, tub_doubts, fill_doubts,
    selling_doubts,
)  # fmt: skip
BESIDE_PRICES = (price_doubts, amount_doubts, overhead_doubts, setting_doubts)  # which ask how dear the season buys


def doubts_of(season: Season) -> Iterator[Doubt]:
    """Yield what looks like a slip and is not among what the maker has looked at, by place, in whatever order rows stand."""
    level = price_level(season)
    judged = (*(subject(season, level) for subject in BESIDE_PRICES), *(subject(season) for subject in SUBJECTS))
    told = sorted(chain.from_iterable(judged), key=lambda doubt: (doubt.where, doubt.what))
    return unseen(told, [row.where for row in season.records.seen])
