"""A costed season: its records, its tables worked out as they are asked for, and the cautions that came up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, overload

from costing.engine.calculated import CalculatedFigures, CalculatedTable
from costing.engine.table import FigureList, FiguresType, RowType, Table
from costing.errors import Caution, Unknown, did_you_mean
from costing.fields.names import sign
from costing.fields.types import Record
from costing.tables.book import BOOK
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
