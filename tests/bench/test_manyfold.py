"""The season that timings are taken on is the sample twice over."""

from __future__ import annotations

from pathlib import Path

import pytest

import costing
from tests.bench.manyfold import manyfold
from tests.seasons import SAMPLE


@pytest.mark.slow
def test_twice_the_sample_brings_in_twice_as_much(sample_season: costing.Season, tmp_path: Path) -> None:
    """Each copy costs what the first does: the same receipts, plan and overheads stand there twice."""
    manyfold(SAMPLE, tmp_path / "twice", 2)
    once, twice = (
        costing.figures(season) for season in (sample_season, costing.cost(costing.read_season(tmp_path / "twice")))
    )
    assert twice["totals"]["revenue"] == pytest.approx(2 * once["totals"]["revenue"], rel=1e-9)
    assert twice["totals"]["cost"] == pytest.approx(2 * once["totals"]["cost"], rel=1e-9)
