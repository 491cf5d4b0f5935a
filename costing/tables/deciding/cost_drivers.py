"""What moves it: how far the cost of one chosen product moves when a price, a rate, a loss, a batch or the fill does."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import Figures, Rules, worked
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
from costing.engine.table import FigureList, Sheet, Table
from costing.fields.types import ChoiceField, Key, NumberField, PercentField, Record, Text, given
from costing.fields.views import Cells, Number, Words
from costing.tables import equations
from costing.tables.deciding.dials import HEADINGS
from costing.tables.deciding.tub_contents import items_in_tubs
from costing.tables.lookups import of_all
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book

KINDS = ("item", "hourly rate", "power price", "losses", "batch size", "fill")


class Dials(Record):
    """What to look at, and how far to turn it."""

    product: Key = given("Product", "The product to look at. Choose another: all below follows.", refers="products.product")
    change: Number = given(
        "Change", "How far each of the things below is moved, up and down.", PercentField(most=50), default=Decimal(10)
    )


def _chosen(season: Book, values: Cells[float]) -> float:
    return sum_where(values, season.products.product, season.moves.product)


class MovesFigures(Dials, Figures):
    """The chosen product, and what of its cost can move."""

    @worked("Cost of one now", "money")
    def cost_now(self, season: Book) -> float:
        """Everything that one of it costs."""
        return _chosen(season, season.products.total)

    @worked("Work on the tub", "money")
    def own_work(self, season: Book) -> float:
        """What filling and packing one costs in work."""
        return equations.wage(_chosen(season, season.products.minutes), season.settings.hourly_rate)

    @worked("Made for one sold", decimals=4)
    def made(self, season: Book) -> float:
        """How many are made for each one that is sold."""
        return _chosen(season, season.products.made_for_one)

    @worked("Work in its overheads", "money")
    def overhead_work(self, season: Book) -> float:
        """The hours in its part of the overheads, at the hourly rate."""
        return equations.wage(_chosen(season, season.products.overhead_time), season.settings.hourly_rate)

    @worked("Filling used", "gram", decimals=1)
    def used(self, season: Book) -> float:
        """What filling one takes."""
        return _chosen(season, season.products.used)

    @worked("Filled with", "text")
    def filled_with(self, season: Book) -> str:
        """Its filling."""
        return look_up(season.products.filled_with, season.products.product, self.product)

    @worked("Work in its filling", "money")
    def work(self, season: Book) -> float:
        """Work from the bar on that the hourly rate moves; an output of set worth keeps its worth."""
        return _in_filling(season, season.making.gram_work_moving)

    @worked("Power in its filling", "money")
    def power(self, season: Book) -> float:
        """Power that its price moves."""
        return _in_filling(season, season.making.gram_power_moving)

    @worked("Filling", "money")
    def by_fill(self, season: Book) -> float:
        """What moves in proportion to the fill."""
        return _in_filling(season, season.making.per_gram)

    @worked("Used, losses higher", "gram", decimals=1)
    def used_up(self, season: Book) -> float:
        """What filling one takes if what is lost while filling is higher by the dial."""
        return equations.weight_used(
            _chosen(season, season.products.fill_grams), _chosen(season, season.products.waste_percent) * (1 + self.change)
        )

    @worked("Used, losses lower", "gram", decimals=1)
    def used_down(self, season: Book) -> float:
        """The same if it is lower."""
        return equations.weight_used(
            _chosen(season, season.products.fill_grams), _chosen(season, season.products.waste_percent) * (1 - self.change)
        )

    @worked("Planned", decimals=0)
    def planned(self, season: Book) -> float:
        """How many of it are planned."""
        return _chosen(season, season.products.planned)

    @worked("Fill", "gram", decimals=1)
    def fill(self, season: Book) -> float:
        """Its fill."""
        return _chosen(season, season.products.fill_grams)

    @worked("Minutes on the tub", "minute", decimals=1)
    def tub_minutes(self, season: Book) -> float:
        """Hands-on minutes to fill and pack one."""
        return _chosen(season, season.products.minutes)

    @worked("Minutes in its filling", "minute", decimals=1)
    def filling_minutes(self, season: Book) -> float:
        """Hands-on minutes from the bar on."""
        return _chosen(season, season.products.hands_on) - self.tub_minutes

    @worked("Grams of the plan", "gram", decimals=0)
    def plan_grams(self, season: Book) -> float:
        """The fill of all that is planned."""
        return total(season.products.planned_grams)

    @worked("Shared by grams", "money")
    def by_grams(self, season: Book) -> float:
        """The overheads that are shared by grams."""
        return of_all(season.overheads.per_gram, season) * self.plan_grams

    @worked("Minutes of the plan", "minute", decimals=0)
    def plan_minutes(self, season: Book) -> float:
        """The hands-on minutes of all that is planned."""
        return total(season.products.planned_minutes)

    @worked("Of it on the tubs", "minute", decimals=0)
    def plan_tub_minutes(self, season: Book) -> float:
        """Those to fill and pack all that is planned."""
        return total(season.products.planned_tub_minutes)

    @worked("Shared by minutes", "money")
    def by_minutes(self, season: Book) -> float:
        """The overheads that are shared by minutes."""
        return of_all(season.overheads.per_minute, season) * self.plan_minutes

    @worked("Its part by grams", "money")
    def grams_now(self, _: Book) -> float:
        """What it bears of the overheads that are shared by grams."""
        return equations.share_in_proportion(self.by_grams, self.fill, self.plan_grams)

    @worked("Its part by minutes", "money")
    def minutes_now(self, _: Book) -> float:
        """What it bears of the overheads that are shared by minutes."""
        mine = self.tub_minutes + self.filling_minutes
        return equations.share_in_proportion(self.by_minutes, mine, self.plan_minutes)

    @worked("More fill", "gram", decimals=1)
    def more_fill(self, _: Book) -> float:
        """What the dial adds to its fill."""
        return self.fill * self.change

    @worked("More minutes", "minute", decimals=1)
    def more_minutes(self, _: Book) -> float:
        """The time in that."""
        return self.filling_minutes * self.change

    @worked("Minutes of the plan, less fill", "minute", decimals=0)
    def plan_less(self, _: Book) -> float:
        """The plan's minutes if less is filled in."""
        return self.plan_minutes - self.planned * self.more_minutes

    @worked("Minutes of the plan, more fill", "minute", decimals=0)
    def plan_more(self, _: Book) -> float:
        """The plan's minutes if more is filled in."""
        return self.plan_minutes + self.planned * self.more_minutes

    @worked("By grams, more fill", "money")
    def grams_up(self, _: Book) -> float:
        """Its part by grams if more is filled in: all others then bear a little less."""
        return _by_grams(self, self.more_fill)

    @worked("By grams, less fill", "money")
    def grams_down(self, _: Book) -> float:
        """The same if less is filled in."""
        return _by_grams(self, 0 - self.more_fill)

    @worked("By minutes, more fill", "money")
    def minutes_up(self, _: Book) -> float:
        """Its part by minutes if more is filled in, and so more time is in it."""
        mine = self.tub_minutes + self.filling_minutes + self.more_minutes
        return equations.share_in_proportion(self.by_minutes, mine, self.plan_more)

    @worked("By minutes, less fill", "money")
    def minutes_down(self, _: Book) -> float:
        """The same if less is filled in."""
        mine = self.tub_minutes + self.filling_minutes - self.more_minutes
        return equations.share_in_proportion(self.by_minutes, mine, self.plan_less)

    @worked("Plan's minutes, bigger batches", "minute", decimals=0)
    def plan_bigger(self, _: Book) -> float:
        """The plan's minutes if all batches are bigger, each made in the same time."""
        return _plan_of(self, 1 + self.change)

    @worked("Plan's minutes, smaller batches", "minute", decimals=0)
    def plan_smaller(self, _: Book) -> float:
        """The same if all are smaller."""
        return _plan_of(self, 1 - self.change)

    @worked("By minutes, bigger batches", "money")
    def batch_up(self, _: Book) -> float:
        """What bigger batches change its part by minutes by."""
        mine = self.tub_minutes + self.filling_minutes / (1 + self.change)
        return equations.share_in_proportion(self.by_minutes, mine, self.plan_bigger) - self.minutes_now

    @worked("By minutes, smaller batches", "money")
    def batch_down(self, _: Book) -> float:
        """What smaller batches change it by."""
        mine = self.tub_minutes + self.filling_minutes / (1 - self.change)
        return equations.share_in_proportion(self.by_minutes, mine, self.plan_smaller) - self.minutes_now

    @worked("Overheads of more fill", "money")
    def fill_up(self, _: Book) -> float:
        """What more fill changes its part of all overheads by."""
        return (self.grams_up - self.grams_now) + (self.minutes_up - self.minutes_now)

    @worked("Overheads of less fill", "money")
    def fill_down(self, _: Book) -> float:
        """What less fill changes it by."""
        return (self.grams_down - self.grams_now) + (self.minutes_down - self.minutes_now)

    @worked("Price without tax", "money")
    def net(self, season: Book) -> float:
        """The mean over the plan; without a plan there is no margin to move."""
        sales = sum_where(season.prices.season_net, season.prices.product, self.product)
        return ratio(sales, _chosen(season, season.products.planned))


def first_dials(source: Source) -> Dials:
    """Return the first product, moved a tenth up and down."""
    product = next((row.product for row in source.records.products), "")
    return Dials.model_construct(product=product, change=Decimal(10))


MOVES_SHEET = Sheet(
    "What moves it",
    "What moves it",
    "What moves the cost of one product most. Choose the product and how far things move; the list sorts itself.",
    notes_run_on=True,
    new_page="drivers",
)

MOVES = FigureList("moves", MOVES_SHEET, "moves_", MovesFigures, "What to look at", HEADINGS, record=first_dials)


def _by_grams(moves: MovesFigures, more: float) -> float:
    """Its part of the overheads by grams when its fill changes. [money]"""
    return equations.share_in_proportion(moves.by_grams, moves.fill + more, moves.plan_grams + moves.planned * more)


def _plan_of(moves: MovesFigures, size: float) -> float:
    """The minutes of the plan when every batch is of another size. [minute]"""
    return moves.plan_tub_minutes + (moves.plan_minutes - moves.plan_tub_minutes) / size


def _in_filling(season: Book, per_gram: Cells[float]) -> float:
    return season.moves.used * sum_where(per_gram, season.making.made, season.moves.filled_with)


class Driver(Record):
    """One thing that can move."""

    driver: Text = given("What moves", "The price of an item, a rate, all losses, all batches, the fill.")
    kind: Words = given("Kind", "What sort of thing it is.", ChoiceField(KINDS))
    item: Text = given("Item", "The item whose price moves.", default="")


class DriverRow(Driver, Rules):
    """What one thing that moves does to the cost."""

    @worked("Part of rates or fill", "money", decimals=4)
    def part_of_rates(self, season: Book) -> float:
        """What of the cost of one hangs directly on a rate, or on the fill."""
        moves = season.moves
        of_fill = choose(self.kind == "fill", moves.by_fill, 0)
        of_rates = choose(self.kind == "power price", moves.power, of_fill)
        return choose(self.kind == "hourly rate", moves.own_work + moves.work, of_rates)

    @worked("Part of cost", "money", decimals=4)
    def part(self, season: Book) -> float:
        """What of the cost of one hangs on it directly."""
        mine = season.in_tubs
        of_item = sum_where(mine.moving, mine.product, season.moves.product, mine.item, self.item)
        return choose(self.item == "", self.part_of_rates, of_item)

    @worked("Losses higher", "money", decimals=4)
    def losses_up(self, season: Book) -> float:
        """What higher losses do to the cost of one."""
        return _of_losses(self, season, season.making.per_gram_up, season.moves.used_up)

    @worked("Losses lower", "money", decimals=4)
    def losses_down(self, season: Book) -> float:
        """What lower losses do to the cost of one."""
        return _of_losses(self, season, season.making.per_gram_down, season.moves.used_down)

    @worked("Overheads up", "money", decimals=4)
    def overheads_up(self, season: Book) -> float:
        """What its part of the overheads changes by when it goes up."""
        moves = season.moves
        hours = choose(self.kind == "hourly rate", moves.overhead_work * moves.change, 0)
        return choose(self.kind == "fill", moves.fill_up, hours) + choose(self.kind == "batch size", moves.batch_up, 0)

    @worked("Overheads down", "money", decimals=4)
    def overheads_down(self, season: Book) -> float:
        """What its part of the overheads changes by when it goes down."""
        moves = season.moves
        hours = 0 - choose(self.kind == "hourly rate", moves.overhead_work * moves.change, 0)
        return choose(self.kind == "fill", moves.fill_down, hours) + choose(self.kind == "batch size", moves.batch_down, 0)

    @worked("Moved up", "money", decimals=4)
    def up(self, season: Book) -> float:
        """What the cost of one changes by when it goes up."""
        change = season.moves.change
        bigger = choose(self.kind == "batch size", season.moves.work + season.moves.power, 0)
        made = self.part * change + self.losses_up - bigger * (change / (1 + change))
        return made * season.moves.made + self.overheads_up

    @worked("Moved down", "money", decimals=4)
    def down(self, season: Book) -> float:
        """What the cost of one changes by when it goes down."""
        change = season.moves.change
        smaller_batch = choose(self.kind == "batch size", season.moves.work + season.moves.power, 0)
        made = self.losses_down - self.part * change + smaller_batch * (change / (1 - change))
        return made * season.moves.made + self.overheads_down

    @worked("Margin up", shape="percent", decimals=2)
    def margin_up(self, season: Book) -> float:
        """What the margin changes by when it goes up, at the prices used."""
        return ratio(0 - self.up, season.moves.net)

    @worked("Margin down", shape="percent", decimals=2)
    def margin_down(self, season: Book) -> float:
        """What the margin changes by when it goes down, at the prices used."""
        return ratio(0 - self.down, season.moves.net)

    @worked("Moves by", "money", decimals=4)
    def size(self, _: Book) -> float:
        """The larger of the two, whichever way."""
        return larger(size_of(self.up), size_of(self.down))

    @worked("Rank", decimals=0)
    def rank(self, season: Book) -> float:
        """Its place, the strongest first."""
        return count_larger(season.drivers.size, self.size) + count_same(self.through.size, self.size)


def driver_rows(source: Source) -> list[Driver]:
    """Return all that can move the cost of a tub."""
    prices = [Driver.model_construct(driver=f"price of {item}", kind="item", item=item) for item in source.of(items_in_tubs)]
    return prices + [Driver.model_construct(driver=kind, kind=kind, item="") for kind in KINDS if kind != "item"]


DRIVERS = Table(
    "drivers",
    MOVES_SHEET,
    "All that can move",
    "Each thing moved by the dial, up and down, and what that does to the cost of one of the chosen product.",
    DriverRow,
    spare=0,
    fixed=True,
    rows=driver_rows,
    results=("part_of_rates", "part", "losses_up", "up", "down", "margin_up", "margin_down", "size", "rank"),
)


def _of_losses(row: DriverRow, season: Book, per_gram: Cells[float], used: float) -> float:
    """What one costs more when the filling's gram costs what it does with other losses. [money]"""
    mine = season.making
    changed = sum_where(per_gram, mine.made, season.moves.filled_with)
    return choose(row.kind == "losses", changed * used - season.moves.by_fill, 0)


class Place(Record):
    """One place of the sorted list."""

    place: Number = given("Place", "The strongest first.", NumberField("", above=0))


class PlaceRow(Place, Rules):
    """A place of the sorted list."""

    @worked("What moves it", "text")
    def driver(self, season: Book) -> str:
        """The thing that moves."""
        return choose(self.place == 0, NOTHING, look_up(season.drivers.driver, season.drivers.rank, self.place))

    @worked("If it goes up", "money", decimals=3)
    def cost_up(self, season: Book) -> float:
        """What the cost of one changes by."""
        return sum_where(season.drivers.up, season.drivers.rank, self.place)

    @worked("If it goes down", "money", decimals=3)
    def cost_down(self, season: Book) -> float:
        """What the cost of one changes by."""
        return sum_where(season.drivers.down, season.drivers.rank, self.place)

    @worked("Margin moves, if up", shape="percent", decimals=2)
    def points_up(self, season: Book) -> float:
        """By how many points the margin changes."""
        return sum_where(season.drivers.margin_up, season.drivers.rank, self.place)

    @worked("Margin moves, if down", shape="percent", decimals=2)
    def points_down(self, season: Book) -> float:
        """By how many points the margin changes."""
        return sum_where(season.drivers.margin_down, season.drivers.rank, self.place)


MOST_PLACES = 15
TORNADO_ROWS = 26  # that the chart beside the list is high


def ranked_rows(source: Source) -> list[Place]:
    """Return the places of the sorted list."""
    return [Place.model_construct(place=Decimal(at)) for at in range(1, min(len(source.of(driver_rows)), MOST_PLACES) + 1)]


RANKED = Table(
    "ranked",
    MOVES_SHEET,
    "The strongest first",
    "What moves the cost of one of the chosen product most.",
    PlaceRow,
    spare=0,
    chart_rows=TORNADO_ROWS,
    fixed=True,
    rows=ranked_rows,
)
