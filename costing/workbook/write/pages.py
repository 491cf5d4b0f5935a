"""The sheets of the workbook in reading order, the answer first: those of the book, and what stands around them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from costing.engine.calculated import CalculatedTable
from costing.engine.table import FigureList, Sheet, Table
from costing.season.costed import Part, Season
from costing.workbook.write.choosing import NOTHING_ASKED, Asked, Chosen, chosen, holds_rows
from costing.workbook.write.first_sheet import chart_rows
from costing.workbook.write.layout import (
    ACROSS,
    CHECKS,
    DOWN,
    FIRST,
    FIRST_BLOCK,
    SAID,
    Block,
    FiguresBlock,
    Layout,
    Page,
    TableBlock,
    TextBlock,
)
from costing.workbook.write.notes import caution_block, notes_blocks


def layout_of(
    season: Season, facts: list[tuple[str, str]], more: Sequence[Page] = (), asked: Asked = NOTHING_ASKED
) -> Layout:
    """Return the layout of a season's workbook. ``facts`` say where it comes from; ``more`` stands before the checks."""
    settings = season.records.season
    pages = list(_pages(season))
    first, checks = (next(page for page in pages if page.sheet == name) for name in (FIRST, CHECKS))
    first.title = settings.name
    first.about = (
        f"What each tub costs, should sell for and earns, and what making it yourself saves. Amounts in "
        f"{settings.currency}, priced on {settings.priced_on.isoformat()}. How to use it: see Notes."
    )
    checks.blocks.insert(1, caution_block(season.cautions))
    pages[pages.index(checks) : pages.index(checks)] = more
    found = chosen(pages, asked)
    notes = Page("Notes", "Notes", _about_notes(found))
    notes.protected = notes.one_page = True
    notes.blocks = notes_blocks(found, facts, settings.currency)
    _set_out(first, season, [*found.in_sight[1:], notes])
    return Layout([*found.in_sight, notes, *found.hidden], settings.currency, found.blocks_left_out)


def _about_notes(found: Chosen) -> str:
    """Return what is on Notes, and which sheets hold records out of sight."""
    about = "How to use this workbook, what it does not do, and how every figure is worked."
    hidden = [page.sheet for page in found.hidden if any(map(holds_rows, page.blocks)) and page.holds_records]
    return f"{about} Hidden, with records of yours: {', '.join(hidden)}." if hidden else about


def _set_out(first: Page, season: Season, others: Sequence[Page]) -> None:
    """Make one page of the first sheet, with room for its charts, and the list of all other sheets below it."""
    first.one_page = True
    first.place_blocks()
    table = first.blocks[-1]
    if isinstance(table, TableBlock):
        table.room = max(0, FIRST_BLOCK + chart_rows(season) - table.last)
    first.blocks.append(_contents(others))


def _contents(pages: Sequence[Page]) -> TextBlock:
    """Return the list of all other sheets, each with a link and a line."""
    rows = [(page.sheet, page.about) for page in pages]
    return TextBlock("In this workbook", ("Sheet", "What is on it"), rows, (), links=True, printed=False, runs_on=True)


def _pages(season: Season) -> Iterator[Page]:
    """Yield a page for each sheet of the book, with what stands on it from top to bottom."""
    by_sheet: dict[str, list[Part]] = {}
    for part in season.parts():
        by_sheet.setdefault(_described(part).sheet, []).append(part)
    for name, parts in by_sheet.items():
        first = _described(parts[0])
        face = first.face if isinstance(first.face, Sheet) else Sheet(name)
        about = face.about or (first.about if isinstance(first, Table) else "")
        page = Page(name, face.title or first.title, about, [_block(part) for part in parts], everyday=face.everyday)
        page.protected, page.frozen_columns = face.protected, face.frozen
        page.notes_run_on, page.cut_apart = face.notes_run_on, face.cut_apart
        page.one_page, page.new_page = face.one_page, face.new_page
        yield page


def _described(part: Part) -> Table[Any] | FigureList[Any]:
    return part.table if isinstance(part, CalculatedTable) else part.figures


def _block(part: Part) -> Block:
    if isinstance(part, CalculatedTable):
        return TableBlock(part, room=max(0, part.table.chart_rows - len(part.rows)))
    figures = part.figures
    if all(entry.holds_text for entry in figures.entries.values()) and not figures.headings:
        return FiguresBlock(part, figures.title, figures.headings, SAID)
    return FiguresBlock(part, figures.title, figures.headings, DOWN if figures.headings else ACROSS)
