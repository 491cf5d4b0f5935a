"""The command line: what is said where, exit codes, files written and files left alone."""

from __future__ import annotations

import csv
import json
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from importlib.metadata import version
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

import costing
from costing.cli import main
from costing.exchange import starting
from costing.folder.safe_writing import write_atomically
from costing.records.schema import RECORD_TABLES
from costing.shown.cautions_told import cautions_told

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "sample"
COMMANDS = sorted(main.commands)


def run(*words: str | Path) -> Result:
    """Call the command line within this program."""
    return CliRunner().invoke(main, [str(word) for word in words], prog_name="costing")


def typed(*words: str | Path, folder: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """Call the command line as it is typed."""
    path = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH", ""))))
    environment = os.environ | {"PYTHONIOENCODING": "utf-8", "PYTHONPATH": path}
    return subprocess.run(
        [sys.executable, "-m", "costing", *map(str, words)],
        cwd=folder,
        env=environment,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


@cache
def sample() -> costing.Season:
    """Return the sample season, costed."""
    return costing.cost(costing.read_season(SAMPLE))


@pytest.fixture
def own_sample(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in a folder of one's own beside a copy of the sample."""
    monkeypatch.chdir(tmp_path)
    return Path(shutil.copytree(SAMPLE, tmp_path / "sample"))


def change(file: Path, old: str, new: str) -> None:
    """Replace a text of a file that must be there."""
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


# Help and wrong use


@pytest.mark.parametrize("flag", ["--help", "-h"])
def test_help_names_every_command_and_an_example(flag: str) -> None:
    result = run(flag)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.startswith("Usage: costing [OPTIONS] COMMAND")
    assert re.findall(r"^  (\w+)  ", result.stdout.partition("Commands:")[2], re.MULTILINE) == COMMANDS
    assert {"start", "check", "show", "trace", "export"} <= set(COMMANDS)
    assert "Example:  costing show sample\n" in result.stdout


@pytest.mark.parametrize("command", COMMANDS)
def test_the_example_in_a_command_s_help_works_as_it_stands(command: str, own_sample: Path) -> None:
    shown = run(command, "--help")
    assert (shown.exit_code, shown.stderr) == (0, "")
    (example,) = re.findall(r"^  Example:  costing (.+)$", shown.stdout, re.MULTILINE)
    words = shlex.split(example.partition(" > ")[0])
    assert words[0] == command
    if command == "carry":
        shutil.copytree(own_sample, "my-season")
        run("export", "my-season", "-o", "prices.xlsx")
    result = run(*words)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout


def test_version_is_that_of_the_package() -> None:
    result = run("--version")
    assert (result.exit_code, result.stdout, result.stderr) == (0, f"costing {version('costing')}\n", "")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["cheque"], "No such command 'cheque'"),
        (["check"], "Missing argument 'SEASON'"),
        (["start"], "Missing argument 'SEASON'"),
        (["trace", "sample"], "Missing argument 'PRODUCT'"),
        (["check", "sample", "more"], "unexpected extra argument (more)"),
        (["show", "sample", "--jsn"], "--jsn"),
    ],
)
def test_wrong_use_is_told_with_the_usage_and_ends_with_code_2(words: list[str], told: str) -> None:
    result = run(*words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith("Usage: costing ")
    assert told in result.stderr


@pytest.mark.parametrize("command", ["check", "show", "trace", "export"])
def test_a_season_that_is_not_there_or_no_season_is_refused_with_code_2(command: str, tmp_path: Path) -> None:
    file, nowhere = tmp_path / "season.csv", tmp_path / "nowhere"
    file.write_text("key,value\n", encoding="utf-8")
    words = {"trace": ["whip"], "export": ["-o", str(tmp_path / "prices.xlsx")]}.get(command, [])
    told = {
        nowhere: f"is not there; name a season's folder or workbook, or make one with: costing start {nowhere}",
        file: "is one table, and a season has several; name the folder that holds them, or save them as sheets of one .xlsx",
    }
    for season, message in told.items():
        result = run(command, season, *words)
        assert (result.exit_code, result.stdout, result.stderr) == (2, "", f"{season}: {message}\n")
    assert list(tmp_path.iterdir()) == [file]


def test_help_starts_without_the_heavy_libraries() -> None:
    heavy = ("openpyxl", "pint", "pydantic", "numpy")
    code = (
        "import sys\n"
        "from costing.cli import main\n"
        "for words in (['--help'], ['export', '--help'], ['--version']):\n"
        "    main(words, standalone_mode=False)\n"
        f"sys.stderr.write(repr(sorted(set(sys.modules) & {{'click', *{heavy!r}}})))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, encoding="utf-8", check=True)
    assert "Usage:" in done.stdout
    assert done.stderr == "['click']"


# start


def test_start_makes_a_folder_with_every_table_and_a_guide(tmp_path: Path) -> None:
    folder = tmp_path / "shelf" / "my-season"
    result = run("start", folder)
    told = f"Made {folder} with {len(RECORD_TABLES)} tables. {folder / 'COLUMNS.txt'} explains every column.\n"
    assert (result.exit_code, result.stdout, result.stderr) == (0, told, "")
    names = {f"{table.name}.csv" for table in RECORD_TABLES}
    assert {path.name for path in folder.iterdir()} == names | {"COLUMNS.txt"}


def test_start_explains_every_column_of_every_table(tmp_path: Path) -> None:
    run("start", tmp_path / "s")
    pages = (tmp_path / "s" / "COLUMNS.txt").read_text(encoding="utf-8").split("\n\n")[1:]
    assert len(pages) == len(RECORD_TABLES)
    for table, page in zip(RECORD_TABLES, pages, strict=True):
        assert page.startswith(f"{table.name}.csv")
        starred = [f"{key}*" if info.is_required() else key for key, info in table.model.model_fields.items()]
        assert re.findall(r"^  (\S+) +\S", page, re.MULTILINE) == starred


def test_start_then_check_names_what_is_still_to_be_filled_in(tmp_path: Path) -> None:
    run("start", tmp_path / "s")
    result = run("check", tmp_path / "s")
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.splitlines() == [
        "8 faults in the records; nothing was costed or written.",
        "  purchases.csv: has no rows; fill it in; it needs bought_on, item, paid",
        "  formulas.csv: has no rows; fill it in; it needs formula",
        "  lines.csv: has no rows; fill it in; it needs formula, step, item",
        "  products.csv: has no rows; fill it in; it needs product, filled_with, tub, fill_grams",
        "  channels.csv: has no rows; fill it in; it needs channel, margin_percent",
        "  season.csv, row 2, name: is empty; fill it in: what this season is called",
        "  season.csv, row 3, currency: is empty; "
        "fill it in: the currency of all figures, as its three-letter ISO 4217 code",
        "  season.csv, row 4, priced_on: is empty; "
        "fill it in: the day the prices are worked out for. Purchases after it are left out",
    ]


def test_a_started_folder_filled_in_is_a_season(tmp_path: Path) -> None:
    folder = tmp_path / "s"
    run("start", folder)
    for file in folder.glob("*.csv"):
        with file.open(encoding="utf-8", newline="") as started:
            heading = next(csv.reader(started))
        with (SAMPLE / file.name).open(encoding="utf-8", newline="") as filled:
            rows = list(csv.DictReader(filled))
        with file.open("w", encoding="utf-8", newline="") as season:
            writer = csv.DictWriter(season, heading)
            writer.writeheader()
            writer.writerows(rows)
    result = run("check", folder)
    assert (result.exit_code, result.stdout, result.stderr) == (0, run("check", SAMPLE).stdout, "")


def test_start_uses_an_empty_folder(tmp_path: Path) -> None:
    assert run("start", tmp_path).exit_code == 0
    assert (tmp_path / "season.csv").is_file()


@pytest.mark.parametrize("there", ["purchases.csv", "COLUMNS.txt"])
def test_start_refuses_a_used_folder_and_leaves_it_as_it_is(there: str, tmp_path: Path) -> None:
    (tmp_path / there).write_text("my own", encoding="utf-8")
    result = run("start", tmp_path)
    told = f"{tmp_path}: holds {there} already; name a new folder\n"
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", told)
    assert [(path.name, path.read_text(encoding="utf-8")) for path in tmp_path.iterdir()] == [(there, "my own")]


def test_start_refuses_a_file_in_the_place_of_the_folder(tmp_path: Path) -> None:
    file = tmp_path / "my-season"
    file.write_text("my own", encoding="utf-8")
    result = run("start", file)
    assert (result.exit_code, result.stdout) == (3, "")
    assert re.fullmatch(rf"{re.escape(str(file))}: cannot be made \(.+\)\n", result.stderr)
    assert file.read_text(encoding="utf-8") == "my own"


# check, show, trace


def test_check_says_how_much_was_read_and_lists_the_cautions() -> None:
    result = run("check", SAMPLE)
    assert (result.exit_code, result.stderr) == (0, "")
    first, *rest = result.stdout.splitlines()
    assert first == "No faults: 70 purchases, 11 formulas, 14 products."
    cautions = [f"caution: {caution}" for caution in cautions_told(sample().cautions)]
    assert rest[: len(cautions) + 2] == [*cautions, "", "What was understood"]
    assert len(rest) >= 5


def test_check_tells_how_each_table_was_read_when_asked() -> None:
    result = run("check", SAMPLE, "--verbose")
    assert (result.exit_code, result.stderr) == (0, "")
    read = [line for line in result.stdout.splitlines() if line.startswith("read ")]
    assert read == [f"read {file.name}: UTF-8, commas, LF" for file in sorted(SAMPLE.glob("*.csv"))]
    assert result.stdout.endswith(run("check", SAMPLE).stdout)


def test_schema_describes_every_table_as_json() -> None:
    result = run("schema")
    assert (result.exit_code, result.stderr) == (0, "")
    names = [resource["name"] for resource in json.loads(result.stdout)["resources"]]
    assert names == [table.name for table in RECORD_TABLES]


def test_show_holds_every_figure_of_a_product_and_a_price() -> None:
    result = run("show", SAMPLE, "--all")
    assert (result.exit_code, result.stderr) == (0, "")
    blocks = {block.splitlines()[0]: block.splitlines()[1:] for block in result.stdout.split("\n\n")}
    figures = costing.figures(sample())
    product = figures["products"]["Lavender whipped soap 120 g"]
    shown = [
        "Lavender whipped soap 120 g",
        "121",
        *(f"{part:,.2f}" for part in product["cost"].values()),
        f"{product['minutes']:.1f}",
    ]
    assert shown in [re.split(" {2,}", line) for line in blocks["What one costs"]]
    price = next(
        row
        for row in figures["prices"]
        if (row["product"], row["channel"]) == ("Lavender whipped soap 60 g", "Market stall")
    )
    row = sample().row("prices", product="Lavender whipped soap 60 g", channel="Market stall")
    shown = [f"{each:,.2f}" for each in (price["suggested"], row.floor_shown, row.cash_floor_shown)]
    shown += [f"{price[key]:,.2f}" for key in ("price", "contribution", "profit")]
    shown += [f"{price['margin']:.1%}", f"{price['pay_per_hour']:,.2f}", f"{price['per_100g']:,.2f}", "110"]
    lines = [re.split(" {2,}", line) for line in blocks["What it should sell for"]]
    assert ["Lavender whipped soap 60 g", "Market stall", *shown, "under the target"] in lines
    assert len(lines) == len(figures["prices"]) + 1
    assert list(blocks)[-1] == f"To check before you trust or sell ({len(cautions_told(sample().cautions))})"


def test_show_json_is_all_figures_as_one_object() -> None:
    result = run("show", SAMPLE, "--json")
    assert (result.exit_code, result.stderr) == (0, "")
    assert json.loads(result.stdout) == json.loads(json.dumps(costing.figures(sample())))


def test_show_leaves_out_what_a_season_does_not_have(own_sample: Path) -> None:
    for table in ("prices", "alternatives", "overheads"):
        (own_sample / f"{table}.csv").unlink()
    for subject in ("prices", "alternatives"):
        told = run("show", own_sample, subject).stdout
        assert told.count("\n\n") == 1
        assert told.endswith(f"\n\n{subject}: this season has none.\n")
    assert "Own or bought" not in run("show", own_sample, "--all").stdout
    assert json.loads(run("show", own_sample, "--json").stdout)["totals"]["break_even_share"] is None


def test_trace_shows_the_tub_its_parts_and_the_receipts() -> None:
    result = run("trace", SAMPLE, "Lavender whipped soap 120 g")
    assert (result.exit_code, result.stderr) == (0, "")
    assert "Lavender whipped soap 120 g" in result.stdout
    parts = re.findall(r"^  (\w+) +\d+\.\d{4}$", result.stdout, re.MULTILINE)
    assert parts == ["materials", "packaging", "work", "power", "unsold", "overheads"]
    assert "2026-08-12 Pindle and Rook Wholesale 22871: 211.00 landed for 18,228 g" in result.stdout


def test_trace_of_an_unknown_product_is_refused_with_the_nearest() -> None:
    result = run("trace", SAMPLE, "Lavender whipped soap 12 g")
    told = 'there is no product "Lavender whipped soap 12 g"; did you mean "Lavender whipped soap 120 g"?\n'
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", told)


# export


def test_export_writes_the_workbook_and_says_what_is_in_it(tmp_path: Path) -> None:
    target = tmp_path / "prices.xlsx"
    result = run("export", SAMPLE, "-o", target)
    told = f"Wrote {target}: 14 products. Checks: OK; to look at: {sample().looks.looks:g}.\n"
    assert (result.exit_code, result.stdout, result.stderr) == (0, told, "")
    assert load_workbook(target, read_only=True).sheetnames[0] == "At a glance"
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.parametrize("season", ["sample", "sample/", "./sample", "../{here}/sample"])
def test_export_names_the_file_after_the_season(season: str, own_sample: Path) -> None:
    result = run("export", season.format(here=own_sample.parent.name))
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.startswith("Wrote sample-prices.xlsx: ")
    assert {path.name for path in own_sample.parent.iterdir()} == {"sample", "sample-prices.xlsx"}


def test_export_of_the_folder_one_is_in_takes_its_name(own_sample: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(own_sample)
    assert run("export", ".").stdout.startswith("Wrote sample-prices.xlsx: ")
    assert (own_sample / "sample-prices.xlsx").is_file()


def test_export_refuses_a_file_that_is_there_until_told_to_replace_it_and_keeps_a_copy(tmp_path: Path) -> None:
    target = tmp_path / "prices.xlsx"
    target.write_bytes(b"the old file")
    result = run("export", SAMPLE, "-o", target)
    assert (result.exit_code, result.stdout) == (2, "")
    told = f"{target}: is there already; choose another name, or add --replace to write over it (a dated copy is kept)\n"
    assert result.stderr == told
    assert target.read_bytes() == b"the old file"
    result = run("export", SAMPLE, "--output", target, "--replace")
    (kept,) = set(tmp_path.iterdir()) - {target}
    assert (result.exit_code, result.stderr) == (0, "")
    assert [line.partition(":")[0] for line in result.stdout.splitlines()] == [
        f"Kept what was there as {kept}.",
        f"Wrote {target}",
    ]
    assert (target.read_bytes()[:2], kept.read_bytes()) == (b"PK", b"the old file")


def test_export_replaces_an_unedited_export_without_keeping_a_copy(tmp_path: Path) -> None:
    target = tmp_path / "prices.xlsx"
    run("export", SAMPLE, "-o", target)
    result = run("export", SAMPLE, "-o", target)
    told = f"{target}: is there already; choose another name, or add --replace to write over it\n"
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", told)
    result = run("export", SAMPLE, "-o", target, "--replace")
    assert (result.exit_code, result.stderr) == (0, "")
    assert list(tmp_path.iterdir()) == [target]


def test_export_refuses_a_folder_in_the_place_of_the_file(tmp_path: Path) -> None:
    result = run("export", SAMPLE, "-o", tmp_path, "--replace")
    told = f"{tmp_path}: is a folder; name a file to write\n"
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", told)


def test_export_into_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    target = tmp_path / "nowhere" / "prices.xlsx"
    result = run("export", SAMPLE, "-o", target)
    assert (result.exit_code, result.stdout) == (3, "")
    assert result.stderr.startswith(f"{target}: cannot be written (")
    assert list(tmp_path.iterdir()) == []


def test_texts_that_begin_like_formulas_arrive_in_the_workbook_as_texts(own_sample: Path) -> None:
    """A name or note from elsewhere must not run in the maker's spreadsheet program."""
    marker = 'HYPERLINK("http://example.org","look")'
    texts = [f"{sign}{marker}" for sign in "=+-@"]
    season, purchases, product, formula = ('"' + text.replace('"', '""') + '"' for text in texts)
    change(own_sample / "season.csv", '"Thistlewrack Soap Room, summer market season 2026/27"', season)
    change(own_sample / "purchases.csv", "metered town water", purchases)
    change(own_sample / "purchases.csv", "Pindle and Rook Wholesale", season)
    change(own_sample / "purchases.csv", "BM-1339", product)
    for table, text in (("products", product), ("formulas", formula), ("items", season), ("channels", product)):
        heading, first, *rest = (own_sample / f"{table}.csv").read_text(encoding="utf-8").splitlines()
        lines = [f"{heading},name", f"{first},{text}", *(f"{row}," for row in rest)]
        (own_sample / f"{table}.csv").write_text("\n".join(lines), encoding="utf-8")
    change(own_sample / "items.csv", "quote for 3000 at once", formula)
    result = run("export", own_sample, "-o", "prices.xlsx")
    assert (result.exit_code, result.stderr) == (0, "")
    cells = [
        cell
        for sheet in load_workbook("prices.xlsx").worksheets
        for row in sheet.iter_rows()
        for cell in row
        if marker in str(cell.value)
    ]
    assert {cell.data_type for cell in cells} == {"s"}
    assert {str(cell.value) for cell in cells} >= set(texts)
    formulas = [cell for sheet in load_workbook("prices.xlsx").worksheets for row in sheet.iter_rows() for cell in row]
    assert sum(cell.data_type == "f" for cell in formulas) > 1000


# As it is typed


def test_python_m_costing_speaks_on_stdout_and_ends_with_code_0() -> None:
    done = typed("check", "sample")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == run("check", SAMPLE).stdout


def test_python_m_costing_names_itself_costing_in_its_help() -> None:
    done = typed("trace", "--help")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Usage: costing trace [OPTIONS] SEASON PRODUCT\n")


def test_python_m_costing_tells_faults_on_stderr_and_ends_with_code_1(own_sample: Path) -> None:
    change(
        own_sample / "lines.csv",
        "Olive and lavender bar,blend,Olive oil,30.45,",
        "Olive and lavender bar,blend,Olive oil,27.45,",
    )
    done = typed("export", own_sample, "-o", own_sample.parent / "prices.xlsx", folder=own_sample)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.splitlines() == [
        "1 fault in the records; nothing was costed or written.",
        "  formulas.csv, row 2, formula: percentages of Olive and lavender bar add up to 97.00; "
        "make its lines in lines add up to 100 (+3.00 to go)",
    ]
    assert list(own_sample.parent.iterdir()) == [own_sample]


def test_python_m_costing_refuses_wrong_use_with_code_2(tmp_path: Path) -> None:
    done = typed("show", "nowhere", folder=tmp_path)
    told = "nowhere: is not there; name a season's folder or workbook, or make one with: costing start nowhere\n"
    assert (done.returncode, done.stdout, done.stderr) == (2, "", told)


def test_python_m_costing_exports_beside_whoever_calls_it(own_sample: Path) -> None:
    done = typed("export", "sample", folder=own_sample.parent)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Wrote sample-prices.xlsx: 14 products. Checks: OK; ")
    assert (own_sample.parent / "sample-prices.xlsx").read_bytes().startswith(b"PK")


@pytest.mark.parametrize("name", ["purchases.csv", "purchase.csv", "channels.csv"])
def test_an_export_onto_a_table_of_the_season_or_what_would_be_one_is_refused(name: str, tmp_path: Path) -> None:
    """Even with --replace: the folder would no longer be a season."""
    season = Path(shutil.copytree(SAMPLE, tmp_path / "season"))
    if name == "channels.csv":
        (season / name).unlink()
        season = SAMPLE
    before = {file.name: file.read_bytes() for file in (tmp_path / "season").iterdir() if file.is_file()}
    result = run("export", season, "-o", tmp_path / "season" / name, "--replace")
    told = f"{tmp_path / 'season' / name}: is no name for a workbook; let it end in .xlsx\n"
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", told)
    assert {file.name: file.read_bytes() for file in (tmp_path / "season").iterdir() if file.is_file()} == before


@pytest.mark.skipif(sys.platform == "win32", reason="programs are ended in another way there")
@pytest.mark.parametrize(
    ("sent", "code", "word"), [(signal.SIGINT, 130, "Interrupted"), (signal.SIGTERM, 143, "Terminated")], ids=["^C", "kill"]
)
def test_a_command_ended_from_outside_says_so_and_leaves_no_half_file(
    sent: signal.Signals, code: int, word: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The signal comes while the workbook goes to the disk; codes as in POSIX shells: 128 and the signal's number."""
    flush = os.fsync

    def ended(handle: int) -> None:
        flush(handle)
        os.kill(os.getpid(), sent)

    monkeypatch.setattr("os.fsync", ended)
    before = signal.signal(signal.SIGINT, signal.default_int_handler)  # ignored where the tests run in the background
    try:
        result = run("start", tmp_path / "fresh.xlsx", "--workbook")
    finally:
        signal.signal(signal.SIGINT, before)
    told = f"{word}; each file is as it was, or written whole. Run the command again to be sure.\n"
    assert (result.exit_code, result.stdout, result.stderr) == (code, "", told)
    assert list(tmp_path.iterdir()) == []


def test_a_start_cut_short_before_any_of_its_files_is_completed_by_the_same_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = tmp_path / "whole"
    run("start", whole)
    files = {file.name: file.read_bytes() for file in whole.iterdir()}
    write = write_atomically
    for last in range(len(files)):
        left = iter(range(last))

        def cut(path: Path, data: bytes, left: Iterator[int] = left) -> None:
            if next(left, None) is None:
                raise KeyboardInterrupt
            write(path, data)

        folder = tmp_path / f"after-{last}"
        folder.mkdir()  # one that is there is filled file by file
        with monkeypatch.context() as patch:
            patch.setattr(starting, "write_atomically", cut)
            assert run("start", folder).exit_code == 130
        assert len(list(folder.iterdir())) == last
        again = run("start", folder)
        assert (again.exit_code, again.stderr) == (0, "")
        assert {file.name: file.read_bytes() for file in folder.iterdir()} == files


def test_a_start_cut_short_is_not_completed_once_something_was_filled_in(tmp_path: Path) -> None:
    run("start", tmp_path)
    (tmp_path / "COLUMNS.txt").unlink()
    with (tmp_path / "items.csv").open("a", encoding="utf-8") as file:
        file.write("shea\n")
    result = run("start", tmp_path)
    assert result.exit_code == 2
    assert "items.csv" in result.stderr
    assert not (tmp_path / "COLUMNS.txt").exists()
