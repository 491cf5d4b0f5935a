"""Writing over an exported workbook: a dated copy is kept of whatever a maker may have put into it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from unittest.mock import patch

import openpyxl
import pytest
from click.testing import CliRunner, Result
from openpyxl.comments import Comment

import costing
from costing.cli import main
from costing.exchange import season_files
from tests.roundtrip.small_books import retyped, set_to
from tests.small_season import small_folder, small_season

pytestmark = pytest.mark.slow


@cache
def whole_book() -> bytes:
    """Return the workbook of the small season, as it was exported."""
    with TemporaryDirectory() as scratch:
        return costing.export(small_season(), Path(scratch) / "prices.xlsx").path.read_bytes()


@pytest.fixture
def target(tmp_path: Path) -> Iterator[Path]:
    """Return where the season's workbook is, in a folder of its own. What is written over it is drawn once for all."""
    path = tmp_path / "home" / "prices.xlsx"
    path.parent.mkdir()
    path.write_bytes(whole_book())
    with patch.object(season_files, "workbook_bytes", lambda *_: whole_book()):
        yield path


def exported(target: Path, *options: str) -> Result:
    """Call the command."""
    folder = target.parent.parent / "season"
    if not folder.exists():
        small_folder(folder)
    return CliRunner().invoke(main, ["export", str(folder), "-o", str(target), *options])


def test_no_copy_is_kept_of_an_export_that_no_program_saved(target: Path) -> None:
    assert exported(target, "--replace").exit_code == 0
    assert list(target.parent.iterdir()) == [target]


def _sheet(book: Any) -> None:
    book.create_sheet("Ideas")["A1"] = "orange peel"


def _comment(book: Any) -> None:
    book["Purchases"]["H6"].comment = Comment("ask again", "me")


def _formula_and_looks(book: Any) -> None:
    book["Purchases"]["Z3"] = "=1+1"
    book["Purchases"]["H6"].number_format = "0.000"
    book["Purchases"].column_dimensions["A"].width = 44


@pytest.mark.parametrize("own", [_sheet, _comment, _formula_and_looks])
def test_dated_copy_is_kept_of_what_is_no_record(own: Callable[[Any], None], target: Path) -> None:
    """None of it is an edit of the records, so none is told; but all of it would be lost."""
    before = retyped(target, own).read_bytes()
    refused = exported(target)
    assert refused.exit_code == 2
    told = "is there already; choose another name, or add --replace to write over it (a dated copy is kept)\n"
    assert refused.stderr == f"{target}: {told}"
    assert exported(target, "--replace").exit_code == 0
    (copy,) = (file for file in target.parent.iterdir() if file != target)
    assert copy.name.startswith("prices (kept ")
    assert copy.read_bytes() == before


def test_edits_of_records_that_would_be_lost_are_told(target: Path) -> None:
    retyped(target, set_to("hourly_rate", 30))
    assert exported(target).stderr.endswith(
        " (a dated copy is kept). It was edited since its export; these edits would be lost:\n"
        "  season: settings: hourly_rate 28 → 30\n"
    )


def test_edits_that_the_records_hold_already_are_not_told(target: Path) -> None:
    """They were carried, or written into the folder by hand."""
    retyped(target, set_to("hourly_rate", 30))
    season = small_folder(target.parent.parent / "season")
    (season / "season.csv").write_text(
        (season / "season.csv").read_text(encoding="utf-8").replace("hourly_rate,28", "hourly_rate,30"), encoding="utf-8"
    )
    assert exported(target).stderr.endswith(" (a dated copy is kept)\n")


def test_workbook_that_only_says_it_is_untouched_is_still_kept(target: Path) -> None:
    """The digest of its parts goes with every byte of them."""
    book = openpyxl.load_workbook(BytesIO(target.read_bytes()))
    book.save(target)  # keeps the properties, and the digest among them
    assert exported(target, "--replace").exit_code == 0
    assert len(list(target.parent.iterdir())) == 2


@pytest.mark.parametrize("name", ["purchases.csv", "season"])
def test_workbook_is_not_written_over_a_table_or_under_no_name_of_one(name: str, target: Path) -> None:
    season = small_folder(target.parent.parent / "season")
    before = {file: file.read_bytes() for file in season.iterdir()}
    result = exported(season / name if name != "season" else season, "--replace")
    assert result.exit_code == 2
    assert {file: file.read_bytes() for file in season.iterdir()} == before
