"""Cautions: what to check before trusting a figure or selling a tub. They stop nothing, and are never a clearance."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from costing.errors import Caution
from costing.fields.types import day_of
from costing.season.limits import ASSESS, share_cautions
from costing.season.lye_safety import lye_cautions
from costing.tables.buying.items import OLD_PRICE
from costing.tables.order_of_making import formula_of
from costing.tables.scales.batches import GAINED, RUINED
from costing.tables.selling.prices import UNDER_FLOOR, UNDER_TARGET
from costing.tables.selling.products import OVER_LABELLED


def cautions_of(season: Any) -> Iterator[Caution]:
    """Yield every caution of a costed season."""
    yield from _prices_of_items(season)
    yield from _work_at_nothing(season)
    yield from _fills(season)
    yield from _own_prices(season)
    yield from _sizes(season)
    yield from share_cautions(season)
    yield from _water(season)
    yield from lye_cautions(season)
    yield from _weighed(season)
    yield from _made(season)


def _prices_of_items(season: Any) -> Iterator[Caution]:
    wanted = season.settings.cost_basis
    for row in season.items.rows:
        if not row.used_in:
            continue
        if row.remark == OLD_PRICE:
            what = f"last bought on {day_of(row.latest_day)}, {row.age:.0f} days before the day priced on"
            yield Caution(f"items, {row.item}", what, "ask for today's price")
        if row.basis != wanted:
            missing = {
                "average": "nothing bought in the days to average",
                "dearest": "no purchase in the days looked at",
            }
            what = f"{missing.get(wanted, 'no quote')}, so it counts at its latest price"
            yield Caution(f"items, {row.item}", what, "check whether that price still holds")
        elif row.price <= 0:
            yield Caution(f"items, {row.item}", "counts at nothing", "check its purchases, if it is not really free")


def _work_at_nothing(season: Any) -> Iterator[Caution]:
    if season.settings.hourly_rate == 0 and any(row.hands_on > 0 for row in season.products.rows):
        yield Caution("season, hourly_rate", "your work is priced at nothing", "write what an hour is to cost")


def _fills(season: Any) -> Iterator[Caution]:
    for row in season.products.rows:
        if row.remark == OVER_LABELLED:
            what = f"label of {row.on_label:g} g above the fill of {row.fill_grams:g} g"
            yield Caution(f"products, {row.product}", what, "fill more or label less; look up your law on contents")


def _own_prices(season: Any) -> Iterator[Caution]:
    for row in season.prices.rows:
        where = f"prices, {row.product}, {row.channel}"
        if row.remark == UNDER_FLOOR:
            what = f"own price {row.used:.2f} under the floor of {row.floor:.2f}"
            yield Caution(where, what, "each sale loses money: raise it or cut its cost")
        elif row.remark == UNDER_TARGET:
            what = f"own price {row.used:.2f} leaves {row.margin:.1%}, under the {row.wanted:.1%} wanted"
            yield Caution(where, what, f"the suggested price is {row.suggested:.2f}")


def _sizes(season: Any) -> Iterator[Caution]:
    filled_with = {row.product: row.filled_with for row in season.products.rows}
    lines: dict[tuple[str, str], list[Any]] = defaultdict(list)
    for row in season.prices.rows:
        lines[filled_with[row.product], row.channel].append(row)
    for rows in lines.values():
        rows.sort(key=lambda row: row.on_label)
        for at, bigger in enumerate(rows):
            smaller = min(rows[: at + 1], key=lambda row: row.per_100g)
            if bigger.on_label > smaller.on_label and bigger.per_100g > smaller.per_100g + 0.005:
                what = (
                    f"{bigger.per_100g:.2f} per 100 g, dearer than the smaller {smaller.product} at {smaller.per_100g:.2f}"
                )
                where = f"prices, {bigger.product}, {bigger.channel}"
                yield Caution(where, what, "customers expect the bigger tub to be the better buy")


def _kinds(season: Any) -> dict[str, set[str]]:
    """Return the kinds of item in each formula, through all that it is made from."""
    kind = {row.item: row.kind for row in season.items.rows}
    found: dict[str, set[str]] = defaultdict(set)
    for row in season.making.rows:
        if row.row == "line":
            found[row.formula] |= found[formula_of(row.what)] if row.what not in kind else {kind[row.what]}
    return found


def _own_lines(season: Any) -> dict[str, dict[str, float]]:
    """Return the grams of each item that a formula takes itself."""
    found: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for row in season.making.rows:
        if row.row == "line":
            found[row.formula][row.what] += row.added
    return found


def _water(season: Any) -> Iterator[Caution]:
    kind = {row.item: row.kind for row in season.items.rows}
    through = _kinds(season)
    for formula, lines in _own_lines(season).items():
        own = {kind.get(item, "") for item in lines}
        if "water" not in own or "preservative" in through[formula]:
            continue
        what = "water and no preservative"
        if "lye" in own:
            yield Caution(
                f"formulas, {formula}",
                what,
                f"a bar that dries usually goes without; what stays moist needs one: {ASSESS}",
            )
        else:
            yield Caution(f"formulas, {formula}", what, f"what stays moist can spoil: {ASSESS}")


def _weighed(season: Any) -> Iterator[Caution]:
    for row in season.fills.rows:
        if row.remark.strip():
            what = f"{row.remark}: {row.number} weighed, mean {row.mean:.1f} g for a label of {row.on_label:g} g"
            do = "sell none that is far short, fill more or label less; look up your local law"
            yield Caution(f"weighings, {row.product}", what, do)


def _made(season: Any) -> Iterator[Caution]:
    for row in season.batches.rows:
        where = f"batches, {row.batch}"
        if row.remark == RUINED:
            what = f"nothing came out: {row.lost:.2f} lost to the season, and in no tub's cost"
            yield Caution(where, what, "write what came out, if it was not ruined")
        elif row.remark == GAINED:
            what = f"{row.grams_out:g} g came out of {row.went_in:g} g put in"
            yield Caution(where, what, "look for a weight left out or mistyped")
