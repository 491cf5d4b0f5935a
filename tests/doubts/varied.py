"""The workshop's season as other makers have it: other prices, sizes, speeds and plans, and nothing wrong in any."""

from __future__ import annotations

from decimal import Decimal
from math import exp
from random import Random

import costing
from tests.doubts.workshop import CLEAN, SETTINGS, Row

CURRENCIES = {"GBP": 1.0, "EUR": 1.15, "SEK": 13.0, "JPY": 190.0}
# How widely makers differ, as the standard deviation of a logarithm: about a third for prices of a thing, less for one
# maker's own prices of it from one purchase to the next (no source).
THINGS, PURCHASES, HABITS = 0.3, 0.08, 0.25
JUDGED = (
    ("steps", "minutes", "loss_percent", "hours"), ("products", "minutes", "waste_percent"), ("prices", "planned"),
    ("formulas", "batch_grams"), ("overheads", "amount"),
)  # fmt: skip


def varied(random: Random) -> costing.Season:
    """Return a season like the workshop's in which each figure is another, within what makers do."""
    currency, worth = random.choice(list(CURRENCIES.items()))
    things: dict[str, float] = {}
    tables = {name: [dict(row) for row in rows] for name, rows in CLEAN.items()}
    for row in tables["purchases"]:
        factor = things.setdefault(row["item"], exp(random.gauss(0, THINGS))) * exp(random.gauss(0, PURCHASES)) * worth
        _times(row, factor, "paid", "tax")
    for table, *columns in JUDGED:
        for row in tables[table]:
            for column in columns:
                _times(row, exp(random.gauss(0, HABITS)) * (worth if column == "amount" else 1), column)
    for row in tables["prices"]:
        row.pop("price", None)
        row["planned"] = str(round(Decimal(row["planned"])) or 1)
    for row in tables["channels"]:
        _times(row, worth, "fee_each", "parcel_each")
    for row in tables["outputs"]:
        _times(row, worth, "price_per_kg")
    tables["items"] = [row for row in tables["items"] if "quote" not in row]
    changed = {"currency": currency, "hourly_rate": f"{12 * worth:.2f}", "power_price": f"{0.28 * worth:.2f}"}
    return costing.cost(costing.records_from(season=SETTINGS | changed | {"price_step": f"{worth / 2:.2f}"}, **tables))


def _times(row: Row, factor: float, *columns: str) -> None:
    for column in columns:
        if row.get(column):
            row[column] = f"{float(row[column]) * factor:.2f}"
