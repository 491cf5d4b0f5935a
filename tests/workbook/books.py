"""Finding cells of a workbook by sheet, heading and key, and typing into them in the file itself."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

import openpyxl
from openpyxl.worksheet.cell_range import CellRange

Keys = Mapping[str, Any]  # what stands under some headings in the row that is meant


class Book:
    """A workbook, its cells to be found as a reader finds them."""

    def __init__(self, book: Any) -> None:
        self.book = book

    @classmethod
    def at(cls, path: Path) -> Book:
        """Return the workbook of a file, with its formulas."""
        return cls(openpyxl.load_workbook(path))

    def blocks(self, sheet: str) -> Iterator[tuple[int, int, dict[str, int]]]:
        """Yield heading row, last row and headings with their columns of each block on a sheet."""
        for table in self.book[sheet].tables.values():
            left, top, right, bottom = CellRange(table.ref).bounds
            headings = {str(self.book[sheet].cell(top, at).value): at for at in range(left, right + 1)}
            yield top, bottom, headings

    def _block(self, sheet: str, headings: Sequence[str]) -> tuple[range, dict[str, int]]:
        for top, bottom, columns in self.blocks(sheet):
            found = {wanted: _column(columns, wanted) for wanted in headings}
            if all(found.values()):
                return range(top + 1, bottom + 1), found
        raise KeyError(f"{sheet} has no block with the headings {headings}")

    def row(self, sheet: str, heading: str, keys: Keys) -> int:
        """Return the one row of the block with a heading in which the keys stand."""
        rows, columns = self._block(sheet, [heading, *keys])
        values = self.book[sheet].cell
        found = [row for row in rows if all(values(row, columns[key]).value == keys[key] for key in keys)]
        if len(found) != 1:
            raise KeyError(f"{sheet} has {len(found)} rows with {keys}")
        return found[0]

    def free_row(self, sheet: str, heading: str, after: int = 0) -> int:
        """Return the first row, or the one so many rows after it, in which nothing stands under a heading."""
        rows, columns = self._block(sheet, [heading])
        last = max(row for row in rows if self.book[sheet].cell(row, columns[heading]).value is not None)
        if last + 1 + after not in rows:
            raise KeyError(f"{sheet} has no free row under {heading}")
        return last + 1 + after

    def place(self, sheet: str, heading: str, row: int) -> str:
        """Return the address of a row's cell under a heading."""
        rows, columns = next(
            (rows, columns)
            for top, bottom, columns in self.blocks(sheet)
            if row in (rows := range(top + 1, bottom + 1)) and _column(columns, heading)
        )
        return str(self.book[sheet].cell(row, _column(columns, heading)).coordinate)

    def places(self, sheet: str, *headings: str) -> list[list[tuple[str, int, int]]]:
        """Return sheet, row and column of the cells under some headings, row by row, down to the last free one."""
        rows, columns = self._block(sheet, headings)
        return [[(sheet, row, columns[heading]) for heading in headings] for row in rows]

    def numbered(self, sheet: str, place: str) -> tuple[str, int, int]:
        """Return sheet, row and column of an address."""
        cell = self.book[sheet][place]
        return sheet, cell.row, cell.column

    def column(self, sheet: str, heading: str, keys: Sequence[str]) -> dict[tuple[Any, ...], Any]:
        """Return what stands under a heading, by what stands under the key headings. Blank rows are left out."""
        rows, columns = self._block(sheet, [heading, *keys])
        values = self.book[sheet].cell
        found = {}
        for row in rows:
            key = tuple(values(row, columns[each]).value for each in keys)
            if any(part not in (None, "", " ") for part in key):
                found[key] = values(row, columns[heading]).value
        return found


def _column(columns: Mapping[str, int], wanted: str) -> int:
    """Return the column of a heading, with its unit or without; 0 where there is none."""
    return next((at for text, at in columns.items() if text == wanted or text.startswith(f"{wanted} (")), 0)


def part_of(path: Path, sheet: str) -> str:
    """Return the name of a sheet's part in the file."""
    names = openpyxl.load_workbook(path, read_only=True).sheetnames
    return f"xl/worksheets/sheet{names.index(sheet) + 1}.xml"


def typed_into(source: Path, target: Path, changes: Mapping[tuple[str, str], Any]) -> None:
    """Copy a workbook with values typed into cells, by sheet and address; None empties a cell. Looks stay."""
    by_part: dict[str, dict[str, Any]] = {}
    for (sheet, place), value in changes.items():
        by_part.setdefault(part_of(source, sheet), {})[place] = value
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            data = old.read(part)
            if part.filename in by_part:
                data = _typed(data.decode(), by_part[part.filename]).encode()
            new.writestr(part.filename, data)


def _typed(xml: str, values: Mapping[str, Any]) -> str:
    for place, value in values.items():
        cell = re.search(rf'<c r="{place}"( s="\d+")[^>]*?(?:/>|>(.*?)</c>)', xml)
        if cell is None or "<f>" in (cell[2] or ""):
            raise KeyError(f"{place} is no cell to type into")
        xml = f"{xml[: cell.start()]}{_cell(place, cell[1], value)}{xml[cell.end() :]}"
    return xml


def _cell(place: str, style: str, value: Any) -> str:
    if value is None:
        return f'<c r="{place}"{style}/>'
    if isinstance(value, str):
        return f'<c r="{place}"{style} t="inlineStr"><is><t>{escape(value)}</t></is></c>'
    return f'<c r="{place}"{style}><v>{value!r}</v></c>'
