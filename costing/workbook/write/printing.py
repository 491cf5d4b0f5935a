"""How a sheet prints, and which slips it is guarded against."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.properties import PageSetupProperties

from costing.workbook.write import look
from costing.workbook.write.layout import Page
from costing.workbook.write.strings import literal

FOOTER_LETTERS = 100  # of a title; each may take two of the 255 that a footer may have, and the pages need some too
PAGE_WIDTH = 220  # letters that fit a landscape page before it gets too small to read
LETTER = 6.3  # width of a letter of ten-point text [point]
PAPER_WIDTH, PAPER_HEIGHT = 784.0, 505.0  # of a landscape page, without margins [point]
UPRIGHT_WIDTH, UPRIGHT_HEIGHT = 537.0, 752.0  # of a portrait page, without margins [point]
SQUEEZED = (
    0.3  # part of a page that each of the others takes up, made smaller, so that there is no last one with little on it
)

Heights = Callable[[int, int], float]  # of the rows from one to another [point]


def set_up_printing(sheet: Any, page: Page, widths: Mapping[int, float], heights: Heights) -> None:
    """Set up pages, footers and what repeats on each page. ``widths`` are those of the columns, 0 where folded. [letter]"""
    heading_row = page.blocks[0].heading_row
    top, last = heading_row + 1 if page.cut_apart else 1, max(page.last_printed, page.last_chart_row)
    bands = _bands(page, widths)
    _set_up_paper(sheet, page)
    if page.one_page and _is_upright(sum(widths.values()), heights(top, last)):
        sheet.page_setup.orientation = "portrait"
    if page.holds_records:
        sheet.sheet_properties.tabColor = look.SAND_EDGE
    if len(page.printed) == 1 and not page.cut_apart:
        sheet.print_title_rows = f"{heading_row}:{heading_row}"
    if not page.one_page and len(bands) == 1:
        scale = _scale(sum(widths[at] for at in range(bands[0][0], bands[0][1] + 1)))
        _set_up_length(sheet, page, heights(top, last) * scale / PAPER_HEIGHT)
    if len(bands) > 1:
        sheet.print_title_cols = f"A:{get_column_letter(page.frozen_columns)}"
    sheet.print_area = ",".join(f"{get_column_letter(a)}{top}:{get_column_letter(b)}{last}" for a, b in bands)


def _is_upright(width: float, height: float) -> bool:
    """Whether what stands on a single page, so many letters wide and points high, prints larger on a portrait page."""
    across = width * LETTER
    return min(UPRIGHT_WIDTH / across, UPRIGHT_HEIGHT / height) > min(PAPER_WIDTH / across, PAPER_HEIGHT / height)


def _scale(width: float) -> float:
    """Return by what columns become smaller that fit a page together. [letter]"""
    return min(1.0, PAPER_WIDTH / (width * LETTER))


def _set_up_length(sheet: Any, page: Page, pages: float) -> None:
    """Begin a new page where one is wanted and needed, or squeeze out a last one that would be nearly empty."""
    full = math.floor(pages)
    if full > 0 and pages - full < SQUEEZED * full:
        sheet.page_setup.fitToHeight = full
    elif page.break_before and full:
        sheet.row_breaks.append(Break(id=page.break_before))


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


def _bands(page: Page, widths: Mapping[int, float]) -> list[tuple[int, int]]:
    """Split wide sheets into groups of columns that each fill a page, the key columns repeated on each."""
    if page.cut_apart:
        return [(page.frozen_columns + 1, max(widths) - 1)]
    last = max(widths) if page.last_chart_row else page.last_printed_column
    if len(page.blocks) > 1:
        return [(1, last)]
    fixed = sum(widths[at] for at in range(1, page.frozen_columns + 1))
    moving = range(page.frozen_columns + 1, last + 1)
    together = sum(widths[at] for at in moving)
    each = together / max(1, math.ceil(together / (PAGE_WIDTH - fixed)))
    bands: list[tuple[int, int]] = []
    start, filled = 1, 0.0
    for at in moving:
        if widths[at] and filled + widths[at] / 2 > each * (len(bands) + 1):
            bands.append((start, at - 1))
            start = at
        filled += widths[at]
    return [*bands, (start, last)]


def protect(sheet: Any) -> None:
    """Lock the sheet against slips, without a password; it has no rows to add."""
    protection = sheet.protection
    protection.enable()
    for allowed in ("formatCells", "formatColumns", "formatRows", "sort", "autoFilter", "insertRows", "deleteRows"):
        setattr(protection, allowed, False)
