"""Opening a workbook that may come from anywhere: its parts are checked before anything is read."""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections import Counter
from pathlib import Path
from typing import Any
from xml.parsers import expat

from openpyxl.utils import column_index_from_string

from costing.errors import FileTrouble, Refusal
from costing.workbook.read.plain_cells import cells_set_apart

MOST_BYTES = 60_000_000
MOST_RATIO = 40  # the sample's workbook unpacks to seven times its size
MOST_PARTS = 500
MOST_CELLS = 400_000  # twelve times the sample's workbook
MOST_MARKS = 20_000  # of everything that is no part of a cell: styles, rules, links, names; the sample has 2500
MOST_SPANNED = 50_000  # cells merged or linked together, each of which is made when the workbook is read
MOST_SPELLED = 3_000_000  # letters of formulas that cells share, which are spelled anew for each cell
LONGEST_TEXT = 1_000_000  # bytes without any element: thirty times what a cell can hold
LONGEST_CODE = 255  # of a number format, which is looked through letter by letter

_SMALL = 1_000_000  # parts below this are let be: they pack tightly without doing harm
_NEEDED = ("[Content_Types].xml", "xl/workbook.xml")
_OLDER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_CHUNK = 65_536
_MOST = dict.fromkeys(("c", "row", "v", "f", "is", "t", "si"), MOST_CELLS) | {"mergeCell": 5_000}
_SPANNING = ("mergeCell", "hyperlink", "comment")
_READ_ONCE = ("worksheet", "drawing", "chart", "table", "comments", "pivotTable")  # parts, by the end of their type
_READING = ("sheet", "tablePart", "chart")  # elements that make the reader read the part they name


def checked_bytes(path: Path) -> bytes:
    """Return a workbook's bytes after a look at its directory and through all of its XML.

    Raises
    ------
    Refusal
        When it cannot be read, is no workbook, unpacks to too much, or holds what no season needs.

    """
    data = _bytes(path)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _check_directory(path, archive)
            _check_parts(path, archive)
    except Refusal:
        raise
    except Exception as error:  # zipfile fails in its own ways, in zlib's, and in those of the bytes it takes for numbers
        raise Refusal(f"{path}: is no readable .xlsx workbook ({shortly(error)}); save it again as .xlsx") from None
    return data


def _bytes(path: Path) -> bytes:
    """Return a file's bytes, if it can be a workbook at all."""
    try:
        if path.exists() and not path.is_file():
            raise Refusal(f"{path}: is no file; name a workbook")
        if path.stat().st_size > MOST_BYTES:
            raise Refusal(f"{path}: is larger than {MOST_BYTES / 1e6:.0f} MB; it is not opened")
        data = path.read_bytes()
    except FileNotFoundError:
        raise Refusal(f"{path}: is not there; name a workbook") from None
    except OSError as error:
        raise FileTrouble(f"{path}: cannot be read ({error.strerror})") from None
    if data.startswith(_OLDER):
        raise Refusal(f"{path}: is an older .xls workbook, or one with a password; save it as .xlsx without one")
    if data.count(b"PK\x01\x02") > MOST_PARTS:  # told before zipfile lists them all
        raise Refusal(f"{path}: holds more than {MOST_PARTS} parts; it is not opened")
    return data


def _check_directory(path: Path, archive: zipfile.ZipFile) -> None:
    parts = archive.infolist()
    names = [part.filename for part in parts]
    total = sum(part.file_size for part in parts)
    packed = sum(part.compress_size for part in parts)
    if any(needed not in names for needed in _NEEDED):
        raise Refusal(f"{path}: is a zip file but no workbook; save it as .xlsx")
    strange = [name for name in names if _is_strange(name)]
    if strange:
        raise Refusal(f"{path}: holds a part named {strange[0][:80]!r}; it is not opened")
    if len(set(names)) != len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise Refusal(f"{path}: holds the part {twice} twice; it is not opened")
    if total > MOST_BYTES or total > MOST_RATIO * max(packed, _SMALL // MOST_RATIO):
        raise Refusal(f"{path}: would unpack to {total / 1e6:.0f} MB; it is not opened")
    unusual = [part for part in parts if part.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)]
    if unusual:
        raise Refusal(f"{path}: {unusual[0].filename} is packed as no spreadsheet does; save it again as .xlsx")


def _is_strange(name: str) -> bool:
    """Tell whether a part's name leads out of the workbook, or is one that no program gives and no terminal can show."""
    return ".." in name or name.startswith(("/", "\\")) or ":" in name or len(name) > 200 or not name.isprintable()


def _check_parts(path: Path, archive: zipfile.ZipFile) -> None:
    look = _Look(path)
    for part in archive.infolist():
        said = part.file_size
        part.file_size += 1  # of a part that holds more than its directory says, one byte more can be read
        data = archive.read(part)  # together no more than a workbook may unpack to
        if len(data) > said:
            raise Refusal(f"{path}: {part.filename} unpacks to more than it says; it is not opened")
        look.through(part.filename, data)


class _Look:
    """One look through a workbook's XML, with the parser that will read it, but without making anything of it.

    What it counts is what costs time and memory later. A part that is no XML, or breaks off, is left at that place: the
    reading will not come further either.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.counts: Counter[str] = Counter()
        self.elements = self.spanned = self.spelled = 0
        self.targets: set[str] = set()

    def through(self, name: str, data: bytes) -> None:
        """Look through one part."""
        self.name = name
        self.named: set[str] = set()
        self.shared: dict[str, int] = {}  # letters of each shared formula
        self.sharing, self.begun = "", 0
        plain, rest = cells_set_apart(data)
        for kind, count in plain.items():
            self._count(kind, count)
        self.parser = parser = self._parser()
        quiet = 0
        for at in range(0, len(rest), _CHUNK):
            chunk = rest[at : at + _CHUNK]
            before = self.elements
            if not _parsed(parser, chunk):
                return
            quiet = quiet + len(chunk) if self.elements == before else 0
            if quiet > LONGEST_TEXT and not self._is_drawing:
                raise self._refusal(f"a text of more than {LONGEST_TEXT / 1e6:.0f} MB")

    @property
    def _is_drawing(self) -> bool:
        """Whether a part is a picture, which is not read; those of other programs may begin with a DOCTYPE."""
        return self.name.startswith("xl/media/")

    def _parser(self) -> Any:
        parser: Any = expat.ParserCreate()
        parser.StartElementHandler = self._element
        parser.EntityDeclHandler = self._declared
        if not self._is_drawing:
            parser.StartDoctypeDeclHandler = self._declared
        return parser

    def _declared(self, *_: Any) -> None:
        raise self._refusal("declarations of entities")

    def _element(self, name: str, attributes: dict[str, str]) -> None:
        local = name.rpartition(":")[2]
        kind = local if local in _MOST else "other"
        self._count(kind, 1)
        if self.sharing:
            self._end_shared()
        if local == "f" and attributes.get("t") == "shared":
            self.sharing, self.begun = attributes.get("si", "-"), self.parser.CurrentByteIndex
        elif kind in ("other", "mergeCell"):
            self._check_span(local, attributes)
            self._check_part(local, attributes)
            if len(attributes.get("formatCode", "")) > LONGEST_CODE:
                raise self._refusal(f"a number format of {len(attributes['formatCode'])} letters")

    def _count(self, kind: str, count: int) -> None:
        self.elements += count
        self.counts[kind] += count
        if self.counts[kind] > _MOST.get(kind, MOST_MARKS):
            raise self._refusal(_too_many(kind))

    def _end_shared(self) -> None:
        """Count the letters of a formula that other cells share, at the element behind it."""
        length = max(self.shared.get(self.sharing, 0), self.parser.CurrentByteIndex - self.begun)
        self.shared[self.sharing] = length
        self.spelled += length
        self.sharing = ""
        if self.spelled > MOST_SPELLED:
            raise self._refusal("too long a formula for too many cells")

    def _check_span(self, name: str, attributes: dict[str, str]) -> None:
        """Refuse spans of so many cells that making them would take all memory."""
        if name in _SPANNING:
            self.spanned += _cells_in(attributes.get("ref", ""))
            if self.spanned > MOST_SPANNED:
                raise self._refusal(f"cells merged, linked or noted as one over {attributes.get('ref', '')[:40]}")

    def _check_part(self, name: str, attributes: dict[str, str]) -> None:
        """Refuse parts that are to be read over and over, however small they are."""
        if name in _READING:
            ids = {text for key, text in attributes.items() if key.endswith(":id")}
            if ids & self.named:
                raise self._refusal("the same part twice")
            self.named |= ids
        if name == "Relationship" and attributes.get("Type", "").endswith(tuple(f"/{end}" for end in _READ_ONCE)):
            folder = posixpath.dirname(posixpath.dirname(self.name))
            target = posixpath.normpath(posixpath.join("/", folder, attributes.get("Target", "")))
            if target in self.targets:
                raise self._refusal(f"the part {target} twice")
            self.targets.add(target)

    def _refusal(self, what: str) -> Refusal:
        return Refusal(f"{self.path}: {self.name} holds {what}; it is not opened")


def _too_many(kind: str) -> str:
    what = {"other": "styles, rules and links", "mergeCell": "merged cells"}.get(kind, "cells")
    return f"more than {_MOST.get(kind, MOST_MARKS)} {what}, with the parts before it"


def _parsed(parser: Any, chunk: bytes) -> bool:
    """Tell whether a part goes on as XML."""
    try:
        parser.Parse(chunk, False)  # noqa: FBT003  # expat takes it by position
    except expat.ExpatError:
        return False
    return True


def _cells_in(span: str) -> int:
    """Return how many cells a span such as A1:C9 has."""
    corners = re.fullmatch(r"\$?([A-Z]{1,3})\$?(\d{1,7}):\$?([A-Z]{1,3})\$?(\d{1,7})", span.strip().upper())
    if not corners:
        return 1
    left, right = (column_index_from_string(corners[at]) for at in (1, 3))
    return (abs(right - left) + 1) * (abs(int(corners[4]) - int(corners[2])) + 1)


def shortly(error: BaseException) -> str:
    """Return what an error says, for one line of a terminal."""
    return printable(re.sub(r"\s+", " ", str(error))[:120])


def printable(text: str) -> str:
    """Return a text without what no terminal can show."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)
