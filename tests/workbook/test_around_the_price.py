"""The sheets around the price are live: edited in the file, they are what they are when the season is exported anew."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from string import digits
from typing import Any

import openpyxl
import pytest

import costing
from costing.tables.deciding.cost_drivers import Dials
from costing.tables.deciding.price_shock import Shock
from costing.workbook.write.layout import FIRST_BLOCK
from tests.seasons import Row, as_records, sample_tables
from tests.workbook.books import Book, typed_into
from tests.workbook.libreoffice import Recalculated, recalculated, same
from tests.workbook.stored_cells import stored_cells

pytestmark = pytest.mark.slow

# Sheet, keys of the row, heading of the cell; what is typed; what stands in the records then: table, column and text.
EDITS: tuple[tuple[str, Row, str, Any, tuple[str, str, str] | None], ...] = (
    ("What moves it", {"Key": "product"}, "Value", "Lavender sugar scrub 400 g", None),
    ("What moves it", {"Key": "change"}, "Value", 0.2, None),
    ("Price shock", {"Key": "item"}, "Value", "Lavender oil", None),
    ("Price shock", {"Key": "change"}, "Value", -0.3, None),
    ("Settings", {"Key": "main_channel"}, "Value", "Coast shops", ("season", "main_channel", "Coast shops")),
    ("Settings", {"Key": "slow_days"}, "Value", 100, ("season", "slow_days", "100")),
    ("Items", {"Item": "Olive oil"}, "On hand", 31_000, ("items", "on_hand", "31000")),
    (
        "Prices",
        {"Product": "Lavender sugar scrub 400 g", "Channel": "Market stall"},
        "Own price",
        40,
        ("prices", "price", "40"),
    ),
    (
        "Prices",
        {"Product": "Pink clay sugar scrub 250 g", "Channel": "Market stall"},
        "Planned",
        300,
        ("prices", "planned", "300"),
    ),
    ("Products", {"Product": "Pink clay whipped soap 120 g"}, "Fill", 118, ("products", "fill_grams", "118")),
    ("Batches", {"Batch": "Clay whip A"}, "Came out", 1700, ("batches", "grams_out", "1700")),
    ("Batches", {"Batch": "Lavender whip B remelted"}, "Came out", 2800, ("batches", "grams_out", "2800")),
    ("Batch lines", {"Batch": "Clay whip A", "Item": "Soap shreds"}, "Grams", 702, ("batch_lines", "grams", "702")),
)
OWN = {"Product": "product", "Channel": "channel", "Item": "item", "Batch": "batch"}
LOOKED = {
    "dials": Dials(product="Lavender sugar scrub 400 g", change=Decimal(20)),
    "shock": Shock(item="Lavender oil", change=Decimal(-30)),
}
CHANGED = ("Prices", "Changed by")  # since the export
NEWLY_SAID = ("Notes", "Checks")  # the records' digest and the cautions are those of the day of the export


def _edited_records() -> costing.Season:
    tables = sample_tables()
    for _, keys, _, _, record in EDITS:
        if record is None:
            continue
        table, column, text = record
        if table == "season":
            tables["season"][column] = text
            continue
        wanted = {OWN[heading]: key for heading, key in keys.items()}
        (row,) = (row for row in tables[table] if wanted.items() <= row.items())
        row[column] = text
    return costing.cost(as_records(tables), **LOOKED)  # type: ignore[arg-type]  # one of each sort


@pytest.fixture(scope="module")
def books(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Recalculated, Path]:
    """Return the edited workbook as recalculated, and where the season is exported anew."""
    folder = tmp_path_factory.mktemp("around")
    cells = Book.at(sample_book)
    typed = {
        (sheet, cells.place(sheet, heading, cells.row(sheet, heading, keys))): value
        for sheet, keys, heading, value, _ in EDITS
    }
    typed_into(sample_book, folder / "edited.xlsx", typed)
    costing.export(_edited_records(), folder / "anew.xlsx", all_sheets=True)
    return recalculated(folder / "edited.xlsx")[0], folder / "anew.xlsx"


def _unlike(edited: Recalculated, anew: Path) -> Iterator[str]:
    changed = CHANGED[0], Book.at(anew).place(*CHANGED, FIRST_BLOCK + 1).rstrip(digits)
    for sheet, cells in stored_cells(anew).items():
        for place, ours in cells.items() if sheet not in NEWLY_SAID else ():
            if ours.formula and (sheet, place.rstrip(digits)) != changed:
                theirs = edited.cells[sheet].get(place)
                if not same(ours.value, theirs and theirs.value):
                    yield f"{sheet}!{place}: {theirs!r} is not {ours!r}"


def test_an_edited_workbook_is_what_is_exported_anew(books: tuple[Recalculated, Path]) -> None:
    """Every worked cell of every sheet, whatever sheet was typed on."""
    assert list(_unlike(*books)) == []


def test_the_edits_show_where_they_should(books: tuple[Recalculated, Path], sample_book: Path) -> None:
    """The sheets around the price changed, each of them, and the bigger scrub is told to be the worse buy."""
    before, after = Book(openpyxl.load_workbook(sample_book, data_only=True)), Book(books[0].book)
    for sheet, heading, keys in (
        ("What moves it", "Moved up", ("What moves",)), ("Price shock", "Costs more", ("Product", "Channel")),
        ("Make and buy", "Packs to buy", ("Item",)), ("Stock", "First in, first out", ("Item",)),
        ("Price ladder", "Part of the main channel's", ("Product", "Channel")), ("Break-even", "Break-even", ("Product",)),
        ("Shelf cards", "Price", ("Product", "Channel")), ("In a tub", "Weighed in for one", ("Product", "Item")),
        ("Fill", "Given away in the season", ("Product",)), ("Batches", "Yield", ("Batch",)),
        ("Batch lines", "Of the batch", ("Batch", "Item")),
    ):  # fmt: skip
        assert after.column(sheet, heading, keys) != before.column(sheet, heading, keys), sheet
    ladder = after.column("Price ladder", "Look at", ("Product", "Channel"))
    assert ladder["Lavender sugar scrub 400 g", "Market stall"] == "dearer per 100 g"
