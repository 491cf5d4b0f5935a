"""Temporary files and folders: held while a program works on them, and cleared away once it was killed."""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import sys
import time
from collections.abc import Iterator
from pathlib import Path

if sys.platform != "win32":
    import fcntl

PART = ".part"
PARTS = re.compile(r"\..*\.[0-9a-f]{8}\.part", re.DOTALL)
_LONGEST_WRITING = 600  # after which, on a system without such locks, a program is taken to have been killed [second]


def hold(handle: int) -> None:
    """Hold an opened file or folder until it is closed, or the program ends in whatever way."""
    if sys.platform != "win32":
        with contextlib.suppress(OSError):  # some file systems know no locks
            fcntl.flock(handle, fcntl.LOCK_EX)


@contextlib.contextmanager
def left_over(path: Path) -> Iterator[bool]:
    """Tell whether nobody holds a file or folder any more, and hold it meanwhile."""
    if sys.platform == "win32":
        yield time.time() - path.stat().st_mtime > _LONGEST_WRITING
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            yield False
        else:
            yield True
    finally:
        os.close(handle)


def clear_left_over(folder: Path) -> None:
    """Delete what killed programs left in a folder while they wrote into it."""
    with contextlib.suppress(OSError):
        for stray in sorted(folder.iterdir()):
            if PARTS.fullmatch(stray.name):
                with contextlib.suppress(OSError), left_over(stray) as free:
                    if free:
                        _delete(stray)


def _delete(stray: Path) -> None:
    if stray.is_dir() and not stray.is_symlink():
        shutil.rmtree(stray)
    else:
        stray.unlink()
