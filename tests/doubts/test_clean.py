"""Seasons with nothing wrong in them: at most two doubts each, whatever their language, size and habits."""

from __future__ import annotations

import pytest

import costing
from tests.doubts.small import SEASONS, told
from tests.doubts.varied import varied
from tests.seasons import SAMPLE, Tables, as_records, random_season, seeded

MOST = 2


@pytest.mark.parametrize("season", ["first_bars", "seifenwinkel"])
def test_clean_seasons_have_hardly_a_doubt(season: str) -> None:
    """One of a first batch, bought in five rows; one in German, in two currencies, cream and heavy scrub in one jar."""
    assert len(told(costing.cost(costing.read_season(SEASONS / season)))) <= MOST


@pytest.mark.parametrize("season", ["fall_fairs", "wintermarkt"])
def test_one_bar_dries_and_pounds_may_be_the_habit(season: str) -> None:
    """One bar, soap whipped from it and a scrub: in pounds and ounces by an American, in kilograms by a German maker."""
    assert told(costing.cost(costing.read_season(SEASONS / season))) == []


def test_the_sample_and_its_last_season_have_hardly_a_doubt(sample_season: costing.Season) -> None:
    """A warning for nothing costs the next one its reader."""
    assert len(told(sample_season)) <= MOST
    assert len(told(costing.cost(costing.read_season(SAMPLE / "last-season")))) <= MOST


def test_the_order_of_rows_changes_no_doubt() -> None:
    """What is doubted of a season is doubted of it with every table's rows turned round; steps keep their order."""
    for seed in range(3):
        tables = random_season(seeded(seed))
        kept = ("season", "steps", "lines")
        turned = {name: rows if name in kept else rows[::-1] for name, rows in tables.items()}
        assert _places(turned) == _places(tables) != []


def _places(tables: Tables) -> list[str]:
    return sorted(each.split(": ")[0] for each in told(costing.cost(as_records(tables))))


@pytest.mark.parametrize("seed", range(5))
def test_other_makers_prices_speeds_and_plans_are_not_doubted(seed: int) -> None:
    """The workshop's season with every figure another, within what makers do."""
    assert len(told(varied(seeded(seed)))) <= MOST
