"""Two different commands write under one name, the second at any call of the first: one is told, the other is whole."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path
from unittest.mock import patch

import pytest

import costing
from costing.exchange import next_season as making
from costing.exchange import season_files, starting
from costing.folder.left_over import PARTS
from costing.records.schema import RECORD_TABLES
from tests.hostile.harm import Harm
from tests.small_season import small_folder

pytestmark = pytest.mark.slow

Work = Callable[[], object]
EXPORTED, BLANK = b"an exported workbook" * 9, b"a workbook to fill in" * 9


def told_by(works: tuple[Work, Work], at: int) -> tuple[bool, list[str]]:
    """Do the second work at some call of the first; return whether there are so many calls, and what each was told."""
    told = ["", ""]

    def tried(which: int) -> None:
        try:
            works[which]()
        except costing.Refusal as error:
            told[which] = str(error)

    harm = Harm(at, meanwhile=lambda: tried(1))
    with harm.at_work():
        tried(0)
    return bool(harm.harmed), told


def check_each_call(
    works: tuple[Work, Work], wanted: tuple[object, object], place: Path, held: Callable[[], object]
) -> None:
    """Check for every call of the first work that one of the two is told, and what the other made stands whole."""
    at = 0
    while True:
        at += 1
        shutil.rmtree(place, ignore_errors=True)
        place.mkdir()
        met, told = told_by(works, at)
        if not met:
            break
        assert sorted(bool(each) for each in told) == [False, True], told
        assert held() == wanted[told.index("")]
        assert [file for file in place.rglob("*") if PARTS.fullmatch(file.name)] == []
    assert at > 5


@pytest.mark.parametrize("turned", [False, True], ids=["start first", "next first"])
def test_a_start_and_a_next_season_under_one_name(tmp_path: Path, *, turned: bool) -> None:
    old, new = small_folder(tmp_path / "old"), tmp_path / "home" / "new"
    season = costing.cost(costing.read_season(old))

    def held() -> object:
        return {file.name: file.read_bytes() for file in new.iterdir()}

    works = (lambda: starting.start_folder(new), lambda: costing.next_season(old, new, date(2027, 5, 1)))
    wanted = []
    with patch.object(making, "cost", lambda _: season), patch.object(starting, "RECORD_TABLES", RECORD_TABLES[:2]):
        for work in works:
            shutil.rmtree(new.parent, ignore_errors=True)
            new.parent.mkdir()
            work()
            wanted.append(held())
        order = (1, 0) if turned else (0, 1)
        pair, both = (works[order[0]], works[order[1]]), (wanted[order[0]], wanted[order[1]])
        check_each_call(pair, both, new.parent, held)


@pytest.mark.parametrize("turned", [False, True], ids=["export first", "start first"])
def test_an_export_and_a_workbook_to_fill_in_under_one_name(tmp_path: Path, *, turned: bool) -> None:
    target = tmp_path / "home" / "prices.xlsx"
    season = costing.cost(costing.read_season(small_folder(tmp_path / "season")))
    works: list[Work] = [lambda: costing.export(season, target), lambda: starting.start_workbook(target)]
    wanted = [EXPORTED, BLANK]
    if turned:
        works, wanted = works[::-1], wanted[::-1]
    with (
        patch.object(season_files, "workbook_bytes", lambda *_: EXPORTED),
        patch.object(starting, "blank_workbook", lambda: BLANK),
    ):
        check_each_call((works[0], works[1]), (wanted[0], wanted[1]), target.parent, target.read_bytes)
