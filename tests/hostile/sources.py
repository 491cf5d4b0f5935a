"""The whole seasons that are broken, as tables, files and parts of a workbook."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import costing
from costing.records.schema import RECORD_TABLES
from costing.workbook.write.book import workbook_bytes
from tests.seasons import Tables, as_records, random_season, seeded

Grid = list[list[str]]  # a table as rows of cells, headings first
Grids = dict[str, Grid]
Parts = dict[str, bytes]  # files of a folder, or parts of a workbook, by name

SOURCES = 4  # seasons that are broken


@cache
def _tables(source: int) -> Tables:
    tables = random_season(seeded(source))
    used = _used(tables)
    kept = [row for at, row in enumerate(tables["purchases"]) if row["item"] in used or (at % 3 == 0 and _alone(row))]
    tables["purchases"] = kept
    return tables


def _alone(row: Mapping[str, str]) -> bool:
    """Whether a purchase is right without the others of its receipt: no discount on them, and no return of one."""
    return row["item"] != "discount" and not row.get("packs", "").startswith("-")


def _used(tables: Tables) -> set[str]:
    return {row["item"] for row in tables["lines"]} | {row["part"] for row in tables["tubs"]}


def grids(source: int) -> Grids:
    """Return a whole season as rows of cells."""
    found: Grids = {}
    for table in RECORD_TABLES:
        rows = _tables(source).get(table.name, [])
        if table.name == "season":
            found["season"] = [["key", "value"], *([key, value] for key, value in rows.items())]
        elif rows:
            columns = list(table.model.model_fields)
            found[table.name] = [columns, *([row.get(column, "") for column in columns] for row in rows)]
    return found


@cache
def exported(source: int) -> Mapping[str, bytes]:
    """Return the parts of the pricing workbook of a whole season."""
    return unpacked(workbook_bytes(costing.cost(as_records(_tables(source)))))


def unpacked(data: bytes) -> Parts:
    """Return the parts of a workbook, the same every time: without when it was written."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    written_on = re.compile(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
    return parts | {"docProps/core.xml": written_on.sub(b"2026-11-25T08:00:00Z", parts["docProps/core.xml"])}


def packed(parts: Mapping[str, bytes]) -> bytes:
    """Return parts as a zip file, the same every time."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, data in parts.items():
            archive.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return file.getvalue()


def written(grid: Grid, delimiter: str) -> bytes:
    """Return a table as CSV, whatever its cells hold."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter, lineterminator="\r\n").writerows(grid)
    return text.getvalue().encode("utf-8", "surrogatepass")


def written_folder(place: Path, source: int = 0) -> Path:
    """Write a whole season as a folder of CSV files."""
    for name, grid in grids(source).items():
        (place / f"{name}.csv").write_bytes(written(grid, ","))
    return place
