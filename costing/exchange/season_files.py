"""Reading a season and writing its workbook: the two ends that touch files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from costing.errors import Fault, Faults, Refusal
from costing.exchange.losses import lost_with
from costing.folder.one_step import settle
from costing.folder.reading import raw_tables, table_files
from costing.folder.safe_writing import kept_copy, write_atomically
from costing.records.faults import faults_between
from costing.records.parsing import RawTable, UnreadTables, parse
from costing.season.comparing import Comparison
from costing.season.costed import Season
from costing.tables.written import Origin, SeasonRecords
from costing.workbook.own import NOTHING_OWN
from costing.workbook.read.opened_book import Book
from costing.workbook.read.own_things import own_things
from costing.workbook.read.readback import raw_tables_of
from costing.workbook.write.book import workbook_bytes
from costing.workbook.write.choosing import asked_for

OTHER_WORKBOOKS = (".ods", ".fods", ".xls", ".xlsb", ".numbers", ".gsheet")


@dataclass(frozen=True)
class Source:
    """A season as it was found: its tables, faults of the source itself, and how to name a table that is missing."""

    tables: Mapping[str, RawTable]
    faults: tuple[Fault, ...]
    missing: str
    origin: Origin | None = None  # of a workbook
    settled: str = ""  # what a killed program had left half done in a folder, and what became of it
    files: Mapping[str, bytes] = field(default_factory=dict, repr=False)  # of a folder, all read at one moment

    @property
    def how(self) -> list[str]:
        """How each table was read, in one line each."""
        return [table.how for table in self.tables.values() if table.how]

    @property
    def notices(self) -> list[str]:
        """What the reader took in some way that deserves saying."""
        settled = [self.settled] if self.settled else []
        return settled + [notice for table in self.tables.values() for notice in table.notices]

    def records(self) -> SeasonRecords:
        """Return the records.

        Raises
        ------
        Faults
            With every fault found.

        """
        try:
            records = parse(self.tables, missing=self.missing, known_faults=self.faults)
            return replace(records, origin=self.origin)
        except UnreadTables as error:
            between = faults_between(error.records, error.unread) if error.records else []
            raise Faults([*error.faults, *between]) from None


def open_season(path: str | Path) -> Source:
    """Return a season's tables as they stand in a folder of CSV files or in a workbook.

    Raises
    ------
    Refusal
        When there is neither, or the workbook is not fit to be opened.

    """
    place = Path(path)
    if place.is_dir():
        return _folder(place)
    if place.suffix.lower() in (".xlsx", ".xlsm") and place.exists():
        return workbook_source(Book(place))
    if place.exists():
        raise Refusal(f"{place}: {_no_season(place)}")
    raise Refusal(f"{place}: is not there; name a season's folder or workbook, or make one with: costing start {place}")


def workbook_source(book: Book) -> Source:
    """Return a season's tables as they stand in an opened workbook."""
    return Source(raw_tables_of(book), (), f"{book.path.name}, sheet {{name}}", book.origin)


def _folder(place: Path) -> Source:
    settled = settle(place)
    files = table_files(place)
    source = folder_source(files, settled)
    if not source.tables and not source.faults:
        books = sorted(file.name for file in place.glob("*.xlsx") if not file.name.startswith("~$"))
        do = f"name the workbook in it, {books[0]}, or make a season" if books else "name a season's folder, or make one"
        what = f"holds no table of a season; {do} with: costing start {place / 'season' if books else place}"
        raise Refusal(f"{place}: {what}")
    return source


def folder_source(files: Mapping[str, bytes], settled: str = "") -> Source:
    """Return a season's tables as the files of a folder hold them."""
    tables, strays = raw_tables(files)
    return Source(tables, tuple(strays), "{name}.csv", settled=settled, files=files)


def _no_season(place: Path) -> str:
    """Return what a file is that is neither a folder nor a workbook that can be read, and what to do with it."""
    ending = place.suffix.lower()
    if ending in OTHER_WORKBOOKS:
        return f"is a workbook of another kind ({ending}); open it in its program, save it as .xlsx, and name that"
    if ending in (".csv", ".tsv", ".txt"):
        return "is one table, and a season has several; name the folder that holds them, or save them as sheets of one .xlsx"
    return "is neither a folder nor an .xlsx workbook; name one of these"


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


@dataclass(frozen=True)
class Written:
    """What an export wrote, and the copy it kept of what was there."""

    path: Path
    kept: Path | None


def export(  # noqa: PLR0913  # one name for each thing that can be asked for
    season: Season, path: str | Path, *, replace: bool = False, since: Comparison | None = None,
    also: Sequence[str] = (), all_sheets: bool = False,
) -> Written:  # fmt: skip
    """Write the pricing workbook of a costed season, with a sheet of what changed ``since`` another one.

    In sight are the sheets of every day, those named by ``also`` or simply all, and those that were in sight in the
    workbook that the season was read from or that is written over. Of the others, those with records or needed by
    formulas are hidden, and the rest is left out.

    A workbook that is there already is written over only if ``replace`` is given; unless it is an export that no program
    saved anew, a dated copy is kept beside it: of records, sheets, comments, formulas and formats alike. Own sheets,
    comments on rows of records and widths of columns in a workbook of the same season are taken over.

    Raises
    ------
    Refusal
        When its name is not one of a workbook; when the file is there already and ``replace`` is not given, saying which
        edits would be lost; when it cannot be written; or when there is no sheet of a name in ``also``.

    """
    target = Path(path)
    a_file = target.is_file() or not target.exists()  # of a folder or a device it is told what it is
    if a_file and target.suffix.lower() != ".xlsx":  # a table, say, whose season could then not be read
        raise Refusal(f"{target}: is no name for a workbook; let it end in .xlsx")
    there = target.is_file()
    own = own_things(target, season.records.season.name) if there and replace else NOTHING_OWN
    data = workbook_bytes(season, since, own, asked_for(also, every=all_sheets))
    kept = None
    if there:
        lost = lost_with(target, season.records)
        if not replace:
            raise Refusal(f"{target}: is there already; choose another name, or add --replace to write over it{lost.told}")
        if lost.anything:
            kept = kept_copy(target, target.parent, f"{target.stem} (kept {datetime.now():%Y-%m-%d %H%M%S}){target.suffix}")
    write_atomically(target, data, replace=there)  # what comes there in the meantime was not looked at, and stays
    return Written(target, kept)
