"""What formulas hold: shares above their limits, of what is put in and of what is made, as the sheet Contents marks them."""

from __future__ import annotations

from collections.abc import Iterator

from costing.errors import Caution
from costing.season.costed import Season
from costing.tables.deciding.contents import CONTENTS, TOO_MUCH, TOO_MUCH_TOGETHER, SharesRow
from costing.tables.deciding.shared_limits import SHARED_LIMITS

ASSESS = "see the supplier's document and the product's safety assessment, and local law"


def share_cautions(season: Season) -> Iterator[Caution]:
    """Yield a caution for each share above its limit, of items and of acids together with their salts."""
    own = {(row.formula, row.item) for row in season[CONTENTS].rows if row.what == row.item}
    for rows in _by_formula(season):
        for row in rows:
            if row.remark == TOO_MUCH:
                through = "" if (row.formula, row.item) in own else ", in what it is made from"
                yield _above(row.formula, f"{_share(row)} of {row.item}{through}, above {row.highest:.2%}")
        for group in sorted({row.group for row in rows if row.group_remark == TOO_MUCH_TOGETHER}):
            yield _together(season, [row for row in rows if row.group == group and row.acid > 0])


def _by_formula(season: Season) -> Iterator[list[SharesRow]]:
    """Yield the rows of what each formula makes as a whole."""
    found: dict[str, list[SharesRow]] = {}
    for row in season[CONTENTS].rows:
        if row.what == row.formula:
            found.setdefault(row.formula, []).append(row)
    yield from found.values()


def _share(row: SharesRow) -> str:
    """Return an item's share of what is put in, and of what is made where losses make that more."""
    put_in, made = f"{row.share:.2%}", f"{row.made_share:.2%}"
    return put_in if put_in == made else f"{put_in}, and {made} of what is made if only steam is lost,"


def _above(formula: str, what: str) -> Caution:
    return Caution(f"formulas, {formula}", what, f"steam lost raises the share further: {ASSESS}")


def _together(season: Season, rows: list[SharesRow]) -> Caution:
    shared = next(each for each in season[SHARED_LIMITS].rows if each.group == rows[0].group)
    listed = [each.item for each in season[SHARED_LIMITS].rows]
    names = " and ".join(sorted((row.item for row in rows), key=listed.index))
    together = f"{rows[0].acid_together:.2%} of {names} together, counted as {shared.acid}, above {shared.highest:.2%}"
    return _above(rows[0].formula, together)
