"""A season's records, costed: the tables filled in their order, and the cautions that came up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isfinite
from typing import Any, overload

from costing.engine.calculated import CalculatedFigures, CalculatedTable
from costing.engine.table import FigureList, FiguresType, RowType, Table
from costing.errors import Caution, Fault, Faults, Unknown, did_you_mean
from costing.fields.names import sign
from costing.fields.types import Record
from costing.records.faults import faults_between
from costing.records.schema import TABLES_BY_NAME
from costing.season.cautions import cautions_of
from costing.season.lye_safety import lye_faults
from costing.season.purchase_faults import purchase_faults
from costing.tables.book import BOOK
from costing.tables.deciding.cost_drivers import MOVES, Dials
from costing.tables.deciding.price_shock import SHOCK, Shock
from costing.tables.deciding.weigh_out import WEIGH, Weigh
from costing.tables.sources import Source
from costing.tables.whole.at_a_glance import glance_table
from costing.tables.written import SeasonRecords

Part = CalculatedTable[Any] | CalculatedFigures[Any]


class Season:
    """A costed season. Its tables are attributes: ``season.products.rows[0].total``.

    Rules see the same object: ``season.items.per_gram`` is a whole column, ``season.settings.hourly_rate`` a figure. Code
    that wants its columns checked asks ``season[PRODUCTS].rows``.
    """

    def __init__(self, records: SeasonRecords, chosen: Mapping[str, Record]) -> None:
        self.records = records
        self.cautions: tuple[Caution, ...] = ()
        source = Source(records)
        self._parts: dict[str, Part] = {}
        for part in (*BOOK.parts.values(), glance_table(records.channels.records)):
            if isinstance(part, Table):
                rows = part.rows(source) if part.rows else records.rows(part.key)
                self._parts[part.key] = CalculatedTable(part, rows, self)
            else:
                record = chosen.get(part.key) or (part.record(source) if part.record else None)
                self._parts[part.key] = CalculatedFigures(part, record, self)
        self.__dict__.update(self._parts)

    def __getattr__(self, key: str) -> Any:
        if key.startswith("_"):
            raise AttributeError(key)
        raise AttributeError(f"there is no table {key}; {did_you_mean(key, self._parts)}")

    def __repr__(self) -> str:
        return f"<Season of {self.records!r}, {len(self.cautions)} cautions>"

    @overload
    def __getitem__(self, part: Table[RowType]) -> CalculatedTable[RowType]: ...
    @overload
    def __getitem__(self, part: FigureList[FiguresType]) -> FiguresType: ...
    def __getitem__(self, part: Any) -> Any:
        """Return a table with its rows, or a list of figures, by its description."""
        return self._parts[part.key]

    def parts(self) -> Iterator[Part]:
        """Yield the tables and lists of figures in the order of the book."""
        yield from self._parts.values()

    def tables(self) -> Iterator[CalculatedTable[Any]]:
        """Yield the tables in the order in which they were described."""
        return (part for part in self._parts.values() if isinstance(part, CalculatedTable))

    def row(self, table: str, **key: str) -> Any:
        """Return the row of a table whose cells equal the given ones.

        Raises
        ------
        Unknown
            When there is no such table, column or row, saying which were near.

        """
        filled = self._table_named(table)
        filled.finish()
        rows: list[Any] = filled.rows
        for column, wanted in key.items():
            if column not in filled.table.columns:
                raise Unknown(f'{table} has no column "{column}"; {did_you_mean(column, filled.table.columns)}')
            left = [row for row in rows if sign(str(getattr(row, column))) == sign(wanted)]
            if not left:
                there = (str(getattr(row, column)) for row in rows)
                raise Unknown(f'{table} has no row with {column} "{wanted}"; {did_you_mean(wanted, there)}')
            rows = left
        if not rows:
            raise Unknown(f"{table} has no rows")
        return rows[0]

    def _table_named(self, name: str) -> CalculatedTable[Any]:
        found = self._parts.get(name)
        if not isinstance(found, CalculatedTable):
            tables = [key for key, part in self._parts.items() if isinstance(part, CalculatedTable)]
            raise Unknown(f'there is no table "{name}"; {did_you_mean(name, tables)}')
        return found


def cost(
    records: SeasonRecords, *, dials: Dials | None = None, shock: Shock | None = None, weigh: Weigh | None = None
) -> Season:
    """Return the season worked out: every cost, price and saving.

    ``dials``, ``shock`` and ``weigh`` choose what the sheets What moves it, Price shock and Weigh out look at.

    Raises
    ------
    Faults
        With every fault between the tables.

    """
    faults = faults_between(records)
    if faults:
        raise Faults(faults)
    chosen = {MOVES.key: dials, SHOCK.key: shock, WEIGH.key: weigh}
    season = Season(records, {key: record for key, record in chosen.items() if record})
    for table in sorted(season.tables(), key=_follows):
        _finish(season, table)
    faults = list(_faults_of_figures(season))
    if faults:
        raise Faults(faults)
    season.cautions = tuple(cautions_of(season))
    return season


def _follows(table: CalculatedTable[Any]) -> bool:
    """Whether a table holds no records of its own: those that do are worked out first, so that faults name them."""
    return table.table.key not in TABLES_BY_NAME


def _finish(season: Season, table: CalculatedTable[Any]) -> None:
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
    yield from purchase_faults(season)
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
