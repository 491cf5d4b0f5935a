"""The words of the bench card's cautions, kept on Checks so that no formula has to hold them."""

from __future__ import annotations

from decimal import Decimal

from costing.engine.declared import Rules
from costing.engine.table import Table
from costing.fields.types import Text, given
from costing.tables.deciding.weigh_out import GENERAL, Bench
from costing.tables.looked_up import LOOK_UPS
from costing.tables.sources import packaged


class BenchWords(Bench):
    """The words of a caution."""

    words: Text = given("Caution", "What to mind.")


class BenchWordsRow(BenchWords, Rules):
    """The words of a caution, as they are."""


@packaged
def words_rows() -> list[BenchWords]:
    """Return the cautions, lye first."""
    return [BenchWords.model_construct(rank=Decimal(at), words=words) for at, words in enumerate(GENERAL, start=1)]


BENCH_WORDS = Table(
    "bench_words",
    LOOK_UPS,
    "Cautions of the bench card",
    "Weigh out shows those that hold for the formula chosen there.",
    BenchWordsRow,
    spare=0,
    fixed=True,
    rows=words_rows,
)
