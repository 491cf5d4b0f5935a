"""One of each unit: what a figure is divided by to be a plain number, and what a plain number is made a figure with."""

from __future__ import annotations

from costing.engine.expressions import Factor

ONE_GRAM = Factor(1, "gram")
ONE_PIECE = Factor(1, "piece")
ONE_EACH = Factor(1, "each")
ONE_DAY, NO_DAY = Factor(1, "day"), Factor(0, "day")
ONE_MONEY = Factor(1, "money")
ONE_PER_KG = Factor(1, "money/kilogram")
