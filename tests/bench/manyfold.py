"""The sample season many times over: every key with a number behind it, so that nothing is common but the settings."""

from __future__ import annotations

import csv
import re
from pathlib import Path

from costing.fields.catalogue import ingredient_named

KEY_COLUMNS = frozenset(
    {"item", "formula", "output", "filled_with", "tub", "part", "product", "bought", "overhead", "invoice", "batch", "what"}
)
COMMON = frozenset({"delivery", "discount"})
ONCE = frozenset({"season", "channels"})


def manyfold(source: Path, target: Path, fold: int) -> None:
    """Write a season with ``fold`` times the purchases, items, formulas and products of another."""
    target.mkdir()
    for file in sorted(source.glob("*.csv")):
        with file.open(encoding="utf-8", newline="") as opened:
            rows = list(csv.DictReader(opened))
        if file.stem == "items":
            rows = _with_catalogue(rows, source)
        if not rows:
            continue
        times = 1 if file.stem in ONCE else fold
        with (target / file.name).open("w", encoding="utf-8", newline="") as opened:
            writer = csv.DictWriter(opened, list(rows[0]))
            writer.writeheader()
            writer.writerows(_numbered(row, at) for at in range(times) for row in rows)


def _with_catalogue(rows: list[dict[str, str]], source: Path) -> list[dict[str, str]]:
    """Say of everything bought which packaged ingredient it is, among which its numbered copies would not be found."""
    with (source / "purchases.csv").open(encoding="utf-8", newline="") as file:
        bought = dict.fromkeys(row["item"] for row in csv.DictReader(file) if row["item"] not in COMMON)
    own = {row["item"]: row for row in rows}
    blank = dict.fromkeys((*rows[0], "same_as"), "")
    found = {item: ingredient_named(own.get(item, {}).get("same_as") or item) for item in bought}
    return [
        blank | own.get(item, {}) | {"item": item, "same_as": known.item if known else ""} for item, known in found.items()
    ]


def _numbered(row: dict[str, str], at: int) -> dict[str, str]:
    if at == 0:
        return row
    return {column: _key(text, at) if column in KEY_COLUMNS else text for column, text in row.items()}


def _key(text: str, at: int) -> str:
    if not text or text in COMMON:
        return text
    return re.sub(r"[^/]+", lambda part: f"{part[0]}-x{at}", text)
