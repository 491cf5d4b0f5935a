"""Cautions: what to check before trusting a figure or selling a tub. They stop nothing, and are never a clearance."""

from __future__ import annotations

from collections.abc import Iterator

from costing.errors import Caution
from costing.fields.types import day_of
from costing.season.costed import Season
from costing.season.doubts.told import doubts_of
from costing.season.keeping_safety import grain_cautions, keeping_cautions
from costing.season.limits import share_cautions
from costing.season.lye_safety import lye_cautions
from costing.season.plan_cautions import plan_cautions
from costing.season.purchase_faults import late_deliveries
from costing.tables.buying.items import AT_LATEST, AT_NOTHING, ITEMS, OLD_PRICE
from costing.tables.scales.batches import BATCHES, GAINED, RUINED
from costing.tables.scales.fills import FILL_REMARKS, FILLS
from costing.tables.selling.price_ladder import DEARER, LADDER
from costing.tables.selling.prices import PRICES, UNDER_CASH, UNDER_FLOOR, UNDER_TARGET
from costing.tables.selling.products import OVER_LABELLED, PRODUCTS
from costing.tables.settings import SETTINGS
from costing.tables.whole.checks import LOOKS

LACKING = {
    "average": "nothing bought in the days to average",
    "dearest": "no purchase in the days looked at",
    "quote": "no quote",
}


def cautions_of(season: Season) -> Iterator[Caution]:
    """Yield every caution of a costed season."""
    yield from doubts_of(season)
    yield from late_deliveries(season)
    yield from _prices_of_items(season)
    yield from _work_at_nothing(season)
    yield from _fills(season)
    yield from _own_prices(season)
    yield from _sizes(season)
    yield from share_cautions(season)
    yield from keeping_cautions(season)
    yield from grain_cautions(season)
    yield from lye_cautions(season)
    yield from plan_cautions(season)
    yield from _weighed(season)
    yield from _made(season)


def _prices_of_items(season: Season) -> Iterator[Caution]:
    for row in season[ITEMS].rows:
        where = f"items, {row.item}"
        if row.remark == OLD_PRICE:
            what = f"last bought on {day_of(row.latest_day)}, {row.age:.0f} days before the day priced on"
            alike = f"last bought more than {season.settings.stale_days:g} days before the day priced on"
            yield Caution(where, what, "ask for today's price", alike)
        if row.basis_remark == AT_LATEST:
            what = f"{LACKING[season[SETTINGS].cost_basis]}, so it counts at its latest price"
            yield Caution(where, what, "check whether that price still holds", what)
        elif row.basis_remark == AT_NOTHING:
            what = "counts at nothing"
            yield Caution(where, what, "check its purchases, if it is not really free", what)


def _work_at_nothing(season: Season) -> Iterator[Caution]:
    if season[LOOKS].free_work:
        yield Caution("season, hourly_rate", "your work is priced at nothing", "write what an hour is to cost")


def _fills(season: Season) -> Iterator[Caution]:
    for row in season[PRODUCTS].rows:
        if row.remark == OVER_LABELLED:
            what = f"label of {row.on_label:g} g above the fill of {row.fill_grams:g} g"
            yield Caution(f"products, {row.product}", what, "fill more or label less; look up your law on contents")


def _own_prices(season: Season) -> Iterator[Caution]:
    for row in season[PRICES].rows:
        where = f"prices, {row.product}, {row.channel}"
        price = f"{'price to the shop' if row.retail else 'own price'} {row.used:.2f}"
        if row.remark == UNDER_CASH:
            what = f"{price} under the cash floor of {row.cash_floor_shown:.2f}"
            yield Caution(where, what, "each sale loses money: raise it or cut its cost")
        elif row.remark == UNDER_FLOOR:
            what = f"{price} under the floor of {row.floor_shown:.2f}, so it does not pay all its cost"
            do = f"each sale still brings {row.contribution:.2f} towards your work and the overheads"
            yield Caution(where, what, do)
        elif row.remark == UNDER_TARGET:
            what = f"{price} leaves {row.margin:.1%}, under the {row.wanted:.1%} wanted"
            do = f"the {'price for that' if row.retail else 'suggested price'} is {row.by_margin:.2f}"
            yield Caution(where, what, do)


def _sizes(season: Season) -> Iterator[Caution]:
    for row in season[LADDER].rows:
        if row.remark == DEARER:
            smaller = f"the next smaller size of {row.smaller:g} g at {_marked(row.smaller_per_100g)}"
            what = f"{_marked(row.per_100g)} per 100 g, dearer than {smaller}"
            where = f"prices, {row.product}, {row.channel}"
            yield Caution(where, what, "customers expect the bigger tub to be the better buy")


def _marked(unit_price: float) -> str:
    """Return a unit price as it is marked, with at least two decimals."""
    whole, _, part = f"{unit_price:.5f}".partition(".")
    return f"{whole}.{part.rstrip('0').ljust(2, '0')}"


def _weighed(season: Season) -> Iterator[Caution]:
    for row in season[FILLS].rows:
        if row.remark in FILL_REMARKS:
            mean = round(row.mean, 9)  # which is the same in whatever order the weighings stand
            what = f"{row.remark}: {row.number} weighed, mean {mean:.1f} g for a label of {row.on_label:g} g"
            do = "sell none that is far short; fill more, by Aim at least at on Fill, or label less; look up your local law"
            yield Caution(f"weighings, {row.product}", what, do)


def _made(season: Season) -> Iterator[Caution]:
    for row in season[BATCHES].rows:
        where = f"batches, {row.batch}"
        if row.remark == RUINED:
            what = f"nothing came out: {row.lost:.2f} lost to the season, and in no tub's cost"
            yield Caution(where, what, "write what came out, if it was not ruined")
        elif row.remark == GAINED:
            what = f"{row.grams_out:g} g came out of {row.went_in:g} g put in"
            yield Caution(where, what, "look for a weight left out or mistyped")
