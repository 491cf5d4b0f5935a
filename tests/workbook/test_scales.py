"""The scales in the workbook: LibreOffice works out the same, and the records come back as they were."""

from __future__ import annotations

from pathlib import Path
from random import Random
from string import ascii_uppercase
from typing import Any

import openpyxl
import pytest

import costing
from costing.engine import operations
from costing.engine.ranges import Store, Values
from costing.season.comparable import normal_tables
from tests.seasons import as_records, random_season, seeded
from tests.workbook.libreoffice import differences, recalculated

pytestmark = pytest.mark.slow

op: Any = operations  # as a table of operations, not as the signatures that rules see

SHEETS = ("Weighings", "Fill", "Batches", "Batch lines")
TABLES = ("weighings", "batches", "batch_lines")


def with_scales(seed: int) -> Any:
    """Return a random season that has weighings and batches, ruined ones among them."""
    random = seeded(seed)
    while True:
        records = as_records(random_season(random))
        ruined = [row for row in records.batches if not row.grams_out]
        if len(records.weighings) > 20 and ruined and len(ruined) < len(records.batches):
            return records


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> tuple[Any, Path]:
    """Return a random season with its workbook; the sample's scales are worked out anew with the whole of its workbook."""
    records, path = with_scales(1), tmp_path_factory.mktemp("scales") / "scales.xlsx"
    costing.export(costing.cost(records), path, all_sheets=True)
    return records, path


def test_libreoffice_works_out_the_same(exported: tuple[Any, Path]) -> None:
    """Not one formula cell differs, and the four sheets hold results."""
    path = exported[1]
    anew = recalculated(path)[0]
    count, unlike = differences(path, anew)
    assert count > 5000
    assert unlike == []
    for sheet in SHEETS:
        assert (
            sum(bool(cell.value) for place, cell in anew.cells[sheet].items() if place.lstrip(ascii_uppercase) in "67") > 8
        ), sheet


def test_what_was_weighed_and_made_comes_back(exported: tuple[Any, Path], sample_season: Any, sample_book: Path) -> None:
    """The records read back from a workbook are those it was written from."""
    for records, path in (exported, (sample_season.records, sample_book)):
        before, after = normal_tables(records), normal_tables(costing.read_season(path))
        for table in TABLES:
            assert len(before[table]) > 0
            assert after[table] == before[table]


def test_weighings_and_batches_typed_into_the_workbook_count(exported: list[tuple[Any, Path]], tmp_path: Path) -> None:
    """A tub and a batch typed into free rows of a workbook without any are worked out there, and read back."""
    tables = random_season(seeded(3)) | {name: [] for name in TABLES}
    records = as_records(tables)
    empty, edited = tmp_path / "empty.xlsx", tmp_path / "edited.xlsx"
    costing.export(costing.cost(records), empty, all_sheets=True)
    book = openpyxl.load_workbook(empty)
    product, formula = records.products.records[0].product, "shreds"
    line = next(line for line in records.lines if line.formula == formula)
    day = records.season.priced_on
    typed: tuple[tuple[str, tuple[Any, ...]], ...] = (
        ("Weighings", (product, day, 321, 21)),
        ("Batches", ("typed", formula, day, 90, 10)),
        ("Batch lines", ("typed", line.item, line.step, 100)),
    )
    for sheet, cells in typed:
        for at, value in enumerate(cells, start=1):
            book[sheet].cell(6, at, value)
    book.save(edited)
    anew = recalculated(edited)[0].with_only(*SHEETS)
    season = costing.cost(costing.read_season(edited))
    for sheet, key in (("Weighings", "weighings"), ("Batches", "batches"), ("Batch lines", "batch_lines")):
        filled = getattr(season, key)
        assert len(filled.rows) == 1
        for at, column in enumerate(filled.table.columns.values(), start=1):
            if column.unit not in ("text", "day"):
                theirs = anew[sheet].cell(6, at).value or 0
                assert getattr(filled.rows[0], column.key) == pytest.approx(theirs, rel=1e-9, abs=1e-9), column.name
    assert season.row("fills", product=product).mean == 300
    assert season.row("batches", batch="typed").loss == pytest.approx(0.1)


def test_new_operations_mean_the_same_in_a_sheet(tmp_path: Path) -> None:
    """SQRT, the last step reached, and the largest up to a limit: Python and LibreOffice agree, at edges too."""
    random = Random(4)  # noqa: S311  # the same every time is what tests want
    steps = [0, 5, 50, 100.5, 1000]
    keys = [random.choice("abAB") for _ in steps]
    values = [random.randrange(1, 60) for _ in steps]
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    columns: tuple[list[Any], ...] = (steps, keys, values)
    for column, cells in enumerate(columns, start=1):
        for at, cell in enumerate(cells, start=1):
            sheet.cell(at, column).value = cell
    ranges = {name: f"{letter}$1:{letter}${len(steps)}" for name, letter in (("steps", "A"), ("keys", "B"), ("values", "C"))}
    cases: list[tuple[str, float]] = [(f"SQRT({x!r})", op.root(x)) for x in (0, 2, 0.25, 1e-7, 12_345.678)]
    stores = {}
    for name, listed in (("steps", steps), ("keys", keys), ("values", values)):
        stores[name] = Store()
        stores[name].values = [*listed]
    whole = {name: Values(store) for name, store in stores.items()}
    for reached in (0, 4.999, 5, 49, 50, 100.5, 999, 1000, 5000):
        formula = op.at_step.template.format(ranges["values"], ranges["steps"], repr(reached))
        cases.append((formula, op.at_step.work_out(whole["values"], whole["steps"], reached)))
    for key in ("a", "B", "none"):
        for limit in (0, *values, 100):
            formula = op.largest_until.template.format(ranges["values"], ranges["keys"], f'"{key}"', limit)
            cases.append((formula, op.largest_until.work_out(whole["values"], whole["keys"], key, limit)))
    for at, (formula, _) in enumerate(cases, start=1):
        sheet.cell(at, 5, f"={formula}")
    path = tmp_path / "operations.xlsx"
    book.save(path)
    anew = recalculated(path)[0].book.worksheets[0]
    for at, (formula, ours) in enumerate(cases, start=1):
        assert anew.cell(at, 5).value == pytest.approx(ours, rel=1e-12), formula
