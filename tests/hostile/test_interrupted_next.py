"""Making the next season ends at whichever call: it is whole or not there, the old one as it was, and a new try makes it."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from unittest.mock import patch

import pytest

import costing
from costing.exchange import next_season as making
from costing.exchange import season_files
from costing.folder.left_over import PARTS
from costing.season.comparable import normal_tables
from tests.hostile.harm import Killed, full, harmed
from tests.small_season import small_folder

pytestmark = pytest.mark.slow

LATER = date(2027, 5, 1)
ENDINGS = {"killed": Killed, "out of space": full, "interrupted": KeyboardInterrupt}
ends = pytest.mark.parametrize("ending", ENDINGS.values(), ids=list(ENDINGS))


def held(folder: Path) -> dict[str, bytes]:
    """Return what a folder holds."""
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def check_told(ended: BaseException | None, *says: str) -> None:
    """Check that trouble is told with its reason, and a place that is taken as such."""
    if isinstance(ended, costing.FileTrouble):
        assert os.strerror(full().errno or 0) in str(ended)
        assert any(text in str(ended) for text in says), str(ended)
    elif isinstance(ended, costing.Refusal):
        assert "is there already" in str(ended)
    else:
        assert ended is None or isinstance(ended, Killed | KeyboardInterrupt), repr(ended)


def once_more(work: Callable[[], object]) -> None:
    """Do it again: it is made now, or was made already."""
    try:
        work()
    except costing.Refusal as error:
        assert "is there already" in str(error)  # there may be none


@pytest.fixture(autouse=True)
def worked_out_once() -> Iterator[None]:
    """Seasons are understood and costed once: no file is touched while that is done."""
    known: dict[str, costing.Season] = {}
    understood: dict[frozenset[tuple[str, bytes]], costing.SeasonRecords] = {}
    understand = season_files.Source.records

    def records(source: season_files.Source) -> costing.SeasonRecords:
        files = frozenset(source.files.items())
        if files not in understood:
            understood[files] = understand(source)
        return understood[files]

    def cost(records: costing.SeasonRecords) -> costing.Season:
        key = json.dumps(normal_tables(records))
        return known.setdefault(key, known.get(key) or costing.cost(records))

    with patch.object(making, "cost", cost), patch.object(season_files.Source, "records", records):
        yield


@pytest.mark.parametrize(
    ("ending", "there"),
    [*((ending, "nothing") for ending in ENDINGS.values()), (Killed, "an empty folder")],
    ids=[*ENDINGS, "killed, an empty folder there"],
)
def test_a_folder_is_whole_or_not_there_and_the_same_command_makes_it(
    ending: Callable[[], BaseException], there: str, tmp_path: Path
) -> None:
    old, new = small_folder(tmp_path / "old"), tmp_path / "home" / "new"
    before = held(old)
    costing.next_season(old, tmp_path / "model", LATER)
    model, calls = held(tmp_path / "model"), list[str]()
    for at in range(1, 500):
        if there == "an empty folder":
            new.mkdir(parents=True)
        for _ in range(2):
            call, ended = harmed(lambda: costing.next_season(old, new, LATER), at, ending())
            calls.append(call)
            assert not new.exists() or held(new) in (model, {})
            assert held(old) == before
            check_told(ended, "cannot be made")
        once_more(lambda: costing.next_season(old, new, LATER))
        assert held(new) == model
        assert [file for file in tmp_path.rglob("*") if PARTS.fullmatch(file.name)] == []
        shutil.rmtree(new.parent)
        if not calls[-2]:
            break
    assert set(calls) >= {"open", "write", "flush", "fsync", "mkdir", "rename"}
    assert at > 3 * len(model)


@ends
def test_a_workbook_is_whole_or_not_there_and_the_same_command_makes_it(
    ending: Callable[[], BaseException], tmp_path: Path
) -> None:
    """Drawing the workbook is left out: no file is touched while it is done."""
    old, new = small_folder(tmp_path / "old"), tmp_path / "home" / "new.xlsx"
    before, book, calls = held(old), b"the workbook, every byte of it" * 9, list[str]()
    new.parent.mkdir()
    with patch.object(season_files, "workbook_bytes", lambda *_: book):
        for at in range(1, 200):
            for _ in range(2):
                call, ended = harmed(lambda: costing.next_season(old, new, LATER), at, ending())
                calls.append(call)
                assert not new.exists() or new.read_bytes() == book
                assert held(old) == before
                check_told(ended, "cannot be written")
            once_more(lambda: costing.next_season(old, new, LATER))
            assert {name: data for name, data in held(new.parent).items() if not PARTS.fullmatch(name)} == {new.name: book}
            new.unlink()
            if not calls[-2]:
                break
    assert set(calls) >= {"open", "write", "flush", "fsync", "link"}
