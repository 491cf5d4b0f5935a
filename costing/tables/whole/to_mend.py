"""Rows to mend: how many on each sheet have something wrong, stand where they do not count, or were typed over."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from costing.engine.declared import Figures, Worked, worked
from costing.engine.operations import (
    both,
    choose,
    count_where,
    counted,
    formulas_gone,
    is_missing,
    is_number,
    is_unlisted,
    size_of,
    total,
    typed_below,
    typed_over,
    unequal,
)
from costing.engine.table import FigureList
from costing.fields.views import Cells
from costing.tables.settings import COST_BASES
from costing.tables.whole.checks import CHECKS_SHEET

if TYPE_CHECKING:
    from costing.tables.book import Book


def _wrong(mine: type[Any], first: Cells[Any], key: Cells[Any]) -> float:
    """Return how many rows are wrong, stand below those that count or count twice, and how many cells are typed over."""
    twice = size_of(total(mine.used_row) - counted(key))
    return count_where(mine.to_mend, 1) + typed_below(first) + twice + typed_over(mine.remarks)


def _elsewhere(sheet: str, place: Callable[[Any], object]) -> Worked[float]:
    """Return how many worked cells of a sheet hold no formula any more; a place on it stands for the sheet."""
    note = f"Worked cells on {sheet} that hold no formula any more."
    return Worked(lambda _, season: formulas_gone(place(season)), f"Typed over on {sheet}", "", note, decimals=0)


_ELSEWHERE = ("over_glance", "over_stock", "over_lye", "over_ladder", "over_even", "over_shelf", "over_wholesale")
_DECIDING = (
    "over_moves",
    "over_shock",
    "over_cash",
    "over_plan",
    "over_tubs",
    "over_contents",
    "over_keeping",
    "over_fills",
    "over_look_ups",
)


class ToMend(Figures):
    """How many rows of each sheet are to be mended."""

    @worked("Purchases", decimals=0)
    def purchases(self, season: Book) -> float:
        """Rows with something wrong on Purchases: Remarks there says what."""
        mine = season.purchases
        return _wrong(mine, mine.bought_on, mine.item)

    @worked("Items", decimals=0)
    def items(self, season: Book) -> float:
        """Rows with something wrong on Items: Remarks there says what."""
        mine = season.items
        return _wrong(mine, mine.item, mine.item)

    @worked("Formulas", decimals=0)
    def making(self, season: Book) -> float:
        """Rows with something wrong on Formulas: Remarks there says what."""
        mine = season.making
        return _wrong(mine, mine.formula, mine.formula)

    @worked("Tubs", decimals=0)
    def tubs(self, season: Book) -> float:
        """Rows with something wrong on Tubs: Remarks there says what."""
        mine = season.tubs
        return _wrong(mine, mine.tub, mine.tub)

    @worked("Products", decimals=0)
    def products(self, season: Book) -> float:
        """Rows with something wrong on Products: Remarks there says what."""
        mine = season.products
        return _wrong(mine, mine.product, mine.product)

    @worked("Channels", decimals=0)
    def channels(self, season: Book) -> float:
        """Rows with something wrong on Channels: Remarks there says what."""
        mine = season.channels
        return _wrong(mine, mine.channel, mine.channel)

    @worked("Prices", decimals=0)
    def prices(self, season: Book) -> float:
        """Rows with something wrong on Prices: Remarks there says what."""
        mine = season.prices
        return _wrong(mine, mine.product, mine.product)

    @worked("Own or bought", decimals=0)
    def alternatives(self, season: Book) -> float:
        """Rows with something wrong on Own or bought: Remarks there says what."""
        mine = season.alternatives
        return _wrong(mine, mine.product, mine.product)

    @worked("Overheads", decimals=0)
    def overheads(self, season: Book) -> float:
        """Rows with something wrong on Overheads: Remarks there says what."""
        mine = season.overheads
        return _wrong(mine, mine.overhead, mine.overhead)

    @worked("Weighings", decimals=0)
    def weighings(self, season: Book) -> float:
        """Rows with something wrong on Weighings: Remarks there says what."""
        mine = season.weighings
        return _wrong(mine, mine.product, mine.product)

    @worked("Batches", decimals=0)
    def batches(self, season: Book) -> float:
        """Rows with something wrong on Batches: Remarks there says what."""
        mine = season.batches
        return _wrong(mine, mine.batch, mine.batch)

    @worked("Batch lines", decimals=0)
    def batch_lines(self, season: Book) -> float:
        """Rows with something wrong on Batch lines: Remarks there says what."""
        mine = season.batch_lines
        return _wrong(mine, mine.batch, mine.batch)

    @worked("Made", decimals=0)
    def made(self, season: Book) -> float:
        """Rows with something wrong on Made: Remarks there says what."""
        mine = season.made
        return _wrong(mine, mine.what, mine.what)

    @worked("Typed over on Prices", decimals=0)
    def prices_over(self, season: Book) -> float:
        """Worked cells on Prices behind the grey ones that hold no formula any more."""
        return typed_over(season.prices.changed)

    over_glance = _elsewhere("At a glance", lambda season: season.totals.overheads)
    over_stock = _elsewhere("Stock", lambda season: season.stock.item)
    over_lye = _elsewhere("Lye", lambda season: season.lye.card)
    over_ladder = _elsewhere("Price ladder", lambda season: season.ladder.product)
    over_even = _elsewhere("Break-even", lambda season: season.even.product)
    over_shelf = _elsewhere("Shelf cards", lambda season: season.shelf.product)
    over_wholesale = _elsewhere("Wholesale list", lambda season: season.wholesale.product)
    over_moves = _elsewhere("What moves it", lambda season: season.moves.product)
    over_shock = _elsewhere("Price shock", lambda season: season.shock.item)
    over_cash = _elsewhere("Make and buy", lambda season: season.buying.item)
    over_plan = _elsewhere("From plan to pot", lambda season: season.packs.item)
    over_tubs = _elsewhere("In a tub", lambda season: season.in_tubs.product)
    over_contents = _elsewhere("Contents", lambda season: season.contents.share)
    over_keeping = _elsewhere("Keeping", lambda season: season.keeping.left)
    over_fills = _elsewhere("Fill", lambda season: season.fills.product)
    over_look_ups = _elsewhere("Look-ups", lambda season: season.units.grams)

    @worked("Typed over on these first sheets", decimals=0)
    def elsewhere(self, season: Book) -> float:
        """Those from At a glance to Wholesale list together."""
        counts: list[float] = [getattr(season.mend, key) for key in _ELSEWHERE]
        return sum(counts[1:], start=counts[0])

    @worked("Typed over on the later ones", decimals=0)
    def deciding(self, season: Book) -> float:
        """Those from What moves it to Look-ups together."""
        counts: list[float] = [getattr(season.mend, key) for key in _DECIDING]
        return sum(counts[1:], start=counts[0])

    @worked("Settings, numbers", decimals=0)
    def numbers(self, season: Book) -> float:
        """1 where a number or the day on Settings is empty or no number."""
        mine = season.settings
        days = both(*map(is_number, (mine.priced_on, mine.average_days, mine.stale_days, mine.slow_days)))
        return choose(days, 0, 1)

    @worked("Settings, money", decimals=0)
    def amounts(self, season: Book) -> float:
        """1 where an amount of money on Settings is empty or no number, or the price step is not above 0."""
        mine = season.settings
        money = both(*map(is_number, (mine.hourly_rate, mine.power_price, mine.price_step, mine.price_ending)))
        return choose(both(money, mine.price_step > mine.price_ending), 0, 1)

    @worked("Settings, words", decimals=0)
    def words(self, season: Book) -> float:
        """1 where the cost basis, or whether tax is reclaimed, is none of its words."""
        mine = season.settings
        basis = choose(is_unlisted(mine.cost_basis, f" {' '.join(COST_BASES)} "), 1, 0)
        return basis + choose(is_unlisted(mine.reclaims_tax, " yes no "), 1, 0)

    @worked("Settings, main channel", decimals=0)
    def main_channel(self, season: Book) -> float:
        """1 where the main channel is none of Channels."""
        mine = season.settings
        named = choose(unequal(mine.main_channel, 0), 1, 0)  # programs read a blank figure as a text or as 0
        return named * choose(is_missing(season.channels.channel, mine.main_channel), 1, 0)

    @worked("All together", decimals=0)
    def rows(self, season: Book) -> float:
        """All of these."""
        mine = season.mend
        first = mine.purchases + mine.items + mine.making + mine.tubs + mine.products + mine.channels
        return first + mine.others + mine.elsewhere + mine.deciding

    @worked("Of these, the later ones", decimals=0)
    def others(self, season: Book) -> float:
        """Those from Prices on."""
        mine = season.mend
        sold = (
            mine.prices + mine.alternatives + mine.overheads + mine.weighings + mine.batches + mine.batch_lines + mine.made
        )
        return sold + mine.prices_over + mine.numbers + mine.amounts + mine.words + mine.main_channel


MEND = FigureList(
    "mend", CHECKS_SHEET, "mend_", ToMend, "To mend", ("Key", "Sheet", "How many", "Unit", "What it means"), on_paper=False
)
