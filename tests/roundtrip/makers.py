"""What a maker does with a season, for tests: folders of CSV files, cells found by their headings and typed into."""

from __future__ import annotations

import csv
import subprocess
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from random import Random
from typing import Any

import openpyxl

import costing
from costing.fields.types import Record
from costing.folder.csv_editing import defused
from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME
from costing.season.changes import differences
from costing.season.comparable import digests, normal_tables
from costing.tables.book import BOOK
from costing.tables.making.card_entries import CardEntry
from costing.tables.written import SeasonRecords
from costing.workbook.write.layout import FIRST_BLOCK
from tests.seasons import Tables
from tests.workbook.libreoffice import SETTINGS, soffice

SAMPLE = Path(__file__).parents[2] / "sample"
SHEETS: Mapping[str, type[Record]] = {
    **{name: TABLES_BY_NAME[name.lower()].model for name in ("Purchases", "Items", "Tubs", "Products", "Channels")},
    **{name: TABLES_BY_NAME[name.lower()].model for name in ("Prices", "Overheads")},
    "Own or bought": TABLES_BY_NAME["alternatives"].model,
    "Formulas": CardEntry,
}

# Texts that programs on the way might take for something else.
ODD_TEXTS = (
    'Öl & <Kräuter> "weich"', "=1+1", "'=1+1", "@home", "+64 21 555", "-", "-5", "00123", "1,5", "1.234", "2026-11-01",
    "12:30", "TRUE", "line one\nline two", "tab\there", "#A12", "#N/A", "😀 soap", "_x0041_", "50 %", "1e5", "a;b,c",
    "it's", "Ω ﬁ", "é", "#REF!", "=", "Err:502", "1/2", "12 Aug",
)  # fmt: skip


# -- folders --


def write_folder(folder: Path, tables: Tables) -> Path:
    """Write a season's tables as a folder of CSV files."""
    folder.mkdir()
    for table in RECORD_TABLES:
        rows = tables.get(table.name)
        if not rows:
            continue
        if table.name == "season":
            write_csv(folder / "season.csv", ("key", "value"), [{"key": key, "value": value} for key, value in rows.items()])
        else:
            write_csv(folder / f"{table.name}.csv", tuple(table.model.model_fields), rows)
    return folder


def write_csv(path: Path, columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> None:
    """Write rows under headings, texts that look like formulas defused."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, columns, restval="")
        writer.writeheader()
        writer.writerows({column: defused(text) for column, text in row.items()} for row in rows)


def with_odd_texts(tables: Tables, random: Random) -> Tables:
    """Put odd texts into every column of a season that takes free text."""
    tables["season"]["name"] = random.choice(ODD_TEXTS)
    for name, rows in tables.items():
        columns = {"note", "name", "source", "label_name"} & set(TABLES_BY_NAME[name].model.model_fields)
        for row in rows if name != "season" else ():
            row |= {column: random.choice(ODD_TEXTS) for column in sorted(columns) if random.random() < 0.5}
    invoices: dict[str, str] = {}
    for row in tables["purchases"]:
        if row.get("invoice"):
            at = len(invoices)
            odd = " ".join(ODD_TEXTS[at % len(ODD_TEXTS)].split())
            row["invoice"] = invoices.setdefault(row["invoice"], f"{odd}{at // len(ODD_TEXTS) or ''}")
    return tables


# -- records --


def changes(one: SeasonRecords, other: SeasonRecords) -> list[str]:
    """Return what differs between two sets of records, in words; nothing where they are equal."""
    found = [str(change) for change in differences(normal_tables(one), normal_tables(other))]
    assert bool(found) == (digests(one) != digests(other))
    return found


def edits(path: Path, since: SeasonRecords) -> list[str]:
    """Return what a season in a folder or workbook says differently from some records, in words."""
    return changes(since, costing.read_season(path))


# -- sheets --


@dataclass
class Grid:
    """One table on a sheet, its columns by key."""

    sheet: Any
    columns: Mapping[str, int]
    heading: int

    def cell(self, row: int, key: str) -> Any:
        """Return a cell."""
        return self.sheet.cell(row, self.columns[key])

    def place(self, row: int, key: str) -> str:
        """Return a cell's address, as a fault names it."""
        return f"{self.sheet.title}, {self.cell(row, key).coordinate}"

    @property
    def rows(self) -> list[int]:
        """The rows that are filled in."""
        first = next(iter(self.columns))
        numbers = range(self.heading + 1, self.sheet.max_row + 1)
        return [number for number in numbers if self.cell(number, first).value is not None]

    def shown(self, row: int) -> dict[str, str]:
        """Return a row's given cells as texts, blank ones left out."""
        return {key: _text(self.cell(row, key).value) for key in self.columns if self.cell(row, key).value is not None}

    def find(self, **cells: str) -> int:
        """Return the first row that shows some texts."""
        return next(row for row in self.rows if cells.items() <= self.shown(row).items())

    def put(self, number: int, /, **values: Any) -> None:
        """Type values into a row."""
        for key, value in values.items():
            self.cell(number, key).value = value

    def sort(self, by: str, *, down: bool = False) -> None:
        """Sort the rows by a column, as a spreadsheet program does: with all that stands in them."""
        rows = self.rows
        assert rows == list(range(rows[0], rows[-1] + 1))
        width = range(1, self.sheet.max_column + 1)
        held = [[self.sheet.cell(row, at).value for at in width] for row in rows]
        held.sort(key=lambda cells: cells[self.columns[by] - 1], reverse=down)
        for row, cells in zip(rows, held, strict=True):
            for at, value in zip(width, cells, strict=True):
                self.sheet.cell(row, at).value = value


def _text(value: Any) -> str:
    if isinstance(value, datetime | date):
        return f"{value:%Y-%m-%d}"
    return f"{value:g}" if isinstance(value, float) else str(value)


def grid(book: Any, name: str, model: type[Record] | None = None, heading: int = FIRST_BLOCK) -> Grid:
    """Return a table of a workbook by the name of its sheet, whose headings stand where the export puts them."""
    model = model or SHEETS[name]
    sheet = book[name]
    texts = {str(cell.value).split(" (")[0]: cell.column for cell in sheet[heading]}
    return Grid(sheet, {key: texts[info.title or key] for key, info in model.model_fields.items()}, heading)


def setting(book: Any, key: str, sheet: str = "Settings") -> Any:
    """Return the cell that holds a setting."""
    return next(row[2] for row in book[sheet].iter_rows(min_row=FIRST_BLOCK + 1) if row[0].value == key)


def typed_into(path: Path, target: Path, typing: Any) -> Path:
    """Open a workbook, do something to it, and save it under another name."""
    book = openpyxl.load_workbook(path)
    typing(book)
    book.save(target)
    return target


def leaned(path: Path, target: Path) -> Path:
    """Copy an exported workbook without what is worked out and without spare rows: it opens faster."""

    def typing(book: Any) -> None:
        for name in SHEETS:
            table = grid(book, name)
            table.sheet.delete_cols(len(table.columns) + 1, table.sheet.max_column)
            table.sheet.delete_rows(max([*table.rows, table.heading]) + 1, table.sheet.max_row)
        held = {part.sheet for part in BOOK.tables() if part.cards or part.key in TABLES_BY_NAME} | {"Settings"}
        for name in set(book.sheetnames) - held:
            book.remove(book[name])

    return typed_into(path, target, typing)


# -- LibreOffice --


def saved_by_libreoffice(folder: Path, *books: Path) -> list[Path]:
    """Return copies of workbooks as LibreOffice saves them, in one start of the program."""
    command = soffice()
    (folder / "profile/user").mkdir(parents=True)
    (folder / "profile/user/registrymodifications.xcu").write_text(SETTINGS, encoding="utf-8")
    subprocess.run(
        [command, f"-env:UserInstallation=file://{folder}/profile", "--headless", "--norestore", "--convert-to", "xlsx",
         "--outdir", str(folder / "out"), *map(str, books)],
        check=True, capture_output=True, timeout=600,
    )  # fmt: skip
    return [folder / "out" / book.name for book in books]
