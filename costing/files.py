"""Reading a season and writing its workbook: the two ends that touch files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from costing.errors import Fault, Refusal
from costing.folders import raw_tables
from costing.reading import RawTable, parse
from costing.saving import write_atomically
from costing.schema import SeasonRecords
from costing.season import Season
from costing.workbook.book import workbook_bytes
from costing.workbook.readback import Book, raw_tables_of


@dataclass(frozen=True)
class Source:
    """A season as it was found: its tables, faults of the source itself, and how to name a table that is missing."""

    tables: Mapping[str, RawTable]
    faults: tuple[Fault, ...]
    missing: str

    @property
    def notices(self) -> list[str]:
        """What the reader took in some way that deserves saying."""
        return [notice for table in self.tables.values() for notice in table.notices]

    def records(self) -> SeasonRecords:
        """Return the records.

        Raises
        ------
        Faults
            With every fault found.

        """
        return parse(self.tables, missing=self.missing, known_faults=self.faults)


def open_season(path: str | Path) -> Source:
    """Return a season's tables as they stand in a folder of CSV files or in a workbook.

    Raises
    ------
    Refusal
        When there is neither, or the workbook is not fit to be opened.

    """
    place = Path(path)
    if place.is_dir():
        tables, strays = raw_tables(place)
        return Source(tables, tuple(strays), "{name}.csv")
    if place.suffix.lower() in (".xlsx", ".xlsm") and place.exists():
        return Source(raw_tables_of(Book(place)), (), f"{place.name}, sheet {{name}}")
    if place.exists():
        raise Refusal(f"{place}: is neither a folder nor an .xlsx workbook; name one of these")
    raise Refusal(f"{place}: is not there; name a season's folder or workbook, or make one with: costing start {place}")


def read_season(path: str | Path) -> SeasonRecords:
    """Return the records of a season kept in a folder of CSV files or in a workbook.

    Raises
    ------
    Faults
        With every fault found.
    Refusal
        When there is no such season, or it is not fit to be opened.

    """
    return open_season(path).records()


def export(season: Season, path: str | Path, *, replace: bool = False) -> None:
    """Write the pricing workbook of a costed season.

    Raises
    ------
    Refusal
        When the file is there already and ``replace`` is not given, or cannot be written.

    """
    write_atomically(Path(path), workbook_bytes(season), replace=replace)
