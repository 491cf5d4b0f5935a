"""How a sheet prints, and which slips it is guarded against."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.properties import PageSetupProperties

from costing.workbook.write import look
from costing.workbook.write.layout import Page, TableBlock, TextBlock
from costing.workbook.write.strings import literal

FOOTER_LETTERS = 100  # of a title; each may take two of the 255 that a footer may have, and the pages need some too
PAGE_WIDTH = 185  # letters that fit a landscape page before it gets too small to read


def set_up_printing(sheet: Any, page: Page, widths: Mapping[int, float]) -> None:
    """Set up pages, footers and what repeats on each page. ``widths`` are those of the columns, 0 where folded. [letter]"""
    heading_row = page.blocks[0].heading_row
    _set_up_paper(sheet, page)
    if page.holds_records:
        sheet.sheet_properties.tabColor = look.SAND_EDGE
    if len(page.blocks) == 1 and not page.cut_apart:
        sheet.print_title_rows = f"{heading_row}:{heading_row}"
    if page.break_before:
        sheet.row_breaks.append(Break(id=page.break_before))
    bands = _bands(page, widths)
    if len(bands) > 1:
        sheet.print_title_cols = f"A:{get_column_letter(page.frozen_columns)}"
    top, last = heading_row + 1 if page.cut_apart else 1, _print_last(page)
    sheet.print_area = ",".join(f"{get_column_letter(a)}{top}:{get_column_letter(b)}{last}" for a, b in bands)


def _set_up_paper(sheet: Any, page: Page) -> None:
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = 9
    sheet.page_setup.fitToWidth = 1
    sheet.page_setup.fitToHeight = 1 if page.one_page else 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.oddFooter.left.text = _footer(page.title)
    sheet.oddFooter.right.text = "Page &P of &N"
    sheet.page_margins.left = sheet.page_margins.right = 0.4
    sheet.page_margins.top, sheet.page_margins.bottom = 0.5, 0.75
    sheet.page_margins.footer = 0.35


def _footer(title: str) -> str:
    """Return a title for a footer, where a sign & begins a code unless it is doubled."""
    short = title if len(title) <= FOOTER_LETTERS else f"{title[:FOOTER_LETTERS]}…"
    return literal(short.replace("&", "&&"))


def _print_last(page: Page) -> int:
    block = next(block for block in reversed(page.blocks) if not isinstance(block, TextBlock) or block.printed)
    if page.cut_apart and isinstance(block, TableBlock):
        return max(block.used_last, block.first)
    spare = min(block.last, block.used_last + 4) if isinstance(block, TableBlock) else block.last
    return max(spare, page.last_chart_row)


def _bands(page: Page, widths: Mapping[int, float]) -> list[tuple[int, int]]:
    """Split wide sheets into groups of columns that each fill a page, the key columns repeated on each."""
    if page.cut_apart:
        return [(page.frozen_columns + 1, max(widths) - 1)]
    if len(page.blocks) > 1:
        return [(1, max(widths))]
    fixed = sum(widths[at] for at in range(1, page.frozen_columns + 1))
    moving = range(page.frozen_columns + 1, max(widths) + 1)
    together = sum(widths[at] for at in moving)
    each = together / max(1, math.ceil(together / (PAGE_WIDTH - fixed)))
    bands: list[tuple[int, int]] = []
    start, filled = 1, 0.0
    for at in moving:
        if widths[at] and filled + widths[at] / 2 > each * (len(bands) + 1):
            bands.append((start, at - 1))
            start = at
        filled += widths[at]
    return [*bands, (start, max(widths))]


def protect(sheet: Any) -> None:
    """Lock the sheet against slips, without a password; it has no rows to add."""
    protection = sheet.protection
    protection.enable()
    for allowed in ("formatCells", "formatColumns", "formatRows", "sort", "autoFilter", "insertRows", "deleteRows"):
        setattr(protection, allowed, False)
