"""The file itself: what openpyxl writes of a workbook, with our cells, texts and the charts' words put in.

The cells are written into the compressed file as they are made, so that a large season's are never held together.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from openpyxl import Workbook
from openpyxl.writer.excel import ExcelWriter

from costing.workbook.identity import PROPERTIES_PART, parts_digest
from costing.workbook.write.cells import SheetRows
from costing.workbook.write.sheet_drawer import SheetDrawer
from costing.workbook.write.strings import SharedStrings

STRINGS_PART = "xl/sharedStrings.xml"
UNKNOWN_YET = 64 * "0"  # in place of the digest of all parts, until they are written
_NAMED = {  # the parts that say which parts there are: where each ends, and what it says of the shared texts
    "[Content_Types].xml": (
        "</Types>",
        '<Override PartName="/xl/sharedStrings.xml" '
        'ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/>',
    ),
    "xl/_rels/workbook.xml.rels": (
        "</Relationships>",
        '<Relationship Id="sharedStrings" Target="sharedStrings.xml" '
        'Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings"/>',
    ),
}
_NO_ROWS = re.compile("<sheetData ?/>|<sheetData>.*?</sheetData>", re.DOTALL)  # cells that only carry comments, if any
_EXTENT = re.compile('<dimension ref="[^"]*"')
LEVEL = 6  # of compression: a file an eighth smaller than with the quicker 3, a tenth of a second later
TOGETHER = 200  # rows that are compressed at a time


def packed(book: Workbook, drawers: Sequence[SheetDrawer], strings: SharedStrings) -> bytes:
    """Return the bytes of the .xlsx file."""
    frame, whole = io.BytesIO(), io.BytesIO()
    ExcelWriter(book, zipfile.ZipFile(frame, "w")).save()  # uncompressed, since it is read again at once
    rows = {f"xl/worksheets/sheet{at}.xml": drawer.rows for at, drawer in enumerate(drawers, start=1)}
    charted = [drawer.alternatives for drawer in drawers if drawer.alternatives]
    words = {f"xl/drawings/drawing{at}.xml": texts for at, texts in enumerate(charted, start=1)}
    with zipfile.ZipFile(frame) as source, zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED, compresslevel=LEVEL) as target:
        for part in source.namelist():
            xml = source.read(part).decode()
            if part in rows:
                _write(target, part, _with_rows(xml, rows[part]))
            elif part in words:
                _write(target, part, [_with_words(xml, words[part])])
            elif part != PROPERTIES_PART:
                _write(target, part, [_naming_strings(part, xml)])
        _write(target, STRINGS_PART, strings.xml())  # after the rows, which enter their texts as they are made
        if PROPERTIES_PART in source.namelist():  # last, since it tells of all the others
            parts = [(part.filename, part.file_size, part.CRC) for part in target.infolist()]
            properties = source.read(PROPERTIES_PART).decode()
            _write(target, PROPERTIES_PART, [properties.replace(UNKNOWN_YET, parts_digest(parts))])
    return whole.getvalue()


def _write(target: zipfile.ZipFile, part: str, texts: Iterable[str]) -> None:
    remaining = iter(texts)
    with target.open(part, "w") as opened:
        while together := "".join(islice(remaining, TOGETHER)):
            opened.write(together.encode())


def _with_rows(xml: str, rows: SheetRows) -> Iterator[str]:
    before, *after = _NO_ROWS.split(xml)
    if len(after) != 1:
        raise ValueError("openpyxl wrote a sheet without a place for its cells")
    yield _EXTENT.sub(f'<dimension ref="{rows.extent}"', before)
    yield "<sheetData>"
    yield from rows.xml()
    yield f"</sheetData>{after[0]}"


def _naming_strings(part: str, xml: str) -> str:
    end, said = _NAMED.get(part, ("", ""))
    return xml.replace(end, said + end) if said else xml


def _with_words(xml: str, alternatives: Sequence[str]) -> str:
    for at, text in enumerate(alternatives, start=1):
        xml = xml.replace(f'name="Chart {at}"', f'name="Chart {at}" descr="{text}"')
    return xml
