"""Laws of the first sheet: what the season comes to is the sum of what its tubs do, added up by hand from the records."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given

import costing
from costing.fields.catalogue import currencies
from tests.seasons import SEEDS, as_records, random_season, seeded

pytestmark = pytest.mark.slow


def near(figure: float) -> Any:
    """Allow for binary arithmetic."""
    return pytest.approx(figure, rel=1e-9, abs=1e-9)


def _sales(season: costing.Season) -> list[tuple[float, Any, Any]]:
    """Return each planned number with the price and the product that it is of."""
    planned = {(row.product, row.channel): float(row.planned) for row in season.records.prices}
    return [
        (planned[row.product, row.channel], row, season.row("products", product=row.product)) for row in season.prices.rows
    ]


@given(seed=SEEDS)
def test_the_season_is_the_sum_of_its_sales(seed: int) -> None:
    """Revenue, profit, costs, hours, and what an hour earns, over all that is planned."""
    season = costing.cost(as_records(random_season(seeded(seed))))
    sales, totals = _sales(season), season.totals
    revenue = sum(number * price.net for number, price, _ in sales)
    profit = sum(number * price.profit for number, price, _ in sales)
    ruined = [row for row in season.batches.rows if not row.grams_out]
    profit -= sum(row.cost for row in ruined)
    minutes = sum(row.minutes_used for row in ruined)
    rate, unsold = (
        float(season.records.season.hourly_rate),
        {row.product: row.unsold_percent for row in season.records.products},
    )
    made = {product: 1 / (1 - float(percent) / 100) for product, percent in unsold.items()}
    beside = sum(float(row.hours) for row in season.records.overheads)
    hours = (sum(number * made[tub.product] * tub.hands_on for number, _, tub in sales) + minutes) / 60 + beside
    work = sum(number * made[tub.product] * tub.work for number, _, tub in sales) + (minutes / 60 + beside) * rate
    assert (totals.revenue, totals.profit, totals.cost) == (near(revenue), near(profit), near(revenue - profit))
    overheads = sum(float(row.amount) for row in season.records.overheads) + beside * rate
    assert totals.overheads == near(overheads)
    assert totals.contribution == near(profit + sum(row.cost for row in ruined) + overheads)
    assert totals.hours == near(hours)
    assert totals.pay_per_hour == near((profit + work) / hours)
    of_product = {row.product: sum(number for number, price, _ in sales if price.product == row.product)
                  for row in season.alternatives.rows}  # fmt: skip
    assert totals.saving == near(sum(row.saving * of_product[row.product] for row in season.alternatives.rows))


@given(seed=SEEDS)
def test_a_line_of_the_first_sheet_is_what_its_product_does(seed: int) -> None:
    """Cost, plan, profit, margin and saving of each product, and its price in each channel."""
    season = costing.cost(as_records(random_season(seeded(seed))))
    sales = _sales(season)
    saved = {row.product: row.saving for row in season.alternatives.rows}
    coin = 10.0 ** -currencies()[season.records.season.currency]
    assert season.glance.rows
    for row in season.glance.rows:
        own: list[tuple[float, Any, Any]] = [sale for sale in sales if sale[1].product == row.product]
        tub = season.row("products", product=row.product)
        planned, profit = sum(number for number, _, _ in own), sum(number * price.profit for number, price, _ in own)
        net, saving = sum(number * price.net for number, price, _ in own), saved.get(row.product, 0)
        assert row.cost == near(tub.total)
        assert row.leaves == (near(profit / planned) if planned else " ")
        assert row.margin == (near(profit / net) if net else " ")
        assert row.saving == near(saving)
        apart = "own" if saving > 0 else "bought"
        assert row.cheaper == (" " if row.product not in saved else "even" if abs(saving) <= coin / 2 else apart)
        missed = any(price.remark in ("under the cash floor", "under the floor", "under the target") for _, price, _ in own)
        assert row.look == ("misses its margin" if missed else " ")
        for _, price, _ in own:
            assert getattr(row, f"price_{price.channel.replace('-', '_')}") == price.used


@given(seed=SEEDS)
def test_a_price_is_as_old_as_what_was_last_paid_for(seed: int) -> None:
    """Days from the newest purchase that was paid for, and is no return, to the day priced on; later ones do not count."""
    season = costing.cost(as_records(random_season(seeded(seed))))
    for row in season.items.rows:
        paid = [each for each in season.records.purchases if each.item == row.item and each.packs > 0 and each.paid > 0]
        days = [(season.records.season.priced_on - each.bought_on).days for each in paid]
        past = [age for age in days if age >= 0]
        assert row.age == (min(past) if past else 0), row.item
