"""Laws of prices: what is suggested reaches the margin, and no more than a step above what is needed."""

from __future__ import annotations

from collections.abc import Sequence
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import assume, given, strategies

import costing
from tests.laws.alike import unlike
from tests.seasons import SEEDS, Tables, as_records, random_season, seeded

pytestmark = pytest.mark.slow

FINE = 0.5e-6  # a price is rounded to six decimals before it moves up to its step


def _costed(tables: Tables) -> costing.Season:
    return costing.cost(as_records(tables))


def _with_prices(tables: Tables, prices: Sequence[float | None]) -> Tables:
    """Return the season with these own prices, blank where None."""
    changed = deepcopy(tables)
    for row, price in zip(changed["prices"], prices, strict=True):
        row["price"] = None if price is None else repr(price)
    return changed


def _suggested(tables: Tables) -> costing.Season:
    return _costed(_with_prices(tables, [None] * len(tables["prices"])))


def _by_margin(season: costing.Season) -> list[Any]:
    """Return the prices that follow from the margin wanted, and not from what a shop asks."""
    return [row for row in season.prices.rows if not row.retail]


@given(seed=SEEDS)
def test_the_suggested_price_reaches_the_margin(seed: int) -> None:
    """At the suggested price the margin is never below the one wanted, but where a shop sells on at a price of its own."""
    for row in _by_margin(_suggested(random_season(seeded(seed)))):
        assert row.used == row.suggested
        assert row.margin >= row.wanted * (1 - 1e-9) - FINE / row.net, (row.product, row.channel)


@given(seed=SEEDS)
def test_the_suggested_price_is_no_higher_than_needed(seed: int) -> None:
    """One price step lower, the margin would not be reached."""
    season = _suggested(random_season(seeded(seed)))
    step = season.settings.price_step
    for row in _by_margin(season):
        lower = (row.suggested - step) / row.tax_in_price
        left = lower - row.fee * lower * (1 + row.tax) - row.fee_each - row.parcel - row.cost
        if lower > 0 and row.suggested > season.settings.price_ending:
            assert left / lower < row.wanted + FINE / lower, (row.product, row.channel)


@given(seed=SEEDS)
def test_the_suggested_price_stands_on_the_grid(seed: int) -> None:
    """It is the price ending and a whole number of price steps."""
    season = _costed(random_season(seeded(seed)))
    for row in _by_margin(season):
        steps = (row.suggested - season.settings.price_ending) / season.settings.price_step
        assert steps == pytest.approx(round(steps), abs=1e-9)


@given(seed=SEEDS)
def test_on_the_day_of_the_export_no_price_has_changed(seed: int) -> None:
    """What a price is beyond what it was when the workbook was written is nothing until it is edited."""
    rows = _costed(random_season(seeded(seed))).prices.rows
    assert rows
    assert [(row.as_exported, row.changed) for row in rows] == [(row.used, 0) for row in rows]


@given(seed=SEEDS)
def test_own_prices_equal_to_the_suggestion_change_nothing(seed: int) -> None:
    """Whoever writes down the suggested prices as own ones sees the same figures."""
    tables = random_season(seeded(seed))
    season = _suggested(tables)
    own = _costed(_with_prices(tables, [row.suggested for row in season.prices.rows]))
    assert all(row.price > 0 for row in own.prices.rows)
    assert costing.figures(own) == costing.figures(season)


@given(seed=SEEDS)
def test_nothing_is_left_at_the_floor(seed: int) -> None:
    """Sold at its floor, a tub leaves neither profit nor loss; as it is shown it is no lower, and no coin higher."""
    tables = random_season(seeded(seed))
    before = _costed(tables)
    for row in _costed(_with_prices(tables, [row.floor for row in before.prices.rows])).prices.rows:
        assert row.profit == pytest.approx(0, abs=1e-9 * row.net), (row.product, row.channel)
    for row in before.prices.rows:
        for floor, shown in ((row.floor, row.floor_shown), (row.cash_floor, row.cash_floor_shown)):
            assert -1e-9 < shown - floor < before.beside.coin, (row.product, row.channel)


@given(seed=SEEDS)
def test_a_sale_at_the_cash_floor_brings_in_what_it_takes_out(seed: int) -> None:
    """Sold at its cash floor, a tub brings just what is paid for it and its part of those unsold, and nothing for work."""
    tables = random_season(seeded(seed))
    unsold = {row["product"]: float(row.get("unsold_percent", 0)) / 100 for row in tables["products"]}
    floors = [row.cash_floor for row in _costed(tables).prices.rows]
    assume(all(floors))  # a price of nothing cannot be written
    season = _costed(_with_prices(tables, floors))
    for row in season.prices.rows:
        tub = season.row("products", product=row.product)
        paid = (tub.materials + tub.packaging + tub.power) / (1 - unsold[row.product])
        assert row.net - row.fees - row.parcel == pytest.approx(paid, rel=1e-9), (row.product, row.channel)
        assert row.contribution == pytest.approx(0, abs=1e-9 * max(row.net, 1)), (row.product, row.channel)


@given(seed=SEEDS)
def test_new_columns_left_blank_or_at_their_least_are_the_same(seed: int) -> None:
    """With nothing unsold, no hours, all channels for each overhead, one for each sale and no shop that sells on."""
    tables = random_season(seeded(seed))
    kept = {"products": ("unsold_percent",), "channels": ("sold_together", "of_channel", "shop_margin_percent")}
    kept |= {"overheads": ("hours", "channel")}
    blank, least = deepcopy(tables), deepcopy(tables)
    for name, columns in kept.items():
        for row in (*blank[name], *least[name]):
            for column in columns:
                row.pop(column, None)
    for row in (*blank["overheads"], *least["overheads"]):
        row.setdefault("amount", "0")
    for rows, cells in (
        (least["products"], {"unsold_percent": "0"}), (least["overheads"], {"hours": "0"}),
        (least["channels"], {"sold_together": "1", "shop_margin_percent": "0"}),
    ):  # fmt: skip
        for row in rows:
            row.update(cells)
    season = _costed(least)
    assert costing.figures(season) == costing.figures(_costed(blank))
    assert all(
        row.own_time == tub.hands_on for row in season.prices.rows for tub in [season.row("products", product=row.product)]
    )
    assert not any(row.channel_overheads for row in season.prices.rows)
    assert not any(row.unsold for row in season.products.rows)


@given(seed=SEEDS)
def test_a_shop_that_sells_on_keeps_its_part(seed: int) -> None:
    """What it asks, without tax, less what it pays without tax, is the part of it that the shop keeps, to half a coin."""
    tables = random_season(seeded(seed))
    season = _suggested(tables)
    shops = {row.channel: row for row in season.records.channels if row.of_channel}
    coin = season.beside.coin
    for row in season.prices.rows:
        shop = shops.get(row.channel)
        asked = shop and [
            each for each in season.prices.rows if (each.product, each.channel) == (row.product, shop.of_channel)
        ]
        if not shop or not asked:
            assert row.retail == 0
            continue
        assert row.retail == asked[0].used
        keeps = asked[0].net - row.net
        assert keeps == pytest.approx(float(shop.shop_margin_percent) / 100 * asked[0].net, abs=0.5 * coin + 1e-9)


@given(seed=SEEDS)
def test_a_price_without_tax_splits_into_margin_fee_and_what_is_kept(seed: int) -> None:
    """Of 100 without tax, the margin, the fee on 100 and its tax, and what is kept for costs are all."""
    tables = random_season(seeded(seed))
    season = _costed(tables)
    for given_row in tables["channels"]:
        margin, fee, tax = (
            float(given_row.get(column) or 0) for column in ("margin_percent", "fee_percent", "sales_tax_percent")
        )
        kept = season.row("channels", channel=given_row["channel"]).kept
        assert margin + fee * (100 + tax) / 100 + 100 * kept == pytest.approx(100), given_row


@given(seed=SEEDS)
def test_own_and_bought_are_even_at_the_break_even_price_of_the_base(seed: int) -> None:
    """Where the base is quoted at its break-even price, making a tub oneself neither saves nor costs anything."""
    tables = random_season(seeded(seed), "quote")
    base = next(row["item"] for row in tables["lines"] if row["formula"] == "whip-base" and row["item"].endswith("-base"))
    compared = next(row for row in _costed(tables).alternatives.rows if row.product.startswith("whip"))
    assume(not isinstance(compared.base_break_even, str))  # else the base would have to be given away
    even = deepcopy(tables)
    even["items"] = [row for row in even["items"] if row["item"] != base]
    even["items"].append({"item": base, "kind": "base", "quote": repr(compared.base_break_even)})
    again = _costed(even).row("alternatives", product=compared.product)
    assert again.saving == pytest.approx(0, abs=1e-9 * again.own_cost)


@given(seed=SEEDS)
def test_what_is_saved_is_saved_part_by_part(seed: int) -> None:
    """The saving on a tub is that on its materials, packaging, work, power and unsold together."""
    rows = _costed(random_season(seeded(seed))).alternatives.rows
    assert rows
    for row in rows:
        parts = row.materials + row.packaging + row.work + row.power + row.unsold
        assert parts == pytest.approx(row.saving, abs=1e-9 * row.own_cost), row.product


@given(seed=SEEDS, data=strategies.data())
def test_own_or_bought_does_not_change_with_how_overheads_are_shared(seed: int, data: strategies.DataObject) -> None:
    """However much they are, and by whatever they are shared: every figure of the comparison stays to the last digit."""
    tables = random_season(seeded(seed))
    before = costing.figures(_costed(tables))["alternatives"]
    for row in tables["overheads"]:
        row["shared_by"] = data.draw(strategies.sampled_from(("units", "grams", "minutes")))
        row["amount"] = str(data.draw(strategies.integers(0, 5000)))
    assert before
    assert costing.figures(_costed(tables))["alternatives"] == before


@given(seed=SEEDS)
def test_the_season_breaks_even_at_its_break_even_share(seed: int) -> None:
    """With that part of every planned number sold, what is left just pays the overheads."""
    tables = random_season(seeded(seed))
    season = _costed(tables)
    share = season.totals.break_even_share
    assume(season.totals.contribution > 0)  # else no part of the plan pays the overheads
    kept = sum(
        row.planned * share * (row.profit + row.channel_overheads + season.row("products", product=row.product).overheads)
        for row in season.prices.rows
    )
    assert kept == pytest.approx(season.totals.overheads, rel=1e-9)


def test_figures_alike_are_told_from_unlike_ones() -> None:
    """What these laws compare with finds a difference of three in 10⁹, a missing key and a missing row."""
    assert list(unlike({"a": [1.0, None]}, {"a": [1.0 + 1e-10, None]})) == []
    assert len(list(unlike({"a": [1.0, 2.0]}, {"a": [1.0 + 3e-9, None]}))) == 2
    assert len(list(unlike({"a": 1, "b": 2}, {"a": 1}))) == 1
    assert len(list(unlike([1], [1, 2]))) == 1
