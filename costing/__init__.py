"""Costing for small soap makers: from purchase records to the cost of a gram, the price of a tub, and a workbook.

>>> import costing
>>> season = costing.cost(costing.read_season("sample"))
>>> round(season.row("products", product="Lavender whipped soap 120 g").total, 2)
6.95

All names offered stand in ``costing/public.py``.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from costing.public import *  # noqa: F403  # its names are all there is
else:

    def __dir__() -> list[str]:
        return [name for name in vars(import_module("costing.public")) if not name.startswith("_")]

    def __getattr__(name: str) -> object:
        """Take a name from those offered when it is first asked for, so that start-up stays light."""
        if name == "__all__":
            return __dir__()
        if not name.startswith("_") and name in __dir__():
            return getattr(import_module("costing.public"), name)
        raise AttributeError(f"module 'costing' has no attribute {name!r}")
