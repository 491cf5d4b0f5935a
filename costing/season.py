"""A season's records, costed: the tables filled in their order, and the cautions that came up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from math import isfinite
from typing import Any

from costing.assembly import glance_rows, item_rows, making_rows
from costing.cautions import cautions_of
from costing.checking import faults_between
from costing.columns import BOOK, FigureList, Table
from costing.errors import Caution, Fault, Faults
from costing.filled import FilledFigures, FilledTable
from costing.listing import (
    buying_rows,
    content_rows,
    driver_rows,
    even_rows,
    fill_rows,
    in_tub_rows,
    ladder_rows,
    ranked_rows,
    shelf_rows,
    shocked_rows,
    stock_rows,
)
from costing.lye import lye_faults, lye_rows
from costing.records import Record
from costing.schema import SeasonRecords
from costing.tables.alternatives import ALTERNATIVES
from costing.tables.batch_lines import BATCH_LINES
from costing.tables.batches import BATCHES
from costing.tables.buying import BUYING, CASH, ToBuy
from costing.tables.channels import CHANNELS
from costing.tables.checks import CHECKS, LOOKS
from costing.tables.contents import CONTENTS
from costing.tables.even import EVEN
from costing.tables.fills import FILLS
from costing.tables.glance import glance_table
from costing.tables.in_tubs import IN_TUBS
from costing.tables.items import ITEMS
from costing.tables.ladder import LADDER
from costing.tables.lye import LYE, TAKING, taking_records
from costing.tables.making import MAKING, MakingRow
from costing.tables.moves import DRIVERS, MOVES, RANKED, Dials
from costing.tables.overheads import OVERHEADS
from costing.tables.prices import PRICES
from costing.tables.products import PRODUCTS
from costing.tables.purchases import PURCHASES
from costing.tables.settings import SETTINGS
from costing.tables.shelf import SHELF
from costing.tables.shock import SHOCK, SHOCKED, Shock
from costing.tables.stock import STOCK, STOCK_TOTALS
from costing.tables.tolerances import MEAN_FACTORS, TOLERANCES, mean_factor_records, tolerance_records
from costing.tables.totals import TOTALS
from costing.tables.tubs import TUBS
from costing.tables.units import UNITS, unit_records
from costing.tables.weighings import WEIGHINGS


class Season:
    """A costed season. Its tables are attributes: ``season.products.rows[0].total``.

    Rules see the same object: ``season.items.per_gram`` is a whole column, ``season.settings.hourly_rate`` a figure.
    """

    settings: FilledFigures
    totals: FilledFigures
    checks: FilledFigures
    looks: FilledFigures
    stock_totals: FilledFigures
    units: FilledTable
    purchases: FilledTable
    items: FilledTable
    making: FilledTable
    tubs: FilledTable
    products: FilledTable
    channels: FilledTable
    prices: FilledTable
    alternatives: FilledTable
    overheads: FilledTable
    tolerances: FilledTable
    mean_factors: FilledTable
    weighings: FilledTable
    fills: FilledTable
    batches: FilledTable
    batch_lines: FilledTable
    stock: FilledTable
    ladder: FilledTable
    even: FilledTable
    shelf: FilledTable
    glance: FilledTable
    contents: FilledTable
    in_tubs: FilledTable
    buying: FilledTable
    drivers: FilledTable
    ranked: FilledTable
    shocked: FilledTable
    cash: FilledFigures
    moves: FilledFigures
    shock: FilledFigures
    lye: FilledTable
    taking: FilledTable

    def __init__(self, records: SeasonRecords, dials: Dials | None = None, shock: Shock | None = None) -> None:
        self.records = records
        self._dials = dials
        self._shock = shock
        self.cautions: tuple[Caution, ...] = ()
        for figures in (SETTINGS, TOTALS, CHECKS, LOOKS, STOCK_TOTALS):
            self._take_figures(figures, records.season if figures is SETTINGS else None)
        self._take(UNITS, unit_records())
        self._take(PURCHASES, records.purchases.records)
        items, cards = item_rows(records), making_rows(records)
        self._take(ITEMS, items)
        self._take(MAKING, cards)
        self._take(TAKING, taking_records())
        self._take(LYE, lye_rows(cards, items))
        self._take(TUBS, records.tubs.records)
        self._take(PRODUCTS, records.products.records)
        self._take(CHANNELS, records.channels.records)
        self._take(PRICES, records.prices.records)
        self._take(ALTERNATIVES, records.alternatives.records)
        self._take(OVERHEADS, records.overheads.records)
        self._take(TOLERANCES, tolerance_records())
        self._take(MEAN_FACTORS, mean_factor_records())
        self._take(WEIGHINGS, records.weighings.records)
        self._take(FILLS, fill_rows(records))
        self._take(BATCHES, records.batches.records)
        self._take(BATCH_LINES, records.batch_lines.records)
        self._take(STOCK, stock_rows(items))
        self._take(LADDER, ladder_rows(records))
        self._take(EVEN, even_rows(records))
        self._take(SHELF, shelf_rows(records))
        self._take_contents(records, cards)
        self._take(glance_table(records.channels.records), glance_rows(records))

    def _take_contents(self, records: SeasonRecords, cards: list[MakingRow]) -> None:
        """Take the tables that follow every bought item into the tubs."""
        contents = content_rows(cards)
        in_tubs = in_tub_rows(records, contents)
        items = buying_rows(in_tubs)
        drivers = driver_rows(items)
        self._take(CONTENTS, contents)
        self._take(IN_TUBS, in_tubs)
        self._take(BUYING, items)
        self._take(DRIVERS, drivers)
        self._take(RANKED, ranked_rows(drivers))
        self._take(SHOCKED, shocked_rows(records))
        self._take_figures(CASH, None)
        self._take_figures(MOVES, self._dials or _first_dials(records))
        self._take_figures(SHOCK, self._shock or _first_shock(items))

    def _take(self, table: Table, records: Sequence[Record]) -> None:
        setattr(self, table.key, FilledTable(table, records, self))

    def _take_figures(self, figures: FigureList, record: Record | None) -> None:
        setattr(self, figures.key, FilledFigures(figures, record, self))

    def tables(self) -> Iterator[FilledTable]:
        """Yield the filled tables in the order in which they were described."""
        for table in BOOK.tables():
            yield getattr(self, table.key)
        yield self.glance

    def row(self, table: str, **key: str) -> Any:
        """Return the row of a table whose cells equal the given ones.

        Raises
        ------
        KeyError
            When there is none.

        """
        filled: FilledTable = getattr(self, table)
        filled.finish()
        for row in filled.rows:
            if all(getattr(row, column) == wanted for column, wanted in key.items()):
                return row
        raise KeyError(f"{table} has no row with {key}")


def _first_dials(records: SeasonRecords) -> Dials:
    """Return what What moves it looks at when nothing was chosen: the first product, a tenth up and down."""
    product = next((row.product for row in records.products), "")
    return Dials.model_construct(product=product, change=Decimal(10))


def _first_shock(items: Sequence[ToBuy]) -> Shock:
    """Return the change that Price shock shows when nothing was chosen: a quarter on the first item."""
    return Shock.model_construct(item=next((row.item for row in items), ""), change=Decimal("0.25"))


def cost(records: SeasonRecords, *, dials: Dials | None = None, shock: Shock | None = None) -> Season:
    """Return the season worked out: every cost, price and saving.

    ``dials`` and ``shock`` choose what the sheets What moves it and Price shock look at.

    Raises
    ------
    Faults
        With every fault between the tables.

    """
    faults = faults_between(records)
    if faults:
        raise Faults(faults)
    season = Season(records, dials, shock)
    for table in season.tables():
        _finish(season, table)
    faults = list(_faults_of_figures(season))
    if faults:
        raise Faults(faults)
    season.cautions = tuple(cautions_of(season))
    return season


def _finish(season: Season, table: FilledTable) -> None:
    """Work all of a table out, as long as its figures can be held: numbers that each pass can come to far more together."""
    try:
        table.finish()
        held = all(isfinite(value) for store in table.stores.values() for value in store.values if isinstance(value, float))
    except ArithmeticError:
        held = False
    if not held:
        key = {"making": "lines", "glance": "prices"}.get(table.table.key, table.table.key)
        where = getattr(getattr(season.records, key, None), "source", "") or key
        do = "look for a number that is far too large or too small, here and in purchases"
        raise Faults([Fault(where, "its figures come to more than can be worked with", do)])


def _faults_of_figures(season: Season) -> Iterator[Fault]:
    """Yield what only the worked figures show."""
    yield from lye_faults(season)
    placed = {out.formula: place for out, place in reversed(list(season.records.outputs.placed())) if out.valued == "set"}
    for row in season.making.rows:
        if row.row == "yield" and row.formula in placed and row.all_set > row.batch_cost + season.settings.tolerance:
            what = f"outputs of set worth {row.all_set:.2f} in a batch of {row.formula} that costs {row.batch_cost:.2f}"
            yield Fault(f"{placed[row.formula]}, price_per_kg", what, "lower the price_per_kg of what is set")
    drivers = {"grams": season.products.planned_grams.total(), "minutes": season.products.planned_minutes.total()}
    for record, place in season.records.overheads.placed():
        if record.amount and drivers.get(record.shared_by, 1) == 0:
            what = f"shared by {record.shared_by}, but the plan has none"
            yield Fault(f"{place}, shared_by", what, "share it by units, or write minutes in steps and products")
