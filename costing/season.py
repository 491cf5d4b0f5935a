"""A season's records, costed: the tables filled in their order, and the cautions that came up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from costing.assembly import glance_rows, item_rows, making_rows
from costing.cautions import cautions_of
from costing.checking import faults_between
from costing.columns import BOOK, FigureList, Table
from costing.errors import Caution, Fault, Faults
from costing.filled import FilledFigures, FilledTable
from costing.lye import lye_faults, lye_rows
from costing.records import Record
from costing.schema import SeasonRecords
from costing.tables.alternatives import ALTERNATIVES
from costing.tables.channels import CHANNELS
from costing.tables.checks import CHECKS, LOOKS
from costing.tables.glance import glance_table
from costing.tables.items import ITEMS
from costing.tables.lye import LYE, TAKING, taking_records
from costing.tables.making import MAKING
from costing.tables.overheads import OVERHEADS
from costing.tables.prices import PRICES
from costing.tables.products import PRODUCTS
from costing.tables.purchases import PURCHASES
from costing.tables.settings import SETTINGS
from costing.tables.totals import TOTALS
from costing.tables.tubs import TUBS
from costing.tables.units import UNITS, unit_records


class Season:
    """A costed season. Its tables are attributes: ``season.products.rows[0].total``.

    Rules see the same object: ``season.items.per_gram`` is a whole column, ``season.settings.hourly_rate`` a figure.
    """

    settings: FilledFigures
    totals: FilledFigures
    checks: FilledFigures
    looks: FilledFigures
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
    glance: FilledTable
    lye: FilledTable
    taking: FilledTable

    def __init__(self, records: SeasonRecords) -> None:
        self.records = records
        self.cautions: tuple[Caution, ...] = ()
        for figures in (SETTINGS, TOTALS, CHECKS, LOOKS):
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
        self._take(glance_table(records.channels.records), glance_rows(records))

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


def cost(records: SeasonRecords) -> Season:
    """Return the season worked out: every cost, price and saving.

    Raises
    ------
    Faults
        With every fault between the tables.

    """
    faults = faults_between(records)
    if faults:
        raise Faults(faults)
    season = Season(records)
    for table in season.tables():
        table.finish()
    faults = list(_faults_of_figures(season))
    if faults:
        raise Faults(faults)
    season.cautions = tuple(cautions_of(season))
    return season


def _faults_of_figures(season: Season) -> Iterator[Fault]:
    """Yield what only the worked figures show."""
    yield from lye_faults(season)
    for row in season.making.rows:
        if row.row == "yield" and row.all_set > row.batch_cost + season.settings.tolerance:
            what = f"outputs of set worth {row.all_set:.2f} in a batch of {row.formula} that costs {row.batch_cost:.2f}"
            place = next(
                place for out, place in season.records.outputs.placed() if (out.formula, out.valued) == (row.formula, "set")
            )
            yield Fault(f"{place}, price_per_kg", what, "lower the price_per_kg of what is set")
    drivers = {"grams": season.products.planned_grams.total(), "minutes": season.products.planned_minutes.total()}
    for record, place in season.records.overheads.placed():
        if record.amount and drivers.get(record.shared_by, 1) == 0:
            what = f"shared by {record.shared_by}, but the plan has none"
            yield Fault(f"{place}, shared_by", what, "share it by units, or write minutes in steps and products")
