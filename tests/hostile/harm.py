"""Bad luck made to order: programs killed or interrupted between two lines, and system calls that fail."""

from __future__ import annotations

import builtins
import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from types import FrameType
from typing import Any
from unittest.mock import patch

import costing.exchange.carrying
import costing.exchange.season_files
import costing.folder.safe_writing

WRITING = frozenset(
    str(module.__file__)
    for module in (costing.folder.safe_writing, costing.exchange.season_files, costing.exchange.carrying)
)


class Moments:
    """Counts the lines run in the modules that write, and does something at one of them."""

    def __init__(self, at: int = 0, harm: Callable[[], None] = lambda: None) -> None:
        self.at, self.harm = at, harm
        self.passed = 0

    def _enter(self, frame: FrameType, event: str, _: Any) -> Any:
        return self._line if frame.f_code.co_filename in WRITING else None

    def _line(self, frame: FrameType, event: str, _: Any) -> Any:
        if event == "line":
            self.passed += 1
            if self.passed == self.at:
                self.harm()
        return self._line

    def run(self, work: Callable[[], object]) -> int:
        """Do some work and return how many lines of the modules that write it ran."""
        before = sys.gettrace()
        sys.settrace(self._enter)
        try:
            work()
        finally:
            sys.settrace(before)
        return self.passed


def kill() -> None:
    """End this program as a power cut does: nothing more is done, not even what should be done last."""
    os.kill(os.getpid(), signal.SIGKILL)


def interrupt() -> None:
    """Do as when Ctrl-C is pressed."""
    raise KeyboardInterrupt


def in_a_child(work: Callable[[], object], moment: int, harm: Callable[[], None]) -> int:
    """Do some work in a copy of this process that is harmed at one moment; return how it ended: 0, 1 or minus a signal."""
    child = os.fork()
    if child == 0:
        code = 1
        try:
            Moments(moment, harm).run(work)
            code = 0
        finally:
            os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


class Failing:
    """Lets the system calls of writing through until one of them is to fail."""

    def __init__(self, at: int, error: OSError) -> None:
        self.at, self.error = at, error
        self.calls = 0
        self.failed = ""

    def _fails(self, name: str) -> bool:
        self.calls += 1
        if self.calls != self.at:
            return False
        self.failed = name
        return True

    def guarded(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        """Return a call that fails when its turn has come."""

        def guard(*arguments: Any, **named: Any) -> Any:
            if self._fails(name):
                raise self.error
            return call(*arguments, **named)

        return guard

    def opened(self, *arguments: Any, **named: Any) -> Any:
        """Open a file whose every write, flush and closing can fail; a write that fails has written half."""
        if self._fails("open"):
            raise self.error
        return _Guarded(self, builtins.open(*arguments, **named))

    @contextmanager
    def at_work(self) -> Iterator[None]:
        """Put itself between the package and the system. Deleting is let be: a stray file could not be helped then."""
        with (
            patch.object(costing.folder.safe_writing, "open", self.opened, create=True),
            patch.object(os, "fsync", self.guarded("fsync", os.fsync)),
            patch.object(os, "replace", self.guarded("replace", os.replace)),
            patch.object(Path, "chmod", _method(self, "chmod", Path.chmod)),
            patch.object(Path, "mkdir", _method(self, "mkdir", Path.mkdir)),
            patch.object(Path, "read_bytes", _method(self, "read_bytes", Path.read_bytes)),
        ):
            yield


def _method(failing: Failing, name: str, call: Callable[..., Any]) -> Any:
    return lambda path, *arguments, **named: failing.guarded(name, partial(call, path))(*arguments, **named)


class _Guarded:
    """An open file between the package and the system."""

    def __init__(self, failing: Failing, file: Any) -> None:
        self.failing, self.file = failing, file

    def __enter__(self) -> _Guarded:
        return self

    def __exit__(self, *_: object) -> None:
        self.file.close()
        self.failing.guarded("close", lambda: None)()

    def write(self, data: bytes) -> int:
        """Write all of it, or half when it is to fail."""

        def half() -> int:
            return int(self.file.write(data))

        if self.failing.calls + 1 == self.failing.at:
            self.file.write(data[: len(data) // 2])
        return int(self.failing.guarded("write", half)())

    def flush(self) -> None:
        """Flush the file."""
        self.failing.guarded("flush", self.file.flush)()

    def fileno(self) -> int:
        """Return the file's number."""
        return int(self.file.fileno())
