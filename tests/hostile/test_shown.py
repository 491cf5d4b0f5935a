"""What reaches a terminal is shown and not obeyed, whatever it comes from; where none can be shown, a sentence ends it."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import Workbook

import costing
from costing.cli import main
from tests.hostile.small_season import small_tables, write_tables

OBEYED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")
ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("letter", ["\ufffe", "\uffff", "\U0001fffe", "\ufdd0"])
@pytest.mark.parametrize(("table", "column"), [("season", 1), ("purchases", 1), ("products", 0)])
def test_what_no_workbook_can_carry_is_refused_with_its_place(letter: str, table: str, column: int, tmp_path: Path) -> None:
    tables = small_tables()
    tables[table][1][column] = f"x{letter}y"
    with pytest.raises(costing.Faults) as caught:
        costing.read_season(write_tables(tables, tmp_path / "season"))
    assert any(fault.where.startswith(f"{table}.csv, row 2") for fault in caught.value.faults)


def test_a_workbook_s_half_letters_are_refused_too() -> None:
    with pytest.raises(costing.Faults, match="no workbook can carry"):
        costing.records_from(season={"name": "x\ud800", "currency": "EUR", "priced_on": "2026-11-01"})


@pytest.mark.parametrize("command", ["check", "compare", "trace"])
def test_texts_that_turn_or_break_lines_are_shown(command: str, tmp_path: Path) -> None:
    tables = small_tables()
    tables["season"][1][1] = "Small\u202esnoitasrever\nNo faults: 70 purchases"
    tables["purchases"][1][1] = tables["purchases"][2][1] = "Quay\u2066side"
    folder = write_tables(tables, tmp_path / "season")
    result = CliRunner().invoke(
        main, [command, str(folder), *{"trace": ["Jar of rub"], "compare": [str(folder)]}.get(command, [])]
    )
    assert result.exit_code == 0
    assert not OBEYED.search(result.output)
    assert "\nNo faults: 70" not in result.output
    if command == "compare":
        assert "\\u202e" in result.output


def test_what_stands_on_a_sheet_or_in_a_name_is_shown(tmp_path: Path) -> None:
    book = Workbook()
    book.worksheets[0].title = "pur\u202echases"
    book.worksheets[0].append(["bought_on\u2066", "it\u202eem"])
    book.create_sheet("season").append(["key", "va\u202elue"])
    path = tmp_path / "sea\u202eson.xlsx"
    book.save(path)
    for words in (["check", str(path)], ["check", f"{path}\x1b[2J"], ["show", "--\x1b]0;x\x07"]):
        result = CliRunner().invoke(main, words)
        assert result.exit_code in (1, 2)
        assert result.output
        assert not OBEYED.search(result.output)


def test_a_notice_is_told_by_other_commands_too(tmp_path: Path) -> None:
    book = Workbook()
    book.remove(book.worksheets[0])
    for name, rows in small_tables().items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append([float(cell) if cell.isdigit() else cell for cell in row])
    path = tmp_path / "season.xlsx"
    book.create_sheet("purchases 2").append(["bought_on", "item"])
    book.save(path)
    told = CliRunner().invoke(main, ["check", str(path)])
    noticed = [line for line in told.output.splitlines() if line.startswith("noticed: ")]
    for words in (["trace", str(path), "Jar of rub"], ["export", str(path), "-o", str(tmp_path / "prices.xlsx")]):
        result = CliRunner().invoke(main, words)
        assert [line for line in result.stderr.splitlines() if line.startswith("noticed: ")] == noticed


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_output_device_is_a_sentence(tmp_path: Path) -> None:
    folder = write_tables(small_tables(), tmp_path / "season")
    with open("/dev/full", "w", encoding="utf-8") as full:
        command = [sys.executable, "-m", "costing", "check", str(folder)]
        done = subprocess.run(command, cwd=ROOT, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.stderr == "The output: cannot be used (No space left on device)\n"
    assert done.returncode == 3


@pytest.mark.skipif(os.name != "posix", reason="other systems keep a working folder")
def test_a_working_folder_that_is_gone_is_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    for words in (["export", "."], ["check", "season"], ["start", "season"], ["show", "."]):
        result = CliRunner().invoke(main, words)
        assert isinstance(result.exception, SystemExit), words
        assert result.exit_code in (2, 3)
        assert result.output
