"""Broken seasons end costed, or with a fault or refusal that names the place: no traceback, no hang, nothing written.

A hundred and more here; ``python -m tests.hostile --count 5000`` is the long run. What failed there once is in the corpus.
"""

from __future__ import annotations

import faulthandler
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.hostile.__main__ import tried
from tests.hostile.corpus import CORPUS, Once
from tests.hostile.mutations import mutated
from tests.hostile.sources import SOURCES, written_folder
from tests.hostile.verdict import LONGEST, check_commands, verdict

pytestmark = pytest.mark.slow

SEED, BATCHES, IN_A_BATCH = 20261125, 4, 30


@pytest.fixture(autouse=True)
def _no_hang() -> Iterator[None]:
    """End the whole run, and tell where, should anything hang for much longer than it may."""
    faulthandler.dump_traceback_later(60 * LONGEST, exit=True)
    yield
    faulthandler.cancel_dump_traceback_later()


@pytest.mark.parametrize("batch", range(BATCHES))
def test_a_broken_season_is_costed_or_told_with_its_place(batch: int, tmp_path: Path) -> None:
    for number in range(batch * IN_A_BATCH, (batch + 1) * IN_A_BATCH):
        place = tmp_path / str(number)
        place.mkdir()
        broken = mutated(SEED, number)
        try:
            tried(broken.write(place), number)
        except Exception as error:
            error.add_note(f"seed {SEED} number {number}: {'; '.join(broken.told)}")
            raise


def test_the_same_seed_and_number_break_the_same_season_alike() -> None:
    for number in (0, 13, 17, 19):
        assert mutated(SEED, number) == mutated(SEED, number)
    assert mutated(SEED, 0) != mutated(SEED + 1, 0)


def test_the_seasons_that_are_broken_are_whole_before(tmp_path: Path) -> None:
    for source in range(SOURCES):
        place = tmp_path / str(source)
        place.mkdir()
        assert verdict(written_folder(place, source), workbook=True) == "costed"


def test_seasons_are_broken_in_ways_that_end_in_everything_that_can_come_of_it(tmp_path: Path) -> None:
    ends: Counter[str] = Counter()
    for number in range(20):
        place = tmp_path / str(number)
        place.mkdir()
        ends[verdict(mutated(1, number).write(place))] += 1
    assert set(ends) == {"costed", "faults", "refused"}


@pytest.mark.parametrize("once", CORPUS, ids=lambda once: once.about)
def test_what_failed_once_ends_as_it_should(once: Once, tmp_path: Path) -> None:
    path = once.write(tmp_path)
    assert verdict(path, workbook=True) == once.ends
    check_commands(path, once.ends)
