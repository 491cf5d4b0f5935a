"""The sheet of what other sheets look up: units, published limits and lists for drop-downs. Nobody types there."""

from __future__ import annotations

from costing.engine.table import Sheet

LOOK_UPS = Sheet(
    "Look-ups", "Look-ups", "What other sheets look up: units, published limits, usual figures, lists to choose from."
)
