"""The next season: what still holds is taken along, what belonged to the old one stays behind, and no figure moves."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

import costing
from costing.cli import main
from costing.season.comparable import normal_tables
from tests.seasons import random_season, seeded
from tests.small_season import FILES, small_folder

SAMPLE = Path(__file__).parents[1] / "sample"
LATER = date(2027, 5, 1)
MORE = {
    "weighings": "product,weighed_on,gross_grams,tare_grams\nwhip-60,2026-10-01,61,0\nwhip-60,2026-10-01,62,0\n",
    "batches": "batch,formula,made_on,grams_out,minutes\none,whip,2026-10-01,,\n",
    "batch_lines": "batch,item,step,grams\none,bar/trimmings,melt,600\n",
    "seen": 'where,note\n"purchases, jar of 2026-07-31",right\n"batches, one",it burnt\n"weighings, whip-60",\n',
}


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A small season with something in every table that is left behind."""
    folder = small_folder(tmp_path / "old")
    for name, text in MORE.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder


def run(*words: str | Path) -> Result:
    """Call the command line within this program."""
    return CliRunner().invoke(main, [str(word) for word in words], prog_name="costing")


def held(folder: Path) -> dict[str, bytes]:
    """Return what a folder holds."""
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def check_no_difference(old: Path, new: Path) -> None:
    """Check that nothing differs between two seasons but their days."""
    compared = costing.compare(*(costing.cost(costing.read_season(place)) for place in (old, new)))
    figures = costing.comparison_figures(compared)
    assert (figures["changed"], figures["only"]) == (False, [])


# -- what is taken along --


def test_a_folder_is_taken_along_as_its_files_spell_it(old: Path, tmp_path: Path) -> None:
    """What does not change is the same to the byte; nothing else is in the folder."""
    costing.next_season(old, tmp_path / "new", LATER)
    before, after = held(old), held(tmp_path / "new")
    changed = {"season.csv", "prices.csv", *(f"{name}.csv" for name in MORE)}
    assert set(after) == set(before)
    assert {name for name in after if after[name] != before[name]} == changed
    assert {name: after[f"{name}.csv"].decode().splitlines()[1:] for name in MORE} == {
        "weighings": [], "batches": [], "batch_lines": [], "seen": ['"purchases, jar of 2026-07-31",right'],
    }  # fmt: skip


def test_the_season_begins_on_the_day_after_the_old_one_was_priced(old: Path, tmp_path: Path) -> None:
    """Its own days are new, and so is nothing else among the settings."""
    made = costing.next_season(old, tmp_path / "new", LATER).season.records.season
    was = costing.read_season(old).season
    assert (made.began_on, made.priced_on) == (was.priced_on + timedelta(days=1), LATER)
    days = {"began_on", "priced_on"}
    assert made.model_dump(exclude=days) == was.model_dump(exclude=days)


def test_each_price_is_what_was_used_and_its_plan_stays(old: Path, tmp_path: Path) -> None:
    """Own prices stay as written, suggested ones become the maker's own."""
    used = {(row.product, row.channel): row.used for row in costing.cost(costing.read_season(old)).prices.rows}
    made = costing.next_season(old, tmp_path / "new", LATER)
    assert made.priced == 2
    planned = {(row.product, row.channel): (row.planned, row.price) for row in made.season.records.prices}
    assert {key: float(price or 0) for key, (_, price) in planned.items()} == pytest.approx(used, abs=1e-9)
    assert [number for number, _ in planned.values()] == [110, 40, 90]


def test_what_was_done_last_season_counts_no_more(old: Path, tmp_path: Path) -> None:
    """A ruined batch came off the old season's profit, and does not come off the new one's."""
    before, made = costing.cost(costing.read_season(old)), costing.next_season(old, tmp_path / "new", LATER)
    assert before.looks.lost > 0
    assert made.season.looks.lost == 0
    assert made.season.totals.profit == pytest.approx(before.totals.profit + before.looks.lost)
    assert made.left == {"weighings": 2, "batches": 1, "batch_lines": 1, "seen": 2}


def test_a_file_with_semicolons_and_decimal_commas_stays_one(old: Path, tmp_path: Path) -> None:
    """A price goes into the file as its maker would write it."""
    prices = FILES["prices"].replace(",", ";").replace("8.00", "8,25").replace("stall;90;", "stall;90;7,75")
    (old / "prices.csv").write_text(prices, encoding="utf-8")
    costing.next_season(old, tmp_path / "new", LATER)
    shown = (tmp_path / "new" / "prices.csv").read_text(encoding="utf-8")
    assert shown.startswith("product;channel;planned;price\nwhip-60;stall;110;8,25\nwhip-60;shops;40;")
    check_no_difference(old, tmp_path / "new")


@pytest.mark.parametrize("season", [SAMPLE, SAMPLE / "last-season"], ids=["sample", "last season"])
def test_nothing_differs_but_days(season: Path, tmp_path: Path) -> None:
    """Items, products and prices are the same in both, and all that is not left behind is there."""
    before = costing.read_season(season)
    made = costing.next_season(season, tmp_path / "new", LATER)
    check_no_difference(season, tmp_path / "new")
    tables, was = (normal_tables(records) for records in (costing.read_season(tmp_path / "new"), before))
    same = set(tables) - {"season", "prices", "weighings", "batches", "batch_lines", "seen"}
    assert {name: tables[name] for name in same} == {name: was[name] for name in same}
    assert normal_tables(made.season.records) == tables


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
def test_nothing_differs_in_random_seasons(seed: int, tmp_path: Path) -> None:
    """A season of any records, of a basis that does not look back from its day, goes on as it was."""
    tables: dict[str, Any] = random_season(seeded(seed), ("latest", "quote")[seed % 2])
    day = date.fromisoformat(tables["season"]["priced_on"])
    tables["purchases"] = [row for row in tables["purchases"] if row["bought_on"] <= day.isoformat()]
    old = write_tables(tmp_path / "old", tables)
    costing.next_season(old, tmp_path / "new", day + timedelta(days=1))
    check_no_difference(old, tmp_path / "new")


def write_tables(folder: Path, tables: dict[str, Any]) -> Path:
    """Write a season's tables as CSV files."""
    import csv  # noqa: PLC0415

    folder.mkdir()
    for name, rows in tables.items():
        listed = [{"key": key, "value": value} for key, value in rows.items()] if name == "season" else rows
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, list(dict.fromkeys(column for row in listed for column in row)))
            writer.writeheader()
            writer.writerows(listed)
    return folder


# -- workbooks --


@pytest.mark.slow
def test_workbooks_and_folders_lead_to_one_another(old: Path, tmp_path: Path) -> None:
    """From a folder to a workbook, from that to the next, and back to a folder: no figure moves."""
    costing.export(costing.cost(costing.read_season(old)), tmp_path / "old.xlsx", all_sheets=True)
    kept = (tmp_path / "old.xlsx").read_bytes()
    costing.next_season(old, tmp_path / "a.xlsx", LATER)
    costing.next_season(tmp_path / "old.xlsx", tmp_path / "b.xlsx", LATER)
    costing.next_season(tmp_path / "old.xlsx", tmp_path / "c", LATER)
    found = [normal_tables(costing.read_season(tmp_path / name)) for name in ("a.xlsx", "b.xlsx", "c")]
    assert found[0] == found[1]
    assert found[0] == found[2]
    check_no_difference(old, tmp_path / "c")
    assert (tmp_path / "old.xlsx").read_bytes() == kept


# -- what is refused --


def test_an_empty_folder_may_be_there_and_anything_else_is_refused(old: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert run("next", old, tmp_path / "empty", "--priced-on", LATER.isoformat()).exit_code == 0
    (tmp_path / "taken.xlsx").write_bytes(b"")
    (tmp_path / "folder.xlsx").mkdir()
    for name in ("empty", "old", "taken.xlsx", "folder.xlsx"):
        before = {file: file.stat().st_mtime_ns for file in tmp_path.rglob("*")}
        result = run("next", old, tmp_path / name, "--priced-on", LATER.isoformat())
        assert (result.exit_code, result.stdout) == (2, "")
        assert "is there already; name a new folder" in result.stderr
        assert before == {file: file.stat().st_mtime_ns for file in tmp_path.rglob("*")}


def test_a_day_that_is_not_later_is_refused(old: Path, tmp_path: Path) -> None:
    result = run("next", old, tmp_path / "new", "--priced-on", "2026-11-01")
    assert (result.exit_code, (tmp_path / "new").exists()) == (2, False)
    assert result.stderr == (
        f"{old}: is priced on 2026-11-01; name a later day than that for the next season, not 2026-11-01\n"
    )
    assert run("next", old, tmp_path / "new", "--priced-on", "2026-11-02").exit_code == 0


def test_faults_of_the_old_season_are_told_and_nothing_is_made(old: Path, tmp_path: Path) -> None:
    (old / "lines.csv").write_text(FILES["lines"].replace("kaolin", "kaolinn"), encoding="utf-8")
    result = run("next", old, tmp_path / "new", "--priced-on", LATER.isoformat())
    assert (result.exit_code, (tmp_path / "new").exists()) == (1, False)
    assert "kaolinn" in result.stderr


# -- what is told --


def test_what_is_left_to_do_is_told(old: Path, tmp_path: Path) -> None:
    result = run("next", old, tmp_path / "new", "--priced-on", LATER.isoformat())
    assert (result.exit_code, result.stderr) == (0, "")
    for told in (
        "priced on 2027-05-01, begun on 2026-11-02",
        "2 weighings, 1 batch, 1 batch line, 2 doubts about them that were looked at",
        'it is still called "Driftwood Shed in spring"',
        "Count anew what is on hand: 4 in items still say what was there last season",
        "2 prices were suggested and now stand as your own",
    ):
        assert told in result.stdout
