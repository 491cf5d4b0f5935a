"""Costing for small soap makers: from purchase records to the cost of a gram, the price of a tub, and a workbook.

>>> import costing
>>> season = costing.cost(costing.read_season("sample"))
>>> round(season.row("products", product="lavender-whip-120").total, 2)
7.65
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from costing.errors import Caution, CostingError, Fault, Faults, Refusal
    from costing.exchange.season_files import export, read_season
    from costing.records.parsing import records_from
    from costing.season.comparing import Comparison, compare
    from costing.season.costed import Season, cost
    from costing.shown.further import further_figures
    from costing.shown.keyed_figures import figures

_HOMES = {
    "Caution": "errors", "CostingError": "errors", "Fault": "errors", "Faults": "errors", "Refusal": "errors",
    "records_from": "records.parsing",
    "Season": "season.costed", "cost": "season.costed", "Comparison": "season.comparing", "compare": "season.comparing",
    "figures": "shown.keyed_figures", "further_figures": "shown.further",
    "export": "exchange.season_files", "read_season": "exchange.season_files",
}  # fmt: skip


def __getattr__(name: str) -> Any:
    """Import a public name from its home when it is first asked for, so that start-up stays light."""
    if name in _HOMES:
        return getattr(import_module(f"costing.{_HOMES[name]}"), name)
    raise AttributeError(f"module 'costing' has no attribute {name!r}")


__all__ = [
    "Caution", "Comparison", "CostingError", "Fault", "Faults", "Refusal", "Season", "compare", "cost", "export", "figures",
    "further_figures", "read_season", "records_from",
]  # fmt: skip
