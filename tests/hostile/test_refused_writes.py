"""Places that cannot be written to: a clear message, an exit code, and whatever was there is there still."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner, Result

from costing.cli import main

pytestmark = pytest.mark.slow

SAMPLE = Path(__file__).parents[2] / "sample"
OLD = b"the old workbook"
UNTOUCHED = "the old file, if any, is untouched"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def failed(*words: str | Path) -> str:
    """Return the message with which a command ended since the file system failed: exit code 3."""
    return refused(*words, code=3)


def refused(*words: str | Path, code: int = 2) -> str:
    """Return the message with which a command ended: with its exit code, and nothing said of success."""
    result = run(*words)
    assert isinstance(result.exception, SystemExit), repr(result.exception)
    assert (result.exit_code, result.stdout) == (code, "")
    return result.stderr


@pytest.fixture
def target(tmp_path: Path) -> Iterator[Path]:
    """A workbook that is there, and that stays, alone but for what a test puts beside it."""
    path = tmp_path / "home" / "prices.xlsx"
    path.parent.mkdir()
    path.write_bytes(OLD)
    yield path
    assert path.read_bytes() == OLD
    assert [file for file in path.parent.iterdir() if file.suffix == ".part"] == []


def denied(*_: Any, **__: Any) -> None:
    raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


def read_only(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    """Let nothing be made in a folder. Whoever runs the tests as root may write everywhere, so the answer is put in."""
    made: Callable[..., int] = os.open

    def refusing(path: Any, flags: int, *rest: Any, **named: Any) -> int:
        if flags & os.O_CREAT and Path(path).parent == folder:
            denied()
        return made(path, flags, *rest, **named)

    monkeypatch.setattr(os, "open", refusing)


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    path = tmp_path / "nowhere" / "prices.xlsx"
    told = failed("export", SAMPLE, "-o", path)
    assert told == f"{path}: cannot be written ({os.strerror(errno.ENOENT)}); {UNTOUCHED}\n"
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_place_of_the_folder(target: Path) -> None:
    path = target / "prices.xlsx"
    told = failed("export", SAMPLE, "-o", path)
    assert told == f"{path}: cannot be written ({os.strerror(errno.ENOTDIR)}); {UNTOUCHED}\n"


@pytest.mark.parametrize("replace", [(), ("--replace",)])
def test_a_folder_in_place_of_the_file(replace: tuple[str, ...], tmp_path: Path) -> None:
    path = tmp_path / "prices.xlsx"
    path.mkdir()
    assert refused("export", SAMPLE, "-o", path, *replace) == f"{path}: is a folder; name a file to write\n"
    assert list(path.iterdir()) == []


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no such files")
def test_a_pipe_or_device_in_place_of_the_file_is_not_replaced(tmp_path: Path) -> None:
    path = tmp_path / "prices.xlsx"
    os.mkfifo(path)
    told = refused("export", SAMPLE, "-o", path, "--replace")
    assert told == f"{path}: is no ordinary file; name a file to write\n"
    assert path.is_fifo()


def test_a_folder_that_may_not_be_written_to(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "prices.xlsx"
    read_only(monkeypatch, tmp_path)
    told = failed("export", SAMPLE, "-o", path)
    assert told == f"{path}: cannot be written ({os.strerror(errno.EACCES)}); {UNTOUCHED}\n"
    assert list(tmp_path.iterdir()) == []


def test_a_workbook_in_a_folder_that_may_not_be_written_to_has_no_copy_made_and_stays(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_only(monkeypatch, target.parent)
    told = failed("export", SAMPLE, "-o", target, "--replace")
    assert told.startswith(f"{target.parent}/prices (kept ")
    assert told.endswith(f": cannot be written ({os.strerror(errno.EACCES)}); {UNTOUCHED}\n")
    assert list(target.parent.iterdir()) == [target]


def test_a_workbook_that_another_program_holds_fast(target: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Some systems let no file be replaced that a program has open."""
    replace = os.replace

    def held(source: Any, to: Any) -> None:
        if Path(to) == target:
            denied()
        replace(source, to)

    monkeypatch.setattr(os, "replace", held)
    told = failed("export", SAMPLE, "-o", target, "--replace")
    assert told == f"{target}: cannot be written ({os.strerror(errno.EACCES)}); {UNTOUCHED}\n"


@pytest.mark.parametrize("lock", [".~lock.prices.xlsx#", "~$prices.xlsx"])
def test_a_workbook_that_is_open_in_a_spreadsheet_program(lock: str, target: Path) -> None:
    """Others let it be replaced, and the program then saves the old one over the new one."""
    (target.parent / lock).write_bytes(b"")
    told = refused("export", SAMPLE, "-o", target, "--replace")
    do = f"close it there, or delete {lock} beside it if no program has it open"
    assert told == f"{target}: is open in a spreadsheet program; {do}\n"


@pytest.mark.parametrize("words", [(), ("--workbook",)])
def test_a_season_cannot_be_made_below_a_file(words: tuple[str, ...], target: Path) -> None:
    path = target / "season"
    result = failed("start", path, *words)
    made = f"{path}: cannot be made" if not words else f"{path}.xlsx: cannot be written"
    assert result.startswith(f"{made} ({os.strerror(errno.ENOTDIR)})")


@pytest.fixture
def edited(sample_book: Path, tmp_path: Path) -> tuple[Path, Path]:
    """A workbook in which a setting was changed, and the folder of records that it is to be carried into."""
    book, folder = tmp_path / "edited.xlsx", tmp_path / "records"
    shutil.copytree(SAMPLE, folder)
    opened: Any = openpyxl.load_workbook(sample_book)
    next(row for row in opened["Settings"].iter_rows() if row[0].value == "hourly_rate")[2].value = 99
    opened.save(book)
    return book, folder


def files(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir() if file.is_file()}


def test_records_in_a_folder_that_may_not_be_written_to_stay(
    edited: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    book, folder = edited
    read_only(monkeypatch, folder)
    result = run("carry", book, folder, "--yes")
    assert result.exit_code == 3
    assert result.stderr == f"{folder / 'season.csv'}: cannot be written ({os.strerror(errno.EACCES)}); {UNTOUCHED}\n"
    assert files(folder) == files(SAMPLE)


def test_records_that_are_open_in_a_spreadsheet_program_stay(edited: tuple[Path, Path]) -> None:
    book, folder = edited
    (folder / "~$season.csv").write_bytes(b"")
    result = run("carry", book, folder, "--yes")
    assert result.exit_code == 2
    assert result.stderr.startswith(f"{folder / 'season.csv'}: is open in a spreadsheet program; close it there")
    assert files(folder) == files(SAMPLE) | {"~$season.csv": b""}


LONG = "x" * 300


@pytest.mark.parametrize(
    "words",
    [
        ("export", SAMPLE, "-o", f"{LONG}.xlsx"), ("check", LONG), ("show", f"{LONG}.xlsx"), ("start", LONG),
        ("start", LONG, "--workbook"), ("carry", SAMPLE, LONG),
    ],
)  # fmt: skip
def test_a_name_that_no_system_takes(words: tuple[str | Path, ...]) -> None:
    told = failed(*words)
    assert LONG in told
    assert os.strerror(errno.ENAMETOOLONG) in told
