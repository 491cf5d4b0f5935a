"""Writing files: the old or the new one is always whole, and a refusal says why."""

from __future__ import annotations

import errno
import os
import stat
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

import costing
from costing.folder.safe_writing import kept_copy, write_atomically

OLD, NEW = b"the old file, every byte of it", b"the new file"

posix = pytest.mark.skipif(sys.platform == "win32", reason="permissions are told in another way there")


@pytest.fixture
def target(tmp_path: Path) -> Path:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(OLD)
    return path


def _failing(code: int) -> Any:
    def fail(*_: Any, **__: Any) -> None:
        raise OSError(code, os.strerror(code))

    return fail


def _refusal(path: Path, *, replace: bool = True) -> str:
    with pytest.raises(costing.Refusal) as caught:
        write_atomically(path, NEW, replace=replace)
    return str(caught.value)


def test_a_new_file_is_written_whole_and_alone(tmp_path: Path) -> None:
    path = tmp_path / "prices.xlsx"
    write_atomically(path, NEW)
    assert path.read_bytes() == NEW
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_that_is_there_is_refused_and_stays(target: Path) -> None:
    told = _refusal(target, replace=False)
    assert told == f"{target}: is there already; choose another name, or add --replace to write over it"
    assert target.read_bytes() == OLD


def test_a_file_that_is_there_is_replaced_when_asked(target: Path) -> None:
    write_atomically(target, NEW, replace=True)
    assert target.read_bytes() == NEW
    assert list(target.parent.iterdir()) == [target]


@pytest.mark.parametrize("call", ["os.replace", "os.fsync", "pathlib.Path.chmod"])
def test_the_old_file_stays_whole_when_writing_fails(call: str, target: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(call, _failing(errno.ENOSPC))
        told = _refusal(target)
    assert told == f"{target}: cannot be written ({os.strerror(errno.ENOSPC)}); the old file, if any, is untouched"
    assert target.read_bytes() == OLD
    assert list(target.parent.iterdir()) == [target]


@pytest.mark.parametrize("call", ["os.replace", "os.fsync"])
def test_nothing_is_left_where_there_was_no_file_and_writing_fails(
    call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(call, _failing(errno.EIO))
        told = _refusal(tmp_path / "prices.xlsx")
    assert told.endswith(f": cannot be written ({os.strerror(errno.EIO)}); the old file, if any, is untouched")
    assert list(tmp_path.iterdir()) == []


def test_an_interruption_leaves_the_old_file_and_no_stray(target: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: Any) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr("os.replace", interrupt)
        with pytest.raises(KeyboardInterrupt):
            write_atomically(target, NEW, replace=True)
    assert target.read_bytes() == OLD
    assert list(target.parent.iterdir()) == [target]


def test_the_bytes_are_on_the_disk_before_the_old_file_goes(target: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[str] = []
    flush, rename = os.fsync, os.replace

    def noted_flush(handle: int) -> None:
        done.append("flush")
        flush(handle)

    def noted_rename(source: str, to: Path) -> None:
        done.append("rename")
        assert Path(source).read_bytes() == NEW
        assert (Path(source).parent, Path(source).suffix) == (target.parent, ".part")
        assert target.read_bytes() == OLD
        rename(source, to)

    with monkeypatch.context() as patch:
        patch.setattr("os.fsync", noted_flush)
        patch.setattr("os.replace", noted_rename)
        write_atomically(target, NEW, replace=True)
    assert done == ["flush", "rename", "flush"]  # the last one is of the folder


@posix
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_a_replaced_file_keeps_its_permissions(mode: int, target: Path) -> None:
    target.chmod(mode)
    write_atomically(target, NEW, replace=True)
    assert stat.S_IMODE(target.stat().st_mode) == mode


@posix
@pytest.mark.parametrize("mask", [0o022, 0o077])
def test_a_new_file_gets_the_permissions_of_any_new_file(mask: int, tmp_path: Path) -> None:
    before = os.umask(mask)
    try:
        write_atomically(tmp_path / "prices.xlsx", NEW)
        after = os.umask(mask)
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "prices.xlsx").stat().st_mode) == 0o666 & ~mask
    assert after == mask


@pytest.mark.parametrize("replace", [False, True])
def test_a_folder_in_the_place_of_the_file_is_refused(*, replace: bool, tmp_path: Path) -> None:
    assert _refusal(tmp_path, replace=replace) == f"{tmp_path}: is a folder; name a file to write"


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    path = tmp_path / "nowhere" / "prices.xlsx"
    told = f"{path}: cannot be written ({os.strerror(errno.ENOENT)}); the old file, if any, is untouched"
    assert _refusal(path) == told
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_may_not_be_written_to_is_told(target: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Whoever runs the tests as root may write everywhere, so the system's answer is put in its place.
    with monkeypatch.context() as patch:
        patch.setattr(os, "open", _failing(errno.EACCES))
        told = _refusal(target)
    assert told == f"{target}: cannot be written ({os.strerror(errno.EACCES)}); the old file, if any, is untouched"
    assert target.read_bytes() == OLD


def test_a_copy_is_kept_under_its_own_name_in_a_folder_made_for_it(target: Path) -> None:
    copy = kept_copy(target, target.parent / "kept" / "today")
    assert copy == target.parent / "kept" / "today" / "prices.xlsx"
    assert (copy.read_bytes(), target.read_bytes()) == (OLD, OLD)


def test_a_copy_is_numbered_rather_than_written_over_another(target: Path) -> None:
    copies = [kept_copy(target, target.parent, "kept.xlsx") for _ in range(3)]
    assert [copy.name for copy in copies] == ["kept.xlsx", "kept (2).xlsx", "kept (3).xlsx"]
    assert {copy.read_bytes() for copy in copies} == {OLD}


def test_where_no_copy_can_be_kept_it_is_refused(target: Path, tmp_path: Path) -> None:
    with pytest.raises(costing.Refusal) as caught:
        kept_copy(target, target)
    assert str(caught.value).startswith(f"{target}: no copy of it could be kept (")
    assert str(caught.value).endswith("; nothing was changed")
    with pytest.raises(costing.Refusal):
        kept_copy(tmp_path / "nowhere.xlsx", tmp_path)
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.parametrize("links", [True, False], ids=["with links", "without links"])
def test_of_many_that_make_one_new_file_at_the_same_moment_one_succeeds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, links: bool
) -> None:
    """All have looked and found nothing there before the first gives its file the name."""
    path = tmp_path / "prices.xlsx"
    makers = 8
    together = threading.Barrier(makers)
    link = os.link

    def linked(source: Path, to: Path) -> None:
        together.wait(timeout=30)
        if not links:
            raise OSError(errno.EPERM, os.strerror(errno.EPERM))
        link(source, to)

    def make(number: int) -> str:
        try:
            write_atomically(path, b"%d" % number)
        except costing.Refusal as error:
            return str(error)
        return ""

    monkeypatch.setattr("os.link", linked)
    with ThreadPoolExecutor(makers) as pool:
        told = list(pool.map(make, range(makers)))
    refused = f"{path}: is there already; choose another name, or add --replace to write over it"
    assert sorted(told) == ["", *[refused] * (makers - 1)]
    assert path.read_bytes() == b"%d" % told.index("")
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("call", ["pathlib.Path.touch", "os.replace"])
def test_nothing_stays_under_a_new_name_when_giving_it_fails(
    call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("os.link", _failing(errno.EPERM))
        patch.setattr(call, _failing(errno.EIO))
        told = _refusal(tmp_path / "prices.xlsx", replace=False)
    assert told.endswith(f": cannot be written ({os.strerror(errno.EIO)}); the old file, if any, is untouched")
    assert list(tmp_path.iterdir()) == []


@posix
def test_a_file_protected_against_writing_is_refused_even_to_whoever_may_write_everywhere(target: Path) -> None:
    target.chmod(0o444)
    told = _refusal(target)
    assert told == f"{target}: is protected against writing; choose another name, or take the protection off"
    assert target.read_bytes() == OLD
