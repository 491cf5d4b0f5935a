"""A season kept as a folder of CSV files."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from costing.errors import Fault, FileTrouble, suggestion
from costing.folder.csv_editing import undefused
from costing.folder.csv_text import described, read_csv
from costing.records.parsing import RawRow, RawTable
from costing.records.schema import TABLES_BY_NAME


def raw_tables(folder: Path) -> tuple[dict[str, RawTable], list[Fault]]:
    """Return the tables of a folder as texts, and a fault for each file whose name is nearly, or twice, that of a table."""
    try:
        found = [file for file in sorted(folder.iterdir()) if file.suffix.lower() == ".csv"]
    except OSError as error:
        raise FileTrouble(f"{folder}: cannot be opened as a folder ({error.strerror}); name a season's folder") from None
    files = {file.stem.lower(): file for file in found}
    tables = {name: _raw_table(file) for name, file in files.items() if name in TABLES_BY_NAME}
    absent = set(TABLES_BY_NAME) - set(files)
    strays = [
        Fault(
            f"{file.name}, {files[file.stem.lower()].name}",
            "are one table in two files",
            "keep one, and move the other elsewhere",
        )
        for file in found
        if file.stem.lower() in tables and file is not files[file.stem.lower()]
    ]
    for name in sorted(set(files) - set(tables)):
        meant = suggestion(name, absent)
        if meant.nearest:
            strays.append(Fault(files[name].name, "is no table of a season", f"{meant} Rename it, or move it elsewhere"))
    return tables, strays


def _raw_table(file: Path) -> RawTable:
    try:
        data = file.read_bytes()
    except OSError as error:
        raise FileTrouble(f"{file}: cannot be read ({error.strerror})") from None
    return raw_table_of(data, file.name)


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
