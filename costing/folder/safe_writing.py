"""Writing files so that the old or the new one is always whole."""

from __future__ import annotations

import contextlib
import glob
import os
import secrets
import time
from functools import partial
from pathlib import Path

from costing.errors import FileTrouble, Refusal

_PART = ".part"
_NAMED = 60  # letters of a file's name that its temporary one begins with: names have an end
_LONGEST_WRITING = 600  # after which a temporary file is taken to be that of a program that was killed [second]


def write_atomically(path: Path, data: bytes, *, replace: bool = False) -> None:
    """Write a file through a temporary one beside it, flushed to disk and then given its name.

    Of two that write a new file under one name at the same moment, one is refused.

    Raises
    ------
    Refusal
        When the file is there already and ``replace`` is not given, when another program has it open, or when it cannot
        be written; the old file stays.

    """
    temporary = None
    try:
        path = _checked(path, replace=replace)
        start = f".{path.name[:_NAMED]}."
        _sweep(path.parent, start)
        temporary = path.with_name(f"{start}{secrets.token_hex(4)}{_PART}")  # known before it is made: so it never stays
        with open(temporary, "xb", opener=partial(os.open, mode=0o600)) as file:  # Path.open has no opener
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        _keep_permissions(path, temporary)
        _put_in_place(temporary, path, replace=replace)
        _flush_folder(path.parent)
    except OSError as error:
        raise FileTrouble(f"{path}: cannot be written ({error.strerror}); the old file, if any, is untouched") from None
    finally:
        if temporary is not None:
            with contextlib.suppress(OSError):
                temporary.unlink()


def _checked(path: Path, *, replace: bool) -> Path:
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


def _sweep(folder: Path, start: str) -> None:
    """Delete the temporary files of earlier writings of the same file that were killed."""
    with contextlib.suppress(OSError):
        for stray in folder.glob(f"{glob.escape(start)}{'[0-9a-f]' * 8}{_PART}"):
            if time.time() - stray.stat().st_mtime > _LONGEST_WRITING:
                stray.unlink()


def _flush_folder(folder: Path) -> None:
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
