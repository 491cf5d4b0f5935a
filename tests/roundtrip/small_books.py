"""Workbooks of the very small season, and what a maker types into them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import openpyxl
from click.testing import CliRunner, Result
from openpyxl.formatting.formatting import ConditionalFormattingList

import costing
from costing.cli import main
from costing.season.comparable import digests
from tests.roundtrip.makers import grid, leaned, setting, typed_into
from tests.small_season import small_folder

NOTHING = "Nothing to carry: the records hold all that the workbook does.\n"
UNUSED = ("Weighings", "Batches", "Batch lines")  # sheets of tables that the small season has no rows of
Typing = Callable[[Any], None]

_EXPORTS: dict[str, bytes] = {}  # by the records that they were written from, since exporting takes longest of all


def exported(season: Path, *typings: Typing, name: str = "own.xlsx") -> Path:
    """Export a folder, make the workbook lean, and type into it."""
    path = season.with_name(name)
    records = costing.read_season(season)
    known = str(digests(records))
    if known not in _EXPORTS:
        path.unlink(missing_ok=True)
        costing.export(costing.cost(records), path, all_sheets=True)
        _EXPORTS[known] = _leanest(path)
    path.write_bytes(_EXPORTS[known])
    return retyped(path, *typings) if typings else path


def _leanest(path: Path) -> bytes:
    """Return an export without all that costs time to open and that nothing here looks at."""

    def bare(book: Any) -> None:
        for name in UNUSED:
            book.remove(book[name])
        for sheet in book:
            sheet.data_validations.dataValidation = []
            sheet.conditional_formatting = ConditionalFormattingList()
        for name in list(book.defined_names):
            del book.defined_names[name]

    return typed_into(leaned(path, path), path, bare).read_bytes()


@cache
def small_book() -> bytes:
    """Return the lean workbook of the small season."""
    with TemporaryDirectory() as scratch:
        return exported(small_folder(Path(scratch) / "season")).read_bytes()


def written(path: Path, *typings: Typing) -> Path:
    """Write that workbook with what was typed into it."""
    path.write_bytes(small_book())
    return retyped(path, *typings) if typings else path


def retyped(path: Path, *typings: Typing) -> Path:
    """Type into a workbook and save it."""
    book = openpyxl.load_workbook(BytesIO(path.read_bytes()))
    for typing in typings:
        typing(book)
    book.save(path)
    return path


# -- what is typed --


def typed(sheet: str, row: dict[str, str], **values: Any) -> Typing:
    """Type values into the first row of a sheet that shows something."""

    def typing(book: Any) -> None:
        table = grid(book, sheet)
        table.put(table.find(**row), **values)

    return typing


def added(sheet: str, **values: Any) -> Typing:
    """Type a row below the last one."""

    def typing(book: Any) -> None:
        table = grid(book, sheet)
        table.put(max([table.heading, *table.rows]) + 1, **values)

    return typing


def deleted(sheet: str, **row: str) -> Typing:
    """Delete the first row of a sheet that shows something."""

    def typing(book: Any) -> None:
        table = grid(book, sheet)
        table.sheet.delete_rows(table.find(**row))

    return typing


def set_to(key: str, value: Any) -> Typing:
    """Change a setting."""

    def typing(book: Any) -> None:
        setting(book, key).value = value

    return typing


# -- what is done --


def replaced(file: Path, old: str, new: str) -> None:
    """Edit the records by hand."""
    text = file.read_bytes().decode("utf-8")
    assert text.count(old) == 1
    file.write_bytes(text.replace(old, new).encode("utf-8"))


def carried(book: Path, season: Path, *options: str, answer: str | None = None) -> Result:
    """Call the command."""
    return CliRunner().invoke(main, ["carry", str(book), str(season), *options], input=answer)


def wrote(book: Path, season: Path, changes_made: int, *options: str) -> list[str]:
    """Carry without being asked, and return what was told of each change."""
    result = carried(book, season, "--yes", *options)
    assert (result.exit_code, result.stderr) == (0, "")
    *told, last = result.stdout.splitlines()
    assert last.startswith(f"Wrote {changes_made} change{'s' * (changes_made > 1)} into {season}.")
    return [line.removeprefix("carry  ") for line in told]


def nothing_new(book: Path, season: Path) -> str:
    """Carry, see that nothing is written, and return what is said."""
    before = held(season)
    result = carried(book, season, "--yes")
    assert (result.exit_code, result.stderr) == (0, "")
    assert held(season) == before
    return result.stdout


def held(season: Path) -> dict[str, bytes]:
    """Return every file of a folder, those kept among them."""
    return {str(file.relative_to(season)): file.read_bytes() for file in sorted(season.rglob("*")) if file.is_file()}


def file_text(file: Path) -> str:
    """Return what a file holds."""
    return file.read_bytes().decode("utf-8")


# Two edits of two tables, and what is told of each.
CASTOR = {"item": "castor-oil", "invoice": "BM-1042"}
PAID = typed("Purchases", CASTOR, paid=70.5)
PAID_TOLD = "purchases: 2025-05-12 Brackmoss Supply BM-1042 castor-oil: paid 66.7 → 70.5"
LABELS = typed("Tubs", {"part": "label"}, count=3)
LABELS_TOLD = "tubs: jar-100 label: count 2 → 3"
