"""Lye against oils: which formulas the sheet looks at, and what is said of them. Nothing said here is a clearance."""

from __future__ import annotations

from collections.abc import Iterator

from costing.errors import Caution, Fault
from costing.season.costed import Season
from costing.tables.buying.items import ITEMS, LYE, POTASH
from costing.tables.deciding.contents import CONTENTS
from costing.tables.making.lye_balance import ABOVE, ALONE, NEAR, TOO_MUCH, UNTOLD, LyeRow
from costing.tables.making.lye_balance import LYE as LYE_SHEET

CARE = "lye burns: goggles, gloves, fresh air, additions only when cool, and test the bar"
ANEW = "work the lye out anew before anyone makes it"


def lye_faults(season: Season) -> Iterator[Fault]:
    """Yield formulas with more lye than all their oils and acids take up, however high their values are."""
    for row in _looked_at(season):
        if row.remark == TOO_MUCH:
            what = f"in {row.card}, {_lye(row)}, and its oils take up {row.high:.1f} g at most"
            yield Fault(_place(season, row.card), what, f"{ANEW}; {CARE}")


def lye_cautions(season: Season) -> Iterator[Caution]:
    """Yield formulas whose lye comes near to what their oils take up, or of which that cannot be told."""
    for row in _looked_at(season):
        where = f"formulas, {row.card}"
        if row.remark in (NEAR, ABOVE):
            more = "leave more superfat, or ask the supplier for the oils' own values"
            yield Caution(where, _left(row), f"{more if row.remark == NEAR else ANEW}; {CARE}")
        elif row.remark == ALONE:
            do = f"nobody may take it for soap: use it only as the lye of a formula, labelled and locked away; {CARE}"
            yield Caution(where, f"{_lye(row)}, and nothing that takes it up", do)
        elif row.remark == UNTOLD:
            yield _untold(season, row)


def _untold(season: Season, row: LyeRow) -> Caution:
    known = f"{_lye(row)}, and oils known to take up {row.low:.1f} to {row.high:.1f} g"
    potashes, others = not_counted(season, row.card)
    potash = f"{' and '.join(potashes)} counts as pure, but is often sold at about 90 %: reckon with what its pack says; "
    what = f"{known}; without a known value: {', '.join(others)}" if others else known
    do = f"whether that is too much cannot be told: {ANEW}; {CARE}"
    return Caution(f"formulas, {row.card}", what, (potash if potashes else "") + do)


def not_counted(season: Season, formula: str) -> tuple[list[str], list[str]]:
    """Return what the look at a formula's lye could not count: lyes taken as pure, and things without a known value."""
    unknown = {item.item: item.known_as for item in season[ITEMS].rows if item.lye_unknown}
    named = [inside.item for inside in season[CONTENTS].rows if inside.what == formula and inside.item in unknown]
    potashes = [item for item in named if unknown[item] == POTASH]
    return potashes, [item for item in named if item not in potashes]


def _looked_at(season: Season) -> Iterator[LyeRow]:
    return (row for row in season[LYE_SHEET].rows if row.made == row.card)


def _lye(row: LyeRow) -> str:
    return f"{row.lye:.1f} g of lye (as sodium hydroxide)"


def _left(row: LyeRow) -> str:
    superfat = f"{row.superfat_low:.1%} to {row.superfat_high:.1%} superfat"
    return f"{_lye(row)}, and oils that take up {row.low:.1f} to {row.high:.1f} g: {superfat}"


def _place(season: Season, formula: str) -> str:
    """Return where a formula's lye is written, or the formula where its lye comes from a solution."""
    lyes = {row.item for row in season[ITEMS].rows if row.kind == LYE}
    for line, place in season.records.lines.placed():
        if line.formula == formula and line.item in lyes:
            return f"{place}, {'percent' if line.percent is not None else 'grams'}"
    return next(f"{place}, formula" for row, place in season.records.formulas.placed() if row.formula == formula)
