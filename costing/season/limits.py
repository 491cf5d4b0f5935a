"""What formulas hold: shares above their limits, and water that nothing preserves, as the sheet Contents marks them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from costing.errors import Caution
from costing.tables.deciding.contents import BAR_UNPRESERVED, CONTENTS, TOO_MUCH, TOO_MUCH_TOGETHER, UNPRESERVED, SharesRow
from costing.tables.deciding.shared_limits import SHARED_LIMITS

if TYPE_CHECKING:
    from costing.season.costed import Season

ASSESS = "see the supplier's document and the product's safety assessment, and local law"
KEEPING = {
    UNPRESERVED: f"what stays moist can spoil: {ASSESS}",
    BAR_UNPRESERVED: f"a bar that dries usually goes without; what stays moist needs one: {ASSESS}",
}


def share_cautions(season: Season) -> Iterator[Caution]:
    """Yield a caution for each share above its limit, of items and of acids together with their salts."""
    own = {(row.formula, row.item) for row in season[CONTENTS].rows if row.what == row.item}
    for rows in _by_formula(season):
        for row in rows:
            if row.remark == TOO_MUCH:
                through = "" if (row.formula, row.item) in own else ", in what it is made from"
                yield _above(row.formula, f"{row.share:.2%} of {row.item}{through}, above {row.highest:.2%}")
        for group in sorted({row.group for row in rows if row.group_remark == TOO_MUCH_TOGETHER}):
            yield _together(season, [row for row in rows if row.group == group and row.acid > 0])


def water_cautions(season: Season) -> Iterator[Caution]:
    """Yield a caution for each formula with water of its own in which nothing preserves."""
    for rows in _by_formula(season):
        for remark in {row.water_remark: None for row in rows if row.water_remark in KEEPING}:
            yield Caution(f"formulas, {rows[0].formula}", "water and no preservative", KEEPING[remark])


def _by_formula(season: Season) -> Iterator[list[SharesRow]]:
    """Yield the rows of what each formula makes as a whole."""
    found: dict[str, list[SharesRow]] = {}
    for row in season[CONTENTS].rows:
        if row.what == row.formula:
            found.setdefault(row.formula, []).append(row)
    yield from found.values()


def _above(formula: str, what: str) -> Caution:
    return Caution(f"formulas, {formula}", what, f"steam lost raises the share further: {ASSESS}")


def _together(season: Season, rows: list[SharesRow]) -> Caution:
    shared = next(each for each in season[SHARED_LIMITS].rows if each.group == rows[0].group)
    listed = [each.item for each in season[SHARED_LIMITS].rows]
    names = " and ".join(sorted((row.item for row in rows), key=listed.index))
    together = f"{rows[0].acid_together:.2%} of {names} together, counted as {shared.acid}, above {shared.highest:.2%}"
    return _above(rows[0].formula, together)
