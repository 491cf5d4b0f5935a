"""The sheets of the workbook in reading order, the answer first."""

from __future__ import annotations

from typing import Any

from costing.season import Season
from costing.workbook.layout import ACROSS, Block, FiguresBlock, Layout, Page, TableBlock
from costing.workbook.notes import caution_block, notes_blocks


def layout_of(season: Season, facts: list[tuple[str, str]]) -> Layout:
    """Return the layout of a season's workbook. ``facts`` say where it comes from."""
    name, currency = season.records.season.name, season.records.season.currency
    pages = [_glance(season, name, currency), _settings(season)]
    pages += [_list(season, key) for key in ("purchases", "items", "making", "tubs", "products", "channels")]
    pages += [_list(season, key) for key in ("prices", "alternatives", "overheads")]
    pages.insert(pages.index(next(page for page in pages if page.sheet == "Formulas")) + 1, _lye(season))
    pages.append(_checks(season))
    notes = Page("Notes", "Notes", "How to use this workbook, what it does not do, and how every figure is worked.")
    notes.protected = True
    notes.blocks = notes_blocks([*pages, notes], facts, currency)
    return Layout([*pages, notes], currency)


def _glance(season: Season, name: str, currency: str) -> Page:
    day = season.records.season.priced_on.isoformat()
    about = (
        f"What each tub costs, should sell for and earns, and what making it yourself saves. Amounts in {currency}, "
        f"priced on {day}. How to use it: see Notes."
    )
    season_line = FiguresBlock(season.totals, "The season", (), ACROSS)
    return Page("At a glance", name, about, [season_line, TableBlock(season.glance)], protected=True)


def _settings(season: Season) -> Page:
    headings = ("Key", "Setting", "Value", "Unit", "What it means")
    about = "What holds for the whole season. Change a value and every figure follows."
    blocks: list[Block] = [FiguresBlock(season.settings, "Settings", headings), TableBlock(season.units)]
    return Page("Settings", "Settings", about, blocks)


_FROZEN = {"making": 4, "purchases": 4, "prices": 2, "alternatives": 2, "products": 1, "tubs": 2}


def _list(season: Any, key: str) -> Page:
    filled = getattr(season, key)
    table = filled.table
    return Page(table.sheet, table.title, table.about, [TableBlock(filled)], frozen_columns=_FROZEN.get(key, 1))


def _lye(season: Season) -> Page:
    blocks: list[Block] = [TableBlock(season.lye), TableBlock(season.taking)]
    return Page("Lye", season.lye.table.title, season.lye.table.about, blocks)


def _checks(season: Season) -> Page:
    headings = ("Key", "Check", "Result", "Unit", "What it says")
    counts = ("Key", "What", "How many", "Unit", "What it means")
    about = "Whether the sums hold, whatever was edited; and what deserves a look."
    blocks: list[Block] = [
        FiguresBlock(season.checks, "Checks", headings),
        FiguresBlock(season.looks, "To look at", counts),
        caution_block(season.cautions),
    ]
    return Page("Checks", "Checks", about, blocks, protected=True)
