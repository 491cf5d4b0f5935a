"""A costed season in the terminal: plain tables that can be read, piped and mailed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from costing.season.costed import Season
from costing.season.tracing import Branch, lines
from costing.shown.cautions_told import cautions_told


def report(season: Season) -> str:
    """Return the season's prices, costs and savings as text."""
    settings = season.records.season
    parts = [
        f"{settings.name}\nPriced on {settings.priced_on.isoformat()}, cost basis {settings.cost_basis}, "
        f"amounts in {settings.currency}.",
        *_tables(season),
        _totals(season),
        _cautions(season),
    ]
    return "\n\n".join(part for part in parts if part)


def _tables(season: Season) -> Iterator[str]:
    yield titled("What one costs", _costs(season))
    if season.prices.rows:
        yield titled("What it should sell for", _prices(season))
    if season.alternatives.rows:
        yield titled("Own or bought: what making it saves on one", _alternatives(season))
    yield titled("What a gram costs", _formulas(season))


def titled(title: str, table: str) -> str:
    """Return a table under its title."""
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


def money(value: Any) -> str:
    """Return an amount with two decimals, or a dash where there is none."""
    return "–" if isinstance(value, str) else f"{value:,.2f}"


def percent(value: Any) -> str:
    """Return a fraction as percent, or a dash where there is none."""
    return "–" if isinstance(value, str) else f"{value:.1%}"


def _costs(season: Season) -> str:
    parts = ("materials", "packaging", "work", "power", "overheads", "total")
    rows = [
        (row.product, f"{row.fill_grams:g}", *(money(getattr(row, part)) for part in parts), f"{row.hands_on:.1f}")
        for row in season.products.rows
    ]
    return table(("product", "fill g", *parts[:-1], "cost", "minutes"), rows)


def _prices(season: Season) -> str:
    rows = [
        (
            row.product, row.channel, money(row.suggested), money(row.floor), money(row.used), money(row.profit),
            percent(row.margin), money(row.pay_per_hour), money(row.per_100g), f"{row.planned:g}",
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
            row.product, money(row.own_cost), money(row.bought_cost), money(row.saving), percent(row.saving_percent),
            money(row.season_saving), f"{row.extra_minutes:.1f}", money(row.pay_per_extra_hour),
            money(row.base_per_kg), money(row.base_break_even),
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


def _totals(season: Season) -> str:
    totals = season.totals
    rows = [
        ("sales, without tax", money(totals.revenue)),
        ("costs, fees and parcels", money(totals.cost)),
        ("profit", money(totals.profit)),
        ("break-even, part of the plan", percent(totals.break_even_share)),
        ("hands-on hours", f"{totals.hours:,.1f}"),
        ("an hour of your work earns", money(totals.pay_per_hour)),
    ]
    if season.looks.lost:
        rows.append(("of these costs, ruined batches", money(season.looks.lost)))
    return titled("The season as planned", table(("", ""), rows).lstrip("\n"))


def _cautions(season: Season) -> str:
    if not season.cautions:
        return ""
    told = cautions_told(season.cautions)
    listed = "\n".join(f"- {caution}" for caution in told)
    return f"To check before you trust or sell ({len(told)})\n{listed}"


def trace_report(tree: Branch) -> str:
    """Return a traced cost as text, each level indented under what it adds up to."""
    rows = [(label, f"{amount:.4f}") for label, amount in lines(tree)]
    return table(("", "cost"), rows).lstrip("\n")
