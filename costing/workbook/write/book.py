"""From a costed season to the bytes of a workbook."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from importlib.metadata import version
from typing import Any

from openpyxl.utils import get_column_letter

from costing.season.comparable import digests, normal_tables
from costing.season.comparing import Comparison
from costing.season.costed import Season
from costing.season.packing import packed as packed_tables
from costing.tables.deciding.cost_drivers import MOVES_SHEET, TORNADO_ROWS
from costing.tables.written import Origin, SeasonRecords
from costing.workbook.identity import (
    EXPORT_PROPERTY,
    OWN_PROPERTY,
    SCHEMA_VERSION,
    UNTOUCHED_PROPERTY,
    in_pieces,
    new_export,
    own_marks,
)
from costing.workbook.own import NOTHING_OWN, Own
from costing.workbook.write.charts import Bars, Line
from costing.workbook.write.choosing import NOTHING_ASKED, Asked
from costing.workbook.write.first_sheet import add_charts
from costing.workbook.write.frame import describe, drawn, finished
from costing.workbook.write.layout import FIRST, Layout
from costing.workbook.write.own_things import take_over
from costing.workbook.write.package import UNKNOWN_YET
from costing.workbook.write.pages import layout_of
from costing.workbook.write.sheet_drawer import SheetDrawer
from costing.workbook.write.since_sheet import SINCE, add_since_charts, since_charts, since_page

ROW_HEIGHT = 0.45  # of a row of ten-point text [centimetre]


def workbook_bytes(
    season: Season, since: Comparison | None = None, own: Own = NOTHING_OWN, asked: Asked = NOTHING_ASKED
) -> bytes:
    """Return the pricing workbook of a season as the bytes of an .xlsx file, with what changed ``since`` another one.

    own: what is a maker's own in the workbook that it replaces; asked: sheets that are to be in sight.
    """
    base = digests(season.records)
    facts_shown = _facts(season, base) + (_since_facts(since) if since else [])
    layout = layout_of(season, facts_shown, [since_page(since)] if since else [], _kept_in_sight(season.records, own, asked))
    book, drawers = drawn(layout, f"Checks: {season.checks.overall}  ·  To look at: {season.looks.looks:g}")
    by_sheet = {drawer.page.sheet: drawer for drawer in drawers}
    add_charts(by_sheet[FIRST], season, layout)
    if (moves := by_sheet.get(MOVES_SHEET.name)) and not moves.page.hidden:
        _add_tornado(moves, season, layout)
    if since and (compared := since_charts(since, layout)):
        add_since_charts(by_sheet[SINCE], since, compared)
    take_over(own, book, layout, drawers)
    marks = own_marks() | _origin_marks(season.records) | ({OWN_PROPERTY: "yes"} if own.exported else {})
    describe(book, season.records.season.name, "Pricing workbook", marks)
    return finished(book, layout, drawers)


def _kept_in_sight(records: SeasonRecords, own: Own, asked: Asked) -> Asked:
    """Return the sheets asked for, with those in sight in the workbook that the records come from or that is replaced."""
    return asked.also([*(records.origin.in_sight if records.origin else ()), *own.in_sight])


def _origin_marks(records: SeasonRecords) -> dict[str, str]:
    """Return the properties by which an export and each cell given to it are known.

    A workbook exported from an edited export goes back to the same records, so that the edits can still be told.
    """
    origin = records.origin or Origin(new_export(), normal_tables(records))
    return {EXPORT_PROPERTY: origin.export, UNTOUCHED_PROPERTY: UNKNOWN_YET} | in_pieces(packed_tables(origin.tables))


def _facts(season: Season, base: Mapping[str, str]) -> list[tuple[str, str]]:
    settings = season.records.season
    together = whole_digest(base)
    return [
        ("Purpose", "What each formula costs per gram, what each tub must sell for, and what making it yourself saves."),
        ("Season", f"{settings.name}, priced on {settings.priced_on.isoformat()} in {settings.currency}."),
        ("Written by", f"costing {version('costing')}, workbook schema {SCHEMA_VERSION}."),
        ("Records", f"SHA-256 {together[:16]}… of the season's tables on the day of export."),
    ]


def _since_facts(since: Comparison) -> list[tuple[str, str]]:
    settings = since.old.records.season
    digest = whole_digest(digests(since.old.records))
    return [("Compared with", f"{settings.name}, priced on {settings.priced_on.isoformat()}; SHA-256 {digest[:16]}….")]


def whole_digest(base: Mapping[str, str]) -> str:
    """Return one digest for all tables, by which an export is known."""
    return hashlib.sha256("".join(base[name] for name in sorted(base)).encode()).hexdigest()


def _add_tornado(drawer: SheetDrawer, season: Any, layout: Layout) -> None:
    """Put the chart of what moves the chosen product beside the list that it draws."""
    rows = season.ranked.rows
    bars = Bars(
        "What moves it",
        "Bars to both sides, the longest first: what the cost of one of the chosen product changes by if a price, a rate, "
        "losses, batches or the fill go up or down by the dial.",
        season.records.season.currency,
        (layout.reference("ranked", "driver"), [row.driver for row in rows]),
        [
            Line("Goes up", layout.reference("ranked", "cost_up"), [row.cost_up for row in rows]),
            Line("Goes down", layout.reference("ranked", "cost_down"), [row.cost_down for row in rows]),
        ],
        across=True,
        tornado=True,
        category="What moves",
    )
    top, columns = layout.block_of("ranked")[1].heading_row, len(season.ranked.table.columns)
    width = drawer.width_in_sight - drawer.width_of(columns)
    drawer.add_chart(bars, f"{get_column_letter(columns + 1)}{top}", width=width, height=TORNADO_ROWS * ROW_HEIGHT)
