"""The packer's rules: tolerable shortfalls, factors of the mean test, and what they make of weighings.

Figures: Directive 76/211/EEC Annex I 2.4 as read (rows to 1,000 g); UK SI 2000/388 Schedule 5 (rows above);
UK SI 2006/659 Schedule 2 (mean test). That percentages go up to the next 0.1 g is from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from statistics import NormalDist, stdev
from typing import Any

import pytest

import costing
from costing.tables.settings import SETTINGS
from tests.published.closeness import exactly, printed
from tests.published.seasons import DAY, bought, costed, line, product


def weighed(label: float, nets: Sequence[float], *, tare: float = 50, **more: Any) -> Any:
    """Return the row of Fill for a product of which tubs were weighed."""
    rows = [{"product": "tub", "weighed_on": DAY, "gross_grams": f"{net + tare:.4f}", "tare_grams": tare} for net in nets]
    season = costed(products=[product("tub", "filling", label, **more)], weighings=rows)
    return season.row("fills", product="tub")


@pytest.mark.parametrize(
    ("label", "shortfall", "less_one", "less_two"),
    [
        (25, 2.3, 22.7, 20.4),
        (50, 4.5, 45.5, 41.0),
        (75, 4.5, 70.5, 66.0),
        (100, 4.5, 95.5, 91.0),
        (110, 5.0, 105.0, 100.0),
        (120, 5.4, 114.6, 109.2),
        (150, 6.8, 143.2, 136.4),
        (200, 9.0, 191.0, 182.0),
        (250, 9.0, 241.0, 232.0),
        (400, 12.0, 388.0, 376.0),
        (500, 15.0, 485.0, 470.0),
        (1000, 15.0, 985.0, 970.0),
        (2000, 30.0, 1970.0, 1940.0),
        (10_000, 150.0, 9850.0, 9700.0),
        (15_000, 150.0, 14_850.0, 14_700.0),
    ],
)
def test_tolerable_shortfall_of_a_label(label: float, shortfall: float, less_one: float, less_two: float) -> None:
    """A tub at the label less the shortfall is not short, a hair less is; the same at twice the shortfall.

    Bands as in the heading of this file; 25, 110 and 150 g are rounded up to the next tenth (from memory).
    """
    row = weighed(label, [less_one, less_one - 0.001, less_two, less_two - 0.001])
    assert row.tolerable_grams == exactly(shortfall)
    assert (row.short, row.far_short) == (3, 1)


@pytest.mark.parametrize(
    ("number", "factor", "by_student"), [(20, 0.640, 0.6397), (30, 0.503, 0.5032), (50, 0.379, 0.3790), (19, 0, 0)]
)
def test_mean_test_takes_the_factor_of_the_number_weighed(number: int, factor: float, by_student: float) -> None:
    """The mean may lie k spreads under the label. UK SI 2006/659 Schedule 2 paragraph 4, printed.

    Beside it Student's t at 99.5 % over the root of the number, computed. Fewer than 20 fill no plan: no spread is let pass.
    """
    assert factor == printed(by_student, 3)
    nets = [100 + (1 if at % 2 else -1) for at in range(number)]
    row = weighed(100, nets)
    assert row.mean_needed == exactly(100 - factor * stdev(nets))


@pytest.mark.parametrize(
    ("nets", "remark"),
    [
        ([100] * 39 + [95.4], "mean under the label"),
        ([101] * 39 + [95.4], ""),
        ([101] * 38 + [95.4], "more than 1 in 40 short"),
        ([101] * 77 + [95.4, 95.4], "more than 1 in 40 short"),
        ([101] * 78 + [95.4, 95.4], ""),
        ([102] * 99 + [90.9], "one far short"),
        ([98.9, 99.1] * 20, "mean fails the test"),
        ([99, 100.9] * 20, "mean under the label"),
        ([99] * 10, "mean under the label"),
        ([100] * 3, ""),
    ],
)
def test_the_three_rules(nets: list[float], remark: str) -> None:
    """Mean not under 100 g; at most 1 in 40 under 95.5 g; none under 91 g. Directive 76/211/EEC Annex I 1, read."""
    assert weighed(100, nets).remark.strip() == remark


def test_spreads_of_one_in_forty_and_one_in_ten_thousand() -> None:
    """The fixed figures are the quantiles of the normal distribution, computed by Python's statistics."""
    fixed = SETTINGS.entries
    assert fixed["short_spreads"].fixed == exactly(NormalDist().inv_cdf(1 - 1 / 40))
    assert fixed["far_short_spreads"].fixed == exactly(NormalDist().inv_cdf(1 - 1 / 10_000))


def test_giveaway_counts_what_is_lost_while_filling() -> None:
    """3 g above the label, a gram at 0.02, a fifth lost while filling: 3 / 0.8 × 0.02 = 0.075, computed."""
    season = costed(
        purchases=[bought("stuff", 20, size=1, unit="kg")],
        lines=[line("mix", "stuff", 1000)],
        products=[product("tub", "mix", 102, label_grams=100, waste_percent=20)],
        prices=[{"product": "tub", "channel": "stall", "planned": 40}],
        weighings=[{"product": "tub", "weighed_on": DAY, "gross_grams": 103 + off} for off in (-1, 0, 1)],
    )
    found = costing.further_figures(season)["scales"]["fills"]["tub"]
    assert (found["mean"], found["spread"], found["over"]) == (exactly(103), exactly(1), exactly(3))
    assert (found["given_away"], found["season_given_away"]) == (exactly(0.075), exactly(3.0))
