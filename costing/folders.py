"""A season kept as a folder of CSV files."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from costing.errors import Fault, Refusal, did_you_mean
from costing.reading import RawRow, RawTable
from costing.schema import TABLES_BY_NAME


def raw_tables(folder: Path) -> tuple[dict[str, RawTable], list[Fault]]:
    """Return the tables of a folder as texts, and a fault for each file whose name is nearly that of a table."""
    try:
        files = {file.stem.lower(): file for file in sorted(folder.iterdir()) if file.suffix.lower() == ".csv"}
    except OSError as error:
        raise Refusal(f"{folder}: cannot be opened as a folder ({error.strerror}); name a season's folder") from None
    tables = {name: _raw_table(file) for name, file in files.items() if name in TABLES_BY_NAME}
    absent = set(TABLES_BY_NAME) - set(files)
    strays = []
    for name in sorted(set(files) - set(tables)):
        meant = did_you_mean(name, absent)
        if meant.startswith("did"):
            strays.append(Fault(files[name].name, "is no table of a season", f"{meant} Rename it, or move it elsewhere"))
    return tables, strays


def _raw_table(file: Path) -> RawTable:
    try:
        data = file.read_bytes()
    except OSError as error:
        raise Refusal(f"{file}: cannot be read ({error.strerror})") from None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = data[: error.start].count(b"\n") + 1
        fault = Fault(f"{file.name}, row {row}", "is not UTF-8 text", "save the file as CSV in UTF-8")
        return RawTable(file.name, (), [RawRow(0, {})], faults=(fault,))
    return _rows_of(file.name, text)


def _rows_of(source: str, text: str) -> RawTable:
    lines = csv.reader(io.StringIO(text, newline=""), strict=True)
    header: tuple[str, ...] = ()
    rows: list[RawRow] = []
    faults: list[Fault] = []
    number = 0
    try:
        for cells in lines:
            number += 1
            if not any(cell.strip() for cell in cells):
                continue
            if not header:
                header = _header(cells)
                continue
            if any(cell.strip() for cell in cells[len(header) :]):
                faults.append(
                    Fault(
                        f"{source}, row {number}",
                        f"{len(cells)} cells under {len(header)} headings",
                        "put a text that holds a comma in double quotes",
                    )
                )
            rows.append(RawRow(number, dict(zip(header, cells, strict=False))))
    except csv.Error as error:
        faults.append(Fault(f"{source}, row {number + 1}", f"is no CSV ({error})", "check the quotation marks there"))
    return RawTable(source, header, rows, faults=tuple(faults))


def _header(cells: list[str]) -> tuple[str, ...]:
    names = [cell.strip().lower() for cell in cells]
    while names and not names[-1]:
        names.pop()
    return tuple(names)
