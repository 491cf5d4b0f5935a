"""Killed, interrupted, out of space: each file is whole at whichever call, and the same command completes it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache
from pathlib import Path
from random import Random
from unittest.mock import patch

import pytest
from click.testing import CliRunner

import costing
from costing.cli import main
from costing.exchange import carrying, starting
from costing.exchange import season_files as files
from costing.exchange.carried_states import LOG
from costing.exchange.carrying import PlannedCarrying, carry, plan_carrying
from costing.folder.left_over import PARTS, hold
from costing.folder.one_step import STEP, settle
from costing.folder.safe_writing import write_atomically
from costing.records.guide import guide
from costing.records.schema import RECORD_TABLES
from costing.season.comparable import digests
from costing.workbook.read.opened_book import Book
from tests.hostile.harm import Harm, Killed, calls_of, full, harmed
from tests.roundtrip.small_books import added, set_to, written
from tests.small_season import FILES, small_folder, small_season

pytestmark = pytest.mark.slow

NOW = datetime(2026, 11, 25, 8, 30)
OLD, NEW = b"the old workbook, every byte of it" * 9, b"the new workbook" * 29
ENDINGS = {"killed": Killed, "out of space": full, "interrupted": KeyboardInterrupt}
REAL_KILLS = 3
WRITTEN = carrying._written
ALL_CALLS = ("open", "write", "flush", "fsync", "chmod", "mkdir", "unlink", "replace", "rename", "rmdir")

ends = pytest.mark.parametrize("ending", ENDINGS.values(), ids=list(ENDINGS))


# -- exporting --


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """A workbook of which nobody can tell whether it was edited, so that a copy of it is kept."""
    path = tmp_path / "home" / "prices.xlsx"
    path.parent.mkdir()
    path.write_bytes(OLD)
    return path


@pytest.fixture
def exporting(target: Path) -> Iterator[Callable[[], object]]:
    """An export over that workbook. Working the new one out is left out: no file is touched while it is done."""
    with patch.object(files, "workbook_bytes", lambda *_: NEW):
        yield lambda: costing.export(small_season(), target, replace=True)


def strays(folder: Path) -> list[Path]:
    """Return what is there under a name of something that is not yet or no longer wanted."""
    return [file for file in folder.rglob("*") if PARTS.fullmatch(file.name) or file.name == STEP]


@ends
def test_at_whichever_call_an_export_ends_twice_the_old_or_the_new_workbook_is_whole(
    ending: Callable[[], BaseException], exporting: Callable[[], object], target: Path
) -> None:
    found = set()
    for at in range(1, 200):
        for file in target.parent.iterdir():
            file.unlink()
        target.write_bytes(OLD)
        for _ in range(2):
            call, ended = harmed(exporting, at, ending())
            _whole_export(target)
            _check_told(ended, "cannot be written", "no copy of it could be kept", whole=target.read_bytes() == NEW)
            found.add(call)
        exporting()
        assert (target.read_bytes(), strays(target.parent)) == (NEW, [])
        if not call:
            break
    assert found == {"open", "write", "flush", "fsync", "chmod", "mkdir", "link", "unlink", "replace", ""}


def _whole_export(target: Path) -> None:
    """Check that a workbook is the old or the new one, and each copy kept of it one of them; none is lost."""
    copies = [copy.read_bytes() for copy in target.parent.glob("prices (kept*")]
    assert {target.read_bytes(), *copies} <= {OLD, NEW}
    assert OLD in {target.read_bytes(), *copies}


def _check_told(ended: BaseException | None, *says: str, whole: bool) -> None:
    """Check that trouble is told with its reason; nothing is told only where it did no harm."""
    if isinstance(ended, costing.FileTrouble):
        assert os.strerror(full().errno or 0) in str(ended)
        assert any(text in str(ended) for text in says), str(ended)
    else:
        assert isinstance(ended, Killed | KeyboardInterrupt) or (ended is None and whole), repr(ended)


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_the_command_itself_killed_after_random_times_leaves_a_whole_workbook(tmp_path: Path) -> None:
    random = Random(5)  # noqa: S311  # the same every time is what tests want
    folder, target = small_folder(tmp_path / "season"), tmp_path / "prices.xlsx"
    costing.export(small_season(), target)
    expected = digests(costing.read_season(folder))
    for _ in range(REAL_KILLS):
        command = [sys.executable, "-m", "costing", "export", str(folder), "-o", str(target), "--replace"]
        running = subprocess.Popen(
            command, cwd=Path(__file__).parents[2], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        time.sleep(random.uniform(0.2, 2))
        running.kill()
        running.wait()
        assert digests(costing.read_season(target)) == expected
        assert len(strays(tmp_path)) <= 1


def test_what_a_killed_program_left_goes_with_the_next_writing_but_not_what_is_still_in_use(target: Path) -> None:
    dead, alive = target.parent / ".prices.xlsx.0123abcd.part", target.parent / ".other.xlsx.89abcdef.part"
    folder, other = target.parent / ".season.01234567.part", target.parent / ".prices.xlsx.notours.part"
    folder.mkdir()
    for file in (dead, alive, other, folder / "season.csv"):
        file.write_bytes(b"half")
    with alive.open("ab") as held:
        hold(held.fileno())
        write_atomically(target, NEW, replace=True)
    assert sorted(target.parent.iterdir()) == sorted([target, alive, other])


# -- carrying --


@dataclass
class Carrying:
    """The small season beside a workbook with edits of several tables, and how the records are to become."""

    home: Path
    book: Path
    after: dict[str, bytes]
    plans: dict[str, tuple[PlannedCarrying, dict[str, bytes]]]  # by what the folder holds: no file is touched by planning

    @property
    def before(self) -> dict[str, bytes]:
        """The tables as they were."""
        return {f"{name}.csv": text.encode("utf-8") for name, text in FILES.items()}

    def fresh(self) -> Path:
        """Return the folder with the records as they were."""
        shutil.rmtree(self.home, ignore_errors=True)
        return small_folder(self.home)

    def command(self) -> None:
        """Carry, as the command does."""
        settle(self.home)
        log = self.home / LOG
        known = f"{self.book} {sorted(tables(self.home).items())} {log.read_bytes() if log.exists() else b''!r}"
        if known not in self.plans:
            plan = plan_carrying(self.book, self.home)
            assert plan.conflicts == ()
            self.plans[known] = plan, WRITTEN(plan)
        plan, edited = self.plans[known]
        with patch.object(carrying, "_written", lambda _: edited):
            carry(plan, now=NOW)


@cache
def _book(path: Path) -> Book:
    return Book(path)


@cache
def _read(path: Path) -> files.Source:
    return files.workbook_source(_book(path))


def _workbook_source(book: Book) -> files.Source:
    return _read(book.path)


@pytest.fixture
def carried(tmp_path: Path) -> Iterator[Carrying]:
    """Records to carry into. What touches no file is done once for all: opening the workbook, and costing."""
    book = written(
        tmp_path / "own.xlsx",
        set_to("hourly_rate", 31.5),
        added("Own or bought", product="whip-60", bought="whip-90"),
    )
    with (
        patch.object(carrying, "Book", _book),
        patch.object(carrying, "workbook_source", _workbook_source),
        patch.object(carrying, "cost", lambda _: None),
    ):
        season = Carrying(tmp_path / "season", book, {}, {})
        season.fresh()
        season.command()
        season.after = tables(season.home)
        changed = {name for name in season.after if season.after[name] != season.before.get(name)}
        assert changed == {"season.csv", "alternatives.csv"}
        yield season
    _book.cache_clear()
    _read.cache_clear()


def tables(folder: Path) -> dict[str, bytes]:
    """Return the tables of a folder."""
    return {file.name: file.read_bytes() for file in folder.glob("*.csv")}


def in_order(season: Carrying) -> str:
    """Put in order what was cut short, and check that the season is whole, before or after; return what is said."""
    told = settle(season.home)
    assert strays(season.home) == []
    found = tables(season.home)
    assert found in (season.before, season.after), "neither carried nor as it was"
    assert (season.home / LOG).exists() == (found == season.after)
    if found == season.after:
        (kept,) = (folder for folder in (season.home / "kept").iterdir() if folder.is_dir())
        assert tables(kept) == {name: season.before[name] for name in ("season.csv",)}
    return told


@ends
def test_at_whichever_call_carrying_ends_twice_the_same_command_completes_it(
    ending: Callable[[], BaseException], carried: Carrying
) -> None:
    calls, told = list[str](), set()
    for at in range(1, 500):
        carried.fresh()
        for _ in range(2):
            call, ended = harmed(carried.command, at, ending())
            _check_told(ended, "cannot be", whole=tables(carried.home) == carried.after)
            told.add(_put_in_order(carried))
            calls.append(call)
        carried.command()
        in_order(carried)
        assert tables(carried.home) == carried.after
        if not calls[-2]:
            break
    assert set(calls) == {*ALL_CALLS, ""}
    completed = "a carrying that was cut short was completed (season.csv, alternatives.csv)"
    assert told == {"", completed}
    assert at > 60


def _put_in_order(season: Carrying) -> str:
    """See what the next command would make of it, in a copy where it would change something."""
    if not strays(season.home):
        return in_order(season)
    copy = Path(shutil.copytree(season.home, season.home.with_name("copy")))
    told = in_order(replace(season, home=copy))
    shutil.rmtree(copy)
    return told


def test_next_command_says_what_it_completed(carried: Carrying) -> None:
    """Whichever it is: one that only reads tells it too, beside what it was asked for."""
    for words in (["check"], ["show", "--json"], ["carry", str(carried.book)]):
        harmed(carried.command, _half_done(carried), Killed())
        result = CliRunner().invoke(main, [*words, str(carried.home)])
        assert result.exit_code == 0
        said = result.stderr if words[0] == "show" else result.stdout
        told = "noticed: a carrying that was cut short was completed (season.csv, alternatives.csv)\n"
        assert told in said
        assert tables(carried.home) == carried.after


def _half_done(season: Carrying) -> int:
    """Return at which call carrying is half done: when the second file is to be given its name."""
    season.fresh()
    met = calls_of(season.command)
    season.fresh()
    return [at for at, name in enumerate(met, start=1) if name in ("replace", "link")][1]


def test_records_edited_after_carrying_was_killed_are_not_written_over(carried: Carrying) -> None:
    """What was put in place before is taken back: half of an edit is none."""
    harmed(carried.command, _half_done(carried), Killed())
    assert (carried.home / STEP).exists()
    edited = FILES["overheads"].replace("640", "650").encode()
    (carried.home / "overheads.csv").write_bytes(edited)
    assert tables(carried.home)["season.csv"] == carried.after["season.csv"]
    assert settle(carried.home) == (
        "a carrying that was cut short was taken back (season.csv, alternatives.csv), since overheads.csv "
        "was changed after it; carry again"
    )
    assert tables(carried.home) == carried.before | {"overheads.csv": edited}
    assert strays(carried.home) == []


@pytest.mark.parametrize("journal", [b"", b"[]", b'{"seen": {}, "new": {"../x": "0"}, "copied": [], "kept": "k"}'])
def test_what_is_no_journal_is_refused_and_stays(journal: bytes, carried: Carrying) -> None:
    carried.fresh()
    (carried.home / STEP).mkdir()
    (carried.home / STEP / "journal.json").write_bytes(journal)
    result = CliRunner().invoke(main, ["check", str(carried.home)])
    assert result.exit_code == 2
    assert result.stderr == f"{carried.home / STEP}: is not what carrying leaves there; move it elsewhere\n"
    assert tables(carried.home) == carried.before


# -- starting --


@pytest.fixture
def few_tables() -> Iterator[None]:
    """A season of few tables, since each is written alike."""
    text = guide()
    with patch.object(starting, "guide", lambda: text), patch.object(starting, "RECORD_TABLES", RECORD_TABLES[:3]):
        yield


@ends
def test_at_whichever_call_a_start_ends_twice_the_same_command_completes_it(
    ending: Callable[[], BaseException], few_tables: None, tmp_path: Path
) -> None:
    folder = tmp_path / "home" / "season"
    started, calls = _started(tmp_path / "model"), list[str]()
    for at in range(1, 500):
        for _ in range(2):
            call, ended = harmed(lambda: starting.start_folder(folder), at, ending())
            calls.append(call)
            assert not folder.exists() or _held(folder) == started
            if isinstance(ended, costing.Refusal) and not isinstance(ended, costing.FileTrouble):
                assert str(ended) == f"{folder}: holds {', '.join(started)} already; name a new folder"
            else:
                _check_told(ended, "cannot be made", whole=folder.exists())
        _once_more(folder)
        assert (_held(folder), strays(tmp_path)) == (started, [])
        shutil.rmtree(folder.parent)
        if not calls[-2]:
            break
    assert set(calls) >= {"open", "write", "flush", "fsync", "mkdir", "rename"}


def test_a_start_into_a_folder_that_is_there_killed_at_whichever_call_is_completed(few_tables: None, tmp_path: Path) -> None:
    started, folder = _started(tmp_path / "model"), tmp_path / "season"
    for at in range(1, 500):
        folder.mkdir()
        (folder / "letter.txt").write_bytes(b"mine")
        call, _ = harmed(lambda: starting.start_folder(folder), at, Killed())
        _once_more(folder)
        assert (_held(folder), strays(tmp_path)) == (started | {"letter.txt": b"mine"}, [])
        shutil.rmtree(folder)
        if not call:
            break
    assert at > 20


def _started(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in starting.start_folder(folder)}


def _held(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def _once_more(folder: Path) -> None:
    """Start again: it is completed, or was complete already."""
    try:
        starting.start_folder(folder)
    except costing.Refusal as error:
        assert str(error).endswith(" already; name a new folder")


# -- two at once --


def _meanwhile(first: Callable[[], object], second: Callable[[], object], at: int) -> tuple[bool, list[str]]:
    """Do some work, and other work at one call of it; return whether there are so many calls, and what each was told."""
    told = ["", ""]

    def other() -> None:
        try:
            second()
        except costing.Refusal as error:
            told[1] = str(error)

    harm = Harm(at, meanwhile=other)
    try:
        with harm.at_work():
            first()
    except costing.Refusal as error:
        told[0] = str(error)
    return bool(harm.harmed), told


def test_of_two_exports_to_one_new_name_one_is_told_whenever_the_second_comes(tmp_path: Path) -> None:
    target = tmp_path / "home" / "prices.xlsx"
    for at in range(1, 100):
        target.parent.mkdir()
        with patch.object(files, "workbook_bytes", side_effect=[OLD, NEW]):
            met, told = _meanwhile(
                lambda: costing.export(small_season(), target), lambda: costing.export(small_season(), target), at
            )
        if not met:
            break
        taken = f"{target}: is there already; choose another name, or add --replace to write over it"
        assert sorted(text.split(" (")[0] for text in told) == ["", taken]
        assert target.read_bytes() == (NEW if told[0] else OLD)
        assert strays(tmp_path) == []
        shutil.rmtree(target.parent)
    assert at > 5


def test_of_two_starts_one_is_told_whenever_the_second_comes(few_tables: None, tmp_path: Path) -> None:
    started, folder = _started(tmp_path / "model"), tmp_path / "home" / "season"
    for at in range(2, 500):
        met, told = _meanwhile(lambda: starting.start_folder(folder), lambda: starting.start_folder(folder), at)
        if not met:
            break
        assert sorted(bool(each) for each in told) == [False, True]
        assert (_held(folder), strays(tmp_path)) == (started, [])
        shutil.rmtree(folder.parent)
    assert at > 10


def test_of_two_carryings_one_is_told_whenever_the_second_comes(carried: Carrying) -> None:
    """The second may come first, while the first prepares; then the first is told. Neither is written in part."""
    other = replace(carried, book=written(carried.book.with_name("other.xlsx"), set_to("power_price", 0.5)), plans={})
    other.fresh()
    other.command()
    instead = tables(other.home)
    outcomes = set()
    for at in range(1, 500):
        carried.fresh()
        met, told = _meanwhile(carried.command, other.command, at)
        if not met:
            break
        found = tables(carried.home)
        if told == ["", ""]:  # one after the other: the second came when the first was done
            assert found == carried.after | {"season.csv": carried.after["season.csv"].replace(b"0.34", b"0.5")}
        else:
            assert sorted(bool(each) for each in told) == [False, True]
            assert found == (instead if told[0] else carried.after)
        outcomes.add(tuple(map(bool, told)))
        assert strays(carried.home) == []
    assert outcomes >= {(True, False), (False, True)}


def test_season_is_not_read_while_edits_are_put_in_place(carried: Carrying) -> None:
    told = set()
    for at in range(1, 500):
        carried.fresh()
        met, (first, second) = _meanwhile(carried.command, lambda: costing.read_season(carried.home), at)
        assert (first, tables(carried.home)) == ("", carried.after)
        if not met:
            break
        told.add(second)
    busy = f"{carried.home}: another program is carrying edits into it; run the command again after that"
    assert told == {"", busy}


def test_file_edited_by_hand_while_carrying_prepares_is_not_written_over(carried: Carrying) -> None:
    edited = FILES["overheads"].replace("640", "650").encode()
    outcomes = set()
    for at in range(1, 500):
        carried.fresh()
        met, (told, _) = _meanwhile(carried.command, lambda: (carried.home / "overheads.csv").write_bytes(edited), at)
        if not met:
            break
        found = tables(carried.home)
        if told:
            assert found == carried.before | {"overheads.csv": edited}
        outcomes.add(bool(told))
        assert strays(carried.home) == []
    assert outcomes == {True, False}
