"""The subjects of ``costing show``, a line each: what it is called, what it tells, and the parts that show it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from costing.errors import Refusal, did_you_mean
from costing.season.costed import Season
from costing.shown import (
    buying_report,
    deciding_report,
    keeping_report,
    keyed_figures,
    lye_report,
    making_report,
    report,
    scales_report,
    selling_report,
    stock_report,
    tubs_report,
)


class Part(Protocol):
    """What can be shown of a season in both ways; a module of this folder is one."""

    def figures(self, season: Season, /) -> dict[str, Any]:
        """Return figures under stable keys."""

    def report(self, season: Season, /) -> Sequence[str]:
        """Return texts with a title each, those that there are."""


@dataclass(frozen=True)
class _Of:
    """A part whose figures are some of those that ``show --json`` always has."""

    keys: tuple[str, ...]
    shown: Callable[[Season], list[str]]

    def figures(self, season: Season, /) -> dict[str, Any]:
        """Return these figures."""
        return {key: figure for key, figure in keyed_figures.figures(season).items() if key in self.keys}

    def report(self, season: Season, /) -> list[str]:
        """Return them as text."""
        return self.shown(season)


@dataclass(frozen=True)
class Subject:
    """One subject."""

    name: str
    about: str
    parts: tuple[Part, ...]

    def figures(self, season: Season) -> dict[str, Any]:
        """Return its figures under stable keys."""
        return {key: figure for part in self.parts for key, figure in part.figures(season).items()}

    def texts(self, season: Season) -> list[str]:
        """Return its texts, those that there are."""
        return [text for part in self.parts for text in part.report(season)]

    def report(self, season: Season) -> str:
        """Return it as one text, or that there is none."""
        return "\n\n".join(self.texts(season)) or f"{self.name}: this season has none."


SUBJECTS = (
    Subject("plan", "sales, costs, profit and hours of the season", (_Of(("season", "totals"), report.totals),)),
    Subject("tubs", "what one of each product costs, and what is in it", (_Of(("products",), report.costs), tubs_report)),
    Subject("prices", "suggested, floor and used; break-even; sizes", (_Of(("prices",), report.prices), selling_report)),
    Subject("alternatives", "own against bought base", (_Of(("alternatives",), report.alternatives),)),
    Subject("deciding", "profit wanted, hours short, what to drop, a price step", (deciding_report,)),
    Subject("formulas", "what a gram of each formula costs", (_Of(("formulas", "outputs"), report.formulas),)),
    Subject("items", "what a gram or piece counts at, and since when", (_Of(("items",), report.items),)),
    Subject("making", "what to make for the plan, when, and what is left over", (making_report,)),
    Subject("buying", "what to buy for it, and the money that takes", (buying_report,)),
    Subject("stock", "what lies in stock, and what it is worth", (stock_report,)),
    Subject("scales", "weighed tubs, and batches against their formulas", (scales_report,)),
    Subject("lye", "lye against what the oils take up", (lye_report,)),
    Subject("keeping", "water, and what preserves", (keeping_report,)),
    Subject("cautions", "what to check before you trust or sell", (_Of(("cautions",), report.cautions),)),
)


def subjects_named(names: Sequence[str]) -> list[Subject]:
    """Return the subjects of these names, in this order.

    Raises
    ------
    Refusal
        For a name that is none, with the nearest.

    """
    known = {subject.name: subject for subject in SUBJECTS}
    for name in names:
        if name.casefold() not in known:
            raise Refusal(f'there is no subject "{name}"; {did_you_mean(name, known)}')
    return [known[name] for name in dict.fromkeys(map(str.casefold, names))]


def all_figures(season: Season) -> dict[str, Any]:
    """Return the figures of every subject."""
    return {key: figure for subject in SUBJECTS for key, figure in subject.figures(season).items()}
