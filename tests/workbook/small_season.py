"""A season as small as one can be that has a row of everything, and its workbook with two free rows in each table.

All names and prices in it are invented.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import costing
from costing.tables.book import BOOK

FREE_ROWS = 2
RECEIPT = {"bought_on": "2026-07-01", "supplier": "Mill", "invoice": "7"}
TABLES: dict[str, Any] = {
    "season": {"name": "Small", "currency": "EUR", "priced_on": "2026-07-31", "hourly_rate": 12, "power_price": 0.3,
               "ready_by": "2026-08-20",
               "main_channel": "stall"},
    "purchases": [
        RECEIPT | {"item": "olive oil", "packs": 2, "size": 5, "unit": "kg", "paid": 80, "tax": 10},
        RECEIPT | {"item": "delivery", "paid": 6},
        RECEIPT | {"item": "olive oil", "packs": -1, "size": 5, "unit": "kg", "paid": -40, "tax": -5},
        RECEIPT | {"item": "olive oil", "size": 1, "unit": "kg", "paid": 9, "bought_on": "2026-07-11", "invoice": "9"},
        RECEIPT | {"item": "olive oil", "size": 1, "unit": "kg", "paid": 9.5, "bought_on": "2026-07-12", "invoice": "10"},
        RECEIPT | {"item": "sugar", "size": 2, "unit": "kg", "paid": 4},
        RECEIPT | {"item": "plum drops", "size": 1, "unit": "L", "paid": 8},
        RECEIPT | {"item": "jar", "size": 20, "unit": "piece", "paid": 16, "currency": "GBP", "rate": 1.2,
                   "supplier": "Jars"},
        RECEIPT | {"item": "lid", "size": 2, "unit": "dozen", "paid": 6},
    ],
    "items": [{"item": "plum drops", "density": 1, "kind": "humectant"}],
    "formulas": [{"formula": "mash", "batch_grams": 1000}, {"formula": "scrub"}],
    "steps": [
        {"formula": "mash", "step": "melt", "minutes": 20, "watts": 900, "hours": 0.5, "loss_percent": 4,
         "days": 10},
        {"formula": "mash", "step": "whip", "minutes": 10},
        {"formula": "scrub", "step": "fold", "minutes": 5},
    ],
    "lines": [
        {"formula": "mash", "step": "melt", "item": "olive oil", "percent": 60},
        {"formula": "mash", "step": "whip", "item": "plum drops", "percent": 40},
        {"formula": "scrub", "step": "fold", "item": "mash/cream", "grams": 300},
        {"formula": "scrub", "step": "fold", "item": "sugar", "grams": 700},
    ],
    "outputs": [
        {"formula": "mash", "output": "cream", "percent": 90},
        {"formula": "mash", "output": "rest", "percent": 10, "valued": "set", "price_per_kg": 1},
    ],
    "tubs": [{"tub": "pot", "part": "jar"}, {"tub": "pot", "part": "lid"}],
    "products": [
        {"product": "scrub 100", "filled_with": "scrub", "tub": "pot", "fill_grams": 100, "minutes": 2},
        {"product": "cream 50", "filled_with": "mash/cream", "tub": "pot", "fill_grams": 50, "minutes": 2},
    ],
    "channels": [
        {"channel": "stall", "margin_percent": 30, "fee_percent": 2, "sales_tax_percent": 20},
        {"channel": "post", "margin_percent": 25, "sales_tax_percent": 20, "fee_percent": 5, "parcel_each": 4},
    ],
    "prices": [
        {"product": "scrub 100", "channel": "stall", "planned": 40},
        {"product": "cream 50", "channel": "stall", "planned": 30, "price": 9},
        {"product": "cream 50", "channel": "post", "planned": 10},
    ],
    "overheads": [{"overhead": "mirror", "amount": 60}, {"overhead": "cover", "amount": 20, "shared_by": "grams"}],
    "alternatives": [{"product": "scrub 100", "bought": "cream 50"}],
    "weighings": [
        {"product": "scrub 100", "weighed_on": "2026-07-20", "gross_grams": 165, "tare_grams": 60},
        {"product": "scrub 100", "weighed_on": "2026-07-20", "gross_grams": 162, "tare_grams": 60},
    ],
    "made": [
        {"what": "mash/cream", "on_hand": 700, "made_on": "2026-07-14"}, {"what": "mash", "on_hand": 90},
        {"what": "cream 50", "on_hand": 4},
    ],
    "batches": [{"batch": "B1", "formula": "scrub", "made_on": "2026-07-15", "grams_out": 980, "minutes": 6}],
    "batch_lines": [
        {"batch": "B1", "item": "mash/cream", "step": "fold", "grams": 300},
        {"batch": "B1", "item": "sugar", "step": "fold", "before_grams": 1700, "after_grams": 1000},
    ],
}  # fmt: skip


@contextmanager
def few_free_rows() -> Iterator[None]:
    """Let tables have few free rows, so that a workbook is recalculated in a moment."""
    spare = {table.key: table.spare for table in BOOK.tables()}
    for table in BOOK.tables():
        table.spare = min(table.spare, FREE_ROWS)
    try:
        yield
    finally:
        for table in BOOK.tables():
            table.spare = spare[table.key]


def small_book(path: Path) -> costing.Season:
    """Write the season's workbook, and return the season."""
    season = costing.cost(costing.records_from(**TABLES))
    with few_free_rows():
        costing.export(season, path, all_sheets=True)
    return season
