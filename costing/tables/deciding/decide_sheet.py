"""The sheet Decide: small tables under one another, the question that comes up most often first."""

from costing.engine.table import Sheet

DECIDE = Sheet(
    "Decide",
    "Decide",
    "What to do about prices, hours, what is sold and where, and what is made or bought. Nothing here changes a price.",
    notes_run_on=True,
    one_page=True,
    everyday=True,
)
