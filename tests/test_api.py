"""What ``import costing`` offers: each thing the command line does in a few lines, errors as documented, readable looks."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import costing
from costing import public

ROOT = Path(__file__).parents[1]
SAMPLE = ROOT / "sample"


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """Return a copy of the sample whose lines name an item that nobody bought."""
    folder = Path(shutil.copytree(SAMPLE, tmp_path / "broken"))
    lines = folder / "lines.csv"
    lines.write_text(lines.read_text(encoding="utf-8").replace("Glycerin", "glycerinn"), encoding="utf-8")
    return folder


def test_every_name_offered_is_there_and_a_star_brings_them_all() -> None:
    brought: dict[str, object] = {}
    exec("from costing import *", brought)  # noqa: S102  # how else would a star be tried
    offered = {name for name in vars(public) if not name.startswith("_")}
    assert offered >= {"read_season", "check", "cost", "figures", "trace", "compare", "start_folder", "export", "carry"}
    assert offered == set(dir(costing)) == set(brought) - {"__builtins__"}
    assert all(getattr(costing, name) is getattr(public, name) for name in offered)


def test_a_name_that_is_not_offered_is_an_attribute_error() -> None:
    """As for any module: hasattr and the import statement rely on it."""
    assert not hasattr(costing, "kost")
    with pytest.raises(ImportError, match="cannot import name 'kost'"):
        exec("from costing import kost")  # noqa: S102  # a type checker refuses the line itself


def test_importing_costing_alone_brings_in_no_other_package() -> None:
    """So that ``costing --help`` does not wait for what it does not use."""
    asked = "import sys, costing; print([name for name in ('openpyxl', 'pint', 'pydantic', 'click') if name in sys.modules])"
    run = subprocess.run(
        [sys.executable, "-c", asked], cwd=ROOT, env=os.environ | {"PYTHONPATH": str(ROOT)}, capture_output=True, text=True,
        check=True,
    )  # fmt: skip
    assert run.stdout == "[]\n"


def test_a_type_checker_knows_every_name_and_refuses_others(tmp_path: Path) -> None:
    asking = tmp_path / "asking.py"
    asking.write_text(
        "import costing\n\n"
        "season = costing.cost(costing.read_season('sample'))\n"
        "reveal_type(season)\n"
        "reveal_type(costing.check('sample').faults)\n"
        "costing.kost\n",
        encoding="utf-8",
    )
    options = ("--strict", "--config-file=", f"--cache-dir={tmp_path}", "--no-error-summary")
    run = subprocess.run(
        [sys.executable, "-m", "mypy", *options, asking],
        cwd=ROOT, capture_output=True, text=True,
        check=False,
    )  # fmt: skip
    said = [line.split(": ", 1)[1] for line in run.stdout.splitlines() if line.startswith(str(asking))]
    assert said == [
        'note: Revealed type is "costing.season.costed.Season"',
        'note: Revealed type is "tuple[costing.errors.Fault, ...]"',
        'error: Module has no attribute "kost"  [attr-defined]',
    ]


def test_checking_tells_faults_without_raising(broken: Path) -> None:
    checked = costing.check(broken)
    assert checked.season is None
    assert checked.cautions == ()
    records = costing.read_season(broken)  # each table is sound: only together are they wrong
    with pytest.raises(costing.Faults) as raised:
        costing.cost(records)
    assert checked.faults == raised.value.faults
    assert {fault.do for fault in checked.faults} == {'write it in purchases or formulas; did you mean "Glycerin"?'}


def test_checking_a_season_without_faults_costs_it(sample_season: costing.Season) -> None:
    checked = costing.check(str(SAMPLE))
    assert checked.season is not None
    assert checked.faults == ()
    assert checked.cautions == sample_season.cautions != ()
    assert checked.season.products.rows[0].total == sample_season.products.rows[0].total
    assert [line.split(":")[0] for line in checked.how] == [file.name for file in sorted(SAMPLE.glob("*.csv"))]


def test_what_the_command_line_does_takes_a_line_or_two_each(tmp_path: Path) -> None:
    """Start, read, cost, export, and carry an untouched workbook back: nothing to carry."""
    started = costing.start_folder(str(tmp_path / "fresh"))
    assert {path.name for path in started} >= {"purchases.csv", "COLUMNS.txt"}
    assert costing.start_workbook(str(tmp_path / "fresh")).name == "fresh.xlsx"

    season = costing.cost(costing.read_season(str(SAMPLE)))
    old = costing.cost(costing.read_season(str(SAMPLE / "last-season")))
    written = costing.export(season, str(tmp_path / "book.xlsx"), since=costing.compare(old, season))
    assert (written.path, written.kept) == (tmp_path / "book.xlsx", None)

    folder = shutil.copytree(SAMPLE, tmp_path / "season")
    planned = costing.plan_carrying(str(written.path), str(folder))
    assert (planned.changes, planned.conflicts) == ((), ())
    assert costing.carry(planned) == []


@pytest.mark.parametrize(
    ("table", "key", "said"),
    [
        ("prodcuts", {"product": "Pink clay whipped soap 120 g"}, 'there is no table "prodcuts"; did you mean "products"?'),
        ("settings", {"key": "hourly_rate"}, 'there is no table "settings"; known here: alternatives, '),
        ("products", {"prodct": "Pink clay whipped soap 120 g"}, 'products has no column "prodct"; did you mean "product"?'),
        (
            "products", {"product": "Pink clay whipped soap 12 g"},
            'products has no row with product "Pink clay whipped soap 12 g"; did you mean ',
        ),
        (
            "channels", {"channel": "Market stal"},
            'channels has no row with channel "Market stal"; did you mean "Market stall"?',
        ),
    ],
)  # fmt: skip
def test_a_row_that_is_not_there_is_told_with_the_nearest(
    sample_season: costing.Season, table: str, key: dict[str, str], said: str
) -> None:
    with pytest.raises(costing.Unknown) as raised:
        sample_season.row(table, **key)
    assert str(raised.value).startswith(said)
    assert isinstance(raised.value, (costing.CostingError, KeyError))


def test_an_unknown_table_by_attribute_is_told_with_the_nearest(sample_season: costing.Season) -> None:
    with pytest.raises(AttributeError, match='there is no table prodcuts; did you mean "products"'):
        _ = sample_season.prodcuts


def test_what_is_looked_at_says_what_it_is(sample_season: costing.Season) -> None:
    records = sample_season.records
    named = f"<{records.season.name!r}, priced on 2026-11-01: "
    counts = f"{len(records.purchases)} purchases, {len(records.formulas)} formulas, 14 products>"
    assert repr(records) == named + counts
    assert repr(sample_season) == f"<Season of {records!r}, {len(sample_season.cautions)} cautions>"
    assert repr(records.products) == "<14 records from products.csv>"
    assert repr(sample_season.products).startswith("<products: 14 rows of ")
    row = sample_season.row("prices", product="Pink clay whipped soap 120 g", channel="Market stall")
    assert repr(row).endswith(" of prices: product='Pink clay whipped soap 120 g', channel='Market stall'>")
    assert repr(sample_season.settings) == f"<settings: {len(sample_season.settings.figures.entries)} figures>"
    assert repr(records.channels.records[0]).startswith("Channel(channel=")
