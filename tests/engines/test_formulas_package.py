"""Every formula of the workbook, worked out by the Python package formulas, comes to what is stored beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

import costing
from tests.engines.formulas_package import CIRCLE, worked_out
from tests.engines.sheets import Sheets, differing
from tests.seasons import as_records, random_season, seeded

pytestmark = [pytest.mark.slow, pytest.mark.long]


def test_the_sample_comes_to_what_is_stored(since_book: Path) -> None:
    """Beside last season none differs or needs itself; one that was spoilt is told, and nothing else follows from it."""
    sheets = Sheets(since_book)
    assert "Since last season" in sheets.rows()
    cell = next(cell for cell in sheets.formulas() if cell.place[0] == "Shelf cards" and "ladder_per_kg" in cell.formula)
    sheets.spoil("Shelf cards", cell.coordinate, "SUMIFS(", "1.00000001*SUMIFS(")
    results = worked_out(sheets)
    count, found = differing(sheets, results)
    assert [each.place for each in found] == [f"Shelf cards!{cell.coordinate}"]
    assert CIRCLE not in results.values()
    assert count > 5000


def test_a_random_season_comes_to_what_is_stored(tmp_path: Path) -> None:
    """Nor does any in the workbook of a random season."""
    costing.export(costing.cost(as_records(random_season(seeded(7)))), tmp_path / "season.xlsx", all_sheets=True)
    sheets = Sheets(tmp_path / "season.xlsx")
    results = worked_out(sheets)
    count, found = differing(sheets, results)
    assert found == []
    assert CIRCLE not in results.values()
    assert count > 5000
