"""Any order of edits in the workbook, edits in the records and carrying: no figure is ever lost or made up.

A model holds three states of every table: the workbook's, the records', and the one that both last knew. Carrying moves
a table from the workbook to the records where only the workbook moved on, and tells a conflict where both did.
"""

from __future__ import annotations

import csv
import json
import tempfile
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner, Result
from hypothesis import HealthCheck, Phase, settings, strategies
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test

import costing
from costing.cli import main
from costing.records.schema import RECORD_TABLES, TABLES_BY_NAME
from costing.season.comparable import normal_tables
from tests.roundtrip.makers import Grid, grid, leaned, setting, write_csv, write_folder
from tests.seasons import Tables, random_season, seeded

pytestmark = pytest.mark.slow

SHEETS = {"prices": "Prices", "purchases": "Purchases", "items": "Items", "overheads": "Overheads", "steps": "Formulas"}
COLUMNS = {
    "prices": ("planned", "price"), "purchases": ("paid", "rate"), "items": ("on_hand", "quote"),
    "overheads": ("amount",), "steps": ("minutes", "watts"), "season": ("hourly_rate", "power_price"),
}  # fmt: skip
KEYS = {"purchases": ("note",)} | {name: TABLES_BY_NAME[name].key for name in ("prices", "items", "overheads", "steps")}
# Few values, so that edits are often taken back, and often made on both sides alike.
VALUES = strategies.sampled_from(["150", "160.5", "170.25"])
WHERE = strategies.sampled_from(["workbook", "workbook", "records"])
THEN = strategies.sampled_from(["edit", "carry", "settle"])
PLACES = strategies.integers(0, 3)
EDITED = strategies.sampled_from(["prices", "purchases", "items", "overheads", "steps", "season"])
EDITS = strategies.tuples(EDITED, PLACES, PLACES, VALUES)
GROWING = strategies.sampled_from(["overheads", "purchases"])

Rows = dict[tuple[str, ...], dict[str, str]]
State = dict[str, Rows]


@cache
def season_tables() -> Tables:
    """Return a season in which every purchase can be told by its note, and is dear enough for its tax."""
    tables = random_season(seeded(11), "latest")
    for at, row in enumerate(tables["purchases"]):
        row["note"] = f"row {at}"
        row.pop("tax", None)
    return tables


@cache
def exported_first() -> bytes:
    """Return the lean workbook of that season."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = write_folder(Path(scratch) / "season", season_tables())
        return exported(folder, Path(scratch) / "book.xlsx")


def exported(folder: Path, path: Path) -> bytes:
    """Export a folder and return the workbook without worked columns, which opens faster."""
    costing.export(costing.cost(costing.read_season(folder)), path, replace=True)
    return leaned(path, path).read_bytes()


def state_of(path: Path) -> State:
    """Return what a season in a folder or workbook holds, by table and row."""
    found: State = {}
    for table, rows in normal_tables(costing.read_season(path)).items():
        found[table] = {_key(table, row): dict(row) for row in rows}
        assert len(found[table]) == len(rows)
    return found


def _key(table: str, row: Mapping[str, str]) -> tuple[str, ...]:
    if table == "season":
        return ()
    keys = KEYS.get(table, TABLES_BY_NAME[table].key)
    return tuple(row[key] for key in keys) if keys else (json.dumps(row, sort_keys=True),)


def copied(rows: Rows) -> Rows:
    """Return a copy of a table that can be changed alone."""
    return {key: dict(row) for key, row in rows.items()}


def _but_the_log(files: Mapping[Path, bytes]) -> dict[Path, bytes]:
    return {file: data for file, data in files.items() if file.name != "carried.csv"}


class Carrying(RuleBasedStateMachine):
    """A folder, a workbook exported from it, and what each should hold."""

    def __init__(self) -> None:
        super().__init__()
        self.scratch = tempfile.TemporaryDirectory()
        self.path = Path(self.scratch.name) / "book.xlsx"
        self.folder = write_folder(Path(self.scratch.name) / "season", season_tables())
        self.exports, self.added, self.slipped = 0, 0, False
        self.broken: list[Callable[[], None]] = []
        self.sides = {"records": state_of(self.folder)}
        self._take(exported_first())

    def _take(self, workbook: bytes) -> None:
        self.path.write_bytes(workbook)
        self.book: Any = openpyxl.load_workbook(self.path)
        # Exports follow one another by more than a second, except in tests.
        self.book.properties.created = datetime(2026, 11, 1) + timedelta(hours=self.exports)
        self.sides["workbook"] = {table: copied(rows) for table, rows in self.sides["records"].items()}
        self.known = {table: copied(rows) for table, rows in self.sides["records"].items()}

    def teardown(self) -> None:
        """Take the files away."""
        self.scratch.cleanup()

    # -- where things stand --

    def _grid(self, table: str) -> Grid:
        return grid(self.book, SHEETS[table])

    def _row(self, table: str, key: tuple[str, ...]) -> int:
        cells = dict(zip(KEYS[table], key, strict=True)) | ({"row": "step"} if table == "steps" else {})
        return self._grid(table).find(**cells)

    def _file(self, table: str) -> tuple[Path, tuple[str, ...], list[dict[str, str]]]:
        path = self.folder / f"{table}.csv"
        with path.open(encoding="utf-8", newline="") as file:
            reader = csv.DictReader(file)
            rows = list(reader)
        return path, tuple(reader.fieldnames or ()), rows

    def _write(self, table: str, key: tuple[str, ...], column: str, text: str) -> None:
        """Change one cell of the records by hand."""
        path, columns, rows = self._file(table)
        if table == "steps" and key[0] not in {row["formula"] for row in rows}:  # so far only its lines told of them
            told = [step for formula, step in self.sides["records"][table] if formula == key[0]]
            rows += [{"formula": key[0], "step": step} for step in told]
        if table == "season":
            row, cell = next((row for row in rows if row["key"] == column), {"key": column}), "value"
            rows += [] if row in rows else [row]
        else:
            row, cell = next(row for row in rows if tuple(row[name] for name in KEYS[table]) == key), column
        row[cell] = text
        write_csv(path, columns, rows)

    # -- edits --

    @rule(
        side=WHERE,
        edits=strategies.lists(strategies.tuples(EDITED, PLACES, PLACES, VALUES), min_size=1, max_size=3),
        then=THEN,
    )
    def change(self, side: str, edits: list[tuple[str, int, int, str]], then: str) -> None:
        """Change some figures on one side."""
        for edit in edits:
            self._change(side, *edit)
        self._go_on(then)

    def _change(self, side: str, table: str, at: int, column: int, text: str) -> None:
        rows = self.sides[side][table]
        wanted = COLUMNS[table][column % len(COLUMNS[table])]
        candidates = sorted(key for key in rows if table != "purchases" or self._can_have(rows[key], wanted))
        key = candidates[at % len(candidates)]
        if side == "records":
            self._write(table, key, wanted, text)
        elif table == "season":
            setting(self.book, wanted).value = float(text)
        else:
            self._grid(table).cell(self._row(table, key), wanted).value = float(text)
        rows[key][wanted] = text

    def _can_have(self, row: Mapping[str, str], column: str) -> bool:
        """Tell whether a figure can be changed without a fault: the rate of a foreign receipt, the price of no return."""
        foreign = row.get("currency", "") not in ("", season_tables()["season"]["currency"])
        return foreign if column == "rate" else "packs" not in row or float(row["packs"]) > 0

    @rule(side=WHERE, table=GROWING, text=VALUES, then=THEN)
    def add(self, side: str, table: str, text: str, then: str) -> None:
        """Add a row on one side: in the workbook below the last one."""
        self.added += 1
        row = {"overhead": f"extra-{self.added}", "amount": text}
        if table == "purchases":
            row = {"bought_on": "2025-03-04", "item": "water", "size": "1000", "unit": "L", "paid": text,
                   "note": f"extra-{self.added}"}  # fmt: skip
        if side == "records":
            path, columns, rows = self._file(table)
            write_csv(path, columns, [*rows, row])
        else:
            sheet = self._grid(table)
            values: dict[str, Any] = row | {
                column: float(row[column]) for column in ("amount", "paid", "size") if column in row
            }
            sheet.put(sheet.rows[-1] + 1, **values)
        self.sides[side][table][_key(table, row)] = row
        self._go_on(then)

    @rule(side=WHERE, table=GROWING, at=PLACES, then=THEN)
    def remove(self, side: str, table: str, at: int, then: str) -> None:
        """Remove a row that was added, on one side."""
        keys = sorted(key for key in self.sides[side][table] if key[0].startswith("extra-"))
        if not keys:
            return
        key = keys[at % len(keys)]
        if side == "records":
            path, columns, rows = self._file(table)
            write_csv(path, columns, [row for row in rows if _key(table, row) != key])
        else:
            self._grid(table).sheet.delete_rows(self._row(table, key))
        del self.sides[side][table][key]
        self._go_on(then)

    @rule(table=strategies.sampled_from(["prices", "purchases", "overheads"]))
    def sort(self, table: str) -> None:
        """Sort a table of the workbook, which changes nothing."""
        self._grid(table).sort(KEYS[table][0], down=True)

    @precondition(lambda self: not self.slipped)
    @rule(at=PLACES)
    def slip(self, at: int) -> None:
        """Type something into the workbook that is no figure."""
        sheet = self._grid("overheads")
        cell = sheet.cell(sheet.rows[at % len(sheet.rows)], "amount")
        held, key = cell.value, str(sheet.cell(cell.row, "overhead").value)
        cell.value, self.slipped = "some", True
        self.broken.append(lambda: self._mended(key, held))

    def _mended(self, key: str, held: Any) -> None:
        found = [row for row in self._grid("overheads").rows if self._grid("overheads").shown(row)["overhead"] == key]
        for row in found:
            cell = self._grid("overheads").cell(row, "amount")
            cell.value = held if cell.value == "some" else cell.value

    @precondition(lambda self: self.broken)
    @rule()
    def mend(self) -> None:
        """Put back the figure."""
        self.broken.pop()()

    @rule(table=EDITED)
    def bring_in_line(self, table: str) -> None:
        """Write a table of the workbook into the records by hand."""
        rows = self.sides["workbook"][table]
        path = self.folder / f"{table}.csv"
        if table == "season":
            write_csv(path, ("key", "value"), [{"key": key, "value": text} for key, text in rows[()].items()])
        else:
            columns = tuple(TABLES_BY_NAME[table].model.model_fields)
            write_csv(path, columns, [{key: row[key] for key in row if key != "order"} for row in rows.values()])
        self.sides["records"][table] = copied(rows)

    @precondition(lambda self: self.exports < 1)
    @rule()
    def export(self) -> None:
        """Export the records anew and go on in that workbook."""
        self.exports += 1
        self.broken.clear()
        self._take(exported(self.folder, self.path))

    # -- carrying --

    def _go_on(self, then: str) -> None:
        """Go on editing, or carry; or carry, settle what is in conflict, and carry again."""
        if then == "edit":
            return
        self._carry()
        if then == "settle":
            for table in self._expected()[1]:
                self.bring_in_line(table)
        self._carry()

    def _carry(self) -> None:
        """Carry, and see that it does what the model says, and nothing else."""
        self.book.save(self.path)
        before = self._files()
        result = CliRunner().invoke(main, ["carry", str(self.path), str(self.folder), "--yes"])
        if self.broken and self._is_broken():
            assert (result.exit_code, result.stdout) == (1, "")
            assert '"some" is not a number' in result.stderr
            assert self._files() == before
            return
        assert state_of(self.path) == self.sides["workbook"]
        moved, conflicts = self._expected()
        if conflicts:
            self._assert_told(result, conflicts)
            assert self._files() == before
            return
        assert (result.exit_code, result.stderr) == (0, "")
        if not [table for table in moved if self.sides["records"][table] != self.sides["workbook"][table]]:
            assert result.stdout == "Nothing to carry: the records hold all that the workbook does.\n"
            assert _but_the_log(self._files()) == _but_the_log(before)  # it may gain what both sides now agree on
            return
        self._assert_kept(before)
        for table in moved:
            self.sides["records"][table] = copied(self.sides["workbook"][table])
            self.known[table] = copied(self.sides["workbook"][table])

    def _is_broken(self) -> bool:
        sheet = self._grid("overheads")
        return any(sheet.cell(row, "amount").value == "some" for row in sheet.rows)

    def _files(self) -> dict[Path, bytes]:
        return {file: file.read_bytes() for file in sorted(self.folder.rglob("*")) if file.is_file()}

    def _expected(self) -> tuple[list[str], list[str]]:
        """Return the tables that are to be carried, and those in conflict."""
        moved: list[str] = []
        conflicts: list[str] = []
        for table in (each.name for each in RECORD_TABLES):
            theirs, ours, known = self.sides["workbook"][table], self.sides["records"][table], self.known[table]
            if theirs == known:
                continue
            (moved if ours in (known, theirs) else conflicts).append(table)
        return moved, conflicts

    def _assert_told(self, result: Result, conflicts: list[str]) -> None:
        assert result.exit_code == 1
        *rows, last = result.stderr.splitlines()
        assert {row.split()[1].rstrip(":") for row in rows} == set(conflicts)
        assert last.startswith(f"{', '.join(sorted(conflicts))}: changed in the workbook and in the records since")

    def _assert_kept(self, before: Mapping[Path, bytes]) -> None:
        """See that of every file that was changed there is a copy of what it was."""
        after = self._files()
        kept = [data for file, data in after.items() if file.parent.parent.name == "kept"]
        changed = [file for file in before if before[file] != after[file] and file.name != "carried.csv"]
        assert changed
        assert all(before[file] in kept for file in changed)

    @invariant()
    def records_hold_what_they_should(self) -> None:
        """No figure of the records is lost or made up."""
        assert state_of(self.folder) == self.sides["records"]


def test_any_order_of_edits_and_carrying_keeps_every_figure() -> None:
    run_state_machine_as_test(
        Carrying,
        settings=settings(
            max_examples=5, stateful_step_count=16, derandomize=True, deadline=None, database=None,
            suppress_health_check=list(HealthCheck), phases=[Phase.generate],  # shrinking takes minutes
        ),
    )  # fmt: skip
