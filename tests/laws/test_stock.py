"""Laws of stock: what is on hand and what was used up are together what was bought, and more is never worth less."""

from __future__ import annotations

from collections import defaultdict
from copy import deepcopy
from random import Random
from typing import Any

import pytest
from hypothesis import given

import costing
from tests.seasons import SEEDS, Tables, as_records, random_season, seeded

pytestmark = pytest.mark.slow


def near(figure: float) -> Any:
    """Allow for binary arithmetic, where amounts around 60,000 cancel out too."""
    return pytest.approx(figure, rel=1e-9, abs=1e-6)


def _season(random: Random) -> tuple[Tables, set[str]]:
    """Return the tables of a random season, some days of buying fallen together, and the items bought in it."""
    tables = random_season(random)
    goods = [row for row in tables["purchases"] if row["item"] not in ("delivery", "discount")]
    for invoice in sorted({row.get("invoice", "") for row in goods}):
        other = random.choice(goods)["bought_on"]
        if random.random() < 0.3:
            for row in goods:
                if row.get("invoice", "") == invoice:
                    row["bought_on"] = min(row["bought_on"], other)
    return tables, {row["item"] for row in goods}


def _costed(tables: Tables, on_hand: dict[str, float]) -> costing.Season:
    """Return the season with so much of each item on hand."""
    changed = deepcopy(tables)
    own = {row["item"]: row for row in changed["items"]}
    changed["items"] = [own.get(item, {"item": item}) | {"on_hand": repr(amount)} for item, amount in on_hand.items()]
    changed["items"] += [row for item, row in own.items() if item not in on_hand]
    return costing.cost(as_records(changed))


def _drawn(random: Random, items: set[str], most: float = 60_000) -> dict[str, float]:
    return {item: random.choice((0.0, random.uniform(0, 500), random.uniform(0, most))) for item in sorted(items)}


def _lots(season: costing.Season, item: str) -> list[list[float]]:
    """Return amount and cost of each lot of an item, the newest first: returns go off their receipt's, or the newest."""
    until = season.settings.priced_on
    rows = [row for row in season.purchases.rows if row.item == item and row.bought_on <= until]
    lots: dict[float, list[float]] = defaultdict(lambda: [0.0, 0.0])
    for row in sorted(rows, key=lambda row: (row.bought_on, row.amount < 0)):
        day = row.bought_on
        if row.amount < 0:
            same = [other.bought_on for other in rows if other.amount > 0 and other.receipt == row.receipt]
            day = max(same or [known for known in lots if known <= row.bought_on])
        lots[day][0] += row.amount
        lots[day][1] += row.landed
    return [lots[day] for day in sorted(lots, reverse=True) if lots[day][0] > 1e-6 and day > 0]


def _first_out(season: costing.Season, item: str, on_hand: float) -> float:
    """Return the cost of what is on hand, taking from the newest lots."""
    cost = 0.0
    for amount, paid in _lots(season, item):
        taken = min(on_hand, amount)
        cost += paid * taken / amount
        on_hand -= taken
    return cost


@given(seed=SEEDS)
def test_stock_is_what_a_walk_through_the_lots_gives(seed: int) -> None:
    """Each item's stock costs what comes out when its lots are taken one by one, the newest first."""
    random = seeded(seed)
    tables, items = _season(random)
    season = _costed(tables, _drawn(random, items))
    assert any(row.covered for row in season.stock.rows)
    for row in season.stock.rows:
        assert row.by_fifo == near(_first_out(season, row.item, row.on_hand)), row.item
        lots = _lots(season, row.item)
        bought, paid = sum(lot[0] for lot in lots), sum(lot[1] for lot in lots)
        assert row.bought == near(bought)
        assert row.by_average == near(min(row.on_hand, bought) * paid / bought if bought else 0)


@given(seed=SEEDS)
def test_all_that_was_bought_costs_all_that_was_paid(seed: int) -> None:
    """With everything still there, both ways of valuing give the whole cost of what was kept."""
    tables, items = _season(seeded(seed))
    season = _costed(tables, dict.fromkeys(items, 1e9))
    for row in season.stock.rows:
        paid = sum(lot[1] for lot in _lots(season, row.item))
        assert row.by_fifo == near(paid), row.item
        assert row.by_average == near(paid), row.item
        assert row.remark == ("more than was bought" if row.on_hand else " ")


@given(seed=SEEDS)
def test_stock_and_what_was_used_up_are_what_was_bought(seed: int) -> None:
    """What is on hand costs the newest part of all lots; what was used up is the oldest part: together they are all."""
    random = seeded(seed)
    tables, items = _season(random)
    season = _costed(tables, _drawn(random, items))
    for row in season.stock.rows:
        used, rest = 0.0, row.bought - row.covered
        for amount, paid in reversed(_lots(season, row.item)):
            taken = min(rest, amount)
            used += paid * taken / amount
            rest -= taken
        assert row.by_fifo + used == near(sum(lot[1] for lot in _lots(season, row.item))), row.item


@given(seed=SEEDS)
def test_more_on_hand_is_never_worth_less(seed: int) -> None:
    """With more of everything on hand no item's stock costs less, and what cannot be valued never counts less."""
    random = seeded(seed)
    tables, items = _season(random)
    few = _drawn(random, items)
    many = {item: amount + random.uniform(0, 4000) for item, amount in few.items()}
    season, fuller = _costed(tables, few), _costed(tables, many)
    for one, other in zip(season.stock.rows, fuller.stock.rows, strict=True):
        if min((lot[1] for lot in _lots(season, one.item)), default=0) < 0:
            continue  # a discount above the goods, or a refund above the price, makes a lot of negative cost
        assert other.by_fifo >= one.by_fifo - 1e-6, one.item
        assert other.by_average >= one.by_average - 1e-6, one.item
        assert other.on_hand - other.covered >= one.on_hand - one.covered - 1e-6, one.item


@given(seed=SEEDS)
def test_what_is_on_hand_of_the_lots_is_what_is_valued(seed: int) -> None:
    """Over the lots of an item, what is left adds up to its stock; what is older than its price is a part of it."""
    random = seeded(seed)
    tables, items = _season(random)
    season = _costed(tables, _drawn(random, items))
    for row in season.stock.rows:
        rows = [each for each in season.purchases.rows if each.item == row.item and each.kept_day]
        left = {each.kept_day: each.lot_left for each in rows}
        assert sum(left.values()) == near(row.covered), row.item
        before = sum(amount for day, amount in left.items() if day < row.latest_day)
        assert row.older == near(before), row.item


@given(seed=SEEDS)
def test_what_is_bought_later_is_no_lot_and_sets_no_price(seed: int) -> None:
    """A purchase after the day priced on counts in nothing yet, whatever else came in after it."""
    tables, items = _season(seeded(seed))
    day = tables["season"]["priced_on"]
    for item in sorted(items)[:3]:
        row = next(row for row in tables["purchases"] if row["item"] == item)
        tables["purchases"].append(dict(row) | {"bought_on": f"{int(day[:4]) + 1}{day[4:]}", "packs": "1", "paid": "5"})
        tables["purchases"][-1].pop("tax", None)
    season = _costed(tables, dict.fromkeys(items, 1e9))
    later = [row for row in season.purchases.rows if row.bought_on > season.settings.priced_on]
    assert len(later) >= 3
    for row in later:
        assert (row.borne, row.landed, row.priced_day, row.priced_amount, row.in_window, row.window_price) == (0,) * 6
        assert (row.came_in, row.lot_day, row.lot_amount, row.kept_day, row.lot_left, row.stock_cost) == (0,) * 6


@given(seed=SEEDS)
def test_stock_at_its_latest_price_its_age_and_how_far_it_reaches(seed: int) -> None:
    """By the price last paid; the days since; and the part of what the plan takes, from the list of what to buy."""
    random = seeded(seed)
    tables, items = _season(random)
    season = _costed(tables, _drawn(random, items))
    needed = {row.item: row.needed for row in season.buying.rows}
    latest = {row.item: row for row in season.items.rows}
    for row in season.stock.rows:
        item = latest[row.item]
        assert row.at_latest == near(min(row.on_hand, row.bought) * item.latest), row.item
        assert row.age == (season.settings.priced_on - item.latest_day if item.latest_day else 0), row.item
        wanted = needed.get(row.item, 0)
        assert row.covers == near(row.on_hand / wanted if wanted else 0), row.item
        slow = 0 < row.on_hand <= row.bought and row.age > season.settings.slow_days
        more = row.on_hand > row.bought + 1e-6
        assert row.remark == ("more than was bought" if more else "slow" if slow else " "), row.item
    totals = season.stock_totals
    rows = season.stock.rows
    assert (totals.fifo, totals.averaged) == (
        near(sum(row.by_fifo for row in rows)),
        near(sum(row.by_average for row in rows)),
    )
    assert totals.latest == near(sum(row.at_latest for row in rows))
    assert totals.slow == near(sum(row.by_fifo for row in rows if row.remark == "slow"))


def test_nothing_on_hand_is_worth_nothing() -> None:
    """Without stock every total is nothing."""
    tables, items = _season(seeded(7))
    found: dict[str, Any] = costing.further_figures(_costed(tables, dict.fromkeys(items, 0.0)))["stock"]
    spent, into_plan = found.pop("spent"), found.pop("into_plan")
    assert found.pop("into_neither") == pytest.approx(spent - into_plan)
    nothing = dict.fromkeys(("first_in_first_out", "average", "latest", "slow", "into_stock"), 0)
    assert found == nothing | {"slow_days": 365, "items": {}}
