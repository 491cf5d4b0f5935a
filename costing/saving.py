"""Writing files so that the old or the new one is always whole."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from costing.errors import Refusal


def write_atomically(path: Path, data: bytes, *, replace: bool = False) -> None:
    """Write a file through a temporary one beside it, flushed to disk and then renamed.

    Raises
    ------
    Refusal
        When the file is there already and ``replace`` is not given, or when it cannot be written; the old file stays.

    """
    if path.is_dir():
        raise Refusal(f"{path}: is a folder; name a file to write")
    if path.is_symlink():
        path = path.resolve()
    if path.exists() and not replace:
        raise Refusal(f"{path}: is there already; choose another name, or add --replace to write over it")
    temporary = None
    try:
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        _keep_permissions(path, temporary)
        os.replace(temporary, path)  # a plain rename over the old file, on every system
        temporary = None
    except OSError as error:
        raise Refusal(f"{path}: cannot be written ({error.strerror}); the old file, if any, is untouched") from None
    finally:
        if temporary is not None:
            with contextlib.suppress(OSError):
                Path(temporary).unlink()


def _keep_permissions(path: Path, temporary: str) -> None:
    """Give the new file the old one's permissions, or those that any new file gets."""
    if path.exists():
        mode = path.stat().st_mode & 0o777
    else:
        mask = os.umask(0)
        os.umask(mask)
        mode = 0o666 & ~mask
    Path(temporary).chmod(mode)


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
    except OSError as error:
        raise Refusal(f"{path}: no copy of it could be kept ({error.strerror}); nothing was changed") from None
    wanted = Path(name or path.name)
    for at in range(1, 1000):
        copy = folder / (wanted.name if at == 1 else f"{wanted.stem} ({at}){wanted.suffix}")
        if not copy.exists():
            write_atomically(copy, data)
            return copy
    raise Refusal(f"{folder}: holds too many copies of {path.name}; move some elsewhere")
