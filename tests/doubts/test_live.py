"""What the check doubts and a sheet can see, the rows of the workbook doubt too, and neither where it was looked at.

That a sheet works out the same as Python does, the recalculated workbooks say.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

import costing
from costing.errors import Doubt
from costing.tables.buying.items import ITEMS
from costing.tables.buying.purchase_remarks import UNLIKE
from costing.tables.buying.purchases import PURCHASES
from tests.doubts.test_louder import SLIPS
from tests.doubts.workshop import Change, added, typed, workshop
from tests.slips.bench import places_of
from tests.slips.slip import SLIPS as KINDS
from tests.slips.tables import Clean, clean_seasons
from tests.workbook.libreoffice import differences, recalculated

UNUSED_ROW: Change = added(
    "purchases", bought_on="2026-06-20", supplier="Mill: the old one", item="Argan: pressed", size="1", unit="kg", paid="30",
    tax="5",
)  # fmt: skip
TWICE_BOUGHT = [clean for clean in clean_seasons() if clean.name != "last-season"]  # where most things are bought once
FOUR = ("grams_for_kilograms", "packs_forgotten", "price_of_one_piece", "size_in_grams_beside_kilograms")


def _by_the_check(season: costing.Season, what: str = "its usual price, by") -> set[str]:
    return {each.where for each in season.cautions if isinstance(each, Doubt) and what in each.what}


def _live(season: costing.Season) -> set[str]:
    return {row.seen_as for row in season[PURCHASES].rows if UNLIKE in row.doubt}


@pytest.mark.parametrize(
    "name", ["kaolin in grams", "a cheap jar", "lids by the dozen", "oil tenfold", "half the soda paid"]
)
def test_a_price_unlike_the_others_is_doubted_in_both_or_in_neither(name: str) -> None:
    season = workshop(SLIPS[name][1])
    assert _live(season) == _by_the_check(season)


@pytest.mark.slow
@pytest.mark.parametrize("clean", TWICE_BOUGHT, ids=lambda clean: clean.name)
def test_it_is_so_of_slips_in_other_seasons(clean: Clean, tmp_path: Path) -> None:
    """Four ways to misprice a purchase, each in up to three places; some of them are out of line with others of the item."""
    found: set[str] = set()
    for at, slipped in enumerate(place for kind in KINDS if kind.name in FOUR for place in places_of(kind, clean)):
        try:
            season = costing.cost(costing.read_season(clean.write(slipped.tables, tmp_path / str(at))))
        except costing.Faults:  # of a return, whose purchase is another now
            continue
        assert _live(season) == _by_the_check(season)
        found |= _live(season)
    assert found


def _told(season: costing.Season) -> dict[str, Doubt]:
    return {each.where: each for each in season.cautions if isinstance(each, Doubt)}


@pytest.mark.parametrize("written", [lambda doubt: doubt.where, lambda doubt: f"doubt: {doubt}"], ids=["place", "line"])
def test_what_was_looked_at_is_quiet_in_the_workbook_as_in_the_check(written: Callable[[Doubt], str]) -> None:
    """By its place or the whole line that was told, whatever colons its names hold."""
    slips = (SLIPS["oil tenfold"][1], UNUSED_ROW, typed("items", {"density": "9.2"}, item="Olive oil"))
    before = workshop(*slips)
    places = {row.seen_as for row in before[PURCHASES].rows if row.to_look_at} & set(_told(before))
    assert len(places) == 1
    unused = next(where for where in _told(before) if "Argan: pressed" in where)
    assert {row.item for row in before[ITEMS].rows if row.to_look_at} == {"Olive oil", "Argan: pressed"}
    for where in (*places, unused, "items, Olive oil"):
        after = workshop(*slips, added("seen", where=written(_told(before)[where])))
        assert where not in _told(after)
        looked = {row.seen_as for row in after[PURCHASES].rows if row.to_look_at}
        assert looked == {row.seen_as for row in before[PURCHASES].rows if row.to_look_at} - {where}
        assert len([row for row in after[ITEMS].rows if row.to_look_at]) == 2 - (where not in places)


@pytest.mark.slow
@pytest.mark.long
def test_libreoffice_finds_the_same_unlike_and_looked_at(tmp_path: Path) -> None:
    """Prices between the two bounds, whose neighbours decide, among them, and a row that Seen names by a whole line."""
    slips = [SLIPS["oil tenfold"][1], UNUSED_ROW, *(
        added("purchases", bought_on=f"2026-03-{at:02}", supplier="Mill", invoice=f"{at}", item=item, size="1", unit="kg",
              paid=paid, tax="0")
        for at, (item, paid) in enumerate((("Close", "10"), ("Close", "10.2"), ("Close", "9.9"), ("Close", "10.1"),
                                           ("Close", "22"), ("Wide", "10"), ("Wide", "15"), ("Wide", "7"), ("Wide", "11"),
                                           ("Wide", "22")), start=1)
    )]  # fmt: skip
    told = str(_told(workshop(*slips))["purchases, Argan: pressed of 2026-06-20, Mill: the old one"])
    season = workshop(*slips, added("seen", where=f"doubt: {told}"))
    assert {row.item for row in season[PURCHASES].rows if row.unlike} == {"Olive oil", "Close"}
    costing.export(season, tmp_path / "book.xlsx", all_sheets=True)
    assert differences(tmp_path / "book.xlsx", recalculated(tmp_path / "book.xlsx")[0])[1] == []
