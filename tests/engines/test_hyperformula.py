"""Every formula of the workbook, worked out by HyperFormula, comes to the result that was stored beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

import costing
from tests.engines.hyperformula import CIRCLE, fetched, worked_out
from tests.engines.sheets import Sheets, differing
from tests.seasons import BASES, as_records, random_season, seeded
from tests.workbook.small_season import small_book

pytestmark = pytest.mark.slow

NUMBER = 3  # random seasons


@pytest.fixture(scope="module")
def module(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return where HyperFormula is."""
    return fetched(tmp_path_factory.mktemp("hyperformula"))


def test_the_sample_comes_to_what_is_stored(since_book: Path, module: Path, tmp_path: Path) -> None:
    """No formula of the sample's workbook differs or needs itself, beside last season, and there are thousands of them."""
    sheets = Sheets(since_book)
    assert "Since last season" in sheets.rows()
    results = worked_out(sheets, module, tmp_path)
    count, found = differing(sheets, results)
    assert found == []
    assert CIRCLE not in results.values()
    assert count > 5000


@pytest.mark.parametrize("seed", [0, *(pytest.param(seed, marks=pytest.mark.long) for seed in range(1, NUMBER))])
def test_random_seasons_come_to_what_is_stored(seed: int, module: Path, tmp_path: Path) -> None:
    """Nor does any in the workbook of a random season, on any cost basis, with all sheets or only those it needs."""
    path = tmp_path / "season.xlsx"
    costing.export(
        costing.cost(as_records(random_season(seeded(seed), BASES[seed % len(BASES)]))), path, all_sheets=seed > 0
    )
    sheets = Sheets(path)
    count, found = differing(sheets, worked_out(sheets, module, tmp_path))
    assert found == []
    assert count > 5000


def test_a_spoilt_formula_is_told(module: Path, tmp_path: Path) -> None:
    """A formula whose rule was changed by a hair, one that needs itself, and what follows from them, are told."""
    small_book(tmp_path / "small.xlsx")
    sheets = Sheets(tmp_path / "small.xlsx")
    place = next(cell for cell in sheets.formulas() if cell.place[0] == "Tubs" and cell.formula.startswith("=IF(B"))
    sheets.spoil("Tubs", place.coordinate, "SUMIFS(", "1.00000001*SUMIFS(")
    circle = next(cell for cell in sheets.formulas() if cell.place[0] == "Notes")
    sheets.spoil("Notes", circle.coordinate, "=", f"={circle.coordinate}&")
    results = worked_out(sheets, module, tmp_path)
    _, found = differing(sheets, results)
    assert f"Tubs!{place.coordinate}" in {each.place for each in found}
    assert {each.place.partition("!")[0] for each in found} >= {"Tubs", "Products", "Notes"}
    assert results[circle.place] == CIRCLE
