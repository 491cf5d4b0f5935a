"""Which sheets a workbook shows, hides and does without, and that nothing is lost with those out of sight."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import openpyxl
import pytest

import costing
from costing.season.comparable import digests
from costing.workbook.write.choosing import asked_for
from tests.seasons import SAMPLE
from tests.workbook.small_season import TABLES

EVERYDAY = [
    "At a glance", "Settings", "Purchases", "Items", "Formulas", "Tubs", "Products", "Channels", "Prices", "Overheads",
    "Decide", "Make and buy", "Weigh out", "Checks", "Notes",
]  # fmt: skip
RECORDS_ASKED_FOR = {"Own or bought", "Weighings", "Batches", "Batch lines", "Made", "Seen"}


def sheets(path: Path) -> tuple[list[str], list[str]]:
    """Return the titles of the sheets in sight and of those hidden, each in their order."""
    book = openpyxl.load_workbook(path, read_only=True)
    visible = [sheet.title for sheet in book if sheet.sheet_state == "visible"]
    assert book.sheetnames[: len(visible)] == visible  # the hidden ones stand at the end
    return visible, book.sheetnames[len(visible) :]


def notes_of(path: Path) -> dict[str, str]:
    """Return what Notes says of each sheet out of sight."""
    rows = list(openpyxl.load_workbook(path)["Notes"].iter_rows(max_col=2, values_only=True))
    start = rows.index(("Sheet", "What is on it, and whether it is here")) + 1
    end = next((at for at in range(start, len(rows)) if rows[at][0] is None), len(rows))
    return {str(sheet): str(says) for sheet, says in rows[start:end]}


def test_the_sheets_of_every_day_are_in_sight_and_no_others(default_book: Path) -> None:
    """Those with records are there, hidden, and so is what formulas look at; what nothing looks at is left out."""
    visible, hidden = sheets(default_book)
    assert visible == EVERYDAY
    assert set(hidden) >= RECORDS_ASKED_FOR
    assert not {"Break-even", "Shelf cards", "Price shock"} & set(hidden)


def test_every_sheet_is_in_sight_when_all_are_asked_for(sample_book: Path) -> None:
    visible, hidden = sheets(sample_book)
    assert hidden == []
    assert set(visible) > {*EVERYDAY, *RECORDS_ASKED_FOR, "Break-even", "Shelf cards", "Price shock"}


def test_notes_names_every_sheet_out_of_sight_and_how_to_see_it(default_book: Path, sample_book: Path) -> None:
    """The option that it names gives the sheet."""
    told, hidden = notes_of(default_book), sheets(default_book)[1]
    away = set(sheets(sample_book)[0]) - set(EVERYDAY)
    assert set(told) == away
    for sheet, says in told.items():
        if sheet in hidden:
            assert says.endswith("Hidden.")
        else:
            assert asked_for([says.rpartition("--with ")[2].rstrip(".")]).has(sheet)


def test_hidden_records_are_told_on_the_first_sheet_and_on_notes(default_book: Path, sample_book: Path) -> None:
    """Those without records are not."""
    for title, column in (("At a glance", "B"), ("Notes", "A")):
        texts = [str(cell.value) for cell in openpyxl.load_workbook(default_book)[title][column]]
        (told,) = [text for text in texts if "Hidden, with records of yours" in text]
        assert told.endswith(": Own or bought, Weighings, Batches, Batch lines, Made.")
    everything = openpyxl.load_workbook(sample_book)["Notes"]["A"]
    assert not [cell for cell in everything if "Hidden, with records" in str(cell.value)]


@pytest.mark.parametrize("name", ["Batch lines", "batch_lines", "batch-lines", " BATCH  LINES "])
def test_a_sheet_is_asked_for_by_its_title_or_its_table(name: str) -> None:
    assert asked_for([name]).has("Batch lines")


def test_own_or_bought_is_asked_for_as_the_table_is_called() -> None:
    assert asked_for(["alternatives"]).has("Own or bought")


def test_an_unknown_sheet_is_refused_before_anything_is_written(sample_season: costing.Season, tmp_path: Path) -> None:
    with pytest.raises(costing.Refusal) as refused:
        costing.export(sample_season, tmp_path / "book.xlsx", also=["price laddr"])
    assert str(refused.value) == 'there is no sheet "price laddr"; did you mean "price-ladder"?'
    assert not list(tmp_path.iterdir())


def test_what_a_workbook_shows_it_shows_when_it_is_exported_again(tmp_path: Path) -> None:
    """Both where the season is read from it and where it is written over."""
    season = costing.cost(costing.records_from(**TABLES))
    first = costing.export(season, tmp_path / "first.xlsx", also=["break-even", "weighings"]).path
    wanted = {*EVERYDAY, "Break-even", "Weighings"}
    again = costing.export(costing.cost(costing.read_season(first)), tmp_path / "again.xlsx").path
    assert set(sheets(again)[0]) == wanted
    costing.export(season, first, replace=True)
    assert set(sheets(first)[0]) == wanted


def test_a_sheet_that_the_maker_hides_or_shows_stays_so(tmp_path: Path) -> None:
    season = costing.cost(costing.records_from(**TABLES))
    path = costing.export(season, tmp_path / "book.xlsx", also=["break-even"]).path
    book = openpyxl.load_workbook(path)
    book["Break-even"].sheet_state, book["Batches"].sheet_state = "hidden", "visible"
    book.save(path)
    costing.export(season, path, replace=True)
    assert set(sheets(path)[0]) == {*EVERYDAY, "Batches"}


def test_records_out_of_sight_are_read_back_and_carried(default_book: Path) -> None:
    """A hidden sheet is no removed row, and one that is left out none either."""
    assert digests(costing.read_season(default_book)) == digests(costing.read_season(SAMPLE))
    planned = costing.plan_carrying(default_book, SAMPLE)
    assert (planned.changes, planned.conflicts, planned.differing) == ((), (), 0)


def test_rows_typed_into_a_sheet_out_of_sight_are_read(tmp_path: Path) -> None:
    """A hidden sheet of records has its free rows, for who shows it."""
    season = costing.cost(costing.records_from(**{**TABLES, "weighings": []}))
    path = costing.export(season, tmp_path / "book.xlsx").path
    book = openpyxl.load_workbook(path)
    sheet = book["Weighings"]
    free = next(row for row in range(6, 20) if sheet.cell(row, 1).value is None and str(sheet.cell(row, 2).value) == "None")
    columns = {str(cell.value).split(" (")[0]: cell.column for cell in sheet[5] if cell.column}
    for heading, value in (("Product", "scrub 100"), ("Weighed on", date(2026, 7, 20)), ("Gross", 165), ("Tare", 60)):
        sheet.cell(free, columns[heading]).value = value
    book.save(path)
    assert [float(row.gross_grams) for row in costing.read_season(path).weighings] == [165.0]
