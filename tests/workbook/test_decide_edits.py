"""Decide is live: whatever it hangs on is edited in the file, its cells are those of the season costed anew."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

import costing
from costing.tables.deciding.short_hours import Hours
from tests.engines.formulas_package import worked_out as by_package
from tests.engines.hyperformula import fetched, worked_out
from tests.engines.sheets import Sheets, differing
from tests.workbook.books import Book, typed_into
from tests.workbook.libreoffice import Recalculated, recalculated, same
from tests.workbook.small_edits import Edit, edited_books, moved_on
from tests.workbook.small_season import TABLES, few_free_rows, small_book
from tests.workbook.stored_cells import stored_cells

pytestmark = pytest.mark.slow

SHEET = "Decide"
SCRUB, CREAM = {"Product": "scrub 100", "Channel": "stall"}, {"Product": "cream 50", "Channel": "post"}
OIL = {"Item": "olive oil", "Invoice": "9"}
MELT = {"Formula": "mash", "Row": "step", "Step": "melt"}
EDITS = [
    Edit("Settings", {"Key": "wanted_profit"}, "Value", 2500, "season", None, "wanted_profit"),
    Edit("Settings", {"Key": "price_step"}, "Value", 0.25, "season", None, "price_step"),
    Edit("Settings", {"Key": "hourly_rate"}, "Value", 31, "season", None, "hourly_rate"),
    Edit("Settings", {"Key": "average_days"}, "Value", 20, "season", None, "average_days"),
    Edit("Prices", SCRUB, "Planned", 95, "prices", 0, "planned"),
    Edit("Prices", CREAM, "Own price", 14.5, "prices", 2, "price"),
    Edit("Channels", {"Channel": "stall"}, "Fee", 0.04, "channels", 0, "fee_percent", 4),
    Edit("Channels", {"Channel": "post"}, "Parcel each", 5.2, "channels", 1, "parcel_each"),
    Edit("Products", {"Product": "cream 50"}, "Minutes", 3.5, "products", 1, "minutes"),
    Edit("Purchases", OIL, "Paid", 12.75, "purchases", 3, "paid"),
    Edit("Formulas", MELT, "Minutes", 44, "steps", 0, "minutes"),
    Edit("Overheads", {"Overhead": "mirror"}, "Amount", 95, "overheads", 0, "amount"),
    Edit("Tubs", {"Part": "lid"}, "Count", 3, "tubs", 1, "count"),
    Edit("Overheads", {"Overhead": "mirror"}, "Hours", 6.5, "overheads", 0, "hours"),
    Edit("Products", {"Product": "cream 50"}, "Unsold", 0.05, "products", 1, "unsold_percent", 5),
    Edit("Channels", {"Channel": "post"}, "Sold together", 2.5, "channels", 1, "sold_together"),
]  # fmt: skip


@pytest.fixture(scope="module")
def together(tmp_path_factory: pytest.TempPathFactory) -> tuple[Recalculated, Path]:
    """Return the workbook with all edits at once."""
    return edited_books(tmp_path_factory.mktemp("together"), [EDITS])[0]


def test_edits_of_all_that_decide_hangs_on_are_followed(together: tuple[Recalculated, Path]) -> None:
    """Profit wanted, step, plan, prices, fees, minutes, purchases and overheads at once."""
    assert moved_on([SHEET, "Own or bought"], *together) > 40


def test_another_engine_follows_them_too(together: tuple[Recalculated, Path], tmp_path: Path) -> None:
    """HyperFormula, from the formulas of the edited workbook, comes to what is stored in the one exported anew."""
    _, anew = together
    results = worked_out(Sheets(anew.parent / "edited-0.xlsx"), fetched(tmp_path), tmp_path)
    count, found = differing(Sheets(anew), results)
    assert count > 1000
    assert [each for each in found if each.place.partition("!")[0] == SHEET] == []


@pytest.mark.long
def test_a_third_engine_follows_them(together: tuple[Recalculated, Path]) -> None:
    """And so does the Python package formulas."""
    _, anew = together
    count, found = differing(Sheets(anew), by_package(Sheets(anew.parent / "edited-0.xlsx")))
    assert count > 1000
    assert [each for each in found if each.place.partition("!")[0] == SHEET] == []


@pytest.fixture(scope="module")
def edited(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Recalculated, Path]]:
    """Return the workbooks with one edit each."""
    books = edited_books(tmp_path_factory.mktemp("decide"), [[edit] for edit in EDITS])
    return {edit.name: book for edit, book in zip(EDITS, books, strict=True)}


@pytest.mark.long
@pytest.mark.parametrize("edit", EDITS, ids=lambda edit: edit.name)
def test_each_edit_alone_is_followed(edit: Edit, edited: dict[str, tuple[Recalculated, Path]]) -> None:
    """And it shows in some cell."""
    assert moved_on([SHEET, "Own or bought"], *edited[edit.name]) > 0


def test_fewer_hours_are_followed(tmp_path: Path) -> None:
    """Typed into their dial, the list below says what is made in them."""
    small_book(tmp_path / "small.xlsx")
    book = Book.at(tmp_path / "small.xlsx")
    dial = (SHEET, book.place(SHEET, "Value", book.row(SHEET, "Value", {"Key": "hours"})))
    typed_into(tmp_path / "small.xlsx", tmp_path / "typed.xlsx", {dial: 2.25})
    with few_free_rows():
        season = costing.cost(costing.records_from(**TABLES), hours=Hours(hours=Decimal("2.25")))
        costing.export(season, tmp_path / "anew.xlsx", all_sheets=True)
    assert season.hours.one_more > 0
    found = recalculated(tmp_path / "typed.xlsx")[0].cells[SHEET]
    ours = {place: cell.value for place, cell in stored_cells(tmp_path / "anew.xlsx")[SHEET].items() if cell.formula}
    assert [place for place, value in ours.items() if not same(value, found[place].value)] == []
