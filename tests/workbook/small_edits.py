"""Edits typed into the workbook of the small season, and the same season exported anew with them in its records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import costing
from tests.workbook.books import Book, typed_into
from tests.workbook.libreoffice import Recalculated, recalculated, same
from tests.workbook.small_season import TABLES, few_free_rows, small_book
from tests.workbook.stored_cells import stored_cells

Books = list[tuple[Recalculated, Path]]


@dataclass(frozen=True)
class Edit:
    """One edit: where it is typed, and what stands in the records then."""

    sheet: str
    row: Mapping[str, Any]
    heading: str
    typed: Any
    table: str
    at: int | None  # which record; None for the season's settings
    column: str
    written: Any = None

    @property
    def name(self) -> str:
        """What is edited, and to what."""
        return f"{self.table}.{self.column} {self.at} {self.typed}"

    def into(self, tables: dict[str, Any]) -> None:
        """Write the edit into a season's tables."""
        row = tables[self.table] if self.at is None else tables[self.table][self.at]
        row[self.column] = self.typed if self.written is None else self.written


def edited_books(folder: Path, all_edits: Sequence[Sequence[Edit]]) -> Books:
    """Return a workbook with each of several lots of edits, as recalculated, and where the season is exported anew."""
    small_book(folder / "small.xlsx")
    cells = Book.at(folder / "small.xlsx")
    for at, edits in enumerate(all_edits):
        tables, typed = deepcopy(TABLES), {}
        for edit in edits:
            edit.into(tables)
            typed[edit.sheet, cells.place(edit.sheet, edit.heading, cells.row(edit.sheet, edit.heading, edit.row))] = (
                edit.typed
            )
        typed_into(folder / "small.xlsx", folder / f"edited-{at}.xlsx", typed)
        with few_free_rows():
            costing.export(costing.cost(costing.records_from(**tables)), folder / f"anew-{at}.xlsx", all_sheets=True)
    books = recalculated(*(folder / f"edited-{at}.xlsx" for at in range(len(all_edits))))
    return [(book, folder / f"anew-{at}.xlsx") for at, book in enumerate(books)]


def moved_on(sheets: Sequence[str], book: Recalculated, anew: Path) -> int:
    """Return how many cells of some sheets the edits moved, all of them being those of the season exported anew."""
    stored, before = stored_cells(anew), stored_cells(anew.parent / "small.xlsx")
    moved = 0
    for sheet in sheets:
        for place, ours in stored[sheet].items():
            if ours.formula:
                theirs = book.cells[sheet].get(place)
                assert same(ours.value, theirs and theirs.value), f"{sheet}!{place}"
                moved += not same(ours.value, before[sheet][place].value)
    return moved
