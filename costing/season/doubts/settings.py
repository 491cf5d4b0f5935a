"""Doubts about the season's own figures: pay and power, price steps, tax got back, the day priced on."""

from __future__ import annotations

from collections.abc import Iterator

from costing.errors import Doubt
from costing.fields.catalogue import currency_worths
from costing.fields.numerals import plainly
from costing.season.costed import Season
from costing.season.doubts.price_level import PriceLevel
from costing.season.doubts.prices_paid import times
from costing.season.robust import usual
from costing.tables.selling.products import PRODUCTS

# In euros, at the season's level of prices (common practice, no source).
PAY_OF_AN_HOUR = (2.0, 70.0)
OTHER_MONEY = 6.0  # times as dear as usual, or as cheap
POWER_OF_A_KWH = (0.02, 1.5)


def setting_doubts(season: Season, level: PriceLevel) -> Iterator[Doubt]:
    """Yield settings that the rest of the season does not go with."""
    settings = season.records.season
    yield from _money("hourly_rate", float(settings.hourly_rate), PAY_OF_AN_HOUR, level, "is it for an hour?")
    yield from _money(
        "power_price", float(settings.power_price), POWER_OF_A_KWH, level, "is it for a kWh, and not in cents?"
    )
    yield from _no_power_price(season)
    yield from _currency(settings.currency, level)
    yield from _steps(season)
    yield from _tax_got_back(season)
    yield from _day(season)


def _money(key: str, value: float, usually: tuple[float, float], level: PriceLevel, do: str) -> Iterator[Doubt]:
    times = level.judged(value, *usually) if value else None
    if times is not None:
        far = f"{times:.1f} times the most" if times > 1 else f"{1 / times:.1f} times less than the least"
        yield Doubt(f"season, {key}", f"{value:g} is {far} that is usual beside what you pay for materials", do)


def _no_power_price(season: Season) -> Iterator[Doubt]:
    draws = any(row.watts and row.hours for row in season.records.steps)
    if draws and not season.records.season.power_price:
        yield Doubt("season, power_price", "nothing, though steps draw power", "write what a kWh costs")


def _currency(currency: str, level: PriceLevel) -> Iterator[Doubt]:
    """Yield a currency in which everything would be many times too dear or too cheap."""
    worth = currency_worths().get(currency)
    if level.is_sure and level.level and worth and not 1 / OTHER_MONEY < level.level / worth < OTHER_MONEY:
        what = f"things bought cost about {times(level.level / worth)} what they usually do in {currency}"
        yield Doubt("season, currency", what, "is it the currency of the receipts?")


def _steps(season: Season) -> Iterator[Doubt]:
    """Yield price steps larger than what the things sold cost."""
    step, costs = season.records.season.price_step, [row.total for row in season[PRODUCTS].rows if row.total > 0]
    if costs and float(step) > usual(costs):
        what = f"prices go up in steps of {plainly(step)}, and what is sold costs about {usual(costs):.2f}"
        yield Doubt("season, price_step", what, f"did you mean {plainly(step / 100)}?")


def _tax_got_back(season: Season) -> Iterator[Doubt]:
    """Yield tax that is not got back, though receipts have their tax and sales are taxed."""
    paid = [row for row in season.records.purchases if row.paid > 0]
    taxed = [row for row in paid if row.tax_in_money]
    sold = any(row.sales_tax_percent for row in season.records.channels)
    if season.records.season.reclaims_tax == "no" and sold and taxed and len(taxed) * 2 > len(paid):
        what = f"no, though sales are taxed and {len(taxed)} purchases have their tax"
        yield Doubt("season, reclaims_tax", what, "do you get the tax back that you pay? Then write yes")


def _day(season: Season) -> Iterator[Doubt]:
    """Yield a day priced on that leaves many purchases out."""
    day = season.records.season.priced_on
    late = sum(row.bought_on > day for row in season.records.purchases)
    if late * 3 > len(season.records.purchases):
        yield Doubt("season, priced_on", f"{late} purchases are later than {day}, and left out", "look at the year")
