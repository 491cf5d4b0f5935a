"""What is in a tub, what moves its cost and what to buy: held against costing the season anew."""

from __future__ import annotations

import random
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import settings

from costing.records.parsing import records_from
from costing.season.costed import Season
from costing.season.working_out import cost
from costing.tables.deciding.cost_drivers import Dials
from costing.tables.deciding.price_shock import Shock
from tests.seasons import random_season

pytestmark = pytest.mark.slow

SEEDS = range(min(16, settings().max_examples))
Tables = dict[str, Any]


def costed(tables: Tables, **chosen: Any) -> Season:
    return cost(records_from(**tables), **chosen)


def season_of(seed: int) -> Tables:
    return random_season(random.Random(seed))  # noqa: S311  # not for secrets


def near(one: float, other: float) -> bool:
    return one == pytest.approx(other, rel=1e-9, abs=1e-9)


def overheads_in_place(tables: Tables) -> Tables:
    """Return the tables with no overhead shared by minutes.

    Beside an output of set worth a change of cost also moves minutes, and so overheads, between products: by a hair, which
    the sheets leave out.
    """
    rows = [row | {"shared_by": "units"} if row.get("shared_by") == "minutes" else row for row in tables["overheads"]]
    return tables | {"overheads": rows}


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_in_a_tub_costs_its_materials_and_packaging(seed: int) -> None:
    """The items of a tub, each at its price, add up to the tub's materials and packaging."""
    season = costed(season_of(seed))
    assert season.products.rows
    for product in season.products.rows:
        items = sum(row.cost for row in season.in_tubs.rows if row.product == product.product)
        assert near(items, product.materials + product.packaging)
    assert season.cash.followed == "whole"


@pytest.mark.parametrize("seed", SEEDS)
def test_moving_nothing_moves_nothing(seed: int) -> None:
    """With the dial at nothing, nothing moves, up or down."""
    tables = season_of(seed)
    product = tables["products"][0]["product"]
    season = costed(tables, dials=Dials(product=product, change=Decimal(0)))
    assert all(row.up == 0 and row.down == 0 for row in season.drivers.rows if row.kind not in ("losses", "batch size"))
    assert all(near(row.up, 0) and near(row.down, 0) for row in season.drivers.rows)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_strongest_comes_first(seed: int) -> None:
    """The sorted list falls, and holds each place once."""
    tables = season_of(seed)
    season = costed(tables, dials=Dials(product=tables["products"][-1]["product"], change=Decimal(10)))
    sizes = [max(abs(row.cost_up), abs(row.cost_down)) for row in season.ranked.rows]
    assert sizes == sorted(sizes, reverse=True)
    ranks = [row.rank for row in season.drivers.rows]
    assert sorted(ranks) == list(range(1, len(ranks) + 1))


def moved(tables: Tables, table: str, columns: tuple[str, ...], factor: Decimal, **only: str) -> Tables:
    """Return the tables with some columns of some rows multiplied."""
    rows = [
        row | {column: Decimal(str(row[column])) * factor for column in columns if row.get(column) not in (None, "")}
        if all(row.get(key) == value for key, value in only.items())
        else row
        for row in tables[table]
    ]
    return tables | {table: rows}


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("change", "side"), [(Decimal(10), "up"), (Decimal(10), "down")])
def test_losses_move_the_filling_as_costing_anew_says(seed: int, change: Decimal, side: str) -> None:
    """With every loss, that while filling too, higher or lower, a season costed anew has the filling cost that is shown."""
    tables = season_of(seed)
    product = tables["products"][0]["product"]
    factor = 1 + change / 100 * (1 if side == "up" else -1)
    shown = costed(tables, dials=Dials(product=product, change=change))
    anew = costed(moved(moved(tables, "steps", ("loss_percent",), factor), "products", ("waste_percent",), factor))
    before, after = shown.row("products", product=product), anew.row("products", product=product)
    filling = sum(getattr(after, part) - getattr(before, part) for part in ("materials", "work", "power", "unsold"))
    listed = next(getattr(row, side) for row in shown.drivers.rows if row.kind == "losses")
    assert near(listed, filling)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_dearer_rate_moves_the_cost_as_costing_anew_says(seed: int) -> None:
    """The hourly rate and the power price, each raised by the dial, cost what the list shows."""
    tables = overheads_in_place(season_of(seed))
    product = tables["products"][0]["product"]
    shown = costed(tables, dials=Dials(product=product, change=Decimal(10)))
    for kind, key in (("hourly rate", "hourly_rate"), ("power price", "power_price")):
        rate = Decimal(str(tables["season"].get(key) or 0)) * Decimal("1.1")
        anew = costed(tables | {"season": tables["season"] | {key: rate}})
        difference = anew.row("products", product=product).total - shown.row("products", product=product).total
        assert near(next(row.up for row in shown.drivers.rows if row.kind == kind), difference)


@pytest.mark.parametrize("seed", SEEDS)
def test_bigger_batches_move_the_cost_as_costing_anew_says(seed: int) -> None:
    """Every batch a tenth bigger, in the same time and with the same power, costs what the list shows."""
    tables = season_of(seed)
    if any(row.get("valued") == "set" for row in tables["outputs"]):
        tables = overheads_in_place(tables)
    product = tables["products"][0]["product"]
    shown = costed(tables, dials=Dials(product=product, change=Decimal(10)))
    factor = Decimal("1.1")
    bigger = moved(moved(tables, "formulas", ("batch_grams",), factor), "lines", ("grams",), factor)
    anew = costed(bigger)
    before, after = shown.row("products", product=product), anew.row("products", product=product)
    assert near(next(row.up for row in shown.drivers.rows if row.kind == "batch size"), after.total - before.total)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("side", "factor"), [("up", Decimal("1.1")), ("down", Decimal("0.9"))])
def test_the_fill_moves_the_cost_as_costing_anew_says(seed: int, side: str, factor: Decimal) -> None:
    """A tenth more or less in the tub costs what the list shows, overheads shared by grams and minutes among it."""
    tables = season_of(seed)
    product = tables["products"][0]["product"]
    shown = costed(tables, dials=Dials(product=product, change=Decimal(10)))
    anew = costed(moved(tables, "products", ("fill_grams",), factor, product=product))
    before, after = shown.row("products", product=product), anew.row("products", product=product)
    assert near(next(getattr(row, side) for row in shown.drivers.rows if row.kind == "fill"), after.total - before.total)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_moves_the_cost_moves_the_margin_by_its_part_of_the_price(seed: int) -> None:
    """By what it costs more over the mean price without tax, the other way round; the sorted list shows the same."""
    tables = season_of(seed)
    product = tables["products"][0]["product"]
    season = costed(tables, dials=Dials(product=product, change=Decimal(10)))
    planned = {(row.product, row.channel): float(row.planned) for row in season.records.prices}
    own = [(planned[row.product, row.channel], row.net) for row in season.prices.rows if row.product == product]
    sold = sum(number for number, _ in own)
    net = sum(number * price for number, price in own) / sold if sold else 0
    assert near(season.moves.net, net)
    by_rank = {row.rank: row for row in season.drivers.rows}
    for row in season.drivers.rows:
        assert near(row.margin_up * net, -row.up if net else 0)
        assert near(row.margin_down * net, -row.down if net else 0)
        assert row.size == max(abs(row.up), abs(row.down))
    for at, shown in enumerate(season.ranked.rows, start=1):
        row = by_rank[at]
        assert (shown.driver, shown.cost_up, shown.cost_down) == (row.driver, row.up, row.down)
        assert (shown.points_up, shown.points_down) == (row.margin_up, row.margin_down)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_lower_rate_and_smaller_batches_move_the_cost_as_costing_anew_says(seed: int) -> None:
    """Rates a tenth lower, and every batch a tenth smaller in the same time, cost what the list shows on its other side."""
    tables = overheads_in_place(season_of(seed))
    product = tables["products"][0]["product"]
    shown = costed(tables, dials=Dials(product=product, change=Decimal(10)))
    down = {row.kind: row.down for row in shown.drivers.rows}
    before = shown.row("products", product=product)
    for kind, key in (("hourly rate", "hourly_rate"), ("power price", "power_price")):
        rate = Decimal(str(tables["season"].get(key) or 0)) * Decimal("0.9")
        anew = costed(tables | {"season": tables["season"] | {key: rate}})
        assert near(down[kind], anew.row("products", product=product).total - before.total)
    factor = Decimal("0.9")
    smaller = costed(moved(moved(tables, "formulas", ("batch_grams",), factor), "lines", ("grams",), factor))
    after = smaller.row("products", product=product)
    filling = sum(getattr(after, part) - getattr(before, part) for part in ("materials", "work", "power", "unsold"))
    assert near(down["batch size"], filling)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_plan_twice_as_large_needs_at_least_as_much_of_everything(seed: int) -> None:
    """Doubling every planned number takes at least as much of everything, in whole batches, and never shortens the list."""
    tables = season_of(seed)
    once, twice = costed(tables), costed(moved(tables, "prices", ("planned",), Decimal(2)))
    assert once.buying.rows
    for one, two in zip(once.buying.rows, twice.buying.rows, strict=True):
        assert one.item == two.item
        assert two.needed >= one.needed * (1 - 1e-12)
        assert two.packs >= one.packs
        assert one.packs * one.pack >= one.short - 1e-6 or one.pack == 0
    assert twice.cash.needed_money >= once.cash.needed_money


@pytest.mark.parametrize("seed", SEEDS)
def test_a_price_shock_shows_what_costing_anew_shows(seed: int) -> None:
    """An item a quarter dearer moves each cost, margin and suggested price as a season costed anew from dearer receipts.

    On the basis of quotes left out: there a dearer receipt moves nothing.
    """
    tables = overheads_in_place(season_of(seed))
    tables = tables | {"season": tables["season"] | {"cost_basis": "latest"}}
    item = costed(tables).in_tubs.rows[0].item
    if any(row["item"] in ("delivery", "discount") for row in tables["purchases"]):
        tables = tables | {"purchases": [row for row in tables["purchases"] if row["item"] not in ("delivery", "discount")]}
    shown = costed(tables, shock=Shock(item=item, change=Decimal(25)))
    anew = costed(moved(tables, "purchases", ("paid", "tax"), Decimal("1.25"), item=item))
    assert shown.shocked.rows
    for row, price in zip(shown.shocked.rows, anew.prices.rows, strict=True):
        assert near(row.cost_now + row.dearer, price.cost)
        assert row.suggested == pytest.approx(price.by_margin)
        if price.price > 0:
            assert near(row.margin_then, price.margin)
