"""Two compared seasons in the terminal and as one object of plain numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from costing.season.comparing import Comparison
from costing.season.costed import Season
from costing.shown.report import table
from costing.tables.whole.two_seasons import EFFECTS

SETTINGS = ("hourly_rate", "power_price")
ONLY = ("what", "key", "status", "per", "amount")
HAIR = 1e-9  # differences of binary arithmetic that are none
NOTHING_CHANGED = "Nothing changed: items, products and prices are the same in both."
SPLIT = (
    "What each change did to what one costs. In this order last season's are replaced: purchases (prices of all that is\n"
    "bought), formulas (with fills and minutes), rates (work and power), packaging (which tub), overheads (with the plan)."
)


def comparison_report(comparison: Comparison) -> str:
    """Return what changed from one season to another as text; what stayed as it was is left out."""
    parts = [part for part in _parts(comparison) if part]
    return "\n\n".join([_heading(comparison), *(parts or [NOTHING_CHANGED])])


def _heading(comparison: Comparison) -> str:
    then, now = comparison.old.records.season, comparison.new.records.season
    return (
        f"Then: {' '.join(then.name.split())}, priced on {then.priced_on.isoformat()}\n"
        f"Now:  {' '.join(now.name.split())}, priced on {now.priced_on.isoformat()}\n"
        f"Amounts in {now.currency}."
    )


def _parts(comparison: Comparison) -> Iterator[str]:
    yield _rates(comparison)
    yield _products(comparison)
    yield _prices(comparison)
    yield _items(comparison)
    yield _only(comparison)


def _block(title: str, headings: tuple[str, ...], rows: Sequence[tuple[str, ...]], texts: int = 1) -> str:
    return f"{title}\n{table(headings, rows, texts)}" if rows else ""


def _differs(*changes: float) -> bool:
    return any(abs(change) > HAIR for change in changes)


def _money(value: float) -> str:
    return f"{value:,.2f}"


def _fine(value: float) -> str:
    return f"{value:,.4f}"


def _change(value: float, decimals: int = 2) -> str:
    return f"{value:+,.{decimals}f}" if _differs(value) else "–"


def _percent(value: float) -> str:
    return f"{value:.1%}"


def _change_percent(value: float) -> str:
    return f"{value:+.1%}" if _differs(value) else "–"


def _rates(comparison: Comparison) -> str:
    words = {"hourly_rate": "an hour of your work", "power_price": "a kilowatt-hour"}
    rows = []
    for key, word in words.items():
        then, now = (float(getattr(season.records.season, key)) for season in (comparison.old, comparison.new))
        if _differs(now - then):
            rows.append((word, _money(then), _money(now), _change(now - then)))
    return _block("Rates", ("", "then", "now", "change"), rows)


def _products(comparison: Comparison) -> str:
    rows = [
        (
            row.product, _money(row.then), *(_change(getattr(row, effect)) for effect in EFFECTS), _money(row.now),
            _change(row.changed), _change_percent(row.changed_part),
        )
        for row in comparison.products.rows
        if _differs(row.changed, *(getattr(row, effect) for effect in EFFECTS))
    ]  # fmt: skip
    return _block(SPLIT, ("product", "then", *EFFECTS, "now", "change", ""), rows)


def _prices(comparison: Comparison) -> str:
    rows = [
        (
            row.product, row.channel, _money(row.then), _percent(row.margin_then), _percent(row.margin), _money(row.left),
            _percent(row.wanted), _money(row.suggested), _money(row.used), row.remark.strip(),
        )
        for row in comparison.prices.rows
        if _differs(row.margin - row.margin_then, row.used - row.then)
    ]  # fmt: skip
    headings = (
        "product", "channel", "price then", "margin then", "margin now", "left now", "wanted", "suggested", "price now", "",
    )  # fmt: skip
    return _block("Last season's prices at this season's costs", headings, rows, texts=2)


def _items(comparison: Comparison) -> str:
    rows = [
        (
            row.item, row.per, _fine(row.then), _fine(row.item_now), _change(row.item_changed, 4),
            _change_percent(row.item_changed_part),
        )
        for row in comparison.items.rows
        if _differs(row.item_changed)
    ]  # fmt: skip
    return _block("What items cost", ("item", "per", "then", "now", "change", ""), rows, texts=2)


def _only(comparison: Comparison) -> str:
    rows = [(row.status, row.what, row.key, row.per, _fine(row.amount)) for row in comparison.only.rows]
    return _block("New and gone", ("", "what", "which", "per", "amount"), rows, texts=4)


# -- as plain numbers --


def comparison_figures(comparison: Comparison) -> dict[str, Any]:
    """Return everything compared, under stable keys, what stayed as it was among it.

    Money as plain numbers in the seasons' currency; percents as fractions; items per kilogram or piece, as ``per`` says.
    """
    return {
        "old": _season(comparison.old),
        "new": _season(comparison.new),
        "products": {row.product: _product(row) for row in comparison.products.rows},
        "prices": [_price(row) for row in comparison.prices.rows],
        "items": {row.item: _item(row) for row in comparison.items.rows},
        "only": [{key: getattr(row, key) for key in ONLY} for row in comparison.only.rows],
        "changed": any(_parts(comparison)),
    }


def _season(season: Season) -> dict[str, Any]:
    settings = season.records.season
    named = {"name": settings.name, "priced_on": settings.priced_on.isoformat(), "currency": settings.currency}
    return named | {"cost_basis": settings.cost_basis} | {key: float(getattr(settings, key)) for key in SETTINGS}


def _product(row: Any) -> dict[str, Any]:
    effects = {effect: getattr(row, effect) for effect in EFFECTS}
    return {"then": row.then, "effects": effects, "now": row.now, "change": row.changed, "change_percent": row.changed_part}


def _price(row: Any) -> dict[str, Any]:
    keys = {
        "then": "then", "margin_then": "margin_then", "profit_at_then": "left", "margin_at_then": "margin",
        "wanted": "wanted", "suggested": "suggested", "now": "used",
    }  # fmt: skip
    return {"product": row.product, "channel": row.channel} | {key: getattr(row, column) for key, column in keys.items()}


def _item(row: Any) -> dict[str, Any]:
    found = {"per": row.per, "then": row.then, "now": row.item_now}
    return found | {"change": row.item_changed, "change_percent": row.item_changed_part}
