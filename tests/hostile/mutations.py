"""Seasons broken at random, as folders and as workbooks. The same seed and number always break the same season alike."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from random import Random
from typing import Any

import openpyxl

from tests.hostile.broken_books import PART_CHANGES
from tests.hostile.broken_files import FILE_CHANGES, cut, flip_bytes, odd_bytes
from tests.hostile.broken_tables import GRID_CHANGES
from tests.hostile.odd import ODD_VALUES
from tests.hostile.sources import SOURCES, Grid, Grids, Parts, exported, grids, packed, unpacked, written


@dataclass(frozen=True)
class Mutated:
    """A broken season: the files of a folder or the bytes of a workbook, and what was done to it."""

    content: Mapping[str, bytes] | bytes
    told: tuple[str, ...]

    def write(self, place: Path) -> Path:
        """Write it into an empty folder and return the season's path."""
        if isinstance(self.content, bytes):
            path = place / "season.xlsx"
            path.write_bytes(self.content)
            return path
        folder = place / "season"
        folder.mkdir()
        for name, data in self.content.items():
            (folder / name).write_bytes(data)
        return folder


def mutated(seed: int, number: int) -> Mutated:
    """Return one broken season. Of twenty, thirteen are folders, four plain workbooks and three exported ones."""
    random = Random(f"{seed} {number}")  # noqa: S311  # the same every time is what tests want
    source = random.randrange(SOURCES)
    if is_folder(number):
        return _folder(random, source)
    return _plain_workbook(random, source) if number % 20 < 17 else _exported_workbook(random, source)


def is_folder(number: int) -> bool:
    """Tell whether the broken season of some number is a folder, and no workbook."""
    return number % 20 < 13


# -- folders --


def _broken_grids(random: Random, source: int, told: list[str], times: int) -> Grids:
    tables = grids(source)
    for _ in range(times):
        change = random.choice(GRID_CHANGES)
        told.append(change(random, tables))
    return tables


def _folder(random: Random, source: int) -> Mutated:
    told: list[str] = []
    whole = random.random() < 0.4
    tables = _broken_grids(random, source, told, 0 if whole else random.choice((1, 1, 1, 2, 3)))
    dialect = random.choice((",", ",", ",", ";", "\t"))
    files = {f"{name}.csv": written(grid, dialect) for name, grid in tables.items()}
    for _ in range(random.choice((1, 1, 2)) if whole else random.choice((0, 0, 0, 1))):
        change = random.choice(FILE_CHANGES)
        name = random.choice(sorted(files))
        files[name] = change(random, files[name])
        told.append(f"{name}: {change.__name__.strip('_').replace('_', ' ')}")
    if whole and random.random() < 0.2:
        told.append(_move_file(random, files))
    return Mutated(files, tuple(told))


def _move_file(random: Random, files: Parts) -> str:
    name = random.choice(sorted(files))
    stem = name.removesuffix(".csv")
    to = random.choice(
        (f"{stem.upper()}.CSV", f"{stem}s.csv", f"{stem[:-1]}.csv", f"{stem}.csv.bak", f"{stem} (1).csv", ".csv")
    )
    files[to] = files[name] if random.random() < 0.5 else files.pop(name)
    return f"{name} as {to}"


# -- workbooks --


def _plain_workbook(random: Random, source: int) -> Mutated:
    """Return a workbook of one's own: a sheet for each table, cells as they are typed."""
    told: list[str] = []
    whole = random.random() < 0.3
    tables = _broken_grids(random, source, told, 0 if whole else random.choice((1, 1, 2)))
    book: Any = openpyxl.Workbook()
    book.remove(book.active)
    for name, grid in tables.items():
        sheet = book.create_sheet(random.choice((name, name, name.capitalize(), f" {name} ")))
        _fill(random, sheet, grid)
        if random.random() < 0.1:
            told.append(_odd_value(random, sheet))
    if not book.sheetnames:
        book.create_sheet("empty")
    file = io.BytesIO()
    book.save(file)
    parts = unpacked(file.getvalue())
    return Mutated(_broken_book(random, parts, told) if whole else packed(parts), tuple(told))


def _fill(random: Random, sheet: Any, grid: Grid) -> None:
    top = random.choice((1, 1, 1, 3, 25))
    for row, cells in enumerate(grid, start=top):
        for column, text in enumerate(cells, start=1):
            value = _typed(random, re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f]|[\ud800-\udfff]", "", text)[:32_000])
            cell = sheet.cell(row, column)
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"  # a text, even if it begins like a formula
            if random.random() < 0.01:
                cell.number_format = random.choice(("0%", "yyyy-mm-dd", "[h]:mm", "@", "General;;;", '"x"0'))


def _typed(random: Random, text: str) -> Any:
    """Return a text as a spreadsheet takes it when it is typed, most of the times."""
    if not text:
        return None
    if random.random() < 0.9 and re.fullmatch(r"-?\d{1,15}(\.\d{1,15})?", text):
        return float(text)
    if random.random() < 0.9 and re.fullmatch(r"20\d\d-[01]\d-[0-2]\d", text) and text[5:7] not in ("00", "13"):
        return date.fromisoformat(text) if text[8:] != "00" and text[5:7] <= "12" and text[8:] <= "28" else text
    return text


def _odd_value(random: Random, sheet: Any) -> str:
    cell = sheet.cell(random.randrange(1, sheet.max_row + 3), random.randrange(1, sheet.max_column + 2))
    cell.value = random.choice(ODD_VALUES)
    if random.random() < 0.2:
        sheet.merge_cells(start_row=2, end_row=random.randrange(2, 5), start_column=1, end_column=random.randrange(1, 4))
    return f"{sheet.title} {cell.coordinate} = {cell.value!r:.40}"


def _exported_workbook(random: Random, source: int) -> Mutated:
    told: list[str] = []
    return Mutated(_broken_book(random, dict(exported(source)), told), tuple(told))


def _broken_book(random: Random, parts: Parts, told: list[str]) -> bytes:
    for _ in range(random.choice((1, 1, 1, 2, 4))):
        change = random.choice(PART_CHANGES)
        told.append(change(random, parts))
    data = packed(parts)
    if random.random() < 0.15:
        change_bytes = random.choice((flip_bytes, cut, odd_bytes))
        data = change_bytes(random, data)
        told.append(f"zip: {change_bytes.__name__}")
    return data
