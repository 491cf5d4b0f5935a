"""A season's records, costed: the tables filled in their order, and the cautions that came up."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite
from typing import Any

from costing.engine.calculated import FilledFigures, FilledTable
from costing.engine.table import BOOK
from costing.errors import Caution, Fault, Faults
from costing.records.faults import faults_between
from costing.records.schema import TABLES_BY_NAME, SeasonRecords
from costing.season.cautions import cautions_of
from costing.season.filling import Looked, figures_of, tables_of
from costing.season.lye_safety import lye_faults
from costing.tables.deciding.cost_drivers import Dials
from costing.tables.deciding.price_shock import Shock


class Season:
    """A costed season. Its tables are attributes: ``season.products.rows[0].total``.

    Rules see the same object: ``season.items.per_gram`` is a whole column, ``season.settings.hourly_rate`` a figure.
    """

    settings: FilledFigures
    totals: FilledFigures
    checks: FilledFigures
    looks: FilledFigures
    stock_totals: FilledFigures
    cash: FilledFigures
    moves: FilledFigures
    shock: FilledFigures
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
    lye: FilledTable
    taking: FilledTable

    def __init__(self, records: SeasonRecords, looked: Looked | None = None) -> None:
        self.records = records
        self.cautions: tuple[Caution, ...] = ()
        for table, rows in tables_of(records):
            setattr(self, table.key, FilledTable(table, rows, self))
        for figures, record in figures_of(records, self.items.records, looked or Looked()):
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
    season = Season(records, Looked(dials, shock))
    for table in sorted(season.tables(), key=_follows):
        _finish(season, table)
    faults = list(_faults_of_figures(season))
    if faults:
        raise Faults(faults)
    season.cautions = tuple(cautions_of(season))
    return season


def _follows(table: FilledTable) -> bool:
    """Whether a table holds no records of its own: those that do are worked out first, so that faults name them."""
    return table.table.key not in TABLES_BY_NAME


def _finish(season: Season, table: FilledTable) -> None:
    """Work all of a table out, as long as its figures can be held: numbers that each pass can come to far more together."""
    try:
        table.finish()
        held = all(isfinite(value) for store in table.stores.values() for value in store.values if isinstance(value, float))
    except ArithmeticError:
        held = False
    if not held:
        key = "lines" if table.table.cards else "purchases" if _follows(table) else table.table.key
        where = getattr(season.records, key).source or key
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
