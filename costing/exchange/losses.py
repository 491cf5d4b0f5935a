"""What would be lost with a workbook that is written over: edits of records, and all else that a maker put into it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from costing.errors import CostingError
from costing.records.parsing import parse
from costing.season.changes import Change, differences
from costing.season.comparable import normal_tables
from costing.season.merging import merged
from costing.tables.written import SeasonRecords
from costing.workbook.read.opened_book import Book
from costing.workbook.read.readback import raw_tables_of

_MOST_LISTED = 12
_COPY = " (a dated copy is kept)"


@dataclass(frozen=True)
class Losses:
    """What would be lost: whether anything would, and of it the edits of records."""

    anything: bool
    edits: Sequence[Change] = ()

    @property
    def told(self) -> str:
        """What would be lost, as the end of a sentence."""
        if not self.anything:
            return ""
        if not self.edits:
            return _COPY
        listed = "".join(f"\n  {change}" for change in self.edits[:_MOST_LISTED])
        more = f"\n  and {len(self.edits) - _MOST_LISTED} more" if len(self.edits) > _MOST_LISTED else ""
        return f"{_COPY}. It was edited since its export; these edits would be lost:{listed}{more}"


def lost_with(target: Path, records: SeasonRecords) -> Losses:
    """Return what would be lost with a workbook, beside the records that are to be exported in its place.

    Only an export that no program saved anew holds nothing of its own for certain.
    """
    try:
        book = Book(target)
    except CostingError:
        return Losses(anything=True)
    return Losses(not book.untouched, _edits(book, records))


def _edits(book: Book, records: SeasonRecords) -> Sequence[Change]:
    """Return the edits of records in a workbook that the records to be exported do not hold."""
    try:
        edited = normal_tables(parse(raw_tables_of(book)))
    except CostingError:
        return ()
    if book.origin is None:
        return ()
    held = normal_tables(records)
    wanted = merged(book.origin.tables, edited, held, settle="workbook")
    return differences(held, wanted.tables)
