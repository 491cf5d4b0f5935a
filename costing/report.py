"""A costed season in the terminal: plain tables that can be read, piped and mailed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from costing.season import Season
from costing.tracing import Branch, lines

NO_CLEARANCE = "No clearance: goggles, gloves, fresh air; additions only when cool; test each bar."


def report(season: Season) -> str:
    """Return the season's prices, costs and savings as text."""
    settings = season.records.season
    parts = [
        f"{settings.name}\nPriced on {settings.priced_on.isoformat()}, cost basis {settings.cost_basis}, "
        f"amounts in {settings.currency}.",
        *_tables(season),
        _totals(season),
        _lye(season),
        _cautions(season),
    ]
    return "\n\n".join(part for part in parts if part)


def _tables(season: Season) -> Iterator[str]:
    yield _titled("What one costs", _costs(season))
    if season.prices.rows:
        yield _titled("What it should sell for", _prices(season))
    if season.alternatives.rows:
        yield _titled("Own or bought: what making it saves on one", _alternatives(season))
    yield _titled("What a gram costs", _formulas(season))


def _titled(title: str, table: str) -> str:
    return f"{title}\n{table}"


def table(headings: Sequence[str], rows: Sequence[Sequence[Any]], texts: int = 1) -> str:
    """Return a table as text; the first ``texts`` columns are texts, the others figures set to the right.

    >>> print(table(("tub", "cost"), [("small", "2.00"), ("large", "13.50")]))
    tub     cost
    small   2.00
    large  13.50
    """
    cells = [[str(cell) for cell in row] for row in (headings, *rows)]
    widths = [max(len(row[at]) for row in cells) for at in range(len(headings))]
    shown = (
        "  ".join(
            cell.ljust(width) if at < texts else cell.rjust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        for row in cells
    )
    return "\n".join(line.rstrip() for line in shown)


def _money(value: Any) -> str:
    return "–" if isinstance(value, str) else f"{value:,.2f}"


def _percent(value: Any) -> str:
    return "–" if isinstance(value, str) else f"{value:.1%}"


def _costs(season: Season) -> str:
    parts = ("materials", "packaging", "work", "power", "overheads", "total")
    rows = [
        (row.product, f"{row.fill_grams:g}", *(_money(getattr(row, part)) for part in parts), f"{row.hands_on:.1f}")
        for row in season.products.rows
    ]
    return table(("product", "fill g", *parts[:-1], "cost", "minutes"), rows)


def _prices(season: Season) -> str:
    rows = [
        (
            row.product, row.channel, _money(row.suggested), _money(row.floor), _money(row.used), _money(row.profit),
            _percent(row.margin), _money(row.pay_per_hour), _money(row.per_100g), f"{row.planned:g}",
            row.remark.strip(),
        )
        for row in season.prices.rows
    ]  # fmt: skip
    headings = (
        "product", "channel", "suggested", "floor", "price", "profit", "margin", "per hour", "per 100 g", "planned", "",
    )  # fmt: skip
    return table(headings, rows, texts=2)


def _alternatives(season: Season) -> str:
    rows = [
        (
            row.product, _money(row.own_cost), _money(row.bought_cost), _money(row.saving), _percent(row.saving_percent),
            _money(row.season_saving), f"{row.extra_minutes:.1f}", _money(row.pay_per_extra_hour),
            _money(row.base_per_kg), _money(row.base_break_even),
        )
        for row in season.alternatives.rows
    ]  # fmt: skip
    headings = (
        "product", "own", "bought", "saving", "of bought", "season", "extra min", "per extra hour", "base per kg",
        "even at",
    )  # fmt: skip
    return table(headings, rows)


def _formulas(season: Season) -> str:
    rows = [
        (
            row.made, f"{row.yields:,.0f}",
            *(f"{getattr(row, part):.5f}" for part in ("gram_materials", "gram_work", "gram_power", "per_gram")),
        )
        for row in season.making.rows
        if row.row in ("yield", "output")
    ]  # fmt: skip
    return table(("made", "yields g", "materials", "work", "power", "per gram"), rows)


def _lye(season: Season) -> str:
    if not season.lye.rows:
        return ""
    rows = [
        (
            row.made, f"{row.lye:,.1f}", f"{row.low:,.1f}", f"{row.high:,.1f}", _percent(row.superfat_low),
            _percent(row.superfat_high), row.remark.strip(),
        )
        for row in season.lye.rows
    ]  # fmt: skip
    listed = table(("formula", "lye g", "takes up", "to g", "superfat", "to", ""), rows)
    return _titled("Lye, as sodium hydroxide, and what oils and acids take up of it", f"{listed}\n{NO_CLEARANCE}")


def _totals(season: Season) -> str:
    totals = season.totals
    rows = [
        ("sales, without tax", _money(totals.revenue)),
        ("costs, fees and parcels", _money(totals.cost)),
        ("profit", _money(totals.profit)),
        ("break-even, part of the plan", _percent(totals.break_even_share)),
        ("hands-on hours", f"{totals.hours:,.1f}"),
        ("an hour of your work earns", _money(totals.pay_per_hour)),
    ]
    return _titled("The season as planned", table(("", ""), rows).lstrip("\n"))


def _cautions(season: Season) -> str:
    if not season.cautions:
        return ""
    listed = "\n".join(f"- {caution}" for caution in season.cautions)
    return f"To check before you trust or sell ({len(season.cautions)})\n{listed}"


def trace_report(tree: Branch) -> str:
    """Return a traced cost as text, each level indented under what it adds up to."""
    rows = [(label, f"{amount:.4f}") for label, amount in lines(tree)]
    return table(("", "cost"), rows).lstrip("\n")
