"""CSV as spreadsheets and other programs write it: its encoding, separator and decimal mark told from the bytes."""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from costing.errors import Fault

LARGEST_FILE = 5_000_000  # bytes: five times a season of 12,000 purchases
MOST_ROWS, MOST_LINES = 25_000, 200_000  # the latter with empty lines
_MOST_CELLS = 200
_MOST_FAULTS = 20
_SAMPLE = 65_536

_DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs"}
_LINE_ENDS = {"\r\n": "CRLF", "\n": "LF", "\r": "CR"}


@dataclass(frozen=True)
class Encoding:
    """How the letters of a file are written: the codec, the mark in front of them, and what people call the codec."""

    codec: str
    called: str
    mark: bytes = b""

    def __str__(self) -> str:
        return f"{self.called} with BOM" if self.mark else self.called


UTF_8 = Encoding("utf-8", "UTF-8")
_WINDOWS = Encoding("cp1252", "Windows-1252")
_UTF_16_LE = Encoding("utf-16-le", "UTF-16 LE")
_UTF_16_BE = Encoding("utf-16-be", "UTF-16 BE")
_NO_TEXT = Encoding("latin-1", "no text")
_MARKED = tuple(
    replace(encoding, mark=mark)
    for encoding, mark in ((UTF_8, codecs.BOM_UTF8), (_UTF_16_LE, codecs.BOM_UTF16_LE), (_UTF_16_BE, codecs.BOM_UTF16_BE))
)
_WORKBOOKS = (b"PK\x03\x04", b"PK\x05\x06", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")

_LINE = re.compile(r"[^\r\n]*(?:\r\n?|\n)|[^\r\n]+")
_QUOTED = re.compile(r'(?:^|(?<=[,;\t\r\n]))"[^"]*(?:""[^"]*)*"')
_BESIDE_DIGITS = str.maketrans("", "", " \u00a0\u2009\u202f'’$€£¥%")
_UNIT_BEHIND = re.compile(r"(?<=\d)[^\W\d]+\.?$")
CLEARLY = 3  # so many times as many decimal commas as points make a file one of commas


def _decimal_with(mark: str, other: str) -> re.Pattern[str]:
    """Return what only a number with that decimal mark looks like: 12,50 and 1.234,50 but not 1,234."""
    grouped = rf"[1-9]\d{{0,2}}(?:\{other}\d{{3}})+"
    return re.compile(rf"[+-]?(?![1-9]\d{{0,2}}\{mark}\d{{3}}$)(?:{grouped}|\d*)\{mark}\d+")


_WITH_COMMA = _decimal_with(",", ".")
_WITH_POINT = _decimal_with(".", ",")


@dataclass(frozen=True)
class CsvText:
    """The cells of a CSV file, and how the file writes them.

    Each row has the number that it has in the file: the first is 1, be it the heading or a line ``sep=;``. A line
    break inside quotes starts no new row; an empty line has a number but is not listed. What is wrong with the file
    itself is in ``faults``; the rows beside a fault are those that could be read.
    """

    rows: tuple[tuple[int, tuple[str, ...]], ...]
    encoding: Encoding | None
    delimiter: str
    decimal_comma: bool
    line_ends: str
    faults: tuple[Fault, ...] = ()


def read_csv(data: bytes, source: str, words: Collection[str] = ()) -> CsvText:
    r"""Return the cells of a CSV file; it never raises, whatever the bytes are.

    ``words`` are the headings of columns that hold no numbers: what stands in them says nothing of decimal marks.

    >>> text = read_csv("Öl;Preis\r\nOlive;12,50\r\n".encode("cp1252"), "prices.csv")
    >>> text.rows
    ((1, ('Öl', 'Preis')), (2, ('Olive', '12,50')))
    >>> described(text)
    'Windows-1252, semicolons, decimal commas, CRLF'
    """
    decoded = _decoded(data, source)
    if isinstance(decoded, Fault):
        return CsvText((), None, ",", decimal_comma=False, line_ends="", faults=(decoded,))
    text, encoding = decoded
    named = re.match(r'("?)sep=([^"\r\n])\1(?=[\r\n]|$)', text, re.IGNORECASE)
    delimiter = named[2] if named else _delimiter(text)
    if delimiter not in _DELIMITERS:
        fault = Fault(f"{source}, row 1", f'names "{delimiter}" as the separator', "save it with commas or semicolons")
        return CsvText((), encoding, ",", decimal_comma=False, line_ends="", faults=(fault,))
    found = _Reading(source)
    found.read(text, delimiter)
    rows = tuple(found.rows[1:] if named else found.rows)
    decimal_comma = delimiter != "," and _writes_decimal_commas(_outside(words, [cells for _, cells in rows]))
    return CsvText(rows, encoding, delimiter, decimal_comma, _line_ends(found.ends), tuple(found.faults))


def described(text: CsvText) -> str:
    """Return in one line how a file is written, such as ``UTF-8 with BOM, semicolons, decimal commas, CRLF``."""
    if text.encoding is None:
        return "not read as text"
    marks = "decimal commas" if text.decimal_comma else ""
    return ", ".join(filter(None, (str(text.encoding), _DELIMITERS[text.delimiter], marks, text.line_ends)))


def _decoded(data: bytes, source: str) -> tuple[str, Encoding] | Fault:
    """Return the text of the bytes and their encoding, or why they are no text."""
    if len(data) > LARGEST_FILE:
        return Fault(
            source, f"is larger than {LARGEST_FILE // 1_000_000} MB", "check which file this is: a season needs far less"
        )
    if data.startswith(_WORKBOOKS):
        return Fault(source, "is a workbook, not CSV", "open it in a spreadsheet and save its sheet as CSV in UTF-8")
    encoding = _encoding(data)
    body = data[len(encoding.mark) :]
    try:
        text = body.decode(encoding.codec)
    except UnicodeDecodeError as error:
        what = f"has a byte (0x{body[error.start]:02X}) that is no character in {encoding.called}"
        return Fault(
            f"{source}, line {_line_number(body, error.start, encoding.codec)}", what, "save the file as CSV in UTF-8"
        )
    if "\0" in text:
        return Fault(source, "is no text, so it is no CSV", "open it in the program that made it and save it as CSV")
    return text, encoding


def _encoding(data: bytes) -> Encoding:
    """Return the encoding that the bytes are to be read with."""
    for encoding in _MARKED:
        if data.startswith(encoding.mark):
            return encoding
    if b"\0" in data:
        return _unmarked_utf16(data)
    return UTF_8 if _mostly_utf8(data) else _WINDOWS


def _line_number(data: bytes, at: int, codec: str) -> int:
    before = data[:at].decode(codec, "ignore")
    return 1 + max(before.count("\n"), before.count("\r"))


def _unmarked_utf16(data: bytes) -> Encoding:
    """Return which UTF-16 bytes with zeros are in, if one: plain text has zeros in every other place, and only there."""
    sample = data[:_SAMPLE]
    first, second = sample[::2].count(0), sample[1::2].count(0)
    if len(data) % 2 == 0 and not first and 4 * second > len(sample):
        return _UTF_16_LE
    if len(data) % 2 == 0 and not second and 4 * first > len(sample):
        return _UTF_16_BE
    return _NO_TEXT


def _mostly_utf8(data: bytes) -> bool:
    """Tell whether bytes are UTF-8, or so nearly that another encoding would garble more than it mends."""
    text = data.decode("utf-8", "replace")
    beyond_ascii = len(text) - len(text.encode("ascii", "ignore"))
    wrong = text.count("\ufffd") - data.count("\ufffd".encode())
    return wrong == 0 or beyond_ascii > 2 * wrong


def _delimiter(text: str) -> str:
    """Return the separator of the heading: the one the next rows have as often, and of those the most frequent."""
    lines = re.split(r"[\r\n]+", _QUOTED.sub("q", text[:_SAMPLE]).strip("\r\n"))
    if len(text) > _SAMPLE and len(lines) > 1:
        lines.pop()
    heading, following = lines[0], lines[1:]
    counts = {mark: heading.count(mark) for mark in _DELIMITERS if mark in heading}

    def fitness(mark: str) -> tuple[int, int]:
        return sum(line.count(mark) == counts[mark] for line in following), counts[mark]

    return max(counts, key=fitness, default=",")


def _outside(words: Collection[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Yield the cells of all columns but those of words; a cell beyond the headings counts."""
    heading = next((cells for cells in rows if any(cell.strip() for cell in cells)), ())
    passed = {at for at, cell in enumerate(heading) if cell.strip().lower() in words}
    return (cell for cells in rows for at, cell in enumerate(cells) if at not in passed)


def _writes_decimal_commas(cells: Iterable[str]) -> bool:
    """Tell whether the numbers that can be read in one way only have decimal commas, most of them by far."""
    commas = points = 0
    for cell in cells:
        if "," in cell or "." in cell:
            bare = _beside(cell)
            points += _WITH_POINT.fullmatch(bare) is not None
            commas += _WITH_COMMA.fullmatch(bare) is not None
    return commas > CLEARLY * points


def _beside(cell: str) -> str:
    """Return a cell without blanks, signs of money, a percent sign or a unit."""
    return _UNIT_BEHIND.sub("", cell.translate(_BESIDE_DIGITS))


def _line_ends(ends: set[str]) -> str:
    names = [_LINE_ENDS[end] for end in ends if end]
    return "mixed line ends" if len(names) > 1 else "".join(names)


class _Lines:
    """The lines of a text, each with its end, and how far they were taken."""

    def __init__(self, text: str) -> None:
        self._lines = _LINE.finditer(text)
        self.taken, self.last, self.used_up = 0, "", False

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        line = next(self._lines, None)
        if line is None:
            self.used_up = True
            raise StopIteration
        self.taken, self.last = self.taken + 1, line[0]
        return self.last

    def end(self) -> str:
        """Return the end of the line last taken."""
        return self.last[len(self.last.rstrip("\r\n")) :]


@dataclass
class _Reading:
    """Rows and faults as they are found."""

    source: str
    rows: list[tuple[int, tuple[str, ...]]] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    ends: set[str] = field(default_factory=set)

    def read(self, text: str, delimiter: str) -> None:
        """Take the rows in, as far as they can be told apart."""
        lines = _Lines(text)
        reader = csv.reader(lines, delimiter=delimiter, strict=True)
        number, goes_on = 0, True
        while goes_on and len(self.faults) < _MOST_FAULTS and len(self.rows) <= MOST_ROWS and number <= MOST_LINES:
            number, before = number + 1, lines.taken
            try:
                self._add(number, next(reader))
            except StopIteration:
                return
            except csv.Error as error:
                goes_on = self._broken(number, lines, before, str(error))
            self.ends.add(lines.end())

    def _add(self, number: int, cells: list[str]) -> None:
        if len(cells) > _MOST_CELLS:
            what = f"has {len(cells)} cells, more than any table here"
            self.faults.append(Fault(f"{self.source}, row {number}", what, "delete the columns that are not needed"))
        elif cells:
            self.rows.append((number, tuple(cells)))
        if len(self.rows) > MOST_ROWS or number > MOST_LINES:
            do = "check which file this is: a season needs far fewer"
            self.faults.append(Fault(self.source, f"has more than {MOST_ROWS} rows, or {MOST_LINES} with empty ones", do))

    def _broken(self, number: int, lines: _Lines, before: int, error: str) -> bool:
        """Tell which quotation mark is wrong; return whether the lines after it can still be told apart."""
        height = lines.taken - before
        what = "has a quotation mark that is never closed"
        do = "add the closing one, or delete the opening one"
        if "field limit" in error:
            what = f"has a cell of more than {csv.field_size_limit()} characters"
            do = "check whether a quotation mark is missing at its end"
        elif not lines.used_up:
            further = f", {height - 1} line{'s' * (height > 2)} further down" if height > 1 else ""
            what = f"has text after a closing quotation mark{further}"
            do = "put the whole cell in quotation marks, and write each one inside it twice"
        self.faults.append(Fault(f"{self.source}, row {number}", what, do))
        return height == 1 and not lines.used_up
