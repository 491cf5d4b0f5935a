"""Tax rates in whole percent, each with how many purchases have it: beside them a rate that none has is told at once."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import choose, count_where
from costing.engine.table import Table
from costing.fields.types import NumberField, Record, given
from costing.fields.views import Number
from costing.tables.looked_up import LOOK_UPS
from costing.tables.settings import HIGHEST_TAX
from costing.tables.sources import packaged

if TYPE_CHECKING:
    from costing.tables.book import Book


class TaxRate(Record):
    """One rate of tax."""

    percent: Number = given("Rate of tax, in percent", "In whole percent, as rates are compared.", NumberField("", least=0))


class TaxRateRow(TaxRate, Rules):
    """How often it was paid."""

    @worked("Purchases with it", decimals=0)
    def purchases(self, season: Book) -> float:
        """How many purchases have this rate, cents aside."""
        return count_where(season.purchases.tax_rate, self.percent)

    @worked("With it, or nearly", decimals=0)
    def usual(self, season: Book) -> float:
        """The same, with the rates one percent above and below."""
        mine = season.purchases
        below = choose(self.percent > 1, count_where(mine.tax_rate, self.percent - 1), 0)  # 0 is that of free rows too
        return self.purchases + below + count_where(mine.tax_rate, self.percent + 1)


@packaged
def rate_records() -> list[TaxRate]:
    """Return every whole percent."""
    return [TaxRate(percent=Decimal(percent)) for percent in range(1, HIGHEST_TAX + 1)]


TAX_RATES = Table(
    "tax_rates",
    LOOK_UPS,
    "Rates of tax on receipts",
    "How many purchases have each; one whose rate no other has is marked on Purchases.",
    TaxRateRow,
    spare=0,
    fixed=True,
    rows=rate_records,
)
