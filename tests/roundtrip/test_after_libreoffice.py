"""Exported workbooks that LibreOffice opened and saved: the same records, the same figures, and still known as exports."""

from __future__ import annotations

from pathlib import Path

import pytest

import costing
from costing.exchange.carrying import plan_carrying
from costing.exchange.season_files import open_season
from tests.laws.alike import unlike
from tests.roundtrip.makers import SAMPLE, changes, saved_by_libreoffice, with_odd_texts, write_folder
from tests.seasons import random_season, seeded

pytestmark = pytest.mark.slow

SEEDS = range(100, 102)
NAMES = ("sample", *(f"random-{seed}" for seed in SEEDS))


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Return the folders of the sample and of six random seasons, with odd texts in half of them."""
    scratch = tmp_path_factory.mktemp("seasons")
    found = {"sample": SAMPLE}
    for seed in SEEDS:
        random = seeded(seed)
        tables = random_season(random)
        found[f"random-{seed}"] = write_folder(scratch / f"{seed}", with_odd_texts(tables, random) if seed % 2 else tables)
    return found


@pytest.fixture(scope="module")
def saved(folders: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Return each season's workbook as LibreOffice saved it, all in one start of the program."""
    scratch = tmp_path_factory.mktemp("saved")
    for name, folder in folders.items():
        costing.export(costing.cost(costing.read_season(folder)), scratch / f"{name}.xlsx")
    return dict(zip(folders, saved_by_libreoffice(scratch, *(scratch / f"{name}.xlsx" for name in folders)), strict=True))


@pytest.mark.parametrize("name", NAMES)
def test_records_and_figures_come_through_libreoffice(
    name: str, folders: dict[str, Path], saved: dict[str, Path], tmp_path: Path
) -> None:
    records = costing.read_season(folders[name])
    source = open_season(saved[name])
    again = source.records()
    assert (changes(records, again), source.notices) == ([], [])
    figures = costing.figures(costing.cost(again))
    assert list(unlike(costing.figures(costing.cost(records)), figures)) == []
    costing.export(costing.cost(again), tmp_path / "second.xlsx")
    second = costing.read_season(tmp_path / "second.xlsx")
    assert changes(again, second) == []
    assert list(unlike(figures, costing.figures(costing.cost(second)))) == []


@pytest.mark.parametrize("name", NAMES)
def test_libreoffice_alone_leaves_nothing_to_carry(name: str, folders: dict[str, Path], saved: dict[str, Path]) -> None:
    """The workbook is still known as an export of these records, in which nothing was edited."""
    planned = plan_carrying(saved[name], folders[name])
    assert (planned.changes, planned.conflicts, planned.differing) == ((), (), 0)
