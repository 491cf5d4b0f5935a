"""The cells of a sheet, where they are written plainly, counted without a parser: they are nine tenths of a workbook's XML.

What is set apart here, no parser can read as anything else: the bytes are ASCII's or above, every ``<`` begins an element,
and each element is one of a cell's own, without anything that would have to be looked at more closely. In doubt all is left
to the parser.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping

MOST_MARKS = 1_500_000  # of a sheet looked at here, so that they need little memory
_QUIET = 65_536  # bytes without any mark that are no longer plain: twice the letters that a cell can hold

_HEAD = re.compile(rb'(?:<\?xml version="1\.0"(?: encoding="(?:UTF|utf)-8")?(?: standalone="(?:yes|no)")?\s*\?>\s*)?<[^?!]')
_BEGIN, _END = b"<sheetData>", b"</sheetData>"
_STARTS = re.compile(rb"<([^/\s>]+)")
_KINDS = frozenset((b"row", b"c", b"v", b"f", b"is", b"t"))
_FORMULAS = (b"<f>", b"<f/>", b'<f aca="false">')  # of a cell alone; other attributes say that it is shared


def cells_set_apart(part: bytes) -> tuple[Mapping[str, int], bytes]:
    """Return how many elements of each kind the plain cells of a part have, and the part without those cells.

    >>> cells_set_apart(b'<s><sheetData><row r="1"><c r="A1"><v>5</v></c></row></sheetData></s>')
    ({'row': 1, 'c': 1, 'v': 1}, b'<s><sheetData></sheetData></s>')
    >>> cells_set_apart(b'<s><sheetData><c><f t="shared" si="0"/></c></sheetData></s>')[0]
    {}
    """
    begin, end = part.find(_BEGIN) + len(_BEGIN), part.rfind(_END)
    if begin < len(_BEGIN) or end < begin or not _every_mark_begins_an_element(part):
        return {}, part
    cells = part[begin:end]
    if cells.count(b"<") > MOST_MARKS or any(
        cells.find(b"<", at, at + _QUIET) < 0 for at in range(0, len(cells) - _QUIET, _QUIET)
    ):
        return {}, part
    counts = Counter(_STARTS.findall(cells))
    if not counts.keys() <= _KINDS or counts[b"f"] != sum(map(cells.count, _FORMULAS)):
        return {}, part
    return {kind.decode(): count for kind, count in counts.items() if count}, part[:begin] + part[end:]


def _every_mark_begins_an_element(part: bytes) -> bool:
    """Whether a part is in UTF-8, without comments, declarations and instructions but for its first line."""
    head = _HEAD.match(part)
    return head is not None and b"<!" not in part and b"<?" not in part[head.end() :]
