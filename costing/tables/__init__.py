"""One module per table of the season: its given and worked columns. Imported in the order of the sheets."""

from costing.tables import (
    alternatives,
    channels,
    checks,
    even,
    glance,
    items,
    ladder,
    making,
    overheads,
    prices,
    products,
    purchases,
    settings,
    shelf,
    stock,
    totals,
    tubs,
    units,
)

__all__ = [
    "alternatives", "channels", "checks", "even", "glance", "items", "ladder", "making", "overheads", "prices", "products",
    "purchases", "settings", "shelf", "stock", "totals", "tubs", "units",
]  # fmt: skip
