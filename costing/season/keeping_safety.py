"""Whether a formula keeps: water, what preserves it, and sugar or salt that dissolves. Nothing said here is a clearance."""

from __future__ import annotations

from collections.abc import Iterator

from costing.errors import Caution
from costing.season.costed import Season
from costing.season.limits import ASSESS
from costing.tables.buying.items import ITEMS
from costing.tables.deciding.contents import CONTENTS
from costing.tables.deciding.keeping import BAR_UNPRESERVED, IDLE, KEEPING, SYRUPY, UNPRESERVED, WEAK, KeptRow

SPOILS = f"what stays moist can spoil: {ASSESS}; only a challenge test tells whether it keeps"


def keeping_cautions(season: Season) -> Iterator[Caution]:
    """Yield a caution for each watery formula in which nothing preserves, or nothing that does there, or far too little."""
    told = {UNPRESERVED: _unpreserved, BAR_UNPRESERVED: _undried, IDLE: _idle, WEAK: _weak}
    for row in season[KEEPING].rows:
        if row.remark in told:
            yield told[row.remark](season, row)


def grain_cautions(season: Season) -> Iterator[Caution]:
    """Yield a caution for each formula whose water could dissolve much of the sugar or salt in it."""
    for row in season[KEEPING].rows:
        if row.grain_remark == SYRUPY:
            part = "all" if row.dissolved >= 1 else f"{row.dissolved:.0%}"
            what = f"its {row.water:.1%} of water could dissolve {part} of its sugar and salt"
            do = "it may turn to syrup, and take up water from wet hands: make a small batch and watch it before you sell it"
            yield Caution(_where(row), what, do)


def _unpreserved(_: Season, row: KeptRow) -> Caution:
    return Caution(_where(row), f"{row.water:.1%} water and no preservative", SPOILS)


def _undried(_: Season, row: KeptRow) -> Caution:
    what = f"{row.water:.1%} water, no preservative that works in soap, and no loss written for its drying"
    return Caution(_where(row), what, f"write what drying takes as loss_percent of its last step; {SPOILS}")


def _idle(season: Season, row: KeptRow) -> Caution:
    soap = "does not work at the pH of soap, about 9 to 10.5: measure it"
    return Caution(_where(row), f"{row.water:.1%} water, and {_named(season, row)} {soap}", SPOILS)


def _weak(season: Season, row: KeptRow) -> Caution:
    what = f"{row.water:.1%} water, and of {_named(season, row)} only {row.acting:.0%} of the least that usually works"
    return Caution(_where(row), what, SPOILS)


def _where(row: KeptRow) -> str:
    return f"formulas, {row.formula}"


def _named(season: Season, row: KeptRow) -> str:
    """Return the preservatives in what a formula makes; those that act where any does."""
    inside = [each for each in season[CONTENTS].rows if each.what == row.formula and each.preserves > 0]
    acting = [each.item for each in inside if each.acting > 0]
    listed = [row.item for row in season[ITEMS].rows]
    return " and ".join(sorted(acting or [each.item for each in inside], key=listed.index))
