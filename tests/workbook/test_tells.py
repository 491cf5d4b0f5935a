"""The workbook tells: each thing typed wrongly turns its overall check, or is one more to look at, and its row says why."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.engines.hyperformula import after_edits, fetched
from tests.engines.sheets import Place, Sheets
from tests.workbook.books import Book
from tests.workbook.libreoffice import recalculated
from tests.workbook.office_edits import edits_made
from tests.workbook.small_season import small_book
from tests.workbook.tells import NOT_SEEN, TELLS, Tell, moved

pytestmark = pytest.mark.slow

REMARKS = ("Purchases", "Items", "Formulas", "Tubs", "Products", "Channels", "Prices", "Own or bought", "Overheads",
           "Weighings", "Batches", "Batch lines", "Made")  # fmt: skip
CUT = ("Purchases", {"Item": "sugar"})
MOVED = Tell("a row cut and put elsewhere", "Purchases", {}, {})
LIST: Place = ("Checks", 1, 9)  # a free cell, in which the length of a drop-down's list is asked for
CLEARED, NEW = {("Products", 6, 1): None}, {("Products", 8, 1): "cream 75"}
LISTS: list[tuple[str, dict[Place, Any], int]] = [
    ("as it was written", {}, 2),
    ("one more", NEW, 3),
    ("the first cleared, so that the last is in it still", CLEARED, 2),
]
named = pytest.mark.parametrize("tell", [*TELLS, MOVED], ids=lambda tell: tell.name)


class Said:
    """What a workbook says: its overall check, how much there is to look at, and the remarks of each sheet."""

    def __init__(self, check: Any, looks: Any, remarks: dict[str, str]) -> None:
        self.check, self.looks, self.remarks = check, looks, remarks


def _places(book: Book) -> list[Place]:
    """Return where the overall check, what to look at and all remarks stand."""
    found: list[Place] = []
    for key, heading in (("overall", "Result"), ("looks", "How many")):
        cell = book.book["Checks"][book.place("Checks", heading, book.row("Checks", heading, {"Key": key}))]
        found.append(("Checks", cell.row, cell.column))
    for sheet in REMARKS:
        top, last, columns = next(block for block in book.blocks(sheet) if "Remarks" in block[2])
        found += [(sheet, row, columns["Remarks"]) for row in range(top + 1, last + 1)]
    return found


def _said(places: list[Place], values: list[Any]) -> Said:
    remarks = defaultdict[str, str](str)  # other sheets have none
    for (sheet, *_), value in zip(places[2:], values[2:], strict=True):
        remarks[sheet] += f"{value or ''}|"
    return Said(values[0], values[1], remarks)


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return where the small season's workbook is."""
    path = tmp_path_factory.mktemp("tells") / "small.xlsx"
    small_book(path)
    return path


@pytest.fixture(scope="module")
def book(path: Path) -> Book:
    """Return the workbook as it was written."""
    return Book.at(path)


@pytest.fixture(scope="module")
def edits(book: Book) -> list[dict[Place, Any]]:
    """Return what is typed by each tell, and last what a row does that is cut and put elsewhere, by place."""
    found = []
    for cells in (*(tell.cells(book) for tell in TELLS), moved(book, *CUT)):
        at = {(sheet, book.book[sheet][place]): value for (sheet, place), value in cells.items()}
        found.append({(sheet, cell.row, cell.column): value for (sheet, cell), value in at.items()})
    return found


@pytest.fixture(scope="module")
def by_hyperformula(
    path: Path, book: Book, edits: list[dict[Place, Any]], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Said]:
    """Return what HyperFormula makes of the workbook as it is, and of each thing typed."""
    folder, places = tmp_path_factory.mktemp("hyperformula"), _places(book)
    before, after = after_edits(Sheets(path), edits, places, fetched(folder), folder)
    return _by_name(places, [before, *after])


@pytest.fixture(scope="module")
def by_libreoffice(
    path: Path, book: Book, edits: list[dict[Place, Any]], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Said]:
    """Return what LibreOffice makes of them, typed into the workbook that it has open."""
    places, sheet = _places(book), CUT[0]
    _, last, columns = next(book.blocks(sheet))
    rows = book.row(sheet, "Item", CUT[1]), book.free_row(sheet, "Item")
    move = (sheet, *rows, columns["Remarks"] - 1)
    assert last > rows[1]
    typed = [*({LIST: "=ROWS(products_product_filled)"} | cells for _, cells, _ in LISTS), *edits[:-1]]
    before, after = edits_made(path, typed, [*places, LIST], tmp_path_factory.mktemp("office"), move)
    lengths = {f"list {name}": Said(values[-1], 0, {}) for (name, *_), values in zip(LISTS, after, strict=False)}
    return lengths | _by_name(places, [values[:-1] for values in (before, *after[len(LISTS) :])])


def _by_name(places: list[Place], results: list[list[Any]]) -> dict[str, Said]:
    names = ["", *(tell.name for tell in (*TELLS, MOVED))]
    return {name: _said(places, values) for name, values in zip(names, results, strict=True)}


def _is_told(tell: Tell, before: Said, after: Said) -> None:
    if tell.look:
        assert after.looks > before.looks, after.remarks[tell.sheet]
    else:
        assert after.check != "OK", after.remarks[tell.sheet]
    assert tell.remark in after.remarks[tell.sheet]


@pytest.mark.long
@named
def test_libreoffice_tells(tell: Tell, by_libreoffice: dict[str, Said]) -> None:
    """In LibreOffice the check of the workbook turns, and the remark stands in the row."""
    _is_told(tell, by_libreoffice[""], by_libreoffice[tell.name])


@named
def test_hyperformula_tells(tell: Tell, by_hyperformula: dict[str, Said]) -> None:
    """By HyperFormula too, but for cells typed over, of which it knows nothing, and where it makes an error of a name."""
    after = by_hyperformula[tell.name]
    if "typed over" in tell.name:
        pytest.skip("HyperFormula asks of one cell only whether it holds a formula")
    if str(after.check).startswith("#"):
        assert "operator" in tell.name  # no criterion that it knows
        return
    _is_told(tell, by_hyperformula[""], after)


@pytest.mark.parametrize("engine", ["by_hyperformula", pytest.param("by_libreoffice", marks=pytest.mark.long)])
def test_as_it_was_written_nothing_is_told(engine: str, request: pytest.FixtureRequest) -> None:
    """Nothing is to be mended, or looked at but an output that nothing takes: whatever else is told was typed."""
    said = request.getfixturevalue(engine)[""]
    assert (said.check, said.looks) == ("OK", 1)
    assert {text.replace("|", "").strip() for text in said.remarks.values()} == {""}


@pytest.mark.long
@pytest.mark.parametrize(("name", "length"), [(name, length) for name, _, length in LISTS])
def test_the_list_of_a_drop_down_ends_at_the_last_filled_row(
    name: str, length: int, by_libreoffice: dict[str, Said]
) -> None:
    """In LibreOffice the name behind a drop-down of products holds as many rows as there are down to the last one."""
    assert by_libreoffice[f"list {name}"].check == length


def test_a_drop_down_from_a_sheet_lets_no_blank_stand_for_anything(path: Path) -> None:
    """Where blanks are passed over, Excel lets everything pass beside a blank in a named list; so they are not."""
    lists = [
        rule for sheet in openpyxl.load_workbook(path) for rule in sheet.data_validations.dataValidation
        if rule.type == "list" and not rule.formula1.startswith('"')
    ]  # fmt: skip
    assert len(lists) > 15
    assert {(rule.allow_blank, rule.showErrorMessage, rule.errorStyle) for rule in lists} == {(False, True, None)}
    assert all(rule.formula1.endswith("_filled") for rule in lists)


def test_a_cleared_product_leaves_no_error_anywhere(path: Path, tmp_path: Path) -> None:
    """Its rows elsewhere come to nothing, and are told."""
    book = openpyxl.load_workbook(path)
    book["Products"]["A6"].value = None
    book.save(tmp_path / "cleared.xlsx")
    anew = recalculated(tmp_path / "cleared.xlsx")[0].book
    errors = [
        f"{sheet.title}!{cell.coordinate}" for sheet in anew for row in sheet.iter_rows() for cell in row
        if cell.data_type == "e"
    ]  # fmt: skip
    assert errors == []


def test_what_no_sheet_sees_has_its_reason_and_is_not_tried() -> None:
    """Each is listed once, on one side only."""
    names = [tell.name for tell in (*TELLS, MOVED)]
    assert len(set(names)) == len(names)
    assert set(names).isdisjoint(NOT_SEEN)
    assert [what for what, reason in NOT_SEEN.items() if len(reason.split()) < 5] == []
