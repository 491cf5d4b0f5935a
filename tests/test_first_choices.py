"""What the sheets look at before the maker has chosen anything: the first item of the price shock, the first shelf cards."""

from __future__ import annotations

from typing import Any

import pytest

import costing
from costing.season.tracing import trace
from tests.published.seasons import bought, costed, line, product


def shop(*channels: dict[str, Any], planned: int = 5) -> costing.Season:
    """Return a season with one product, planned and priced in each of these channels."""
    rows = [{"channel": f"channel-{at}", "margin_percent": 30} | dict(channel) for at, channel in enumerate(channels, 1)]
    return costed(
        purchases=[bought("stuff", 1)],
        lines=[line("mix", "stuff", 100)],
        products=[product("tub", "mix", 100)],
        channels=rows,
        prices=[{"product": "tub", "channel": row["channel"], "planned": planned} for row in rows],
    )


@pytest.mark.parametrize(
    ("channel", "stands"),
    [
        ({}, True),
        ({"sales_tax_percent": 20}, True),
        ({"sales_tax_percent": 20, "shown_with_tax": "yes"}, True),
        ({"sales_tax_percent": 20, "shown_with_tax": "no"}, False),
        ({"shown_with_tax": "no"}, True),
        ({"parcel_each": 2}, False),
    ],
)
def test_a_shelf_card_stands_where_the_price_is_all_that_customers_pay(channel: dict[str, Any], *, stands: bool) -> None:
    """Not where tax comes on top, nor where it is sent: those prices stand at no shelf."""
    rows = shop({"parcel_each": 2}, channel).shelf.rows
    assert [row.channel for row in rows] == (["channel-2"] if stands else [])


def test_a_shelf_card_is_for_what_is_planned() -> None:
    """A price without a planned number gets no card until one is chosen."""
    assert shop({}, planned=0).shelf.rows == []


@pytest.mark.parametrize(
    ("cells", "shown"), [({}, "tub"), ({"name": ""}, "tub"), ({"name": "Tub with a lid"}, "Tub with a lid")]
)
def test_a_shelf_card_shows_the_longer_name_where_one_is_written(cells: dict[str, Any], shown: str) -> None:
    """Customers read the longer name; without one, what the tub is called everywhere. Other sheets say only the latter."""
    season = costed(
        purchases=[bought("stuff", 1)],
        lines=[line("mix", "stuff", 100)],
        products=[{**product("tub", "mix", 100), **cells}],
        channels=[{"channel": "stall", "margin_percent": 30}],
        prices=[{"product": "tub", "channel": "stall", "planned": 5}],
    )
    assert [row.name for row in season.shelf.rows] == [shown]
    assert trace(season, "tub").label == "tub"


@pytest.mark.parametrize(("kind", "item"), [("base", "zz-base"), ("", "any")])
def test_the_price_shock_looks_at_the_bought_base_first(kind: str, item: str) -> None:
    """The bought base a quarter dearer; without one, the first item."""
    season = costed(
        purchases=[bought("any", 1), bought("zz-base", 1)],
        items=[{"item": "zz-base", "kind": kind}],
        lines=[line("mix", "any", 50), line("mix", "zz-base", 50)],
    )
    assert (season.shock.item, season.shock.change) == (item, pytest.approx(0.25))
