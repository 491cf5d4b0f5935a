"""A workbook to fill in: one sheet for each table of records, with its columns, their rules and what they mean."""

from __future__ import annotations

from typing import Any

from costing.engine.calculated import CalculatedFigures, CalculatedTable
from costing.engine.table import FigureList, Table
from costing.records.guide import described
from costing.records.schema import RECORD_TABLES, RecordTable
from costing.tables.settings import Settings
from costing.workbook.identity import own_marks
from costing.workbook.write.frame import describe, drawn, finished
from costing.workbook.write.layout import Block, FiguresBlock, Layout, Page, TableBlock, TextBlock
from costing.workbook.write.notes import SAFETY

FREE_ROWS = {"purchases": 200, "lines": 120, "steps": 60}
HEADINGS = ("Key", "Setting", "Value", "Unit", "What it means")


def blank_workbook() -> bytes:
    """Return a workbook to fill in, as the bytes of an .xlsx file."""
    layout = Layout([*map(_page, RECORD_TABLES), _notes()], "")
    book, drawers = drawn(layout, "")
    describe(book, "A season to fill in", "Records of a season", own_marks())
    return finished(book, layout, drawers)


def _page(table: RecordTable) -> Page:
    title = "Settings" if table.name == "season" else table.name.capitalize()
    block: Block = _settings() if table.name == "season" else _rows(table, title)
    needed = "Must be filled in. " if table.required else "May stay empty. "
    return Page(title, title, f"{needed}{table.about} Notes explains every column.", [block], flagged=False)


def _settings() -> FiguresBlock:
    figures = FigureList("settings", "Settings", "", Settings)
    defaults: dict[str, Any] = {
        key: None if info.is_required() else info.default for key, info in Settings.model_fields.items()
    }
    return FiguresBlock(CalculatedFigures(figures, Settings.model_construct(**defaults), None), "Settings", HEADINGS)


def _rows(table: RecordTable, title: str) -> TableBlock:
    spare = FREE_ROWS.get(table.name, 40)
    sheet = Table(table.name, title, title, table.about, table.model, spare=spare)
    return TableBlock(CalculatedTable(sheet, (), None))


def _notes() -> Page:
    rows = [(table.name.capitalize(), f"{key.rstrip('*')}: {note}", "yes" if key.endswith("*") else "no")
            for table in RECORD_TABLES for key, note in described(table)]  # fmt: skip
    about = "What to write where. Weigh everything; percentages: 40 % is forty in a hundred."
    columns = TextBlock("Columns", ("On sheet", "Column and what it means", "Must be filled in"), rows, (18, 96, 20))
    return Page("Notes", "Notes", about, [columns, TextBlock("Safety", ("With", "Mind"), SAFETY, (18, 96))], flagged=False)
