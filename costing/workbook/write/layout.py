"""Where everything stands: the sheets in their order, the blocks on each, and so the address of every column."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby
from typing import Any

from openpyxl.utils import get_column_letter, quote_sheetname

from costing.engine.calculated import CalculatedFigures, CalculatedTable
from costing.engine.declared import GIVEN, KEPT, WORKED
from costing.engine.spelling import Address
from costing.engine.table import Column, Entry
from costing.records.schema import TABLES_BY_NAME

FIRST, CHECKS = "At a glance", "Checks"  # the sheets that all others lead to
FIRST_BLOCK = 5
LAST_LETTERS = "DZ"  # of a column beyond those of any sheet
FAR_BELOW = 500  # rows below a table in which a row is told that does not count
WRITTEN_ON = 2  # free rows of a table on paper
ACROSS, DOWN, SAID = "across", "down", "said"
VALUE_COLUMN = 3  # of figures that stand one under the other: key, what, value, unit, what it means


@dataclass
class TableBlock:
    """A table with its rows and spare rows under one heading row, and room for charts below it."""

    filled: CalculatedTable[Any]
    heading_row: int = 0
    room: int = 0  # rows left free for a chart
    bare: bool = False  # without spare rows, since nobody types there

    @property
    def printed(self) -> bool:
        """Whether it is on paper."""
        return self.filled.table.on_paper

    @property
    def title(self) -> str:
        """What stands above the block when it is not the first of its sheet."""
        return self.filled.table.title

    @property
    def first(self) -> int:
        """The first row of data."""
        return self.heading_row + 1

    @property
    def used_last(self) -> int:
        """The last row that holds records."""
        return self.heading_row + len(self.filled.rows)

    @property
    def last(self) -> int:
        """The last row, spare rows among them."""
        return max(self.used_last + (0 if self.bare else self.filled.table.spare), self.first)

    def folds(self, column: Column) -> bool:
        """Whether a column is out of sight: a step on the way, or seldom filled in and blank here."""
        blank = column.key in self.filled.table.seldom and all(cells[column.key] is None for cells in self.filled.cells)
        return blank or self.filled.table.is_working(column)

    @property
    def last_printed(self) -> int:
        """The last row on paper, with a few to write on."""
        return min(self.last, self.used_last + WRITTEN_ON) if self.used_last >= self.first else self.first

    @property
    def spare(self) -> int:
        """How many rows are left free."""
        return self.last - self.used_last


@dataclass
class FiguresBlock:
    """Named figures: one under the other with what they mean, side by side under their headings, or sentences alone."""

    filled: CalculatedFigures[Any]
    title: str
    headings: tuple[str, ...]
    direction: str = DOWN
    heading_row: int = 0

    @property
    def printed(self) -> bool:
        """Whether it is on paper."""
        return self.filled.figures.on_paper

    @property
    def last(self) -> int:
        """The last row."""
        if self.direction == SAID:
            return self.heading_row + len(self.filled.figures.entries) - 1
        return self.heading_row + (1 if self.direction == ACROSS else len(self.filled.figures.entries))

    @property
    def last_printed(self) -> int:
        """The last row on paper: what is fixed below what is given is left out."""
        given = [entry for entry in self.filled.figures.entries.values() if entry.kind == GIVEN]
        fixed = any(entry.kind == KEPT for entry in self.filled.figures.entries.values())
        return self.place(given[-1])[0] if given and fixed else self.last

    def place(self, entry: Entry) -> tuple[int, int]:
        """Return the row and column of a figure's value."""
        at = list(self.filled.figures.entries).index(entry.key)
        if self.direction == SAID:
            return self.heading_row + at, 1
        if self.direction == ACROSS:
            return self.heading_row + 1, at + 1
        return self.heading_row + 1 + at, VALUE_COLUMN


@dataclass
class TextBlock:
    """Rows of plain texts under headings.

    links: the first cell of a row leads to the sheet it names; printed: whether the last block of a sheet is on paper;
    runs_on: texts are one line each, running on over the columns to their right.
    """

    title: str
    headings: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    widths: tuple[float, ...]
    links: bool = False
    printed: bool = True
    runs_on: bool = False
    heading_row: int = 0

    @property
    def last(self) -> int:
        """The last row."""
        return self.heading_row + max(len(self.rows), 1)

    @property
    def last_printed(self) -> int:
        """The last row on paper."""
        return self.last


Block = TableBlock | FiguresBlock | TextBlock


RECORD_KEYS = {*TABLES_BY_NAME, "settings", "making"}


def key_of(block: Block) -> str:
    """Return the key of the table or list of figures on a block; of texts none."""
    if isinstance(block, TextBlock):
        return ""
    return block.filled.table.key if isinstance(block, TableBlock) else block.filled.figures.key


@dataclass
class Page:
    """One sheet: its title, what is on it, and its blocks from top to bottom."""

    sheet: str
    title: str
    about: str
    blocks: list[Block] = field(default_factory=list)
    protected: bool = False
    flagged: bool = True
    notes_run_on: bool = False  # explanations of figures are one line each, running on over the columns to their right
    one_page: bool = False  # printed on a single page, charts and all
    everyday: bool = True  # in sight in every workbook
    hidden: bool = False  # out of sight at the end: others need what is worked out there, or it holds records
    cut_apart: bool = False  # rows are large, printed without key columns and remark, and cut apart
    frozen_columns: int = 1
    last_chart_row: int = 0
    new_page: str = ""  # the key of the block with which a new page begins

    @property
    def folded(self) -> set[int]:
        """The numbers of the columns that hold nothing but workings. A protected sheet could not be unfolded."""
        if self.protected:
            return set()
        in_sight = {at for block in self.blocks for at in _in_sight(block)}
        tables = [block.filled.table for block in self.blocks if isinstance(block, TableBlock)]
        return {at for table in tables for at in range(1, len(table.columns) + 1)} - in_sight

    def place_blocks(self) -> None:
        """Give each block its heading row; later blocks have their title a row above."""
        row = FIRST_BLOCK
        for block in self.blocks:
            block.heading_row = row
            row = block.last + 4 + (block.room if isinstance(block, TableBlock) else 0)

    @property
    def holds_records(self) -> bool:
        """Whether the maker's own tables or settings stand here, and not only what follows from them."""
        return any(key_of(block) in RECORD_KEYS for block in self.blocks)

    @property
    def last(self) -> int:
        """The last row of the last block."""
        return self.blocks[-1].last

    @property
    def printed(self) -> list[Block]:
        """The blocks that are on paper: of a sheet with records those that hold them, else all that are no reference."""
        records = [block for block in self.blocks if key_of(block) in RECORD_KEYS]
        return records or [block for block in self.blocks if block.printed]

    @property
    def break_before(self) -> int:
        """The row below which a new page begins, or 0."""
        return next((block.heading_row - 2 for block in self.blocks if self.new_page and key_of(block) == self.new_page), 0)

    @property
    def last_printed(self) -> int:
        """The last row on paper."""
        return self.printed[-1].last_printed

    @property
    def last_printed_column(self) -> int:
        """The last column on paper."""
        return max(width_of(block) for block in self.printed)


def _in_sight(block: Block) -> Iterable[int]:
    """Return the numbers of the columns of a block that are always seen."""
    if isinstance(block, TableBlock):
        columns = enumerate(block.filled.table.columns.values(), start=1)
        return (at for at, column in columns if not block.folds(column))
    if isinstance(block, FiguresBlock) and block.direction == SAID:
        return (1,)
    if isinstance(block, FiguresBlock) and block.direction == ACROSS:
        return range(1, 1 + len(block.filled.figures.entries))
    return range(1, 1 + len(block.headings))


class Layout:
    """All pages, with the addresses that formulas and names need."""

    def __init__(self, pages: Sequence[Page], currency: str, left_out: Sequence[Block] = ()) -> None:
        self.pages = list(pages)
        self._left_out = left_out
        self.currency = currency
        self._addresses: dict[int, Address] = {}
        for page in self.pages:
            page.place_blocks()
            for block in page.blocks:
                if isinstance(block, TableBlock):
                    self._take(block)

    def _take(self, block: TableBlock) -> None:
        for at, column in enumerate(block.filled.table.columns.values(), start=1):
            self._addresses[id(column)] = Address(get_column_letter(at), block.heading_row)

    def address(self, column: Column) -> Address:
        """Return where a column stands on its sheet."""
        return self._addresses[id(column)]

    def table_blocks(self) -> Iterator[tuple[Page, TableBlock]]:
        """Yield every table with its page."""
        for page in self.pages:
            for block in page.blocks:
                if isinstance(block, TableBlock):
                    yield page, block

    def block_of(self, key: str) -> tuple[Page, TableBlock]:
        """Return a table's block and page by its key."""
        return next(found for found in self.table_blocks() if found[1].filled.table.key == key)

    def names(self) -> Iterator[tuple[str, str]]:
        """Yield the names of the book with what each stands for.

        A column's name starts at its heading, so that a row inserted above the first still counts; the same with
        ``_rows`` leaves the heading out, for the few formulas that cannot have a text in between; with ``_filled`` it ends
        at the last filled row, for drop-downs: beside a blank in its list, a program may let everything pass.
        """
        for page, table in self.table_blocks():
            sheet = quote_sheetname(page.sheet)
            for column in table.filled.table.columns.values():
                letter = self.address(column).letter
                yield column.name, f"{sheet}!${letter}${table.heading_row}:${letter}${table.last}"
                yield f"{column.name}_rows", f"{sheet}!${letter}${table.first}:${letter}${table.last}"
                yield f"{column.name}_filled", _down_to_last_filled(sheet, letter, table.first, table.last)
            yield from self._names_of_blocks(sheet, table)
        for page in self.pages:
            yield from self._names_of_page(page)
            for block in page.blocks:
                if isinstance(block, FiguresBlock):
                    yield from _figure_names(page, block)
        yield from self._names_of_left_out()

    def _names_of_left_out(self) -> Iterator[tuple[str, str]]:
        """Yield names by which the check of formulas typed over finds none gone on a sheet that is not there."""
        for block in self._left_out:
            for part in parts_of(block):
                yield f"{part.name}_sheet", f"{quote_sheetname(CHECKS)}!$A$1"
                yield f"{part.name}_formulas", "0"

    @staticmethod
    def _names_of_page(page: Page) -> Iterator[tuple[str, str]]:
        """Yield names for all of a page below its flag, and for how many formulas it has there, by each figure on it."""
        blocks = [block for block in page.blocks if not isinstance(block, TextBlock)]
        formulas = sum(map(_formulas_of, blocks))
        for block in blocks:
            for part in parts_of(block):
                yield f"{part.name}_sheet", f"{quote_sheetname(page.sheet)}!$A${FIRST_BLOCK}:${LAST_LETTERS}${page.last}"
                yield f"{part.name}_formulas", str(formulas)

    def _names_of_blocks(self, sheet: str, table: TableBlock) -> Iterator[tuple[str, str]]:
        """Yield names for what stands side by side: worked columns, by the first of them, and what lies below given ones."""
        columns = list(table.filled.table.columns.values())
        for worked, beside in groupby(columns, key=lambda column: column.kind == WORKED):
            run = list(beside)
            left, right = (self.address(column).letter for column in (run[0], run[-1]))
            if worked:
                yield f"{run[0].name}_worked", f"{sheet}!${left}${table.first}:${right}${table.last}"
            elif run[0] is columns[0]:
                yield f"{run[0].name}_below", f"{sheet}!${left}${table.last + 1}:${right}${table.last + FAR_BELOW}"

    @cached_property
    def known_names(self) -> set[str]:
        """All names that the book may have."""
        return {name for name, _ in self.names()}

    def reference(self, key: str, column: str) -> str:
        """Return the absolute range of a table's column down to its last record, for charts."""
        page, block = self.block_of(key)
        letter = self.address(block.filled.table.columns[column]).letter
        last = max(block.used_last, block.first)
        return f"{quote_sheetname(page.sheet)}!${letter}${block.first}:${letter}${last}"


def parts_of(block: Block) -> list[Column | Entry]:
    """Return the columns or figures of a block; texts have none."""
    if isinstance(block, TextBlock):
        return []
    if isinstance(block, TableBlock):
        return list(block.filled.table.columns.values())
    return list(block.filled.figures.entries.values())


def width_of(block: Block) -> int:
    """Return how many columns a block takes up."""
    if isinstance(block, TableBlock):
        return len(block.filled.table.columns)
    if isinstance(block, FiguresBlock) and block.direction != DOWN:
        return len(block.filled.figures.entries) if block.direction == ACROSS else 1
    return len(block.headings)


def _formulas_of(block: TableBlock | FiguresBlock) -> int:
    """Return how many cells of a block hold formulas."""
    worked = sum(part.kind == WORKED for part in parts_of(block))
    return worked * (block.last - block.first + 1) if isinstance(block, TableBlock) else worked


def _down_to_last_filled(sheet: str, letter: str, first: int, last: int) -> str:
    """Return the cells of a column down to the last that holds more than blanks, at least the first."""
    top, whole = f"{sheet}!${letter}${first}", f"{sheet}!${letter}${first}:${letter}${last}"
    return f"{top}:INDEX({whole},MAX(1,SUMPRODUCT(MAX((LEN(TRIM({whole}))>0)*(ROW({whole})-ROW({top})+1)))))"


def _figure_names(page: Page, block: FiguresBlock) -> Iterator[tuple[str, str]]:
    for entry in block.filled.figures.entries.values():
        row, column = block.place(entry)
        yield entry.name, f"{quote_sheetname(page.sheet)}!${get_column_letter(column)}${row}"


def heading_of(part: Any, currency: str) -> str:
    """Return the heading of a column or figure with its unit, as ``Landed cost (NZD)``."""
    shown = unit_words(part.unit, part.shape, currency)
    return f"{part.heading} ({shown})" if shown else part.heading


_UNIT_WORDS = {
    "gram": "g", "gram**2": "g²", "millilitre": "mL", "minute": "min", "hour": "h", "day": "days", "kilogram": "kg",
    "watt": "W", "each": "g or piece", "quoted": "kg or piece", "kilowatt_hour": "kWh",
}  # fmt: skip


def unit_words(unit: str, shape: str, currency: str) -> str:
    """Return a unit as the maker reads it.

    >>> unit_words("money/kilogram", "number", "NZD"), unit_words("day", "date", "NZD")
    ('NZD per kg', '')
    """
    if unit == "text" or shape == "date":
        return ""
    if shape == "percent":
        return "%"
    parts = [currency if part == "money" else _UNIT_WORDS.get(part, part) for part in unit.split("/")]
    return " per ".join(parts)
