"""Free rows show nothing: a formula in a row that nobody has filled in must not look like a figure."""

from __future__ import annotations

from typing import Any

import pytest

import costing
from costing.engine.table import Table
from costing.tables.book import BOOK

WITH_FREE_ROWS = [table for table in BOOK.tables() if table.spare]


def _shown(result: object) -> bool:
    """Tell whether a result can be seen: zeros are shown as a blank, and texts with nothing to say are one."""
    return bool(result.strip()) if isinstance(result, str) else result != 0


@pytest.mark.parametrize("table", WITH_FREE_ROWS, ids=lambda table: table.key)
def test_a_free_row_shows_nothing(table: Table[Any], sample_season: costing.Season) -> None:
    """In the sample season, each worked column of a free row comes to nothing, whatever the other rows hold."""
    row = getattr(sample_season, table.key).blank_row()
    assert [column.name for column in table.ruled if _shown(getattr(row, column.key))] == []


def test_tables_with_rows_to_fill_in_have_free_ones() -> None:
    """What makers add to has free rows to add it in, among them purchases, items and channels."""
    assert {"purchases", "items", "products", "channels", "prices", "overheads"} <= {table.key for table in WITH_FREE_ROWS}
