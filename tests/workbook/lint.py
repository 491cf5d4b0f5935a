"""What can be wrong with a workbook whatever its figures are: one function for each rule, each yielding what breaks it."""

from __future__ import annotations

import re
import zipfile
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.formula import Tokenizer
from openpyxl.formula.translate import Translator
from openpyxl.utils import column_index_from_string
from openpyxl.worksheet.cell_range import CellRange

# What every spreadsheet program of the last fifteen years works out alike.
FUNCTIONS = {
    "ABS", "AND", "CHOOSE", "CONCATENATE", "COUNT", "COUNTA", "COUNTIFS", "DAY", "FIND", "IF", "INDEX", "ISBLANK", "ISERROR",
    "ISNUMBER", "LARGE", "LEFT", "LOWER", "MATCH", "MAX", "MIN", "MONTH", "OR", "POWER", "RIGHT", "ROUND", "ROUNDDOWN",
    "ROUNDUP", "SQRT", "SUBSTITUTE", "SUM", "SUMIFS", "SUMPRODUCT", "TRIM", "YEAR",
    "_xlfn.ISFORMULA",  # of 2013, and so with this sign before it in the file
}  # fmt: skip
NUMBERS = {0, 1, 2, 12, 24, 60, 100, 1000}  # that never change: what changes has a cell of its own
LONGEST, DEEPEST = 200, 4  # characters of a formula, functions in one another
LEAST_CONTRAST = 4.5  # of text, WCAG 2.2 success criterion 1.4.3
Place = tuple[str, int, int]  # sheet, row, column


@dataclass(frozen=True)
class Formula:
    """One formula cell, read into tokens."""

    place: Place
    coordinate: str
    text: str

    @cached_property
    def tokens(self) -> list[Any]:
        """The formula's parts."""
        return list(Tokenizer(self.text).items)

    def __str__(self) -> str:
        return f"{self.place[0]}!{self.coordinate} {self.text}"


class Workbook:
    """A workbook read once for all rules."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.book = openpyxl.load_workbook(path)
        self.names = {name: str(defined.attr_text) for name, defined in self.book.defined_names.items()}
        self.formulas = [
            Formula((sheet.title, cell.row, cell.column), cell.coordinate, str(cell.value))
            for sheet in self.book
            for cell in cells_of(sheet)
            if cell.data_type == "f"
        ]


def cells_of(sheet: Any) -> Iterator[Any]:
    """Yield every cell that is written in a sheet."""
    for row in sheet.iter_rows():
        yield from row


# -- formulas --


def functions_outside(book: Workbook) -> Iterator[str]:
    """Yield formulas with a function that is not in the list."""
    for formula in book.formulas:
        for token in formula.tokens:
            if token.type == "FUNC" and token.subtype == "OPEN" and token.value[:-1] not in FUNCTIONS:
                yield f"{formula}: {token.value}"


def too_long(book: Workbook) -> Iterator[str]:
    """Yield formulas that nobody can read at a glance."""
    return (str(formula) for formula in book.formulas if len(formula.text) > LONGEST)


def too_deep(book: Workbook) -> Iterator[str]:
    """Yield formulas with too many functions in one another."""
    for formula in book.formulas:
        depth = deepest = 0
        for token in formula.tokens:
            if token.type == "FUNC":
                depth += 1 if token.subtype == "OPEN" else -1
                deepest = max(deepest, depth)
        if deepest > DEEPEST:
            yield str(formula)


def numbers_inside(book: Workbook) -> Iterator[str]:
    """Yield formulas with a number that might have to change."""
    for formula in book.formulas:
        for token in formula.tokens:
            if token.type == "OPERAND" and token.subtype == "NUMBER" and float(token.value) not in NUMBERS:
                yield f"{formula}: {token.value}"


def unknown_names(book: Workbook) -> Iterator[str]:
    """Yield formulas that point at something which is neither a cell nor a name of the book."""
    for formula in book.formulas:
        for token in formula.tokens:
            if token.type == "OPERAND" and token.subtype == "RANGE" and not _known(token.value, book.names):
                yield f"{formula}: {token.value}"
    for name, place in book.names.items():
        if not _counted(name, place) and not _areas(place.partition(":INDEX(")[0], "", {}):
            yield f"{name} = {place}"  # the lists of drop-downs end where their column does


def _known(text: str, names: dict[str, str]) -> bool:
    return _counted(text, names.get(text, "")) or bool(_areas(text, "", names))


def _counted(name: str, value: str) -> bool:
    """Tell whether a name holds how many formulas its sheet was written with, which is no place."""
    return name.endswith("_formulas") and value.isdigit()


def unlike_their_column(book: Workbook) -> Iterator[str]:
    """Yield blocks in which a column holds more than one formula, or a formula in some rows and none in others."""
    at_place = {formula.place: formula for formula in book.formulas}
    for sheet in book.book:
        for table in sheet.tables.values():
            left, top, right, bottom = CellRange(table.ref).bounds
            if table.name in (
                "list_settings",
                "list_totals",
                "list_checks",
                "list_beside",
                "list_looks",
                "list_mend",
                "list_went",
                "list_moves",
                "list_shock",
                "list_weigh",
                "list_hours",
            ):
                continue  # each figure there is a formula of its own
            for column in range(left, right + 1):
                found = [at_place.get((sheet.title, row, column)) for row in range(top + 1, bottom + 1)]
                if len({_relative(formula) for formula in found}) > 1:
                    yield f"{sheet.title}, {table.name}, {sheet.cell(top, column).value}"


def _relative(formula: Formula | None) -> str:
    """Return a formula as it would stand far below, so that formulas copied down are the same."""
    return "" if formula is None else str(Translator(formula.text, origin=formula.coordinate).translate_formula("ZZ9999"))


# -- circles --


def circles(book: Workbook) -> Iterator[str]:
    """Yield a circle of cells, where a formula is taken to need every cell of every range that it names.

    A range is cut into columns, and a column of cells from one row to another needs that down to the row above and one
    more cell. So the thousand ranges that end in a thousand rows of the same column share their parts.
    """
    formulas = {formula.place for formula in book.formulas}
    needs: dict[Any, set[Any]] = defaultdict(set)
    for formula in book.formulas:
        for token in formula.tokens:
            if token.type != "OPERAND" or token.subtype != "RANGE":
                continue
            for sheet, left, top, right, bottom in _areas(token.value, formula.place[0], book.names):
                for column in range(left, right + 1):
                    needs[formula.place].add(_column_down_to(needs, formulas, (sheet, column, top), bottom))
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as error:
        yield " → ".join(f"{node[0]} row {node[1]} column {node[2]}" for node in error.args[1] if node in formulas)


def _column_down_to(needs: dict[Any, set[Any]], formulas: set[Place], start: tuple[str, int, int], bottom: int) -> Any:
    """Return the node of a column of cells, which needs its parts."""
    sheet, column, top = start
    if top == bottom:
        return sheet, bottom, column
    whole = (*start, "down to", bottom)
    row = bottom
    while row >= top and (*start, "down to", row) not in needs:
        parts = needs[*start, "down to", row]
        if (sheet, row, column) in formulas:
            parts.add((sheet, row, column))
        if row > top:
            parts.add((*start, "down to", row - 1))
        row -= 1
    return whole


def _areas(text: str, here: str, names: dict[str, str]) -> list[tuple[str, int, int, int, int]]:
    """Return sheet, left, top, right and bottom of what a part of a formula points at."""
    place = names.get(text, text)
    match = re.fullmatch(r"(?:(?:'((?:[^']|'')+)'|(\w+))!)?\$?([A-Z]+)\$?(\d+)(?::\$?([A-Z]+)\$?(\d+))?", place)
    if match is None:
        return []
    sheet = (match[1] or match[2] or here).replace("''", "'")
    left, top = column_index_from_string(match[3]), int(match[4])
    return [(sheet, left, top, column_index_from_string(match[5] or match[3]), int(match[6] or match[4]))]


# -- cells --


def without_result(book: Workbook) -> Iterator[str]:
    """Yield formulas beside which no result is stored, or an error."""
    with zipfile.ZipFile(book.path) as file:
        for part in file.namelist():
            if part.startswith("xl/worksheets/sheet"):
                for cell in re.findall(r"<c [^>]*?(?<!/)>.*?</c>", file.read(part).decode()):
                    stored = re.search(r"<v[^>]*>([^<]+)</v>", cell)
                    if "<f>" in cell and (stored is None or ' t="e"' in cell):
                        yield f"{part} {cell[:80]}"


def unlocked_formulas(book: Workbook) -> Iterator[str]:
    """Yield formulas that are not locked."""
    for formula in book.formulas:
        if not book.book[formula.place[0]][formula.coordinate].protection.locked:
            yield str(formula)


def unguarded(book: Workbook) -> Iterator[str]:
    """Yield cells to fill in without a validation that stops what is wrong, says why, and says before what is wanted."""
    for sheet in book.book:
        guarded = {
            (row, column)
            for rule in sheet.data_validations.dataValidation
            if _speaks(rule)
            for area in rule.sqref.ranges
            for row in range(area.min_row, area.max_row + 1)
            for column in range(area.min_col, area.max_col + 1)
        }
        for cell in cells_of(sheet):
            if not cell.protection.locked and (cell.row, cell.column) not in guarded:
                yield f"{sheet.title}!{cell.coordinate}"


def _speaks(rule: Any) -> bool:
    texts = ((rule.errorTitle, 32), (rule.error, 255), (rule.promptTitle, 32), (rule.prompt, 255))
    return bool(rule.showErrorMessage and rule.showInputMessage) and all(text and len(text) <= most for text, most in texts)


def given_without_a_sign(book: Workbook) -> Iterator[str]:
    """Yield cells to fill in that are told from others by colour alone, or not at all."""
    for sheet in book.book:
        for cell in cells_of(sheet):
            if not cell.protection.locked and not (cell.fill.fill_type and cell.border.left.style and cell.border.top.style):
                yield f"{sheet.title}!{cell.coordinate}"


def hidden_or_merged(book: Workbook) -> Iterator[str]:
    """Yield what a reader cannot see or sort; workings behind a [+] are one press away, hidden sheets named in Notes."""
    notes = [sheet for sheet in book.book if sheet.title == "Notes"]
    named = {str(row[0]) for sheet in notes for row in sheet.iter_rows(max_col=1, values_only=True)}
    for sheet in book.book:
        if sheet.sheet_state != "visible" and sheet.title not in named:
            yield f"{sheet.title} is hidden"
        rows = [(f"row {key}", row.hidden or row.height == 0) for key, row in sheet.row_dimensions.items()]
        columns = [
            (f"column {key}", (column.hidden and not column.outlineLevel) or column.width == 0)
            for key, column in sheet.column_dimensions.items()
        ]
        yield from (f"{sheet.title}, {place} is hidden" for place, hidden in rows + columns if hidden)
        yield from (f"{sheet.title}!{area} is merged" for area in sheet.merged_cells.ranges)


# -- names and looks --


def names_alike(book: Workbook) -> Iterator[str]:
    """Yield names that stand for two things, in whatever case: names of cells and of tables share one space."""
    names = [*book.names, *(table.displayName for sheet in book.book for table in sheet.tables.values())]
    for name, times in Counter(name.lower() for name in names).items():
        if times > 1:
            yield name
        if not re.fullmatch(r"[a-z_][a-z0-9_.]*", name) or re.fullmatch(r"[a-z]{1,3}\d+|r\d*c?\d*|c\d*", name):
            yield f"{name} can be taken for a cell"


def heads_alike(book: Workbook) -> Iterator[str]:
    """Yield tables whose headings are not texts, or not unique in whatever case, or unlike those of the table's list."""
    for sheet in book.book:
        for table in sheet.tables.values():
            left, top, right, _ = CellRange(table.ref).bounds
            heads = [sheet.cell(top, column).value for column in range(left, right + 1)]
            texts = [head.lower() for head in heads if isinstance(head, str) and 0 < len(head) <= 255]
            if len(set(texts)) < len(heads) or heads != [each.name for each in table.tableColumns]:
                yield f"{table.name}: {heads}"


def faint(book: Workbook) -> Iterator[str]:
    """Yield looks in which text is hard to tell from its ground, those of conditional formats too."""
    looks: dict[tuple[str, str], str] = {}
    for sheet in book.book:
        for cell in cells_of(sheet):
            paper = _colour(cell.fill.fgColor, "FFFFFF") if cell.fill.fill_type == "solid" else "FFFFFF"
            looks.setdefault((_colour(cell.font.color, "000000"), paper), f"{sheet.title}!{cell.coordinate}")
        for area in sheet.conditional_formatting:
            for rule in area.rules:
                fill, font = rule.dxf.fill, rule.dxf.font
                paper = _colour(fill.bgColor if fill else None, "FFFFFF")
                looks.setdefault((_colour(font.color if font else None, "000000"), paper), f"{sheet.title}, {area.sqref}")
    for (ink, paper), place in looks.items():
        if contrast(ink, paper) < LEAST_CONTRAST:
            yield f"{place}: {ink} on {paper} is {contrast(ink, paper):.2f}"


def _colour(colour: Any, otherwise: str) -> str:
    return str(colour.rgb)[-6:] if colour is not None and colour.type == "rgb" else otherwise


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, from 1 to 21 (WCAG 2.2)."""
    darker, lighter = sorted((_luminance(one), _luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    shares = [int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


RULES = (
    functions_outside, too_long, too_deep, numbers_inside, unknown_names, unlike_their_column, circles, without_result,
    unlocked_formulas, unguarded, given_without_a_sign, hidden_or_merged, names_alike, heads_alike, faint,
)  # fmt: skip
