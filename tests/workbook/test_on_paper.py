"""How much of a workbook is in sight and on paper: few columns, few pages, none of them nearly empty."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import openpyxl
import pytest

import costing
from tests.workbook.paper import letters_by_page

MOST_COLUMNS, MOST_PAGES, FEW_LETTERS = 14, 24, 200
RECEIPT = {"bought_on": "2026-07-01", "supplier": "Mill", "invoice": "7"}
THREE_RECEIPTS: dict[str, Any] = {
    "season": {"name": "Small", "currency": "EUR", "priced_on": "2026-07-31", "hourly_rate": 12, "power_price": 0.3},
    "purchases": [
        RECEIPT | {"item": "olive oil", "size": 5, "unit": "kg", "paid": 80},
        RECEIPT | {"item": "sugar", "size": 2, "unit": "kg", "paid": 4},
        RECEIPT | {"item": "jar", "size": 20, "unit": "piece", "paid": 16},
    ],
    "formulas": [{"formula": "scrub", "batch_grams": 1000}],
    "steps": [{"formula": "scrub", "step": "stir", "minutes": 20}],
    "lines": [
        {"formula": "scrub", "step": "stir", "item": "olive oil", "percent": 40},
        {"formula": "scrub", "step": "stir", "item": "sugar", "percent": 60},
    ],
    "tubs": [{"tub": "pot", "part": "jar"}],
    "products": [{"product": "scrub 100", "filled_with": "scrub", "tub": "pot", "fill_grams": 100, "minutes": 2}],
    "channels": [{"channel": "stall", "margin_percent": 30}],
    "prices": [{"product": "scrub 100", "channel": "stall", "planned": 40}],
}


@pytest.fixture(scope="module")
def small_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the workbook of a season of three purchases and one product."""
    season = costing.cost(costing.records_from(**THREE_RECEIPTS))
    return costing.export(season, tmp_path_factory.mktemp("small") / "book.xlsx").path


def columns_in_sight(sheet: Any) -> int:
    """Return how many columns of a sheet's tables are not folded away."""
    folded = {
        at
        for dimension in sheet.column_dimensions.values()
        if dimension.hidden
        for at in range(dimension.min, dimension.max + 1)
    }
    return len(set(range(1, sheet.max_column + 1)) - folded)


def test_no_sheet_shows_more_columns_than_one_can_hold(default_book: Path, sample_book: Path, small_book: Path) -> None:
    for path in (default_book, sample_book, small_book):
        book = openpyxl.load_workbook(path)
        counts = {sheet.title: columns_in_sight(sheet) for sheet in book if sheet.sheet_state == "visible"}
        assert {title: count for title, count in counts.items() if count > MOST_COLUMNS} == {}


def test_what_answers_is_set_up_for_one_page(default_book: Path) -> None:
    """Whatever stands on it."""
    book = openpyxl.load_workbook(default_book)
    for title in ("At a glance", "Weigh out", "Notes"):
        assert book[title].page_setup.fitToHeight == 1, title


def test_hidden_sheets_have_nothing_to_print(default_book: Path) -> None:
    book = openpyxl.load_workbook(default_book)
    assert [sheet.title for sheet in book if sheet.sheet_state == "hidden" and sheet.print_area] == []


def test_given_columns_that_are_folded_keep_what_they_hold(default_book: Path) -> None:
    """What is seldom looked at is behind the [+], as what is never filled in; what is filled in otherwise is in sight."""
    book = openpyxl.load_workbook(default_book)
    items = {str(cell.value).split(" (")[0]: cell for cell in book["Items"][5] if cell.value}
    dimensions = book["Items"].column_dimensions
    folded = {heading for heading, cell in items.items() if dimensions[cell.column_letter].hidden}
    assert {"Name", "Same as", "Source"} <= folded
    assert not {"Item", "Kind", "Quote", "Note", "Remarks", "Cost per kg"} & folded
    assert book["Items"].cell(6, items["Same as"].column).value == "sodium-hydroxide"


@pytest.mark.slow
def test_the_sample_prints_on_few_pages_and_none_is_nearly_empty(default_book: Path) -> None:
    """Two dozen at most."""
    letters = letters_by_page(default_book)
    assert 10 < len(letters) <= MOST_PAGES
    assert [at for at, count in enumerate(letters, start=1) if count < FEW_LETTERS] == []


@pytest.mark.slow
def test_a_small_season_prints_no_sheet_on_two_pages(small_book: Path) -> None:
    """One page for each sheet in sight: there is nothing that would need a second one."""
    book = openpyxl.load_workbook(small_book)
    assert len(letters_by_page(small_book)) == sum(sheet.sheet_state == "visible" for sheet in book)
