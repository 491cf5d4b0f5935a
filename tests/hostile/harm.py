"""Bad luck made to order: the calls by which the package changes files fail, are interrupted, or are its last."""

from __future__ import annotations

import builtins
import errno
import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from typing import Any
from unittest.mock import patch

import costing.folder.one_step
import costing.folder.safe_writing

CALLS = ("fsync", "replace", "rename", "link", "mkdir", "unlink", "rmdir", "chmod")  # of os, besides those of open files
OPENING = (costing.folder.safe_writing, costing.folder.one_step)  # the modules that open files to write them


class Killed(BaseException):
    """The program was ended as by a power cut: from then on it changes nothing more, not even what should be done last."""


class Harm:
    """Lets the calls that change files through until one of them is to be harmed.

    A call that fails has not been made, but for writing, which has written half. ``meanwhile`` is done before the call
    instead of harming it, as another program does.
    """

    def __init__(self, at: int, error: BaseException | None = None, meanwhile: Callable[[], object] | None = None) -> None:
        self.at, self.error, self.meanwhile = at, error, meanwhile
        self.calls = 0
        self.met: list[str] = []
        self.harmed = ""

    def meets(self, name: str, call: Callable[..., Any], half: Callable[[], object] = lambda: None) -> Callable[..., Any]:
        """Return a call that is harmed when its turn has come."""

        def guard(*arguments: Any, **named: Any) -> Any:
            self.calls += 1
            self.met.append(name)
            dead = isinstance(self.error, Killed) and self.harmed
            if self.calls == self.at or dead:
                if self.meanwhile:
                    self._do_meanwhile()
                elif self.error:
                    if not dead:
                        self.harmed = name
                        half()
                    raise self.error
            return call(*arguments, **named)

        return guard

    def _do_meanwhile(self) -> None:
        self.harmed, meanwhile = "meanwhile", self.meanwhile
        self.meanwhile = None  # which itself goes unharmed
        if meanwhile:
            meanwhile()

    def opened(self, *arguments: Any, **named: Any) -> Any:
        """Open a file whose making, writing and flushing can be harmed."""
        return _Guarded(self, self.meets("open", builtins.open)(*arguments, **named))

    @contextmanager
    def at_work(self) -> Iterator[None]:
        """Put itself between the package and the system."""
        with ExitStack() as stack:
            for name in CALLS:
                stack.enter_context(patch.object(os, name, self.meets(name, getattr(os, name))))
            for module in OPENING:
                stack.enter_context(patch.object(module, "open", self.opened, create=True))
            yield


class _Guarded:
    """An open file between the package and the system."""

    def __init__(self, harm: Harm, file: Any) -> None:
        self._harm, self._file = harm, file

    def __enter__(self) -> _Guarded:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()

    def write(self, data: bytes) -> int:
        """Write all of it, or half when it is harmed."""
        return int(self._harm.meets("write", self._file.write, lambda: self._file.write(data[: len(data) // 2]))(data))

    def flush(self) -> None:
        """Flush the file."""
        self._harm.meets("flush", self._file.flush)()

    def fileno(self) -> int:
        """Return the file's number."""
        return int(self._file.fileno())


def calls_of(work: Callable[[], object]) -> list[str]:
    """Do some work unharmed and return by which calls it changes files."""
    harm = Harm(0)
    with harm.at_work():
        work()
    return harm.met


def full() -> OSError:
    """Return what the system says when there is no room left."""
    return OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def harmed(work: Callable[[], object], at: int, error: BaseException) -> tuple[str, BaseException | None]:
    """Do some work with harm at one call; return which call it was, if there are so many, and with what the work ended."""
    harm = Harm(at, error)
    try:
        with harm.at_work():
            work()
    except (Exception, Killed, KeyboardInterrupt) as ended:
        return harm.harmed, ended
    return harm.harmed, None
