"""What moves it: how far the cost of one chosen product moves when a price, a rate, a loss, a batch or the fill does."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from costing.engine.operations import (
    NOTHING,
    choose,
    count_larger,
    count_same,
    larger,
    look_up,
    ratio,
    size_of,
    sum_where,
    total,
)
from costing.engine.table import FigureList, Table
from costing.fields.types import ChoiceField, Key, NumberField, PercentField, Record, Text, given
from costing.tables import equations

KINDS = ("item", "hourly rate", "power price", "losses", "batch size", "fill")


class Dials(Record):
    """What to look at, and how far to turn it."""

    product: Key = given("Product", "The product to look at. Choose another: all below follows.", refers="products.product")
    change: Annotated[Decimal, PercentField(most=50)] = given(
        "Change", "How far each of the things below is moved, up and down.", default=Decimal(10)
    )


MOVES = FigureList("moves", "What moves it", "moves_")
MOVES.take(Dials)


def _chosen(season: Any, key: str) -> Any:
    return sum_where(getattr(season.products, key), season.products.product, season.moves.product)


@MOVES.works_out("Cost of one now", "money")
def cost_now(season: Any) -> Any:
    """Everything that one of it costs."""
    return _chosen(season, "total")


@MOVES.works_out("Work on the tub", "money")
def own_work(season: Any) -> Any:
    """What filling and packing one costs in work."""
    return equations.wage(_chosen(season, "minutes"), season.settings.hourly_rate)


@MOVES.works_out("Filling used", "gram", decimals=1)
def used(season: Any) -> Any:
    """What filling one takes."""
    return _chosen(season, "used")


@MOVES.works_out("Filled with", "text")
def filled_with(season: Any) -> Any:
    """Its filling."""
    return look_up(season.products.filled_with, season.products.product, season.moves.product)


def _in_filling(season: Any, per_gram: Any) -> Any:
    return season.moves.used * sum_where(per_gram, season.making.made, season.moves.filled_with)


@MOVES.works_out("Work in its filling", "money")
def work(season: Any) -> Any:
    """Work from the bar on that the hourly rate moves; an output of set worth keeps its worth."""
    return _in_filling(season, season.making.gram_work_moving)


@MOVES.works_out("Power in its filling", "money")
def power(season: Any) -> Any:
    """Power that its price moves."""
    return _in_filling(season, season.making.gram_power_moving)


@MOVES.works_out("What more fill costs", "money")
def by_fill(season: Any) -> Any:
    """The filling of one and its overheads by grams: what moves in proportion to the fill."""
    by_grams = _chosen(season, "fill_grams") * total(season.overheads.per_gram)
    return _in_filling(season, season.making.per_gram) + by_grams


@MOVES.works_out("Price without tax", "money")
def net(season: Any) -> Any:
    """The mean over the plan; without a plan there is no margin to move."""
    sales = sum_where(season.prices.season_net, season.prices.product, season.moves.product)
    return ratio(sales, _chosen(season, "planned"))


class Driver(Record):
    """One thing that can move."""

    driver: Text = given("What moves", "The price of an item, a rate, all losses, all batches, the fill.")
    kind: Annotated[str, ChoiceField(KINDS)] = given("Kind", "What sort of thing it is.")
    item: Text = given("Item", "The item whose price moves.", default="")


DRIVERS = Table(
    "drivers",
    "What moves it",
    "All that can move",
    "Each thing moved by the dial, up and down, and what that does to the cost of one of the chosen product.",
    Driver,
    spare=0,
    fixed=True,
)


@DRIVERS.works_out("Part of cost", "money", decimals=4)
def part(row: Any, season: Any) -> Any:
    """What of the cost of one hangs on it directly."""
    mine = season.in_tubs
    of_item = sum_where(mine.moving, mine.product, season.moves.product, mine.item, row.item)
    return (
        of_item
        + choose(row.kind == "hourly rate", season.moves.own_work + season.moves.work, 0)
        + choose(row.kind == "power price", season.moves.power, 0)
        + choose(row.kind == "fill", season.moves.by_fill, 0)
    )


def _of_losses(row: Any, season: Any, per_gram: Any) -> Any:
    """What one costs more when the filling's gram costs what it does with other losses. [money]"""
    mine = season.making
    changed = sum_where(per_gram, mine.made, season.moves.filled_with)
    now = sum_where(mine.per_gram, mine.made, season.moves.filled_with)
    return choose(row.kind == "losses", (changed - now) * season.moves.used, 0)


@DRIVERS.works_out("Losses higher", "money", decimals=4)
def losses_up(row: Any, season: Any) -> Any:
    """What higher losses do to the cost of one."""
    return _of_losses(row, season, season.making.per_gram_up)


@DRIVERS.works_out("Losses lower", "money", decimals=4)
def losses_down(row: Any, season: Any) -> Any:
    """What lower losses do to the cost of one."""
    return _of_losses(row, season, season.making.per_gram_down)


@DRIVERS.works_out("Moved up", "money", decimals=4)
def up(row: Any, season: Any) -> Any:
    """What the cost of one changes by when it goes up."""
    change = season.moves.change
    bigger = choose(row.kind == "batch size", season.moves.work + season.moves.power, 0)
    return row.part * change + row.losses_up - bigger * (change / (1 + change))


@DRIVERS.works_out("Moved down", "money", decimals=4)
def down(row: Any, season: Any) -> Any:
    """What the cost of one changes by when it goes down."""
    change = season.moves.change
    smaller_batch = choose(row.kind == "batch size", season.moves.work + season.moves.power, 0)
    return row.losses_down - row.part * change + smaller_batch * (change / (1 - change))


@DRIVERS.works_out("Margin up", shape="percent", decimals=2)
def margin_up(row: Any, season: Any) -> Any:
    """What the margin changes by when it goes up, at the prices used."""
    return ratio(0 - row.up, season.moves.net)


@DRIVERS.works_out("Margin down", shape="percent", decimals=2)
def margin_down(row: Any, season: Any) -> Any:
    """What the margin changes by when it goes down, at the prices used."""
    return ratio(0 - row.down, season.moves.net)


@DRIVERS.works_out("Moves by", "money", decimals=4)
def size(row: Any, _: Any) -> Any:
    """The larger of the two, whichever way."""
    return larger(size_of(row.up), size_of(row.down))


@DRIVERS.works_out("Rank", decimals=0)
def rank(row: Any, season: Any) -> Any:
    """Its place, the strongest first."""
    return count_larger(season.drivers.size, row.size) + count_same(row.through.size, row.size)


class Place(Record):
    """One place of the sorted list."""

    place: Annotated[Decimal, NumberField("", above=0)] = given("Place", "The strongest first.")


RANKED = Table(
    "ranked",
    "What moves it",
    "The strongest first",
    "What moves the cost of one of the chosen product most.",
    Place,
    spare=0,
    fixed=True,
)


@RANKED.works_out("What moves it", "text")
def driver(row: Any, season: Any) -> Any:
    """The thing that moves."""
    return choose(row.place == 0, NOTHING, look_up(season.drivers.driver, season.drivers.rank, row.place))


@RANKED.works_out("If it goes up", "money", decimals=3)
def cost_up(row: Any, season: Any) -> Any:
    """What the cost of one changes by."""
    return sum_where(season.drivers.up, season.drivers.rank, row.place)


@RANKED.works_out("If it goes down", "money", decimals=3)
def cost_down(row: Any, season: Any) -> Any:
    """What the cost of one changes by."""
    return sum_where(season.drivers.down, season.drivers.rank, row.place)


@RANKED.works_out("Margin moves, if up", shape="percent", decimals=2)
def points_up(row: Any, season: Any) -> Any:
    """By how many points the margin changes."""
    return sum_where(season.drivers.margin_up, season.drivers.rank, row.place)


@RANKED.works_out("Margin moves, if down", shape="percent", decimals=2)
def points_down(row: Any, season: Any) -> Any:
    """By how many points the margin changes."""
    return sum_where(season.drivers.margin_down, season.drivers.rank, row.place)
