"""From records to the rows of tables that the maker does not write: each kind of rows worked out once."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar, cast

if TYPE_CHECKING:
    from costing.tables.written import SeasonRecords

Found = TypeVar("Found")


class Source:
    """The records of a season, and rows that follow from them: ``source.of(card_entries)`` are the recipe cards."""

    def __init__(self, records: SeasonRecords) -> None:
        self.records = records
        self._found: dict[Callable[[Source], Any], Any] = {}

    def of(self, rows: Callable[[Source], Found]) -> Found:
        """Return what a function makes of the records, made when it is first asked for."""
        if rows not in self._found:
            self._found[rows] = rows(self)
        return cast("Found", self._found[rows])


def packaged(rows: Callable[[], list[Found]]) -> Callable[[Source], list[Found]]:
    """Return what makes a table's rows from the packaged lists alone: once, since they are the same for every season."""
    made = cache(rows)

    def of(_: Source) -> list[Found]:
        return made()

    return of
