"""One module per table of the season: its given and worked columns. Imported in the order of the sheets."""

from costing.tables import (
    alternatives,
    channels,
    checks,
    glance,
    items,
    lye,
    making,
    overheads,
    prices,
    products,
    purchases,
    settings,
    totals,
    tubs,
    units,
)

__all__ = [
    "alternatives", "channels", "checks", "glance", "items", "lye", "making", "overheads", "prices", "products", "purchases",
    "settings", "totals", "tubs", "units",
]  # fmt: skip
