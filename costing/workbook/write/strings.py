"""Texts as a workbook's file holds them: escaped, and those of plain cells once each in a table that all sheets share."""

from __future__ import annotations

import re
from collections.abc import Iterator

_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")  # what no XML can hold
_TAKEN_FOR_ESCAPE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")  # a spreadsheet reads _x0041_ as the letter A
_SPECIAL = re.compile("[&<>\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]|_x")
_SPACE = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def literal(text: str) -> str:
    """Return a text in which no spreadsheet finds an escape, for what openpyxl writes: it escapes as XML only.

    >>> literal("salt & _x0041_")
    'salt & _x005F_x0041_'
    """
    return _TAKEN_FOR_ESCAPE.sub("_x005F_", _FORBIDDEN.sub("", text))


def escaped(text: str) -> str:
    """Return a text as the content of an element.

    >>> escaped("salt & water"), escaped("_x0041_")
    ('salt &amp; water', '_x005F_x0041_')
    """
    if not _SPECIAL.search(text):
        return text
    text = literal(text)
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


class SharedStrings(dict[str, int]):
    """The texts of plain cells, each with its number: ``strings["Lavender"]`` enters a new one.

    Previews on phones show shared texts, but not always those that stand in the cells themselves.
    """

    def __missing__(self, text: str) -> int:
        number = self[text] = len(self)
        return number

    def xml(self) -> Iterator[str]:
        """Yield the part of the file that holds them."""
        yield f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<sst xmlns="{_SPACE}" uniqueCount="{len(self)}">'
        for text in self:
            yield f'<si><t xml:space="preserve">{escaped(text)}</t></si>'
        yield "</sst>"
