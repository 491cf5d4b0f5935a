"""Headings say what a figure is measured in, and no two of a table are alike; what columns are, is changed on purpose."""

from __future__ import annotations

from decimal import Decimal

import pytest

from costing.records.guide import described
from costing.records.schema import TABLES_BY_NAME
from costing.tables import equations
from costing.tables.buying.items import ITEMS
from costing.tables.selling.channels import Channel
from costing.tables.whole.at_a_glance import glance_table
from costing.workbook.write.layout import heading_of
from tests.columns import LIST, as_described


def channel(key: str, name: str) -> Channel:
    return Channel(channel=key, name=name, margin_percent=Decimal(30))


@pytest.mark.parametrize(
    ("channels", "headings"),
    [
        ([channel("Market stall", ""), channel("post", "By post")], ["Price, Market stall", "Price, post"]),
        ([channel("shop-one", "Shop"), channel("shop one", "Shop")], ["Price, shop-one", "Price, shop one"]),
        ([channel("stall", "S" * 300)], ["Price, stall"]),
    ],
    ids=["with a longer name and without", "names alike", "a name too long"],
)
def test_each_channel_has_a_heading_of_its_own(channels: list[Channel], headings: list[str]) -> None:
    """The first sheet calls a channel as it is called everywhere: longer names may be alike, or too long for a heading."""
    table = glance_table(channels)
    assert [column.heading for column in table.columns.values() if column.heading.startswith("Price")] == headings


def test_columns_are_as_makers_and_earlier_workbooks_know_them() -> None:
    """Headings, units, bounds, defaults, places and titles are those of the list; on purpose: python -m tests.columns."""
    known, now = LIST.read_text(encoding="utf-8").splitlines(), as_described().splitlines()
    assert len(known) > 500
    assert [row for row in now if row not in known] == []
    assert [row for row in known if row not in now] == []
    assert now == known


def test_the_heading_of_a_quote_says_per_kg_or_piece() -> None:
    """A quote is written per kilogram, and the heading says so; what it comes to is per gram."""
    assert heading_of(ITEMS.columns["quote"], "NZD") == "Quote (NZD per kg or piece)"
    assert heading_of(ITEMS.columns["quoted"], "NZD") == "Quoted (NZD per g or piece)"


@pytest.mark.parametrize(
    ("price", "step", "point"), [(6.0000012, 3, 9), (6.0000004, 3, 6), (10.0, 0.5, 10.0), (1.1, 0.1, 1.1), (0.3, 0.1, 0.3)]
)
def test_a_price_a_millionth_above_a_point_goes_up_and_a_hair_does_not(price: float, step: float, point: float) -> None:
    """The price is rounded to six decimals; what is left above a price point is a whole step more."""
    steps = equations.price_steps(price, step, 0, 6)
    assert equations.price_point(steps, step, 0, 9) == pytest.approx(point, abs=1e-12)


def test_the_guide_says_what_a_blank_cell_counts_as() -> None:
    """Where a column has a default, and only there; and which words it may hold, where it holds words of a list."""
    settings = dict(described(TABLES_BY_NAME["season"]))
    assert "One of: latest, average, dearest, quote." in settings["cost_basis"]
    assert "One of" not in settings["main_channel"]
    assert "One of: units, grams, minutes. " in dict(described(TABLES_BY_NAME["overheads"]))["shared_by"]
    assert settings["cost_basis"].endswith("Blank: latest.")
    assert "Blank" not in settings["main_channel"]
