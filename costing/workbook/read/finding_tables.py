"""Which sheet of an edited workbook holds which table: by the sheet's name, the name of its list, or its headings alone."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from costing.engine.table import Table
from costing.errors import Fault, suggestion
from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME, RecordTable
from costing.tables.book import BOOK
from costing.tables.making.card_entries import CardEntry
from costing.workbook.read.opened_book import Book

SEARCHED_ROWS = 20  # in which a sheet's headings must stand
CARDS = RecordTable("cards", CardEntry, (), "Recipe cards.")
SETTINGS = TABLES_BY_NAME["season"]
SETTING_COLUMNS = {"key": "key", "value": "value"}


@dataclass
class Found:
    """A table found on a sheet: where its headings stand and which column holds what."""

    table: RecordTable
    sheet: Any
    heading_row: int
    columns: dict[int, str]
    faults: list[Fault] = field(default_factory=list)
    notices: list[str] = field(default_factory=list)


def found_tables(book: Book) -> list[Found]:
    """Return the tables of a workbook, each on the sheet that holds it.

    First every sheet is looked at that bears a table's name, as its own or as that of its list. A table that none of these
    holds may then be found on any other sheet, by its headings.
    """
    search = _Search()
    nameless = [sheet for sheet in book.sheets if not search.claim_by_name(sheet)]
    for sheet in nameless:
        search.claim_by_headings(sheet)
    return search.result()


class _Search:
    """What was found so far: one sheet for each table, the first one that holds it."""

    def __init__(self) -> None:
        self._titles = _titles()
        self._claimed: dict[str, Found] = {}
        self._doubles: list[Found] = []
        self._headless: list[Found] = []

    def claim_by_name(self, sheet: Any) -> bool:
        """Take what a sheet of a table's name holds; return whether it has such a name."""
        names = [sheet.title.strip().lower(), *(name.lower() for name in sheet.tables)]
        named = [self._titles[name] for name in names if name in self._titles]
        found = next(filter(None, (_at_headings(sheet, table) for table in _and_plain_formulas(named))), None)
        if found:
            self._claim_or_double(found)
        elif named and sheet.max_row > 1:
            self._headless.append(_without_headings(sheet, named[0]))
        return bool(named)

    def _claim_or_double(self, found: Found) -> None:
        if found.table.name in self._claimed:
            self._doubles.append(found)
        else:
            self._claimed[found.table.name] = found

    def claim_by_headings(self, sheet: Any) -> None:
        """Take what a sheet of any other name holds, if no sheet holds it yet."""
        alike = list(_by_headings_alone(sheet))
        free = [found for found in alike if found.table.name not in self._claimed]
        for found in (free or alike)[:1]:
            self._claim_or_double(found)

    def result(self) -> list[Found]:
        """Return the tables found, with what there is to tell of the sheets passed over."""
        for found in self._doubles:
            held = self._claimed[found.table.name]
            held.notices.append(f"sheet {found.sheet.title} is not read: sheet {held.sheet.title} holds {found.table.name}")
        lost = [found for found in self._headless if not _twins(found) & set(self._claimed)]
        return [*self._claimed.values(), *lost]


def _known_headings(table: RecordTable) -> dict[str, str]:
    """Return heading or key → key of a table's given columns, as they are compared."""
    if table.name == "season":
        return SETTING_COLUMNS
    headings = {_plain(info.title or key): key for key, info in table.model.model_fields.items()}
    return headings | {key: key for key in table.model.model_fields}


def _plain(heading: Any) -> str:
    """Return a heading as it is compared: without its unit, in lower case."""
    return re.sub(r"\s*\([^)]*\)\s*$", "", str(heading).replace("\u00a0", " ")).strip().lower()


def _needed(table: RecordTable) -> set[str]:
    if table.name == "season":
        return {"key", "value"}
    return {key for key, info in table.model.model_fields.items() if info.is_required()}


def _titles() -> dict[str, RecordTable]:
    """Return the sheet names under which each table may stand, and the names of its list."""
    drawn = {part.key: part for part in BOOK.tables()}
    titles: dict[str, RecordTable] = {"formulas": CARDS, "list_making": CARDS, "settings": SETTINGS}
    for table in RECORD_TABLES:
        titles.setdefault(table.name, table)
        titles[f"list_{table.name}"] = table
        sheet: Table[Any] | None = drawn.get(table.name)
        if sheet is not None:
            titles.setdefault(sheet.sheet.lower(), table)
    titles["list_settings"] = SETTINGS
    return titles


def _without_headings(sheet: Any, table: RecordTable) -> Found:
    """Tell of a sheet that has a table's name but not its headings: what stands there would be lost."""
    do = f"write them back; it needs {', '.join(sorted(_needed(table)))}"
    return Found(table, sheet, 0, {}, [Fault(sheet.title, "has no row of headings", do)])


def _twins(found: Found) -> set[str]:
    """Return the tables that a sheet of some name may hold."""
    return {"cards", "formulas"} if found.table is CARDS else {found.table.name}


def _by_headings_alone(sheet: Any) -> Iterator[Found]:
    """Yield what a sheet of any name may be by its headings."""
    for table in (*RECORD_TABLES, CARDS):
        found = _at_headings(sheet, table) if _telling(table) else None
        if found and set(found.columns.values()) >= _needed(table) and len(found.columns) >= 3:
            yield found


def _and_plain_formulas(named: Sequence[RecordTable]) -> Iterator[RecordTable]:
    """A sheet named Formulas holds recipe cards in an exported workbook, and the plain table in one filled in."""
    for table in named:
        yield table
        if table is CARDS:
            yield TABLES_BY_NAME["formulas"]


def _telling(table: RecordTable) -> bool:
    """Whether a table's headings alone tell it from the others."""
    return table.name not in ("season", "steps", "outputs", "formulas")


def _at_headings(sheet: Any, table: RecordTable) -> Found | None:
    known, needed = _known_headings(table), _needed(table)
    for row in sheet.iter_rows(min_row=1, max_row=min(sheet.max_row, SEARCHED_ROWS)):
        texts = {cell.column: _plain(cell.value) for cell in row if isinstance(cell.value, str)}
        columns: dict[int, str] = {}
        for at, text in texts.items():
            if text in known and known[text] not in columns.values():
                columns[at] = known[text]
        if needed <= set(columns.values()) or (table is not CARDS and len(columns) >= max(2, len(needed))):
            found = Found(table, sheet, row[0].row, columns)
            _note_strangers(found, texts, known)
            _note_merged(found)
            return found
    return None


def _note_merged(found: Found) -> None:
    """Tell of headings merged with their neighbours: the names of those columns are gone."""
    for span in found.sheet.merged_cells.ranges:
        if span.min_row <= found.heading_row <= span.max_row and span.min_col < span.max_col:
            do = "split it again, and write back the headings that are lost"
            found.faults.append(Fault(f"{found.sheet.title}, {span.coord}", "headings are merged into one cell", do))


def _note_strangers(found: Found, texts: Mapping[int, str], known: Mapping[str, str]) -> None:
    """Tell of a heading that is nearly one of those not found: its column would be lost."""
    drawn = {part.key: part for part in BOOK.tables()}.get("making" if found.table is CARDS else found.table.name)
    worked = {_plain(column.heading) for column in drawn.columns.values()} if drawn else set()
    absent = [text for text, key in known.items() if key not in found.columns.values()]
    for at, text in texts.items():
        if at in found.columns or text in worked or not text:
            continue
        where = f"{found.sheet.title}, row {found.heading_row}"
        meant = suggestion(text, absent)
        if meant.nearest:
            found.faults.append(Fault(where, f'there is no column "{text}"', str(meant)))
        elif found.table.name != "season":
            found.notices.append(f'{where}: column "{text}" is not read')
