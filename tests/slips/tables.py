"""A season's tables as a maker typed them: read from CSV, changed by hand, written again in the maker's own notation."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

Row = dict[str, str]
Tables = dict[str, list[Row]]

ROOT = Path(__file__).parents[2]
ORVALHEIRA = Path(__file__).parent / "seasons" / "orvalheira"
_WORDS = (
    "name",
    "note",
    "invoice",
    "supplier",
    "label_name",
    "source",
)  # columns of free words, in which nothing is a number


class AsTyped(str):
    """A text that is to stand in the file exactly like this, and not in the season's own notation."""

    __slots__ = ()


@dataclass(frozen=True)
class Notation:
    """How a maker writes: the mark before decimals, the mark between cells, and whether the day comes first."""

    decimal: str = "."
    separator: str = ","
    day_first: bool = False

    def written(self, column: str, text: str) -> str:
        """Return a plain text as this maker would type it."""
        if isinstance(text, AsTyped) or column in _WORDS:
            return text
        if self.day_first and re.fullmatch(r"\d{4}-\d\d-\d\d", text):
            return "/".join(reversed(text.split("-")))
        return text.replace(".", self.decimal) if re.fullmatch(r"-?\d+\.\d+", text) else text

    def plain(self, column: str, text: str) -> str:
        """Return what a maker typed as a plain text: decimal points, and days by year, month and day."""
        if column in _WORDS:
            return text
        day = re.fullmatch(r"(\d\d)/(\d\d)/(\d{4})", text)
        if day:
            return f"{day[3]}-{day[2]}-{day[1]}"
        return text.replace(self.decimal, ".") if re.fullmatch(rf"-?\d+{re.escape(self.decimal)}\d+", text) else text


POINTS = Notation()
COMMAS = Notation(",", ";", day_first=True)


def read_tables(folder: Path, notation: Notation) -> Tables:
    """Return the tables of a folder, in plain notation."""
    tables: Tables = {}
    for file in sorted(folder.glob("*.csv")):
        with file.open(newline="", encoding="utf-8") as text:
            rows = csv.DictReader(text, delimiter=notation.separator)
            tables[file.stem] = [{key: notation.plain(key, cell or "") for key, cell in row.items()} for row in rows]
    return tables


def write_tables(tables: Tables, folder: Path, notation: Notation) -> Path:
    """Write the tables into a folder as a maker would, one file each; return the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, rows in tables.items():
        header = list(dict.fromkeys(column for row in rows for column in row))
        with (folder / f"{name}.csv").open("w", newline="", encoding="utf-8") as text:
            writer = csv.writer(text, delimiter=notation.separator)
            writer.writerow(header)
            writer.writerows([notation.written(key, row.get(key, "")) for key in header] for row in rows)
    return folder


@dataclass(frozen=True)
class Clean:
    """A good season, before anything is slipped into it."""

    name: str
    tables: Tables
    notation: Notation
    delivery_words: tuple[str, str]  # what its maker calls delivery and a total, in everyday words
    lye_word: str

    def write(self, tables: Tables, folder: Path) -> Path:
        """Write tables of this season in its maker's notation."""
        return write_tables(tables, folder, self.notation)


def clean_seasons() -> Iterator[Clean]:
    """Yield the three good seasons."""
    english = (("shipping", "total"), "soda")
    yield Clean("sample", read_tables(ROOT / "sample", POINTS), POINTS, *english)
    yield Clean("last-season", read_tables(ROOT / "sample" / "last-season", POINTS), POINTS, *english)
    yield Clean("orvalheira", read_tables(ORVALHEIRA / "as_typed", COMMAS), COMMAS, ("portes", "total"), "soda")
