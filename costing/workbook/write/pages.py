"""The sheets of the workbook in reading order, the answer first: those of the book, and what stands around them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from costing.engine.calculated import CalculatedTable
from costing.engine.table import FigureList, Sheet, Table
from costing.season.costed import Part, Season
from costing.workbook.write.layout import ACROSS, DOWN, Block, FiguresBlock, Layout, Page, TableBlock
from costing.workbook.write.notes import caution_block, notes_blocks

FIRST, CHECKS = "At a glance", "Checks"


def layout_of(season: Season, facts: list[tuple[str, str]], more: Sequence[Page] = ()) -> Layout:
    """Return the layout of a season's workbook. ``facts`` say where it comes from; ``more`` stands before the checks."""
    settings = season.records.season
    pages = list(_pages(season))
    first, checks = (next(page for page in pages if page.sheet == name) for name in (FIRST, CHECKS))
    first.title = settings.name
    first.about = (
        f"What each tub costs, should sell for and earns, and what making it yourself saves. Amounts in "
        f"{settings.currency}, priced on {settings.priced_on.isoformat()}. How to use it: see Notes."
    )
    checks.blocks.append(caution_block(season.cautions))
    pages[pages.index(checks) : pages.index(checks)] = more
    notes = Page("Notes", "Notes", "How to use this workbook, what it does not do, and how every figure is worked.")
    notes.protected = True
    notes.blocks = notes_blocks([*pages, notes], facts, settings.currency)
    return Layout([*pages, notes], settings.currency)


def _pages(season: Season) -> Iterator[Page]:
    """Yield a page for each sheet of the book, with what stands on it from top to bottom."""
    by_sheet: dict[str, list[Part]] = {}
    for part in season.parts():
        by_sheet.setdefault(_described(part).sheet, []).append(part)
    for name, parts in by_sheet.items():
        first = _described(parts[0])
        face = first.face if isinstance(first.face, Sheet) else Sheet(name)
        about = face.about or (first.about if isinstance(first, Table) else "")
        page = Page(name, face.title or first.title, about, [_block(part) for part in parts])
        page.protected, page.frozen_columns = face.protected, face.frozen
        page.notes_run_on, page.cut_apart = face.notes_run_on, face.cut_apart
        yield page


def _described(part: Part) -> Table[Any] | FigureList[Any]:
    return part.table if isinstance(part, CalculatedTable) else part.figures


def _block(part: Part) -> Block:
    if isinstance(part, CalculatedTable):
        return TableBlock(part, room=max(0, part.table.chart_rows - len(part.rows)))
    figures = part.figures
    return FiguresBlock(part, figures.title, figures.headings, DOWN if figures.headings else ACROSS)
