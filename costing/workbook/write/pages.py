"""The sheets of the workbook in reading order, the answer first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from costing.season.costed import Season
from costing.workbook.write.layout import ACROSS, Block, FiguresBlock, Layout, Page, TableBlock
from costing.workbook.write.notes import caution_block, notes_blocks


def layout_of(season: Season, facts: list[tuple[str, str]], more: Sequence[Page] = ()) -> Layout:
    """Return the layout of a season's workbook. ``facts`` say where it comes from; ``more`` stands before the checks."""
    name, currency = season.records.season.name, season.records.season.currency
    pages = [_glance(season, name, currency), _settings(season)]
    pages += [_list(season, "purchases"), _list(season, "items"), _stock(season)]
    pages += [_list(season, "making"), _lye(season)]
    pages += [_list(season, key) for key in ("tubs", "products", "channels", "prices")]
    pages += [_list(season, "ladder", protected=True), _list(season, "even", protected=True), _shelf(season)]
    pages += [_list(season, "alternatives"), _list(season, "overheads")]
    pages += [_moves(season), _shock(season), _buying(season)]
    pages += [_list(season, key) for key in ("in_tubs", "contents")]
    pages += [_list(season, key) for key in ("weighings", "fills", "batches", "batch_lines")]
    pages += [*more, _checks(season)]
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
    blocks += [TableBlock(season.tolerances), TableBlock(season.mean_factors)]
    return Page("Settings", "Settings", about, blocks)


_FROZEN = {
    "making": 4,
    "purchases": 4,
    "prices": 2,
    "alternatives": 2,
    "products": 1,
    "tubs": 2,
    "batch_lines": 3,
    "ladder": 2,
    "shelf": 2,
}


def _list(season: Any, key: str, *, protected: bool = False) -> Page:
    filled = getattr(season, key)
    table = filled.table
    frozen = _FROZEN.get(key, 1)
    return Page(table.sheet, table.title, table.about, [TableBlock(filled)], protected=protected, frozen_columns=frozen)


TORNADO_ROWS = 26  # that the chart beside the list is high
DIALS = ("Key", "Figure", "Value", "Unit", "What it means")


def _moves(season: Season) -> Page:
    about = "What moves the cost of one product most. Choose the product and how far things move; the list sorts itself."
    blocks: list[Block] = [
        FiguresBlock(season.moves, "What to look at", DIALS),
        TableBlock(season.ranked, room=max(0, TORNADO_ROWS - len(season.ranked.rows))),
        TableBlock(season.drivers),
    ]
    return Page("What moves it", "What moves it", about, blocks, notes_run_on=True)


def _shock(season: Season) -> Page:
    about = (
        "If one item's price changes – the bought base's, say – which products miss their margin, and what they then need."
    )
    blocks: list[Block] = [FiguresBlock(season.shock, "The change", DIALS), TableBlock(season.shocked)]
    return Page("Price shock", "Price shock", about, blocks, notes_run_on=True)


def _buying(season: Season) -> Page:
    table = season.buying.table
    blocks: list[Block] = [FiguresBlock(season.cash, "Money", (), ACROSS), TableBlock(season.buying)]
    return Page(table.sheet, table.title, table.about, blocks)


def _shelf(season: Any) -> Page:
    page = _list(season, "shelf", protected=True)
    page.cut_apart = True
    return page


def _stock(season: Any) -> Page:
    about = f"{season.stock.table.about} Whether it could be sold for as much is not looked at."
    totals = FiguresBlock(season.stock_totals, "All stock", (), ACROSS)
    return Page("Stock", "Stock", about, [totals, TableBlock(season.stock)], protected=True)


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
