"""Changing a CSV file cell by cell: every other cell keeps its spelling, its quotes and its place."""

from __future__ import annotations

import codecs
import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from costing.folder.csv_text import UTF_8, Encoding, read_csv

# What a spreadsheet takes for a formula begins with one of these signs, plain or full-width: in a cell, or behind what
# another program may take for a separator, since it then takes no notice of the quotes either.
_FORMULA = r"(?='*[=+\-@\uff1d\uff0b\uff0d\uff20])"
_BEFORE = r"((?:^|[,;\t|\r\n])[\s\"]*)"
_DANGEROUS, _DEFUSED = re.compile(_BEFORE + _FORMULA), re.compile(_BEFORE + "'" + _FORMULA)
_PLAIN_NUMBER = re.compile(r"[+-]?[\d.,]+%?")
_LONGEST = 10_000  # letters: what is longer is refused anyway


def defused(text: str) -> str:
    """Return a text so that no spreadsheet takes it for a formula when it opens the CSV, whatever separator it looks for.

    >>> defused("=1+1"), defused("-12.50"), undefused(defused("=1+1")), defused("plain;=1+1")
    ("'=1+1", '-12.50', '=1+1', "plain;'=1+1")
    """
    return text if _PLAIN_NUMBER.fullmatch(text) else _DANGEROUS.sub(r"\1'", text)


def undefused(text: str) -> str:
    """Return the text that was defused."""
    return _DEFUSED.sub(r"\1", text) if "'" in text and len(text) <= _LONGEST else text


@dataclass
class CsvFile:
    """A CSV file taken apart: for each row its cells as they stand in the file, quotes and all, and its line end."""

    rows: list[tuple[list[str], str]]
    delimiter: str
    decimal_comma: bool
    encoding: Encoding

    @classmethod
    def parse(cls, data: bytes, source: str, words: Collection[str] = ()) -> CsvFile:
        """Take a file apart, in the dialect that the reader finds in it; ``words`` are its columns without numbers."""
        found = read_csv(data, source, words)
        encoding = found.encoding or UTF_8
        text = data[len(encoding.mark) :].decode(encoding.codec)
        return cls(list(_split(text, found.delimiter)), found.delimiter, found.decimal_comma, encoding)

    @classmethod
    def fresh(cls, header: Sequence[str]) -> CsvFile:
        """Return a new file that holds only headings."""
        return cls([(list(header), "\n")], ",", decimal_comma=False, encoding=UTF_8)

    def bytes(self) -> bytes:
        """Return the file put together again."""
        text = "".join(self.delimiter.join(cells) + end for cells, end in self.rows)
        try:
            return self.encoding.mark + text.encode(self.encoding.codec)
        except UnicodeEncodeError:  # a letter that Windows-1252 lacks; the mark tells spreadsheets of the change
            return codecs.BOM_UTF8 + text.encode("utf-8")

    @property
    def heading_at(self) -> int:
        """The position of the row that holds the headings."""
        first = self.rows[0][0] if self.rows else []
        named = len(first) >= 1 and self.delimiter.join(first).strip('"').lower().startswith("sep=")
        for at in range(1 if named else 0, len(self.rows)):
            if any(unquoted(cell).strip() for cell in self.rows[at][0]):
                return at
        return 0

    def columns(self, needed: Iterable[str]) -> dict[str, int]:
        """Return the position of each column; those that the file lacks are added at its right."""
        cells = self.rows[self.heading_at][0]
        found = {unquoted(cell).strip().lower(): at for at, cell in enumerate(cells)}
        for column in needed:
            if column not in found:
                while cells and not unquoted(cells[-1]).strip():  # a heading beyond blank ones would leave them nameless
                    cells.pop()
                found[column] = len(cells)
                cells.append(column)
        return found

    def change(self, number: int, values: Mapping[str, str]) -> None:
        """Put new values into some cells of a row, which is numbered from 1 as spreadsheets do."""
        columns = self.columns(values)
        cells = self.rows[number - 1][0]
        for column, text in values.items():
            at = columns[column]
            cells.extend([""] * (at + 1 - len(cells)))
            cells[at] = self._written(text)

    def add(self, values: Mapping[str, str], after: int) -> None:
        """Add a row below another."""
        columns = self.columns(values)
        cells = [""] * len(self.rows[self.heading_at][0])
        for column, text in values.items():
            cells[columns[column]] = self._written(text)
        end = self._line_end()
        above, its_end = self.rows[after - 1]
        self.rows[after - 1] = (above, its_end or end)
        self.rows.insert(after, (cells, end))

    def number(self, text: str) -> str:
        """Return a plain number with the decimal mark of the file."""
        return text.replace(".", ",") if self.decimal_comma else text

    def remove(self, number: int) -> None:
        """Take a row out."""
        del self.rows[number - 1]

    def _line_end(self) -> str:
        return next((end for _, end in self.rows if end), "\n")

    def _written(self, text: str) -> str:
        text = defused(text)
        parted = re.search(r'["\r\n,;\t|]', text) and not _PLAIN_NUMBER.fullmatch(text)
        if parted or self.delimiter in text or text != text.strip():
            return '"' + text.replace('"', '""') + '"'
        return text


def unquoted(cell: str) -> str:
    """Return what a cell holds, without the quotes it stands in."""
    return cell[1:-1].replace('""', '"') if len(cell) > 1 and cell[0] == cell[-1] == '"' else cell


def _split(text: str, delimiter: str) -> Iterable[tuple[list[str], str]]:
    """Yield each row's cells with their quotes, and its line end."""
    cell = re.compile(rf'("[^"]*(?:""[^"]*)*"|[^{re.escape(delimiter)}\r\n]*)({re.escape(delimiter)}|\r\n|\n|\r|\Z)')
    cells: list[str] = []
    at = 0
    while at < len(text):
        found = cell.match(text, at)
        if found is None:
            raise ValueError(f"no CSV at letter {at}")
        cells.append(found[1])
        at = found.end()
        if found[2] != delimiter:
            yield cells, found[2]
            cells = []
    if cells:
        yield [*cells, ""], ""
