"""Drawing one sheet: titles, blocks, looks and validations."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from textwrap import wrap
from typing import Any

from openpyxl.formatting.rule import Rule
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.utils import get_column_letter, quote_sheetname
from openpyxl.worksheet.cell_range import MultiCellRange
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.table import Table as SheetTable
from openpyxl.worksheet.table import TableColumn

from costing.engine.calculated import BLANK, Row
from costing.engine.declared import GIVEN, KEPT, REMARK, TOLD, WORKED
from costing.engine.spelling import Spelling, spell
from costing.engine.table import Column, Entry
from costing.fields.catalogue import currencies
from costing.workbook.write import look
from costing.workbook.write.cells import SheetRows, tall
from costing.workbook.write.charts import Bars, bar_chart
from costing.workbook.write.layout import (
    ACROSS,
    CHECKS,
    FIRST,
    SAID,
    FiguresBlock,
    Layout,
    Page,
    TableBlock,
    TextBlock,
    heading_of,
    unit_words,
)
from costing.workbook.write.look import Style, Styles
from costing.workbook.write.printing import protect, set_up_printing
from costing.workbook.write.strings import SharedStrings
from costing.workbook.write.table_rows import ColumnCells, plain_cells, rows_of, worked_cells
from costing.workbook.write.validations import validation_for, worked_rule

FLAG = 'CONCATENATE("Checks: ",ok_overall,"  ·  To look at: ",IF(ISNUMBER(look_looks),look_looks,"?"))'
LETTER = 0.222  # width of a letter of ten-point text [centimetre]
NOTE_WIDTH = 70  # letters of an explanation in one line
VALUE_WIDTH = 30  # letters of a setting in one line, at most
HEADING_HEIGHT = 20  # for one line [point]
BOLD = 0.95  # letters of a heading to a column's width of one, in the widest of common typefaces
ANSWER_HEIGHT = 26  # of a large figure [point]
SAID_HEIGHT = 21  # of a sentence in large letters [point]
LINE = 13.5  # height of a line of ten-point text [point]
CARD_LINES, CARD_SCALE, CARD_WIDTH = 3, 1.4, 25  # of a shelf card: lines high, letters wider than others, at least so wide
WRAPPED = ("source", "note", "label_name")  # columns of long texts, by key
WRAPPED_WIDTH = 36  # letters of a line of theirs
FOLDED_WIDTH = 100  # letters of a line of a text that is folded away
WIDTHS = {"text": 16, "key": 20, "date": 11.5, "choice": 11}


class SheetDrawer:
    """Draws one page of the layout onto one sheet of openpyxl's, cells aside, which it gathers as XML."""

    def __init__(self, sheet: Any, page: Page, layout: Layout, styles: Styles, strings: SharedStrings) -> None:
        self.sheet = sheet
        self.page = page
        self.layout = layout
        self.styles = styles
        self.currency, self.digits = layout.currency, currencies().get(layout.currency, 2)
        self.rows = SheetRows(strings)
        self.alternatives: list[str] = []
        self.used_names = {"ok_overall", "look_looks"} if page.flagged else set()
        self.widths: dict[int, float] = {}
        self._worked = worked_rule()
        self._ranges: list[str] = []

    def draw(self, flag: str) -> None:
        """Draw titles and blocks. ``flag`` is what the flag's formula comes to."""
        style = self._style
        self.rows.put(1, 1, style("title"), self.page.title)
        self.rows.height(1, 27)
        self.rows.put(2, 1, style("about"), self.page.about)
        if self.page.flagged:
            self.rows.put_formula(3, 1, style("flag"), FLAG, flag)
            self._highlight("A3", 'ok_overall="CHECK"', look.wrong())
            self._link("A3", CHECKS)
        if self.page.sheet != FIRST:
            self.rows.put(4, 1, style("link"), f"← {FIRST}")
            self._link("A4", FIRST)
        for at, block in enumerate(self.page.blocks):
            if at:
                self.rows.put(block.heading_row - 1, 1, style("block"), block.title)
            if isinstance(block, TableBlock):
                self._draw_table(block)
            elif isinstance(block, FiguresBlock):
                self._draw_figures(block)
            else:
                self._draw_texts(block)

    def _style(self, role: str, **how: Any) -> int:
        return self.styles.number(Style(role, **how))

    # -- tables --

    def _draw_table(self, block: TableBlock) -> None:
        table = block.filled.table
        columns = list(table.columns.values())
        headings = [heading_of(column, self.currency) for column in columns]
        self._headings(block.heading_row, headings, [not column.holds_text for column in columns])
        blank = block.filled.blank_row()
        for at, column in enumerate(columns, start=1):
            self._column_width(at, column, block, headings[at - 1])
            self._guard(column, at, block)
        self._heighten(block.heading_row, headings)
        cells = [self._column_cells(column, at, block, blank) for at, column in enumerate(columns, start=1)]
        rows = partial(_table_rows, block.first, self._heights(block, columns), cells)
        self.rows.put_table(block.first, block.last, len(columns), rows)
        if table.cards:
            card = f"A{block.first}:{get_column_letter(len(columns))}{block.last}"
            self._highlight(card, f'OR($B{block.first}="formula",$B{block.first}="yield")', look.heading_of_card())
        self._list_object(table.key, headings, block.heading_row, block.last, sortable=not table.cards)

    def _column_cells(self, column: Column, at: int, block: TableBlock, blank: Row) -> Callable[[], ColumnCells]:
        """Return what makes the cells of a column when their turn comes; names and looks are settled now."""
        given = column.kind == GIVEN and not column.table.fixed
        role = "given" if given else "worked" if column.kind == WORKED else "kept"
        as_written = given or (column.kind == GIVEN and column.unit != "money" and column.shape != "percent")
        shown = look.number_format(column.unit, column.shape, column.decimals, self.digits, given=as_written)
        if self.page.cut_apart and column.kind != GIVEN:
            role, shown = "card", look.card_format(column.shape, column.unit, shown, self.currency)
        style = self._style(role, number_format=shown, wrap=column.key in WRAPPED, left=column.holds_text)
        if column.kind == WORKED:
            formula, free = self._spelling(column.expression), block.spare * [getattr(blank, column.key)]
            return lambda: worked_cells(at, style, formula, [*_held(column, block), *free])
        return lambda: plain_cells(at, style, [*_held(column, block), *block.spare * [None]], self.rows.strings)

    def _heights(self, block: TableBlock, columns: Sequence[Column]) -> list[str]:
        """Return the heights of a table's rows, where they are of more than one line."""
        seen = [(at, column) for at, column in enumerate(columns, start=1) if at not in self.page.folded]
        wrapped = [(column.key, self.widths[at]) for at, column in seen if column.key in WRAPPED]
        if self.page.cut_apart:
            lines = len(block.filled.rows) * [CARD_LINES]
        else:
            lines = [_most_lines(cells, wrapped) for cells in block.filled.cells]
        for row, count in enumerate(lines, block.first):
            if count > 1:
                self.rows.height(row, LINE * count)
        return [tall(LINE * count if count > 1 else 0) for count in lines] + block.spare * [""]

    def _spelling(self, expression: Any) -> Spelling:
        spelling = spell(expression, self.layout.address)
        self.used_names |= set(re.findall(r"[a-z]\w*", spelling.pattern))
        return spelling

    def _guard(self, column: Column, at: int, block: TableBlock) -> None:
        letter = get_column_letter(at)
        cells = f"{letter}{block.first}:{letter}{block.last}"
        if column.kind == GIVEN and not column.table.fixed:
            rule = validation_for(column, self.layout.known_names)
            rule.sqref = MultiCellRange(cells)
            self.sheet.add_data_validation(rule)
        elif not self.page.protected:
            self._ranges.append(cells)
        if column.role in (REMARK, TOLD):
            self._highlight(cells, f"LEN(TRIM({letter}{block.first}))>0", look.remarked())

    def _column_width(self, at: int, column: Column, block: TableBlock, heading: str) -> None:
        texts = [str(value or "") for value in _held(column, block)] if column.holds_text else []
        longest = max((len(text) for text in texts), default=0)
        words = max(len(word) for word in heading.replace("-", "- ").split())
        least = 10 if column.holds_text else WIDTHS.get(column.shape, 9.5)
        most = FOLDED_WIDTH if at in self.page.folded else WRAPPED_WIDTH if column.key in WRAPPED else 44
        width = min(max(least, longest + 2, words + 2), most)
        if self.page.cut_apart and column.kind != GIVEN:
            width = max(CARD_SCALE * longest, CARD_WIDTH)
        self._widen(at, width)

    def _list_object(self, key: str, headings: list[str], top: int, last: int, *, sortable: bool = True) -> None:
        ref = f"A{top}:{get_column_letter(len(headings))}{last}"
        name = f"list_{key}"
        listed = SheetTable(displayName=name, name=name, ref=ref)
        listed.tableColumns = [TableColumn(id=at, name=text) for at, text in enumerate(headings, start=1)]
        if sortable and not self.page.protected:
            listed.autoFilter = AutoFilter(ref=ref)
        self.sheet.add_table(listed)

    # -- figures and texts --

    def _draw_figures(self, block: FiguresBlock) -> None:
        entries = list(block.filled.figures.entries.values())
        if block.direction == SAID:
            self._say(block, entries)
            return
        across = block.direction == ACROSS
        headings = [heading_of(entry, self.currency) for entry in entries] if across else list(block.headings)
        self._headings(block.heading_row, headings)
        if across:
            self.rows.height(block.heading_row + 1, ANSWER_HEIGHT)
        for entry in entries:
            row, column = block.place(entry)
            if not across:
                self._label(row, entry)
            self._figure(row, column, entry, getattr(block.filled, entry.key), large=across)
        self._heighten(block.heading_row, headings)
        self._list_object(block.filled.figures.key, headings, block.heading_row, block.last)

    def _say(self, block: FiguresBlock, entries: Sequence[Entry]) -> None:
        """Write sentences one under the other, in large letters that run on to the right."""
        for entry in entries:
            row, column = block.place(entry)
            formula = self._spelling(entry.expression).at(row)
            self.rows.put_formula(row, column, self._style("said"), formula, getattr(block.filled, entry.key))
            self.rows.height(row, SAID_HEIGHT)

    def _heighten(self, row: int, headings: Sequence[str]) -> None:
        """Make a row of headings as high as its longest one needs."""
        folded = self.page.folded
        lines = max(self._heading_lines(at, text) for at, text in enumerate(headings, start=1) if at not in folded)
        for at, text in enumerate(headings, start=1):
            while self._heading_lines(at, text) > lines:  # out of sight, where width costs nothing
                self.widths[at] += 1
        self.rows.height(row, max(HEADING_HEIGHT, LINE * lines + 4))

    def _heading_lines(self, at: int, text: str) -> int:
        return len(wrap(text, int(BOLD * self.widths[at])))

    def _label(self, row: int, entry: Entry) -> None:
        worked = self._style("worked", left=True)
        self.rows.put(row, 1, worked, entry.key)
        self.rows.put(row, 2, worked, entry.heading)
        self.rows.put(row, 4, worked, unit_words(entry.unit, entry.shape, self.currency))
        runs_on = self.page.notes_run_on
        widths = (20, 26, 22, 14, 10) if runs_on else (20, 34, 12, 14, NOTE_WIDTH)
        self.rows.put(row, 5, self._style("worked", wrap=not runs_on, left=True), entry.note)
        self.rows.height(row, LINE * max(1 if runs_on else _lines(entry.note, NOTE_WIDTH), _lines(str(entry.key), 20)))
        for at, width in enumerate(widths, start=1):
            self._widen(at, width)

    def _figure(self, row: int, column: int, entry: Entry, value: Any, *, large: bool) -> None:
        given = entry.kind == GIVEN
        shown = look.number_format(entry.unit, entry.shape, entry.decimals, self.digits, given=given)
        role = "given" if given else "kept" if entry.kind == KEPT else "answer" if large else "worked"
        shown = "General" if entry.kind == KEPT else shown
        style = self._style(role, number_format=shown, left=True, wrap=entry.holds_text)
        ref = f"{get_column_letter(column)}{row}"
        if large:
            decimals = self.digits if entry.decimals is None else entry.decimals
            self._widen(column, 2 + max(map(len, heading_of(entry, self.currency).split())))
            self._widen(column, 3 + 1.8 * len(f"{value:,.{decimals}f}" if isinstance(value, float) else str(value)))
        elif isinstance(value, str) and not self.page.notes_run_on:
            self._widen(column, min(len(value) + 3, VALUE_WIDTH))
        if entry.rule is not None:
            self.rows.put_formula(row, column, style, self._spelling(entry.expression).at(row), value)
        else:
            self.rows.put(row, column, style, None if value is BLANK else value)
        if given:
            rule = validation_for(entry, self.layout.known_names)
            rule.sqref = MultiCellRange(ref)
            self.sheet.add_data_validation(rule)
        if entry.holds_text and not given:
            self._highlight(ref, f'{ref}="CHECK"', look.wrong())

    def _draw_texts(self, block: TextBlock) -> None:
        self._headings(block.heading_row, list(block.headings))
        style, link = self._style("worked", wrap=not block.runs_on, left=True), self._style("link")
        for at, width in enumerate(block.widths, start=1):
            self._widen(at, width)
        for number, texts in enumerate(block.rows, block.heading_row + 1):
            for at, text in enumerate(texts, start=1):
                leads = block.links and at == 1
                self.rows.put(number, at, link if leads else style, text)
                if leads:
                    self._link(f"A{number}", text)
            if not block.runs_on:
                lines = max((_lines(text, self.widths.get(at, 12)) for at, text in enumerate(texts, start=1)), default=1)
                self.rows.height(number, LINE * lines)
        key = "".join(letter if letter.isalnum() else "_" for letter in block.title.lower())
        self._list_object(key, list(block.headings), block.heading_row, block.last)

    def _link(self, cell: str, sheet: str) -> None:
        """Let a cell lead to the top of a sheet."""
        self.sheet._hyperlinks.append(Hyperlink(ref=cell, location=f"{quote_sheetname(sheet)}!A1", display=sheet))

    @property
    def width(self) -> float:
        """How wide the columns are together. [centimetre]"""
        return self.width_of(max(self.widths))

    @property
    def width_in_sight(self) -> float:
        """How wide those are together that are not folded away. [centimetre]"""
        return sum(self._widths_in_sight().values()) * LETTER

    def width_of(self, columns: int) -> float:
        """How wide the first so many columns are together. [centimetre]"""
        return sum(width for at, width in self.widths.items() if at <= columns) * LETTER

    def column_at(self, width: float) -> str:
        """Return the letter of the column that begins nearest to some width from the left. [centimetre]"""
        edges = {0.0: 1}
        for at in sorted(self.widths):
            edges[sum(self.widths[before] for before in range(1, at + 1)) * LETTER] = at + 1
        return get_column_letter(edges[min(edges, key=lambda edge: abs(edge - width))])

    def _headings(self, row: int, headings: list[str], right: Sequence[bool] = ()) -> None:
        for at, text in enumerate(headings, start=1):
            figures = at <= len(right) and right[at - 1]
            style = self._style("heading", right=figures, left=not figures)
            self.rows.put(row, at, style, text)
        self.rows.height(row, HEADING_HEIGHT)

    # -- the sheet as a whole --

    def add_chart(self, bars: Bars, anchor: str, *, width: float, height: float) -> None:
        """Put a chart on the sheet, with its words for those who do not see it. [width and height in centimetre]"""
        chart = bar_chart(bars, width=width, height=height)
        chart.anchor = anchor
        self.sheet.add_chart(chart)
        self.alternatives.append(bars.alternative)

    def make_room(self, width: float) -> str:
        """Add a column of some width to the right of all others, and return its letter. [centimetre]"""
        at = max(self.widths) + 1
        self._widen(at, width / LETTER)
        return get_column_letter(at)

    def _widen(self, at: int, width: float) -> None:
        self.widths[at] = max(self.widths.get(at, 0), width)

    def _highlight(self, cells: str, formula: str, how: DifferentialStyle) -> None:
        self.sheet.conditional_formatting.add(cells, Rule(type="expression", formula=[formula], dxf=how))

    def finish(self) -> None:
        """Set up validations, widths, views and printing, once all is drawn."""
        if self._ranges:
            self._worked.sqref = MultiCellRange(" ".join(self._ranges))
            self.sheet.add_data_validation(self._worked)
        self._set_widths()
        view = self.sheet.sheet_view
        view.showGridLines = False
        block = self.page.blocks[0]
        if isinstance(block, TableBlock):
            self.sheet.freeze_panes = f"{get_column_letter(self.page.frozen_columns + 1)}{block.first}"
        if self.page.protected:
            protect(self.sheet)
        if not self.page.hidden:
            set_up_printing(self.sheet, self.page, self._widths_in_sight(), self.rows.height_of)

    def _set_widths(self) -> None:
        """Set the widths of the columns; workings are folded away behind a [+]."""
        folded = self.page.folded
        for at, width in self.widths.items():
            column = self.sheet.column_dimensions[get_column_letter(at)]
            column.width = width
            column.outlineLevel, column.hidden = (1, True) if at in folded else (0, False)
            column.collapsed = at - 1 in folded and at not in folded

    def _widths_in_sight(self) -> dict[int, float]:
        folded = self.page.folded
        return {at: 0 if at in folded else width for at, width in self.widths.items()}


def _held(column: Column, block: TableBlock) -> Sequence[Any]:
    """Return what a column holds in the rows of records, blanks as None where the maker wrote nothing."""
    if column.kind == GIVEN:
        return [cells[column.key] for cells in block.filled.cells]
    return block.filled.stores[column.key].values


def _table_rows(first: int, heights: Sequence[str], makers: Sequence[Callable[[], ColumnCells]]) -> Iterator[str]:
    return rows_of(first, heights, [make() for make in makers])


def _most_lines(cells: Mapping[str, Any], wrapped: Sequence[tuple[str, float]]) -> int:
    return max((_lines(cells.get(key) or "", width) for key, width in wrapped), default=1)


def _lines(text: str, width: float) -> int:
    return sum(1 + int(len(line) // max(width * 1.15, 1)) for line in text.split("\n"))
