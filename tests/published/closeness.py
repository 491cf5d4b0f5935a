"""How near a worked figure must come to a published one."""

from __future__ import annotations

from typing import Any

import pytest


def exactly(figure: float) -> Any:
    """Allow for nothing but binary arithmetic: a billionth part of the figure, or of one where the figure is 0."""
    return pytest.approx(figure, rel=1e-9, abs=1e-9)


def printed(figure: float, decimals: int) -> Any:
    """Allow half a unit of the last printed digit, since the source rounded there."""
    return pytest.approx(figure, rel=0, abs=0.5 * 10**-decimals)
