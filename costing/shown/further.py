"""What the subjects tell beyond prices and costs, all at once, from Python."""

from __future__ import annotations

from typing import Any

from costing.season.costed import Season
from costing.shown.keyed_figures import figures
from costing.shown.subjects import all_figures


def further_figures(season: Season) -> dict[str, Any]:
    """Return what subjects have beyond :func:`costing.shown.keyed_figures.figures`, under stable keys, units as there."""
    base = figures(season)
    return {key: figure for key, figure in all_figures(season).items() if key not in base}
