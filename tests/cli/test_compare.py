"""`costing compare` and `costing export --since`: what is said, exit codes, and the sheet that is written."""

from __future__ import annotations

import json
import re
import shutil
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

import costing
from costing.cli import main
from costing.season.comparable import digests
from costing.shown.comparison import comparison_figures
from costing.tables.whole.two_seasons import EFFECTS

SAMPLE = Path(__file__).parents[2] / "sample"
LAST = SAMPLE / "last-season"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], prog_name="costing")


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    """Return a copy of last season in which a line names something never bought."""
    folder = Path(shutil.copytree(LAST, tmp_path / "faulty"))
    lines = (folder / "lines.csv").read_text(encoding="utf-8").replace("Phenoxyethanol,0.9", "Phenoxyethanl,0.9", 1)
    (folder / "lines.csv").write_text(lines, encoding="utf-8")
    return folder


def test_compare_shows_every_effect_of_a_product_and_the_price_of_then() -> None:
    result = run("compare", LAST, SAMPLE)
    assert (result.exit_code, result.stderr) == (0, "")
    comparison = costing.compare(*(costing.cost(costing.read_season(path)) for path in (LAST, SAMPLE)))
    (row,) = (row for row in comparison.products.rows if row.product == "Lavender whipped soap 120 g")
    shown = [row.product, f"{row.then:.2f}", *(f"{getattr(row, effect):+.2f}" for effect in EFFECTS)]
    shown += [f"{row.now:.2f}", f"{row.changed:+.2f}", f"{row.changed_part:+.1%}"]
    lines = [re.split(" {2,}", line) for line in result.stdout.splitlines()]
    assert shown in lines
    (price,) = (line for line in lines if line[:2] == ["Pink clay whipped soap 120 g", "Market stall"])
    assert price[2:4] == ["14.50", "36.2%"]
    assert [line[:4] for line in lines if line[:1] == ["gone"]] == [
        ["gone", "product", "Oat bar 110 g", "one"],
        ["gone", "price", "Lavender whipped soap 120 g/Web shop", "one"],
        ["gone", "item", "Ground oats", "kg"],
    ]
    titles = [block.splitlines()[0] for block in result.stdout.split("\n\n")]
    assert [titles[1], *titles[3:]] == [
        "Rates", "Last season's prices at this season's costs", "What items cost", "New and gone",
    ]  # fmt: skip


def test_compare_json_is_all_figures_as_one_object() -> None:
    result = run("compare", LAST, SAMPLE, "--json")
    assert (result.exit_code, result.stderr) == (0, "")
    found = json.loads(result.stdout)
    comparison = costing.compare(*(costing.cost(costing.read_season(path)) for path in (LAST, SAMPLE)))
    assert found == json.loads(json.dumps(comparison_figures(comparison)))
    assert list(found) == ["old", "new", "products", "prices", "items", "only", "changed"]
    assert found["old"]["hourly_rate"] == 26
    assert found["items"]["Pink clay"]["change"] == 0


def test_compare_with_itself_says_that_nothing_changed() -> None:
    result = run("compare", SAMPLE, SAMPLE)
    assert result.exit_code == 0
    assert result.stdout.split("\n\n")[1:] == ["Nothing changed: items, products and prices are the same in both.\n"]


def test_compare_takes_a_workbook_for_a_season(tmp_path: Path) -> None:
    book = tmp_path / "last.xlsx"
    run("export", LAST, "-o", book)
    assert run("compare", book, SAMPLE).stdout == run("compare", LAST, SAMPLE).stdout


def test_faults_name_the_season_they_are_in(faulty: Path, tmp_path: Path) -> None:
    target = tmp_path / "prices.xlsx"
    export = ("export", SAMPLE, "--since", faulty, "-o", target)
    for words in (("compare", faulty, SAMPLE), ("compare", SAMPLE, faulty), export):
        result = run(*words)
        assert (result.exit_code, result.stdout) == (1, "")
        assert f"  {faulty}: lines.csv, row 30, item: " in result.stderr
    assert not target.exists()


def test_compare_of_two_currencies_is_a_fault(tmp_path: Path) -> None:
    other = Path(shutil.copytree(LAST, tmp_path / "other"))
    settings = other / "season.csv"
    settings.write_text(settings.read_text(encoding="utf-8").replace("NZD", "FJD"), encoding="utf-8")
    result = run("compare", other, SAMPLE)
    assert (result.exit_code, result.stdout) == (1, "")
    told = "season, currency: FJD in the old season, NZD in the new one; compare seasons of one currency"
    assert result.stderr.splitlines()[1:] == [f"  {told}"]


def test_export_since_adds_the_sheet_before_the_checks_and_keeps_the_records(tmp_path: Path) -> None:
    target = tmp_path / "prices.xlsx"
    result = run("export", SAMPLE, "--since", LAST, "-o", target)
    assert (result.exit_code, result.stderr) == (0, "")
    in_sight = [sheet.title for sheet in load_workbook(target, read_only=True) if sheet.sheet_state == "visible"]
    assert in_sight[-3:] == ["Since last season", "Checks", "Notes"]
    assert digests(costing.read_season(target)) == digests(costing.read_season(SAMPLE))


def test_the_charts_of_both_sheets_have_texts_of_their_own(tmp_path: Path) -> None:
    target = tmp_path / "prices.xlsx"
    run("export", SAMPLE, "--since", LAST, "-o", target)
    with zipfile.ZipFile(target) as parts:
        first, since = (parts.read(f"xl/drawings/drawing{at}.xml").decode() for at in (1, 2))
    assert first.count("descr=") == 2
    assert since.count("descr=") == 2
    assert "last season and now" in since
    assert "last season and now" not in first
