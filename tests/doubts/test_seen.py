"""What was looked at is quiet: by its place or its whole line, whatever its name holds, and nothing else with it."""

from __future__ import annotations

from pathlib import Path

import pytest

import costing
from costing.errors import Doubt
from costing.season.doubts.places import unseen
from tests.doubts.small import USED, doubts, usual
from tests.published.seasons import bought, costed, product


def test_what_was_looked_at_is_quiet_and_only_that(tmp_path: Path) -> None:
    """A row of seen silences the doubt of that place, in the workbook's records too; another place is still told."""
    rows = [*usual(10, 10.5, 9.8), bought("wares", 10, size=1, bought_on="2026-07-01")]
    rows += [bought("wares", 10, size=1, bought_on="2026-07-02")]
    where = "purchases, wares of 2026-07-01"
    told = doubts(*rows)
    seen = {"where": where, "note": "a tester"}
    left = doubts(*rows, seen=[seen])
    assert len(left) == len(told) - 1 > 0
    assert left == [each for each in told if not each.startswith(f"{where}:")]
    season = costed(purchases=rows, lines=USED, products=[product("any", "filling", grams=100)], seen=[seen])
    costing.export(season, tmp_path / "book.xlsx", all_sheets=True)
    read_back = costing.read_season(tmp_path / "book.xlsx")
    assert [(row.where, row.note) for row in read_back.seen] == [(where, "a tester")]


PLACES = (
    "purchases, Oil: fine of 2026-05-02, B1",
    "purchases, Oil: coarse of 2026-05-02, B1",
    "items, Oil",
    "items, Oil: fine",
)


@pytest.mark.parametrize(("text", "quiet"), [
    ("purchases, Oil: fine of 2026-05-02, B1", PLACES[:1]),
    ("purchases, Oil: fine of 2026-05-02, B1, row 7", PLACES[:1]),
    ("doubt: purchases, Oil: fine of 2026-05-02, B1, row 7: too dear; did you mean kg?", PLACES[:1]),
    ("items, Oil: too dear; look", PLACES[2:3]),
    ("items, Oil: fine: too dear; look", PLACES[3:]),
    ("items, Oil", PLACES[2:3]),
    ("purchases, Oil", ()),  # it could be either of two
    ("purchases", ()),
    ("", ()),
])  # fmt: skip
def test_a_place_ends_where_the_doubts_does_whatever_colons_its_names_hold(text: str, quiet: tuple[str, ...]) -> None:
    left = [doubt.where for doubt in unseen([Doubt(place, "too dear", "look", row=7) for place in PLACES], [text])]
    assert left == [place for place in PLACES if place not in quiet]


def test_a_text_cut_at_a_names_own_colon_means_the_one_place_that_goes_on_with_it() -> None:
    place = "overheads, Rent: workshop"
    assert list(unseen([Doubt(place, "a total", "look")], ["overheads, Rent"])) == []


def test_a_doubt_is_told_with_its_row_which_is_no_part_of_its_place() -> None:
    """Rows move when others are added above them."""
    rows = [*usual(10, 10.5, 9.8), bought("wares", 10, size=1, bought_on="2026-07-01")]
    season = costed(purchases=rows, lines=USED, products=[product("any", "filling", grams=100)])
    (told,) = [each for each in season.cautions if isinstance(each, Doubt) and "2026-07-01" in each.where]
    assert told.where == "purchases, wares of 2026-07-01"
    assert str(told).startswith("purchases, wares of 2026-07-01, row 4: ")
