"""The short answer of ``costing show``: one screen of what each tub costs, sells for and leaves, and where to read on."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from costing.engine.operations import NOTHING
from costing.season.costed import Season
from costing.shown.cautions_told import cautions_told
from costing.shown.report import heading, money, percent, table, titled
from costing.shown.subjects import SUBJECTS
from costing.tables.selling.own_or_bought import BOUGHT

_CAUTIONS, _WIDTH = 6, 118  # how many are told here, and how much of each


def summary(season: Season, path: Path) -> str:
    """Return the season in short; ``path`` is where it was read from, for what can be typed next."""
    asked = f'"{path}"' if " " in str(path) else str(path)
    parts = (heading(season), titled("Each tub", _tubs(season)), "\n".join(_sentences(season)), *_to_check(season))
    return "\n\n".join((*parts, titled(f"Read on with: costing show {asked} SUBJECT", _subjects())))


def _tubs(season: Season) -> str:
    """Return for each product its cost, its price in each channel, and what one leaves."""
    channels = [row.channel for row in season.records.channels]
    priced = {(row.product, row.channel): money(row.used) for row in season.prices.rows}
    planned = {row.product: row.planned for row in season.products.rows}
    rows = [
        (
            row.product, money(row.cost), *(priced.get((row.product, channel), "") for channel in channels),
            f"{planned[row.product]:g}", money(row.leaves), percent(row.margin), row.look.strip(),
        )
        for row in season.glance.rows
    ]  # fmt: skip
    return table(("product", "costs", *channels, "planned", "leaves", "margin", ""), rows)


def _sentences(season: Season) -> Iterator[str]:
    totals = season.totals
    yield (
        f"The plan brings {money(totals.revenue)} without tax and leaves {money(totals.profit)}, "
        f"in {totals.hours:,.0f} hands-on hours that earn {money(totals.pay_per_hour)} each."
    )
    answers = season.answers
    told = [text for text in (answers.own_or_bought, answers.own_hour) if text != NOTHING]
    if told:
        yield " ".join(told)
    if answers.others != NOTHING:
        bought = [row.product for row in season.alternatives.rows if row.cheaper == BOUGHT]
        yield f"{answers.others} Cheaper bought: {', '.join(bought)}."


def _to_check(season: Season) -> Iterator[str]:
    told = cautions_told(season.cautions)
    if told:
        lines = [f"- {_cut(f'{each.where}: {each.what}')}" for each in told[:_CAUTIONS]]
        more = len(told) - _CAUTIONS
        yield titled(f"Needs a look ({len(told)})", "\n".join([*lines, f"- and {more} more"] if more > 0 else lines))


def _cut(text: str) -> str:
    return text if len(text) <= _WIDTH else f"{text[: _WIDTH - 1]}…"


def _subjects() -> str:
    return table(("", ""), [(subject.name, subject.about) for subject in SUBJECTS], texts=2).lstrip("\n")
