"""One module per table of the season: its given and worked columns. Imported in the order of the sheets."""

from costing.tables import (
    alternatives,
    batch_lines,
    batches,
    channels,
    checks,
    fills,
    glance,
    items,
    making,
    overheads,
    prices,
    products,
    purchases,
    settings,
    tolerances,
    totals,
    tubs,
    units,
    weighings,
)

__all__ = [
    "alternatives", "batch_lines", "batches", "channels", "checks", "fills", "glance", "items", "making", "overheads",
    "prices", "products", "purchases", "settings", "tolerances", "totals", "tubs", "units", "weighings",
]  # fmt: skip
