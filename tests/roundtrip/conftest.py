"""The exported sample without its worked columns, for tests that only type into given cells."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.roundtrip.makers import leaned


@pytest.fixture(scope="session")
def lean_book(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the sample's workbook without worked columns and spare rows, which opens faster."""
    return leaned(sample_book, tmp_path_factory.mktemp("lean") / "lean.xlsx")
