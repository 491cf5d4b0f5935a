"""The colours of charts stay apart for colour-blind eyes, and in grey.

Colour blindness is simulated as Machado, Oliveira and Fernandes do (IEEE Transactions on Visualization and Computer
Graphics 15, 2009, 1291), by the package colorspacious; differences are CIE 1976 ones, as ISO/CIE 11664-4 defines them.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from colorspacious import cspace_convert

from costing.workbook.write.look import SERIES

APART = 20  # a difference that is seen at a glance, also between thin bars
EYES = ("protanomaly", "deuteranomaly", "tritanomaly")


def lab(colour: str, space: object = "sRGB255") -> list[float]:
    """Return lightness and the two colour axes of ``colour``, as eyes of that ``space`` see it."""
    seen = cspace_convert([int(colour[at : at + 2], 16) for at in (0, 2, 4)], space, "sRGB1")
    return [float(part) for part in cspace_convert([min(1.0, max(0.0, part)) for part in seen], "sRGB1", "CIELab")]


def eyes(kind: str) -> dict[str, object]:
    """Return the space of eyes that lack one kind of cone."""
    return {"name": "sRGB1+CVD", "cvd_type": kind, "severity": 100}


def seen(colour: str, kind: str) -> list[float]:
    """Return ``colour`` as it looks to those eyes."""
    shares = [int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    parts = cspace_convert(shares, eyes(kind), "sRGB1")
    return [float(part) for part in cspace_convert([min(1.0, max(0.0, part)) for part in parts], "sRGB1", "CIELab")]


def apart(one: list[float], other: list[float]) -> float:
    """Return the distance between two colours."""
    return float(sum((a - b) ** 2 for a, b in zip(one, other, strict=True)) ** 0.5)


@pytest.mark.parametrize("kind", EYES)
def test_series_that_stand_side_by_side_stay_apart_for_colour_blind_eyes(kind: str) -> None:
    for one, other in pairwise(SERIES):
        assert apart(seen(one, kind), seen(other, kind)) >= APART, (one, other)


def test_series_that_stand_side_by_side_stay_apart_in_grey() -> None:
    for one, other in pairwise(SERIES):
        assert abs(lab(one)[0] - lab(other)[0]) >= APART, (one, other)


def test_the_simulation_takes_red_and_green_for_alike() -> None:
    """A check of the check: what a red-green blind person cannot tell apart is told as such."""
    red, green = "C03040", "906040"
    assert apart(lab(red), lab(green)) > 2 * APART
    assert apart(seen(red, "protanomaly"), seen(green, "protanomaly")) < APART
