"""What a season costs and brings, in the terminal: plain tables that can be read, piped and mailed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from costing.fields.types import day_of
from costing.season.costed import Season
from costing.season.tracing import Branch, lines
from costing.shown.cautions_told import cautions_told


def heading(season: Season) -> str:
    """Return the season's name, day and currency."""
    settings = season.records.season
    return (
        f"{' '.join(settings.name.split())}\nPriced on {settings.priced_on.isoformat()}, cost basis {settings.cost_basis}, "
        f"amounts in {settings.currency}."
    )


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


def costs(season: Season) -> list[str]:
    """Return what one of each product costs."""
    parts = ("materials", "packaging", "work", "power", "unsold", "overheads", "total")
    rows = [
        (row.product, f"{row.fill_grams:g}", *(money(getattr(row, part)) for part in parts), f"{row.hands_on:.1f}")
        for row in season.products.rows
    ]
    return [titled("What one costs", table(("product", "fill g", *parts[:-1], "cost", "minutes"), rows))]


def prices(season: Season) -> list[str]:
    """Return what each product should sell for, in each channel."""
    rows = [
        (
            row.product, row.channel, money(row.suggested), money(row.floor_shown), money(row.cash_floor_shown),
            money(row.used), money(row.contribution), money(row.profit),
            percent(row.margin), money(row.pay_per_hour), money(row.per_100g), f"{row.planned:g}",
            row.remark.strip(),
        )
        for row in season.prices.rows
    ]  # fmt: skip
    headings = (
        "product", "channel", "suggested", "floor", "cash floor", "price", "contributes", "profit", "margin", "per hour",
        "per 100 g", "planned", "",
    )  # fmt: skip
    return [titled("What it should sell for", table(headings, rows, texts=2))] if rows else []


def alternatives(season: Season) -> list[str]:
    """Return what own products save on the same from a bought base."""
    rows = [
        (
            row.product, money(row.own_cost), money(row.bought_cost), money(row.saving), money(row.cash_saving),
            percent(row.saving_percent), row.cheaper, money(row.season_saving), f"{row.extra_minutes:.1f}",
            money(row.pay_per_extra_hour), money(row.base_per_kg), money(row.base_break_even), money(row.overheads),
        )
        for row in season.alternatives.rows
    ]  # fmt: skip
    headings = (
        "product", "own", "bought", "saving", "in cash", "of bought", "cheaper", "season", "extra min", "per extra hour",
        "base per kg", "even at", "overheads beside",
    )  # fmt: skip
    return [titled("Own or bought: what making it saves on one, overheads aside", table(headings, rows))] if rows else []


def items(season: Season) -> list[str]:
    """Return what each item counts at: those that have a price or go into something."""
    rows = [
        (
            row.item, row.kind, "piece" if row.counted_in == "piece" else "kg",
            f"{row.per_piece if row.counted_in == 'piece' else row.per_kg:,.4f}" if row.has_price else "–",
            day_of(row.latest_day).isoformat() if row.latest_day else "never", row.basis,
        )
        for row in season.items.rows
        if row.has_price or row.used_in
    ]  # fmt: skip
    return [titled("What items count at", table(("item", "kind", "per", "price", "last bought", ""), rows, texts=3))]


def formulas(season: Season) -> list[str]:
    """Return what a gram of everything made costs."""
    rows = [
        (
            row.made, f"{row.yields:,.0f}",
            *(f"{getattr(row, part):.5f}" for part in ("gram_materials", "gram_work", "gram_power", "per_gram")),
        )
        for row in season.making.rows
        if row.row in ("yield", "output")
    ]  # fmt: skip
    return [titled("What a gram costs", table(("made", "yields g", "materials", "work", "power", "per gram"), rows))]


def totals(season: Season) -> list[str]:
    """Return what the plan comes to."""
    totals = season.totals
    rows = [
        ("sales, without tax", money(totals.revenue)),
        ("costs, fees and parcels", money(totals.cost)),
        ("profit", money(totals.profit)),
        ("break-even, part of the plan", percent(totals.break_even_share)),
        ("your hours", f"{totals.hours:,.1f}"),
        ("an hour of your work earns", money(totals.pay_per_hour)),
    ]
    if season.looks.lost:
        rows.append(("of these costs, ruined batches", money(season.looks.lost)))
    return [titled("The season as planned", table(("", ""), rows).lstrip("\n"))]


def cautions(season: Season) -> list[str]:
    """Return what is to be checked, if anything is."""
    if not season.cautions:
        return []
    told = cautions_told(season.cautions)
    listed = "\n".join(f"- {caution}" for caution in told)
    return [titled(f"To check before you trust or sell ({len(told)})", listed)]


def trace_report(*trees: Branch) -> str:
    """Return traced costs as text, each level indented under what it adds up to."""
    rows = [(label, f"{amount:.4f}") for tree in trees for label, amount in lines(tree)]
    return table(("", "cost"), rows).lstrip("\n")
