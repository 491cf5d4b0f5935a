"""The least season around the figures that a test is about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import costing

Row = Mapping[str, Any]
EARLY, DAY = "2026-07-01", "2026-07-31"
MONEY_PER_MINUTE = {"hourly_rate": 60}  # an hour at 60 makes a minute cost 1, so that work can be written as its cost


def bought(item: str, paid: float, *, size: float = 1, unit: str = "g", **more: Any) -> Row:
    """Return a row of a receipt."""
    return {"bought_on": DAY, "item": item, "size": size, "unit": unit, "paid": paid} | more


def receipt(*rows: Row) -> list[Row]:
    """Return the rows as one receipt, so that delivery and discount are shared among them."""
    return [{"bought_on": DAY, "supplier": "A supplier", "invoice": "1"} | dict(row) for row in rows]


def line(formula: str, item: str, grams: float, step: str = "mix") -> Row:
    """Return a line of a formula in grams."""
    return {"formula": formula, "step": step, "item": item, "grams": grams}


def product(key: str, filled_with: str, grams: float = 1, **more: Any) -> Row:
    """Return a product in a jar that costs nothing."""
    return {"product": key, "name": key, "filled_with": filled_with, "tub": "jar", "fill_grams": grams} | more


def costed(*, settings: Row | None = None, purchases: Sequence[Row] = (), **tables: Sequence[Row]) -> costing.Season:
    """Return a costed season of the given rows, with what else a season must have added at no cost."""
    lines = tables.pop("lines", [line("filling", "filler", 1)])
    free = [bought("jar", 0, unit="piece", bought_on=EARLY), bought("filler", 0, bought_on=EARLY)]
    formulas = list(dict.fromkeys(row["formula"] for row in lines))
    needed: dict[str, Sequence[Row]] = {
        "formulas": [{"formula": key, "name": key} for key in formulas],
        "tubs": [{"tub": "jar", "part": "jar"}],
        "products": [product("any", formulas[0])],
        "channels": [{"channel": "stall", "margin_percent": 0}],
    }
    records = costing.records_from(
        season={"name": "Published", "currency": "EUR", "priced_on": DAY, "price_step": 0.01} | dict(settings or {}),
        purchases=[*purchases, *free],
        lines=lines,
        **(needed | tables),
    )
    return costing.cost(records)


@dataclass(frozen=True)
class Ware:
    """Something sold: what it costs before overheads, its own price (none: the suggested one), and how many."""

    cost: float
    price: float | None = None
    planned: float = 1


def sold(*wares: Ware, overheads: float = 0, settings: Row | None = None, **channel: Any) -> costing.Season:
    """Return a season that sells the wares, as ware-1, ware-2 …, in one channel."""
    keys = [f"ware-{at}" for at in range(1, len(wares) + 1)]
    return costed(
        settings=settings,
        purchases=[bought(f"stuff-of-{key}", ware.cost) for key, ware in zip(keys, wares, strict=True)],
        lines=[line(f"mix-of-{key}", f"stuff-of-{key}", 1) for key in keys],
        products=[product(key, f"mix-of-{key}") for key in keys],
        channels=[{"channel": "stall", "margin_percent": 0} | channel],
        prices=[
            {"product": key, "channel": "stall", "planned": ware.planned, "price": ware.price}
            for key, ware in zip(keys, wares, strict=True)
        ],
        overheads=[{"overhead": "rent", "amount": overheads}],
    )


def price_of(ware: Ware, **channel: Any) -> Any:
    """Return the price row of one ware sold alone."""
    return sold(ware, **channel).row("prices", product="ware-1")


def worth_of_output(season: costing.Season, output: str) -> float:
    """Return what the whole of an output bears. [money]"""
    found = costing.figures(season)["outputs"][output]
    return float(found["grams"] * found["per_gram"]["total"])
