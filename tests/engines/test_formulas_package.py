"""Every formula of the sample's workbook, worked out by the Python package formulas, comes to what is stored beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.engines.formulas_package import CIRCLE, worked_out
from tests.engines.sheets import Sheets, differing


@pytest.mark.slow
def test_the_sample_comes_to_what_is_stored(sample_book: Path) -> None:
    """None differs or needs itself; one that was spoilt is told, and nothing else, since nothing follows from it."""
    sheets = Sheets(sample_book)
    cell = next(cell for cell in sheets.formulas() if cell.place[0] == "Shelf cards" and "ladder_per_kg" in cell.formula)
    sheets.spoil("Shelf cards", cell.coordinate, "SUMIFS(", "1.00000001*SUMIFS(")
    results = worked_out(sheets)
    count, found = differing(sheets, results)
    assert [each.place for each in found] == [f"Shelf cards!{cell.coordinate}"]
    assert CIRCLE not in results.values()
    assert count > 5000
