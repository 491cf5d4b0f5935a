"""A table's file with changes put into it: rows found where they stand, cells changed in place, all else left as it is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from costing.folder.csv_editing import CsvFile, unquoted
from costing.folder.reading import columns_of_words
from costing.records.schema import TABLES_BY_NAME
from costing.season.changes import Change
from costing.season.comparable import ORDER, Cells, shown, written_cells
from costing.tables.written import Rows

_SIZE = {"size", "unit"}


@dataclass(frozen=True)
class TableEdit:
    """What becomes of one table.

    records: its rows as they stand, with their numbers; wanted: all rows as they are to be; anew: the formulas of which
    every step is written, since so far only their lines tell them.
    """

    name: str
    changes: Sequence[Change]
    records: Rows[Any]
    wanted: Sequence[Cells]
    anew: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        """The headings of the table's file."""
        return ("key", "value") if self.name == "season" else tuple(TABLES_BY_NAME[self.name].model.model_fields)


@dataclass(frozen=True)
class _RowEdit:
    """One change to one row of a file: new cells, or None to take it out; ``below`` to add a row under it instead."""

    number: int
    cells: Cells | None
    below: bool = False


def edited_file(name: str, data: bytes | None, edit: TableEdit) -> bytes:
    """Return the bytes of a table's file with the edit in it, or of a new one where there is none."""
    fresh = CsvFile.fresh(edit.columns)
    file = fresh if data is None else CsvFile.parse(data, name, columns_of_words(name))
    if not file.rows:
        file = fresh
    if edit.name == "season":
        _change_settings(file, edit.changes)
    else:
        _change_rows(file, edit)
    return file.bytes()


def _change_settings(file: CsvFile, changes: Sequence[Change]) -> None:
    """Change settings where they stand, and add those that the file lacks at its end."""
    at = file.columns(("key", "value"))["key"]
    rows = {unquoted(cells[at]).strip(): number for number, (cells, _) in enumerate(file.rows, 1) if len(cells) > at}
    model = TABLES_BY_NAME["season"].model.model_fields
    for change in changes:
        for column in change.columns:
            text = (change.new or {}).get(column, shown(model[column].default))
            value = _spelled(file, "season", column, text)
            if column in rows:
                file.change(rows[column], {"value": value})
            else:
                file.add({"key": column, "value": value}, after=len(file.rows))


def _change_rows(file: CsvFile, edit: TableEdit) -> None:
    """Change, add and remove rows, from the bottom up, so that row numbers hold until they are used."""
    edits = (_StepEdits if edit.name == "steps" else _RowEdits)(edit, last=len(file.rows)).all()
    for each in sorted(edits, key=lambda each: (-each.number, not each.below)):
        if each.cells is None:
            file.remove(each.number)
            continue
        cells = {c: _spelled(file, edit.name, c, text) for c, text in each.cells.items() if c != ORDER}
        if each.below:
            file.add(cells, after=each.number)
        else:
            file.change(each.number, cells)


def _spelled(file: CsvFile, name: str, column: str, text: str) -> str:
    """Return a value as its file writes it: numbers with its decimal mark."""
    shape = TABLES_BY_NAME[name].model.model_fields[column].metadata[0].shape
    return file.number(text) if shape in ("number", "percent") else text


class _RowEdits:
    """The edits of rows that make a table's changes, with the numbers of the rows in its file."""

    def __init__(self, edit: TableEdit, last: int) -> None:
        self._edit = edit
        self._last = last
        self._key = TABLES_BY_NAME[edit.name].key
        self._places: dict[tuple[Any, ...], list[int]] = defaultdict(list)
        self._last_of_group: dict[tuple[str, ...], int] = {}
        for record, number in zip(edit.records.records, edit.records.numbers, strict=True):
            cells = written_cells(record)
            self._places[self._sign(cells)].append(number)
            for group in _groups(cells):
                self._last_of_group[group] = max(number, self._last_of_group.get(group, 0))

    def all(self) -> list[_RowEdit]:
        """Return the edits; of rows added in one place, the last first: each goes right under the row that it names."""
        return [self._for(change) for change in self._edit.changes][::-1]

    def _sign(self, cells: Cells) -> tuple[Any, ...]:
        """Return what tells a row from the others: its key, or all of it."""
        return tuple(cells.get(column) for column in self._key) if self._key else tuple(sorted(cells.items()))

    def _for(self, change: Change) -> _RowEdit:
        """Return the edit that makes one change."""
        cells = change.old or change.new or {}
        places = self._places.get(self._sign(cells), [])
        if self._edit.name == "items" and places:  # an item's row goes on without corrections of the packaged list
            return _RowEdit(places[0], {column: text for column, text in _changed(change).items() if column != "item"})
        if change.old is None:
            return _RowEdit(self._row_above(cells), change.new, below=True)
        number = places.pop(0)
        return _RowEdit(number, None if change.new is None else _changed(change))

    def _row_above(self, cells: Cells) -> int:
        """Return under which row a new one goes: under the last of its formula and step, of its formula, or of all."""
        return next((self._last_of_group[group] for group in _groups(cells) if group in self._last_of_group), self._last)


class _StepEdits(_RowEdits):
    """The edits of steps, whose order means something."""

    def all(self) -> list[_RowEdit]:
        """Return the edits: cell by cell where a formula keeps its steps, else all of its rows anew."""
        by_formula: dict[str, list[Change]] = {formula: [] for formula in self._edit.anew}
        for change in self._edit.changes:
            by_formula.setdefault((change.old or change.new or {})["formula"], []).append(change)
        edits: list[_RowEdit] = []
        for formula, own in by_formula.items():
            in_place = formula not in self._edit.anew and all(map(self._keeps_its_place, own))
            edits += map(self._for, own) if in_place else self._all_anew(formula)
        return edits

    def _keeps_its_place(self, change: Change) -> bool:
        """Whether a step stands in the file already, and is to stay where it is."""
        if change.old is None or change.new is None or ORDER in change.columns:
            return False
        return bool(self._places.get(self._sign(change.old)))

    def _all_anew(self, formula: str) -> list[_RowEdit]:
        """Write all steps of a formula under those there are, and take these out."""
        numbers = sorted(number for sign, places in self._places.items() if sign[0] == formula for number in places)
        rows = [cells for cells in self._edit.wanted if cells["formula"] == formula]
        under = numbers[-1] if numbers else self._last
        added = [_RowEdit(under, cells, below=True) for cells in reversed(rows)]
        return [*added, *(_RowEdit(number, None) for number in numbers)]


def _groups(cells: Cells) -> list[tuple[str, ...]]:
    """Return the groups of rows that a row belongs to, the closest first: formula and step, formula."""
    if "formula" not in cells:
        return []
    formula = cells["formula"]
    return [(formula, cells["step"]), (formula,)] if "step" in cells else [(formula,)]


def _changed(change: Change) -> dict[str, str]:
    """Return the cells that a change writes; what is no longer there is written as a blank."""
    columns = set(change.columns)
    if change.table == "purchases" and columns & _SIZE:  # which may stand in one cell in the file
        columns |= _SIZE
    return {column: (change.new or {}).get(column, "") for column in columns}
