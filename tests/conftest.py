"""What all tests share: how hard the laws are tried, and the sample season costed and exported once."""

from __future__ import annotations

import gc
import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings

import costing
from tests.seasons import SAMPLE

# Costing a season takes longer than hypothesis likes an example to take.
settings.register_profile(
    "ci", derandomize=True, deadline=None, max_examples=10, database=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("dev", deadline=None, max_examples=200, suppress_health_check=[HealthCheck.too_slow])
# For mutants: whether a law fails at all, not the smallest season in which it does.
settings.register_profile("short", settings.get_profile("ci"), max_examples=4, phases=(Phase.explicit, Phase.generate))
# Workbooks are a million small objects without circles: looking for circles among them takes a fifth of the time.
gc.set_threshold(200_000, 50, 50)

settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let the long tests be asked for."""
    parser.addoption("--long", action="store_true", help="also run what takes too long for every change")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave long tests out unless asked for; let slow files come first, so that at the end no processor waits."""
    left_out = [] if config.getoption("--long") else [item for item in items if item.get_closest_marker("long")]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item.get_closest_marker("long") is None]
    items.sort(key=lambda item: item.get_closest_marker("slow") is None)


@pytest.fixture(scope="session")
def sample_season() -> costing.Season:
    """Return the sample season, costed."""
    return costing.cost(costing.read_season(SAMPLE))


@pytest.fixture(scope="session")
def sample_book(sample_season: costing.Season, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return where the workbook of the sample season was exported to, with every sheet in sight."""
    path = tmp_path_factory.mktemp("sample") / "sample.xlsx"
    costing.export(sample_season, path, all_sheets=True)
    return path


@pytest.fixture(scope="session")
def default_book(sample_season: costing.Season, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return where the sample was exported to as it is without any option."""
    return costing.export(sample_season, tmp_path_factory.mktemp("default") / "book.xlsx").path


@pytest.fixture(scope="session")
def since_book(sample_season: costing.Season, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return where the same was exported to with the sheet that compares it with last season: all that a book may hold."""
    path = tmp_path_factory.mktemp("since") / "since.xlsx"
    last = costing.cost(costing.read_season(SAMPLE / "last-season"))
    costing.export(sample_season, path, since=costing.compare(last, sample_season), all_sheets=True)
    return path
