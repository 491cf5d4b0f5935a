"""Records → CSV files → records → workbook → records: equal records and equal figures, twice over."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner

import costing
from costing.cli import main
from costing.exchange.season_files import open_season
from costing.fields.types import FieldType
from costing.records.schema import RECORD_TABLES
from costing.season.comparable import digests, normal_tables
from tests.laws.alike import unlike
from tests.roundtrip.makers import SAMPLE, changes, edits, grid, setting, with_odd_texts, write_folder
from tests.seasons import as_records, random_season, seeded

pytestmark = pytest.mark.slow

SEEDS = range(9)


def assert_round_trip(folder: Path, scratch: Path) -> None:
    """Read a folder, export it, read the workbook, export that, and read again: all must say the same."""
    first = costing.read_season(folder)
    season = costing.cost(first)
    costing.export(season, scratch / "first.xlsx")
    source = open_season(scratch / "first.xlsx")
    second = source.records()
    assert (changes(first, second), source.notices) == ([], [])
    again = costing.cost(second)
    assert list(unlike(costing.figures(season), costing.figures(again))) == []
    costing.export(again, scratch / "second.xlsx")
    third = costing.read_season(scratch / "second.xlsx")
    assert digests(third) == digests(second)
    assert [third.rows(table.name) for table in RECORD_TABLES] == [second.rows(table.name) for table in RECORD_TABLES]
    assert costing.figures(costing.cost(third)) == costing.figures(again)


def test_sample_comes_through_a_workbook_whole(tmp_path: Path) -> None:
    assert_round_trip(SAMPLE, tmp_path)


@pytest.mark.parametrize("seed", SEEDS)
def test_random_season_comes_through_a_workbook_whole(seed: int, tmp_path: Path) -> None:
    """Every third season has odd texts wherever free text may stand."""
    random = seeded(seed)
    tables = random_season(random)
    if seed % 3 == 0:
        tables = with_odd_texts(tables, random)
    folder = write_folder(tmp_path / "season", tables)
    assert changes(as_records(tables), costing.read_season(folder)) == []
    assert_round_trip(folder, tmp_path)


def test_second_generation_has_the_same_cells(sample_book: Path, tmp_path: Path) -> None:
    """From the second workbook on, not even the order of rows moves."""
    costing.export(costing.cost(costing.read_season(sample_book)), tmp_path / "second.xlsx")
    costing.export(costing.cost(costing.read_season(tmp_path / "second.xlsx")), tmp_path / "third.xlsx")
    assert _cells(tmp_path / "third.xlsx") == _cells(tmp_path / "second.xlsx")


def _cells(path: Path) -> dict[str, list[tuple[Any, ...]]]:
    return {sheet.title: list(sheet.iter_rows(values_only=True)) for sheet in openpyxl.load_workbook(path)}


# -- a workbook to fill in --


def _as_number(field: FieldType, text: str) -> Any:
    """Type what a text means: figures as numbers, percentages as spreadsheets keep them, dates as dates."""
    if field.shape == "date":
        return datetime.fromisoformat(text)
    if field.shape == "percent":
        return float(Decimal(text) / 100)
    return float(text) if field.shape == "number" else text


def _as_text(field: FieldType, text: str) -> str:
    """Type a text as it stands in the CSV file."""
    return text


@pytest.mark.parametrize("typing", [_as_number, _as_text])
def test_workbook_to_fill_in_takes_the_sample(
    typing: Callable[[FieldType, str], Any], sample_season: costing.Season, tmp_path: Path
) -> None:
    path = tmp_path / "season.xlsx"
    assert CliRunner().invoke(main, ["start", "--workbook", str(path)]).exit_code == 0
    book = openpyxl.load_workbook(path)
    for table in RECORD_TABLES:
        with (SAMPLE / f"{table.name}.csv").open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        fields: dict[str, FieldType] = {key: info.metadata[0] for key, info in table.model.model_fields.items()}
        if table.name == "season":
            for row in rows:
                setting(book, row["key"]).value = typing(fields[row["key"]], row["value"])
            continue
        sheet = grid(book, table.name.capitalize(), table.model)
        for number, row in enumerate(rows, start=sheet.heading + 1):
            sheet.put(number, **{key: typing(fields[key], text) for key, text in row.items() if text})
    book.save(path)
    assert edits(path, sample_season.records) == []


def test_workbook_to_fill_in_says_what_is_missing_while_it_is_empty(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    CliRunner().invoke(main, ["start", "--workbook", str(path)])
    with pytest.raises(costing.Faults) as caught:
        costing.read_season(path)
    told = {fault.where for fault in caught.value.faults}
    assert told == {
        *(f"sheet {name}" for name in ("Purchases", "Formulas", "Lines", "Products", "Channels")),
        *("sheet Settings, row 6, name", "sheet Settings, row 7, currency", "sheet Settings, row 8, priced_on"),
    }


def test_another_name_of_the_season_is_a_change() -> None:
    """The season's name is no key that could stand for it: written anew, it is carried."""
    tables = random_season(seeded(1))
    before = as_records(tables)
    tables["season"]["name"] = "Another season"
    assert digests(before)["season"] != digests(as_records(tables))["season"]
    assert normal_tables(before)["season"][0]["name"] == before.season.name
