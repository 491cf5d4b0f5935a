"""Killed, interrupted, out of space: whatever happens while files are written, the old one or the new one is whole."""

from __future__ import annotations

import csv
import errno
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from random import Random
from typing import Any
from unittest.mock import patch

import openpyxl
import pytest
from click.testing import CliRunner

import costing
from costing.cli import main
from costing.exchange import carrying
from costing.exchange import season_files as files
from costing.exchange.carrying import PlannedCarrying, carry, plan_carrying
from costing.folder.reading import raw_tables
from costing.folder.safe_writing import write_atomically
from costing.records.parsing import RawTable
from costing.season.comparable import digests
from costing.workbook.read.opened_book import Book
from costing.workbook.read.readback import raw_tables_of
from tests.hostile.harm import Failing, Moments, in_a_child, interrupt, kill

pytestmark = pytest.mark.slow

SAMPLE = Path(__file__).parents[2] / "sample"
NOW = datetime(2026, 11, 25, 8, 30)
OLD, NEW = b"the old workbook, every byte of it" * 999, b"the new workbook" * 2999
KILLS_OF_EXPORT, KILLS_OF_CARRY, INTERRUPTIONS, REAL_KILLS = 60, 30, 20, 3
ERRORS = (errno.ENOSPC, errno.EACCES, errno.EIO)

forks = pytest.mark.skipif(not hasattr(os, "fork"), reason="a process is copied to be killed")


# -- what is written --


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """A workbook of which nobody can tell whether it was edited, so that a copy of it is kept."""
    path = tmp_path / "prices.xlsx"
    path.write_bytes(OLD)
    return path


@pytest.fixture
def exporting(target: Path, sample_season: costing.Season) -> Iterator[Callable[[], object]]:
    """An export over that workbook. Working the new one out is left out: no file is touched while it is done."""
    with patch.object(files, "workbook_bytes", lambda *_: NEW):
        yield lambda: costing.export(sample_season, target, replace=True)


@dataclass
class Carrying:
    """Records beside a workbook with edits of several tables, and how the records are to become."""

    home: Path
    book: Path
    before: dict[str, bytes]
    after: dict[str, bytes]
    log: list[tuple[str, str]]

    def fresh(self, name: str) -> Path:
        """Return a folder of the records as they were."""
        return Path(shutil.copytree(self.home, self.home.parent / name))

    def planned(self, folder: Path) -> PlannedCarrying:
        """Return what carrying would do. The workbook is opened once for all, since nobody changes it."""
        with (
            patch.object(carrying, "Book", _book),
            patch.object(carrying, "raw_tables_of", _raw_tables_of),
            patch.object(carrying, "open_season", _open_season),
        ):
            return plan_carrying(self.book, folder)

    def writing(self, planned: PlannedCarrying) -> Callable[[], object]:
        """Return what carries, with all worked out before that touches no file."""
        written = carrying._written(planned)

        def work() -> None:
            with patch.object(carrying, "_written", lambda _: written):
                carry(planned, now=NOW)

        return work

    def carry(self, folder: Path) -> Path:
        """Carry into a folder."""
        carry(self.planned(folder), now=NOW)
        return folder


@cache
def _book(path: Path) -> Book:
    return Book(path)


@cache
def _raw_tables(path: Path) -> dict[str, RawTable]:
    return raw_tables_of(_book(path))


def _raw_tables_of(book: Book) -> dict[str, RawTable]:
    return _raw_tables(book.path)


@cache
def _workbook(path: Path) -> files.Source:
    return files.open_season(path)


def _open_season(path: Path) -> files.Source:
    return _workbook(path) if path.suffix == ".xlsx" else files.open_season(path)


@pytest.fixture(scope="module")
def carried(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Carrying:
    """The sample with a workbook in which a setting, a receipt, a product, a channel and an overhead were changed."""
    place = tmp_path_factory.mktemp("carried")
    home, book = place / "records", place / "edited.xlsx"
    home.mkdir()
    for file in SAMPLE.glob("*.csv"):
        shutil.copy(file, home)
    _edit(sample_book, book)
    season = Carrying(home, book, _tables(home), {}, [])
    done = season.carry(season.fresh("done"))
    season.after, season.log = _tables(done), _logged(done)
    changed = {name for name in season.after if season.after[name] != season.before[name]}
    assert changed == {"season.csv", "purchases.csv", "products.csv", "channels.csv", "overheads.csv"}
    return season


def _edit(book: Path, target: Path) -> None:
    opened: Any = openpyxl.load_workbook(book)
    for sheet, heading, value in (
        ("Purchases", "Note", "seen"), ("Products", "Fill", 111), ("Channels", "Fee each", 0.35),
        ("Overheads", "Amount", 77),
    ):  # fmt: skip
        cell = next(c for row in opened[sheet].iter_rows(max_row=20) for c in row if str(c.value).split(" (")[0] == heading)
        opened[sheet].cell(cell.row + 1, cell.column).value = value
    rate = next(row for row in opened["Settings"].iter_rows() if row[0].value == "hourly_rate")
    rate[2].value = 31.5
    opened.save(target)


def _tables(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.glob("*.csv")}


def _logged(folder: Path) -> list[tuple[str, str]]:
    """Return what the log of a folder says, without when."""
    path = folder / "kept" / carrying.LOG
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return sorted((row["table"], row["digest"]) for row in csv.DictReader(file))


def _strays(folder: Path) -> list[Path]:
    """Return the temporary files that were left behind."""
    return [file for file in folder.rglob("*") if file.suffix == ".part"]


def _an_hour_passes(folder: Path) -> None:
    for stray in _strays(folder):
        os.utime(stray, (time.time() - 3600,) * 2)


def _whole_export(target: Path) -> bytes:
    """Check that a workbook is the old or the new one, and each copy kept of it the old one; return which it is."""
    found = target.read_bytes()
    assert found in (OLD, NEW)
    for copy in target.parent.glob("prices (kept*"):
        assert copy.read_bytes() == OLD
    if found == NEW:
        assert list(target.parent.glob("prices (kept*")), "replaced without a copy"
    return found


def _whole_records(season: Carrying, folder: Path) -> None:
    """Check that each table is as it was or as it is to become, each kept copy as it was, and the log true."""
    for name, data in _tables(folder).items():
        assert data in (season.before[name], season.after[name]), f"{name} is neither"
        if data != season.before[name]:
            assert any(file.read_bytes() == season.before[name] for file in (folder / "kept").rglob(f"{name[:-4]}*.csv"))
    for copy in (folder / "kept").glob("*/*.csv"):
        assert copy.read_bytes() == season.before[f"{copy.stem.split(' (')[0]}.csv"]
    assert _tables(folder).keys() == season.before.keys()
    for table, digest in _logged(folder):
        assert (table, digest) in season.log
        assert _tables(folder)[f"{table}.csv"] == season.after[f"{table}.csv"], f"{table} is logged before it is written"


def _completed(season: Carrying, folder: Path) -> None:
    """Carry again, and check that all is as if nothing had happened."""
    season.carry(folder)
    assert _tables(folder) == season.after
    assert _logged(folder) == season.log
    again = season.planned(folder)
    assert (again.changes, again.conflicts) == ((), ())


def _some(passed: int, count: int, seed: int) -> list[int]:
    """Return moments drawn by lot among all lines that were run."""
    random = Random(seed)  # noqa: S311  # the same every time is what tests want
    return sorted(random.choices(range(1, passed + 1), k=count))


# -- killed --


@forks
def test_an_export_killed_at_random_moments_leaves_the_old_or_the_new_workbook(
    exporting: Callable[[], object], target: Path
) -> None:
    passed = Moments().run(exporting)
    found, strays = [], 0
    for moment in _some(passed, KILLS_OF_EXPORT, seed=1):
        for file in target.parent.iterdir():
            file.unlink()
        target.write_bytes(OLD)
        assert in_a_child(exporting, moment, kill) == -signal.SIGKILL
        found.append(_whole_export(target))
        strays += len(_strays(target.parent))
        assert len(_strays(target.parent)) <= 1
        _an_hour_passes(target.parent)
        write_atomically(target, NEW, replace=True)
        assert target.read_bytes() == NEW
        assert [stray for stray in _strays(target.parent) if stray.name.startswith(".prices.xlsx.")] == []
    assert {OLD, NEW} == set(found)
    assert strays, "no kill fell between the making of a temporary file and its renaming"


@forks
def test_carrying_killed_at_random_moments_leaves_each_table_whole_and_carrying_again_completes_it(
    carried: Carrying,
) -> None:
    passed = Moments().run(carried.writing(carried.planned(carried.fresh("counted"))))
    halfway = 0
    for moment in _some(passed, KILLS_OF_CARRY, seed=2):
        folder = carried.fresh("killed")
        assert in_a_child(carried.writing(carried.planned(folder)), moment, kill) == -signal.SIGKILL
        _whole_records(carried, folder)
        halfway += _tables(folder) not in (carried.before, carried.after)
        assert len(_strays(folder)) <= 1
        assert set(raw_tables(folder)[0]) == {name.removesuffix(".csv") for name in carried.before}
        _an_hour_passes(folder)
        _completed(carried, folder)
        assert _strays(folder) == []
        shutil.rmtree(folder)
    assert halfway, "no kill fell between two tables"


@forks
def test_ctrl_c_leaves_everything_whole_and_no_stray_file(
    exporting: Callable[[], object], target: Path, carried: Carrying
) -> None:
    for moment in _some(Moments().run(exporting), INTERRUPTIONS, seed=3):
        for file in target.parent.iterdir():
            file.unlink()
        target.write_bytes(OLD)
        assert in_a_child(exporting, moment, interrupt) == 1
        _whole_export(target)
        assert _strays(target.parent) == []
    passed = Moments().run(carried.writing(carried.planned(carried.fresh("counted-again"))))
    for moment in _some(passed, INTERRUPTIONS, seed=4):
        folder = carried.fresh("interrupted")
        assert in_a_child(carried.writing(carried.planned(folder)), moment, interrupt) == 1
        _whole_records(carried, folder)
        assert _strays(folder) == []
        shutil.rmtree(folder)


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_the_command_itself_killed_after_random_times_leaves_a_whole_workbook(
    sample_book: Path, carried: Carrying, tmp_path: Path
) -> None:
    random = Random(5)  # noqa: S311  # the same every time is what tests want
    target = tmp_path / "prices.xlsx"
    expected = digests(costing.read_season(SAMPLE))
    for _ in range(REAL_KILLS):
        shutil.copy(sample_book, target)
        command = [sys.executable, "-m", "costing", "export", str(SAMPLE), "-o", str(target), "--replace"]
        running = subprocess.Popen(command, cwd=SAMPLE.parent, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(random.uniform(0.2, 2))
        running.kill()
        running.wait()
        assert digests(costing.read_season(target)) == expected
        assert len(_strays(tmp_path)) <= 1


def test_a_temporary_file_left_by_a_killed_program_goes_with_the_next_writing_but_not_one_still_in_use(
    target: Path,
) -> None:
    dead, alive = target.parent / ".prices.xlsx.0123abcd.part", target.parent / ".prices.xlsx.89abcdef.part"
    other = target.parent / ".prices.xlsx.notours.part"
    for file in (dead, alive, other):
        file.write_bytes(b"half")
    os.utime(dead, (time.time() - 3600,) * 2)
    write_atomically(target, NEW, replace=True)
    assert sorted(target.parent.iterdir()) == sorted([target, alive, other])


# -- errors --


@pytest.mark.parametrize("code", ERRORS, ids=errno.errorcode.get)
def test_whichever_call_fails_in_an_export_the_old_workbook_or_the_new_one_is_whole(
    code: int, exporting: Callable[[], object], target: Path
) -> None:
    failed = []
    for at in range(1, 100):
        for file in target.parent.iterdir():
            file.unlink()
        target.write_bytes(OLD)
        failing = Failing(at, OSError(code, os.strerror(code)))
        with failing.at_work():
            told = _refusal(exporting)
        if not failing.failed:
            break
        failed.append(failing.failed)
        found = _whole_export(target)
        assert _strays(target.parent) == []
        _check_told(told, found == NEW, code)
    assert (told, target.read_bytes()) == ("", NEW)
    assert {"open", "write", "flush", "fsync", "close", "chmod", "replace", "mkdir", "read_bytes"} == set(failed)


def _refusal(work: Callable[[], object]) -> str:
    """Return the message with which some work was refused, or nothing."""
    try:
        work()
    except costing.Refusal as error:
        return str(error)
    return ""


def _check_told(told: str, written: bool, code: int) -> None:  # noqa: FBT001  # it is what it is
    """Check that a failure is told with its reason, and that nothing is told of one that did no harm."""
    reason = os.strerror(code)
    assert bool(told) != written, told
    ends = (f" cannot be written ({reason}); the old file, if any, is untouched",
            f" no copy of it could be kept ({reason}); nothing was changed", f" cannot be read ({reason})")  # fmt: skip
    assert not told or told.endswith(ends), told


@pytest.mark.parametrize("code", ERRORS[:1], ids=errno.errorcode.get)
def test_whichever_call_fails_in_carrying_each_table_is_whole_and_carrying_again_completes_it(
    code: int, carried: Carrying
) -> None:
    failed = []
    for at in range(1, 500):
        folder = carried.fresh(f"failing-{code}-{at}")
        planned = carried.planned(folder)
        failing = Failing(at, OSError(code, os.strerror(code)))
        with failing.at_work():
            try:
                told = _refusal(lambda planned=planned: carry(planned, now=NOW))  # type: ignore[misc]
            except OSError as error:  # a table that cannot be read: the command tells that as it is
                assert failing.failed == "read_bytes"
                told = f"{folder}: ({error.strerror})"
        if not failing.failed:
            break
        failed.append(failing.failed)
        assert _strays(folder) == []
        _whole_records(carried, folder)
        if told:
            assert f"({os.strerror(code)})" in told
            assert str(folder) in told
        if at % 5 == 0:
            _completed(carried, folder)
        shutil.rmtree(folder)
    assert (told, _tables(folder)) == ("", carried.after)
    assert len(failed) > 100


def test_after_a_failure_with_all_tables_written_the_command_still_logs_that_they_were(carried: Carrying) -> None:
    folder = carried.fresh("unlogged")
    carried.carry(folder)
    (folder / "kept" / carrying.LOG).unlink()
    result = CliRunner().invoke(main, ["carry", str(carried.book), str(folder), "--yes"])
    assert (result.exit_code, result.stderr) == (0, "")
    assert _logged(folder) == carried.log
