"""The subjects around the price, for ``show --all``: a module each, with ``figures`` (JSON) and ``report`` (terminal)."""

from __future__ import annotations

from typing import Any

from costing.season.costed import Season
from costing.shown import lye_report, scales_report, selling_report, stock_report, tubs_report

_SUBJECTS = (tubs_report, stock_report, selling_report, scales_report, lye_report)


def further_figures(season: Season) -> dict[str, Any]:
    """Return the figures of all subjects under stable keys, units as in :func:`costing.shown.keyed_figures.figures`."""
    return {key: figure for subject in _SUBJECTS for key, figure in subject.figures(season).items()}


def further_report(season: Season) -> str:
    """Return all subjects as text."""
    return "\n\n".join(text for subject in _SUBJECTS for text in subject.report(season))
