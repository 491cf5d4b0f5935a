"""A season of nine rows, to be broken or grown in one place: everything in it is invented."""

from __future__ import annotations

import csv
from pathlib import Path

Table = list[list[str]]


def small_tables() -> dict[str, Table]:
    """Return the tables of a season of one rub in one jar, headings first."""
    return {
        "season": [["key", "value"], ["name", "Small"], ["currency", "EUR"], ["priced_on", "2026-11-01"]],
        "purchases": [
            ["bought_on", "supplier", "invoice", "item", "size", "unit", "paid"],
            ["2026-10-01", "Quayside", "1", "Oil", "1", "kg", "5"],
            ["2026-10-01", "Quayside", "1", "Jar", "1", "piece", "1"],
        ],
        "formulas": [["formula"], ["Rub"]],
        "lines": [["formula", "step", "item", "grams"], ["Rub", "mix", "Oil", "100"]],
        "tubs": [["tub", "part"], ["Small jar", "Jar"]],
        "products": [["product", "filled_with", "tub", "fill_grams"], ["Jar of rub", "Rub", "Small jar", "50"]],
        "channels": [["channel", "margin_percent"], ["Stall", "30"]],
        "prices": [["product", "channel", "planned"], ["Jar of rub", "Stall", "9"]],
    }


def write_tables(tables: dict[str, Table], folder: Path) -> Path:
    """Write tables as a season's folder and return it."""
    folder.mkdir(exist_ok=True)
    for name, rows in tables.items():
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(rows)
    return folder
