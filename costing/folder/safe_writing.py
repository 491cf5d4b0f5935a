"""Writing files so that the old or the new one is always whole."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import BinaryIO

from costing.errors import FileTrouble, Refusal
from costing.folder.left_over import PART, clear_left_over, hold

_NAMED = 60  # letters of a file's name that its temporary one begins with: names have an end
_TRIES = 20


def write_atomically(path: Path, data: bytes, *, replace: bool = False) -> None:
    """Write a file through a temporary one beside it, flushed to disk and then given its name.

    Of two that write a new file under one name at the same moment, one is refused.

    Raises
    ------
    Refusal
        When the file is there already and ``replace`` is not given, when another program has it open, or when it cannot
        be written; the old file stays.

    """
    try:
        path = checked(path, replace=replace)
        clear_left_over(path.parent)
        with _temporary(path) as (file, temporary):
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
            if sys.platform == "win32":  # where an open file cannot be given another name
                file.close()
            _keep_permissions(path, temporary)
            _put_in_place(temporary, path, replace=replace)
        flush_folder(path.parent)
    except OSError as error:
        raise FileTrouble(f"{path}: cannot be written ({error.strerror}); the old file, if any, is untouched") from None


@contextlib.contextmanager
def _temporary(path: Path) -> Iterator[tuple[BinaryIO, Path]]:
    """Open a new file beside another, and hold it until it has that one's name; it never stays."""
    for _ in range(_TRIES):
        temporary = temporary_beside(path)  # known before it is made
        try:
            with open(temporary, "xb", opener=partial(os.open, mode=0o600)) as file:  # Path.open has no opener
                hold(file.fileno())
                if temporary.exists():  # and was not taken for left over before it was held
                    yield file, temporary
                    return
        finally:
            with contextlib.suppress(OSError):
                temporary.unlink()
    raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))


def temporary_beside(path: Path) -> Path:
    """Return a free hidden name beside a file or folder, that tells what it is."""
    return path.with_name(f".{path.name[:_NAMED]}.{secrets.token_hex(4)}{PART}")


def checked(path: Path, *, replace: bool) -> Path:
    """Return where to write: the file itself, or the one that a link leads to."""
    if path.is_dir():
        raise Refusal(f"{path}: is a folder; name a file to write")
    if path.is_symlink():
        path = Path(os.path.realpath(path))
    if not path.exists():
        return path
    if not path.is_file():  # a device or a pipe, which a rename would put an end to
        raise Refusal(f"{path}: is no ordinary file; name a file to write")
    if not replace:
        raise _taken(path)
    if not (os.access(path, os.W_OK) and path.stat().st_mode & 0o222):  # no mark stops whoever runs as root
        raise Refusal(f"{path}: is protected against writing; choose another name, or take the protection off")
    for lock in (f".~lock.{path.name}#", f"~${path.name}"):
        if (path.parent / lock).exists():
            do = f"close it there, or delete {lock} beside it if no program has it open"
            raise Refusal(f"{path}: is open in a spreadsheet program; {do}")
    return path


def _taken(path: Path) -> Refusal:
    return Refusal(f"{path}: is there already; choose another name, or add --replace to write over it")


def _put_in_place(temporary: Path, path: Path, *, replace: bool) -> None:
    """Give a file that is whole its name: over the old one, or only as long as nobody else took the name."""
    if replace:
        os.replace(temporary, path)  # a plain rename over the old file, on every system
        return
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise _taken(path) from None
    except OSError:  # a file system where a file has one name only
        _take_name_then_rename(temporary, path)


def _take_name_then_rename(temporary: Path, path: Path) -> None:
    """Take the name with an empty file, which nobody can do twice, and rename over that."""
    try:
        path.touch(exist_ok=False)
    except FileExistsError:
        raise _taken(path) from None
    try:
        os.replace(temporary, path)
    except BaseException:
        path.unlink()
        raise


def flush_folder(folder: Path) -> None:
    """Have the rename on disk before anything is built on it, where a system lets folders be flushed."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _keep_permissions(path: Path, temporary: Path) -> None:
    """Give the new file the old one's permissions, or those that any new file gets."""
    if path.exists():
        mode = path.stat().st_mode & 0o777
    else:
        mask = os.umask(0)
        os.umask(mask)
        mode = 0o666 & ~mask
    temporary.chmod(mode)


def kept_copy(path: Path, folder: Path, name: str = "") -> Path:
    """Copy a file into a folder, under its own or another name, numbered if that is taken, and return the copy.

    Raises
    ------
    Refusal
        When the copy cannot be made; then nothing should be written over the file.

    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        data = path.read_bytes()
        copy = _free_place(folder, Path(name or path.name))
    except OSError as error:
        raise FileTrouble(f"{path}: no copy of it could be kept ({error.strerror}); nothing was changed") from None
    if copy is None:
        raise Refusal(f"{folder}: holds too many copies of {path.name}; move some elsewhere")
    write_atomically(copy, data)
    return copy


def _free_place(folder: Path, wanted: Path) -> Path | None:
    numbered = (folder / f"{wanted.stem} ({at}){wanted.suffix}" for at in range(2, 1000))
    return next((place for place in (folder / wanted.name, *numbered) if not place.exists()), None)
