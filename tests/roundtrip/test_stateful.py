"""Any order of edits in two copies of one export, edits in the records and carrying: no figure is ever lost or made up.

A model says what each carrying should do, and what is to be told.
"""

from __future__ import annotations

import csv
import json
import re
import tempfile
from collections.abc import Callable, Mapping
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner, Result
from hypothesis import HealthCheck, Phase, settings, strategies
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test

import costing
from costing.cli import main
from costing.records.schema import TABLES_BY_NAME
from costing.season.comparable import normal_tables
from tests.roundtrip.carrying_model import Model, Row, State, copied
from tests.roundtrip.makers import Grid, grid, setting, write_csv
from tests.roundtrip.small_books import exported
from tests.small_season import small_folder

pytestmark = pytest.mark.slow

SHEETS = {"prices": "Prices", "purchases": "Purchases", "items": "Items", "overheads": "Overheads", "steps": "Formulas"}
COLUMNS = {
    "prices": ("planned", "price"), "purchases": ("paid", "packs"), "items": ("on_hand", "quote"),
    "overheads": ("amount",), "steps": ("minutes", "watts"), "season": ("hourly_rate", "power_price"),
}  # fmt: skip
KEYS = {"purchases": ("note",)} | {name: TABLES_BY_NAME[name].key for name in ("prices", "items", "overheads", "steps")}
COPIES = ("first", "second")
# Few values, so that edits are often taken back, and often made on both sides alike.
VALUES = strategies.sampled_from(["150", "160.5", "170.25"])
WHERE = strategies.sampled_from([*COPIES, *COPIES, "records"])
COPY = strategies.sampled_from(COPIES)
THEN = strategies.sampled_from(["edit", "carry", "carry", "workbook", "records"])
PLACES = strategies.integers(0, 3)
EDITED = strategies.sampled_from(["prices", "purchases", "items", "overheads", "steps", "season"])
EDITS = strategies.tuples(EDITED, PLACES, PLACES, VALUES)
GROWING = strategies.sampled_from(["overheads", "purchases"])


def noted_folder(folder: Path) -> Path:
    """Write the small season with a note in every purchase by which it can be told."""
    small_folder(folder)
    columns, rows = read(folder / "purchases.csv")
    write_csv(folder / "purchases.csv", columns, [row | {"note": f"row {at}"} for at, row in enumerate(rows)])
    return folder


def read(path: Path) -> tuple[tuple[str, ...], list[Row]]:
    """Return the columns and rows of a table's file."""
    with path.open(encoding="utf-8", newline="") as file:
        reader = csv.DictReader(file)
        rows = list(reader)
    return tuple(reader.fieldnames or ()), rows


@cache
def exported_first() -> bytes:
    """Return the lean workbook of that season."""
    with tempfile.TemporaryDirectory() as scratch:
        return exported(noted_folder(Path(scratch) / "season")).read_bytes()


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


class Carrying(RuleBasedStateMachine):
    """A folder, two copies of the workbook exported from it, and what each should hold."""

    done = 0  # steps of all runs

    def __init__(self) -> None:
        super().__init__()
        self.scratch = tempfile.TemporaryDirectory()
        self.folder = noted_folder(Path(self.scratch.name) / "season")
        self.exports, self.added = 0, 0
        state = state_of(self.folder)
        self.model = Model(state, copied(state))
        self._take(exported_first())

    def _take(self, workbook: bytes) -> None:
        self.books: dict[str, Any] = {copy: openpyxl.load_workbook(BytesIO(workbook)) for copy in COPIES}
        self.sides = {copy: copied(self.model.records) for copy in COPIES}
        self.model.exported, self.model.carried = copied(self.model.records), {}
        self.broken: dict[str, list[Callable[[], None]]] = {copy: [] for copy in COPIES}

    def teardown(self) -> None:
        """Take the files away."""
        self.scratch.cleanup()

    def path(self, copy: str) -> Path:
        """Return where a copy of the workbook is."""
        return Path(self.scratch.name) / f"{copy}.xlsx"

    # -- where things stand --

    def _side(self, side: str) -> State:
        return self.model.records if side == "records" else self.sides[side]

    def _grid(self, copy: str, table: str) -> Grid:
        return grid(self.books[copy], SHEETS[table])

    def _row(self, copy: str, table: str, key: tuple[str, ...]) -> int:
        cells = dict(zip(KEYS[table], key, strict=True)) | ({"row": "step"} if table == "steps" else {})
        return self._grid(copy, table).find(**cells)

    def _write(self, table: str, key: tuple[str, ...], column: str, text: str) -> None:
        """Change one cell of the records by hand."""
        path = self.folder / f"{table}.csv"
        columns, rows = read(path)
        if table == "season":
            row, cell = next((row for row in rows if row["key"] == column), {"key": column}), "value"
            rows += [] if row in rows else [row]
        else:
            row, cell = next(row for row in rows if tuple(row[name] for name in KEYS[table]) == key), column
        row[cell] = text
        write_csv(path, columns, rows)

    # -- edits --

    @rule(side=WHERE, edits=strategies.lists(EDITS, min_size=1, max_size=3), then=THEN)
    def change(self, side: str, edits: list[tuple[str, int, int, str]], then: str) -> None:
        """Change some figures on one side."""
        for edit in edits:
            self._change(side, *edit)
        self._go_on(side, then)

    def _change(self, side: str, table: str, at: int, column: int, text: str) -> None:
        rows = self._side(side)[table]
        wanted = COLUMNS[table][column % len(COLUMNS[table])]
        candidates = sorted(key for key, row in rows.items() if row.get("item") not in ("discount", "delivery"))
        key = candidates[at % len(candidates)]
        value = float(text)
        if side == "records":
            self._write(table, key, wanted, text)
        elif table == "season":
            setting(self.books[side], wanted).value = value
        else:
            self._grid(side, table).cell(self._row(side, table, key), wanted).value = value
        rows[key][wanted] = text

    @rule(side=WHERE, table=GROWING, text=VALUES, then=THEN)
    def add(self, side: str, table: str, text: str, then: str) -> None:
        """Add a row on one side: in the workbook below the last one."""
        self.added += 1
        row = {"overhead": f"extra-{self.added}", "amount": text}
        if table == "purchases":
            # Not so alike that one removed and another added would be taken for one that was changed.
            row = {"bought_on": f"2025-03-{1 + self.added % 28:02}", "item": "water", "size": f"{1000 + self.added}",
                   "unit": "L", "paid": text, "note": f"extra-{self.added}"}  # fmt: skip
        if side == "records":
            columns, rows = read(self.folder / f"{table}.csv")
            write_csv(self.folder / f"{table}.csv", columns, [*rows, row])
        else:
            sheet = self._grid(side, table)
            values: dict[str, Any] = row | {name: float(row[name]) for name in ("amount", "paid", "size") if name in row}
            sheet.put(sheet.rows[-1] + 1, **values)
        self._side(side)[table][_key(table, row)] = row
        self._go_on(side, then)

    @rule(side=WHERE, table=GROWING, at=PLACES, then=THEN)
    def remove(self, side: str, table: str, at: int, then: str) -> None:
        """Remove a row that was added, on one side."""
        keys = sorted(key for key in self._side(side)[table] if key[0].startswith("extra-"))
        if not keys:
            return
        key = keys[at % len(keys)]
        if side == "records":
            columns, rows = read(self.folder / f"{table}.csv")
            write_csv(self.folder / f"{table}.csv", columns, [row for row in rows if _key(table, row) != key])
        else:
            self._grid(side, table).sheet.delete_rows(self._row(side, table, key))
        del self._side(side)[table][key]
        self._go_on(side, then)

    @rule(copy=COPY, table=strategies.sampled_from(["prices", "purchases", "overheads"]))
    def sort(self, copy: str, table: str) -> None:
        """Sort a table of a workbook, which changes nothing."""
        self._grid(copy, table).sort(KEYS[table][0], down=True)

    @rule(copy=COPY, at=PLACES)
    def slip(self, copy: str, at: int) -> None:
        """Type something into a workbook that is no figure."""
        if self.broken[copy]:
            return
        sheet = self._grid(copy, "overheads")
        cell = sheet.cell(sheet.rows[at % len(sheet.rows)], "amount")
        held, key = cell.value, str(sheet.cell(cell.row, "overhead").value)
        cell.value = "some"
        self.broken[copy].append(lambda: self._mended(copy, key, held))

    def _mended(self, copy: str, key: str, held: Any) -> None:
        sheet = self._grid(copy, "overheads")
        for row in sheet.rows:
            cell = sheet.cell(row, "amount")
            if sheet.shown(row)["overhead"] == key and cell.value == "some":
                cell.value = held

    @rule(copy=COPY)
    def mend(self, copy: str) -> None:
        """Put back the figure."""
        if self.broken[copy]:
            self.broken[copy].pop()()

    @precondition(lambda self: self.exports < 1)
    @rule()
    def export(self) -> None:
        """Export the records anew and go on in copies of that workbook."""
        self.exports += 1
        again = Path(self.scratch.name) / "again.xlsx"
        again.unlink(missing_ok=True)
        self._take(exported(self.folder, name=again.name).read_bytes())

    # -- carrying --

    def _go_on(self, side: str, then: str) -> None:
        """Go on editing, or carry; of conflicts, one side may be taken."""
        if then == "edit":
            return
        for copy in COPIES if side == "records" else (side,):
            self._carry(copy, then.replace("carry", ""))

    def _carry(self, copy: str, settle: str) -> None:
        """Carry, and see that it does what the model says, and nothing else."""
        self.books[copy].save(self.path(copy))
        before, workbook = self._files(), self.sides[copy]
        options = ["--settle", settle] if settle else []
        result = CliRunner().invoke(main, ["carry", str(self.path(copy)), str(self.folder), "--yes", *options])
        if any(
            self._grid(copy, "overheads").cell(row, "amount").value == "some" for row in self._grid(copy, "overheads").rows
        ):
            assert (result.exit_code, result.stdout) == (1, "")
            assert '"some" is not a number' in result.stderr
            assert self._files() == before
            return
        assert state_of(self.path(copy)) == workbook
        wanted, conflicts = self.model.expected(copy, workbook, settle)
        if conflicts and not settle:
            self._assert_told(result, {(table, column) for table, _, column in conflicts})
            assert self._files() == before
            return
        assert (result.exit_code, result.stderr) == (0, "")
        if wanted == self.model.records:
            same = wanted == workbook
            assert result.stdout.startswith(f"Nothing to carry: {'the records hold all' if same else 'no edit in the'}")
        else:
            self._assert_kept(before)
        self.model.carry(copy, workbook, wanted)

    def _files(self) -> dict[Path, bytes]:
        return {file: file.read_bytes() for file in sorted(self.folder.rglob("*")) if file.is_file()}

    def _assert_told(self, result: Result, conflicts: set[tuple[str, str]]) -> None:
        assert result.exit_code == 1
        *told, last = result.stderr.splitlines()
        pattern = re.compile(r"conflict  (\w+): .*?: (?:(\w+) is .* in the workbook, |was removed in )")
        found = [pattern.match(line) for line in told]
        assert {(each[1], each[2] or "") for each in found if each} == conflicts
        assert " changed in the workbook and in the records since the export; nothing was written. " in last

    def _assert_kept(self, before: Mapping[Path, bytes]) -> None:
        """See that of every file that was changed there is a copy of what it was."""
        after = self._files()
        kept = [data for file, data in after.items() if file.parent.parent.name == "kept"]
        changed = [file for file in before if before[file] != after[file] and file.name != "carried.json"]
        assert changed
        assert all(before[file] in kept for file in changed)

    @invariant()
    def records_hold_what_they_should(self) -> None:
        """No figure of the records is lost or made up."""
        Carrying.done += 1
        assert state_of(self.folder) == self.model.records


def run(examples: int, steps: int, *, derandomize: bool = True, machine: type[Carrying] = Carrying) -> None:
    """Run so many times so many steps, each drawn by lot."""
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=examples, stateful_step_count=steps, derandomize=derandomize, deadline=None, database=None,
            suppress_health_check=list(HealthCheck), phases=[Phase.generate],  # shrinking takes minutes
        ),
    )  # fmt: skip


def test_any_order_of_edits_and_carrying_keeps_every_figure() -> None:
    run(4, 16)
