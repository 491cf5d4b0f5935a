"""The subjects around the price, for ``show --all``: a module each, with ``figures`` (JSON) and ``report`` (terminal)."""

from __future__ import annotations

from typing import Any

from costing.further import lye, scales, selling, stock, tubs
from costing.season import Season

_SUBJECTS = (tubs, stock, selling, scales, lye)


def further_figures(season: Season) -> dict[str, Any]:
    """Return the figures of all subjects under stable keys, units as in :func:`costing.keyed_figures.figures`."""
    return {key: figure for subject in _SUBJECTS for key, figure in subject.figures(season).items()}


def further_report(season: Season) -> str:
    """Return all subjects as text."""
    return "\n\n".join(text for subject in _SUBJECTS for text in subject.report(season))
