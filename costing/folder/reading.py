"""A season kept as a folder of CSV files."""

from __future__ import annotations

import stat
from collections.abc import Mapping, Sequence
from pathlib import Path

from costing.errors import Fault, FileTrouble, Refusal, suggestion
from costing.folder.csv_editing import undefused
from costing.folder.csv_text import LARGEST_FILE, described, read_csv
from costing.records.parsing import RawRow, RawTable
from costing.records.schema import TABLES_BY_NAME


def table_files(folder: Path) -> dict[str, bytes]:
    """Return what each CSV file of a folder holds, by its name: all read at once, so that what follows is of one moment."""
    try:
        found = [file for file in sorted(folder.iterdir()) if file.suffix.lower() == ".csv"]
    except OSError as error:
        raise FileTrouble(f"{folder}: cannot be opened as a folder ({error.strerror}); name a season's folder") from None
    return {file.name: _bytes(file) if file.stem.lower() in TABLES_BY_NAME else b"" for file in found}


def raw_tables(files: Mapping[str, bytes]) -> tuple[dict[str, RawTable], list[Fault]]:
    """Return the tables of a folder as texts, and a fault for each file whose name is nearly, or twice, that of a table."""
    named = {Path(file).stem.lower(): file for file in files}
    tables = {name: raw_table_of(files[file], file) for name, file in named.items() if name in TABLES_BY_NAME}
    absent = set(TABLES_BY_NAME) - set(named)
    strays = [
        Fault(
            f"{file}, {named[Path(file).stem.lower()]}",
            "are one table in two files",
            "keep one, and move the other elsewhere",
        )
        for file in files
        if Path(file).stem.lower() in tables and file != named[Path(file).stem.lower()]
    ]
    for name in sorted(set(named) - set(tables)):
        meant = suggestion(name, absent)
        if meant.nearest:
            strays.append(Fault(named[name], "is no table of a season", f"{meant} Rename it, or move it elsewhere"))
    return tables, strays


def _bytes(file: Path) -> bytes:
    try:
        found = file.stat()
        if not (stat.S_ISREG(found.st_mode) or stat.S_ISDIR(found.st_mode)):  # a device never ends, and a pipe waits
            raise Refusal(f"{file}: is no ordinary file; put a table there, or take it away")
        if found.st_size > LARGEST_FILE:
            size = f"{found.st_size / 1e6:.0f} MB, and {LARGEST_FILE / 1e6:.0f} MB is the limit of a table"
            raise Refusal(f"{file}: is of {size}; check which file this is")
        return file.read_bytes()
    except OSError as error:
        raise FileTrouble(f"{file}: cannot be read ({error.strerror})") from None


def raw_table_of(data: bytes, name: str) -> RawTable:
    """Return the table that the bytes of a CSV file hold, as texts."""
    text = read_csv(data, name, columns_of_words(name))
    how = f"{name}: {described(text)}"
    if text.faults:
        return RawTable(name, (), (), faults=text.faults, how=how)
    header: tuple[str, ...] = ()
    rows: list[RawRow] = []
    faults: list[Fault] = []
    for number, cells in text.rows:
        if not any(cell.strip() for cell in cells):
            continue
        if not header:
            header = _header(cells)
            continue
        if any(cell.strip() for cell in cells[len(header) :]):
            where, what = f"{name}, row {number}", f"{len(cells)} cells under {len(header)} headings"
            faults.append(Fault(where, what, "put a text that holds the separator in double quotes"))
        rows.append(RawRow(number, {key: undefused(cell) for key, cell in zip(header, cells, strict=False)}))
    return RawTable(name, header, rows, text.decimal_comma, faults=tuple(faults), how=how)


def columns_of_words(file: str) -> set[str]:
    """Return the columns of a table's file in which no numbers stand."""
    table = TABLES_BY_NAME.get(Path(file).stem.lower())
    if table is None or table.name == "season":
        return {"key"}
    return {
        column for column, info in table.model.model_fields.items() if info.metadata[0].shape not in ("number", "percent")
    }


def _header(cells: Sequence[str]) -> tuple[str, ...]:
    names = [cell.strip().lower() for cell in cells]
    while names and not names[-1]:
        names.pop()
    return tuple(names)
