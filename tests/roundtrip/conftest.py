"""What these tests share: the sample's workbook without worked columns, the small season, a maker's workbook."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.roundtrip.makers import leaned
from tests.small_season import small_folder


@pytest.fixture(scope="session")
def lean_book(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the sample's workbook without worked columns and spare rows, which opens faster."""
    return leaned(sample_book, tmp_path_factory.mktemp("lean") / "lean.xlsx")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return the small season's folder."""
    return small_folder(tmp_path / "season")


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """Return where the maker keeps the workbook."""
    return tmp_path / "own.xlsx"
