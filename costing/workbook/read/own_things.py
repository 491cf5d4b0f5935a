"""What a maker put into an exported workbook beside records, so that a new export can take it over."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from costing.errors import CostingError
from costing.tables.book import BOOK
from costing.tables.whole.two_seasons import SINCE_TABLES
from costing.workbook.identity import EXPORT_PROPERTY, OWN_PROPERTY
from costing.workbook.own import NOTHING_OWN, Own
from costing.workbook.read.loading import load
from costing.workbook.read.opened_book import Book
from costing.workbook.read.safe_opening import checked_bytes


def own_things(path: Path, season_name: str) -> Own:
    """Return what is a maker's own in a workbook of the season; of one as it was exported only what is in sight."""
    try:
        book = Book(path)
        same_season = book.property_of(EXPORT_PROPERTY) and book.formulas.properties.title == season_name
        if not same_season:
            return NOTHING_OWN
        if book.untouched and not book.property_of(OWN_PROPERTY):
            return Own(in_sight=book.in_sight)
        whole = load(path, checked_bytes(path), lambda *_: True, results=False)
    except CostingError:
        return NOTHING_OWN
    parts: list[Any] = [*BOOK.tables(), *BOOK.lists(), *SINCE_TABLES]
    ours = {part.sheet.lower() for part in parts} | {"at a glance", "notes"}
    own = [sheet for sheet in whole.worksheets if sheet.title.strip().lower() not in ours]
    return Own(own, {sheet.title: sheet for sheet in whole.worksheets if sheet not in own}, book.in_sight)
