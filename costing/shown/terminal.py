"""Lines as a terminal shows them: nothing in them moves the cursor, hides, or turns what stands beside it round."""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

# Control characters but for tabs and line ends; marks that set the direction of writing (Unicode Annex 9); line ends of
# other kinds; halves of letters, which names of files may hold; and what is no character in Unicode.
_HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff\ud800-\udfff]"
)


def visible(text: str) -> str:
    r"""Return a text with what a terminal would obey, instead of showing it, as its code.

    >>> visible("Rub\x1b[2J"), visible("a\u202eb")
    ('Rub\\x1b[2J', 'a\\u202eb')
    """
    return _HIDDEN.sub(lambda found: found[0].encode("unicode_escape", "surrogatepass").decode("ascii"), text)


class _Shown:
    """A stream that shows what it is given, from whatever source it is."""

    def __init__(self, stream: Any) -> None:
        self._stream = stream

    @property
    def encoding(self) -> str:
        """One that needs no help: a letter that the stream cannot show becomes a question mark in it."""
        return "utf-8"

    def write(self, text: str) -> int:
        """Write a text, line ends as they are."""
        return int(self._stream.write(visible(text.replace("\r\n", "\n"))))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


@contextmanager
def lines_shown() -> Iterator[None]:
    """Have all that is printed meanwhile shown so."""
    before = sys.stdout, sys.stderr
    for stream in before:
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    sys.stdout, sys.stderr = _Shown(before[0]), _Shown(before[1])
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before
