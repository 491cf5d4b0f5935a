"""The sheet Lye: recalculated by LibreOffice with all that it may have to say, and live when a recipe is edited."""

from __future__ import annotations

from pathlib import Path

import pytest

import costing
from tests.published.seasons import bought, costed, line
from tests.workbook.books import Book, typed_into
from tests.workbook.libreoffice import differences, recalculated
from tests.workbook.lint import Workbook, circles, too_long, unlike_their_column

pytestmark = pytest.mark.slow

# Grams by formula and item. Olive oil, azeite in Portuguese, takes up 0.1312 to 0.1397 g of sodium hydroxide a gram; goose
# fat is not known.
FORMULAS = {
    "strong-lye": {"sodium-hydroxide": 500, "water": 500},
    "oils": {"olive-oil": 700, "goose-fat": 300},
    "calm-bar": {"olive-oil": 1000, "sodium-hydroxide": 120, "water": 250},
    "near-bar": {"olive-oil": 1000, "strong-lye": 260},
    "bold-bar": {"Azeite": 1000, "sodium-hydroxide": 135},
    "goose-bar": {"oils": 1000, "strong-lye": 260},
    "potash-bar": {"olive-oil": 1000, "potassium-hydroxide": 210},
    "again": {"calm-bar/trimmings": 300, "sodium-hydroxide": 1},
    "soft": {"calm-bar/trimmings": 300, "water": 300},
}
REMARKS = {
    "strong-lye": "lye alone", "oils": " ", "calm-bar": " ", "calm-bar/trimmings": " ", "near-bar": "near",
    "bold-bar": "above the careful end", "goose-bar": "cannot be told", "potash-bar": "cannot be told", "again": " ",
}  # fmt: skip


@pytest.fixture(scope="module")
def season() -> costing.Season:
    """Return a season with every kind of remark that is no fault."""
    items = {item for lines in FORMULAS.values() for item in lines if item not in FORMULAS and "/" not in item}
    outputs = [("bars", 80), ("trimmings", 20)]
    return costed(
        purchases=[bought(item, 1) for item in sorted(items)],
        lines=[line(formula, item, grams) for formula, lines in FORMULAS.items() for item, grams in lines.items()],
        outputs=[{"formula": "calm-bar", "output": key, "percent": percent} for key, percent in outputs],
        items=[{"item": "goose-fat", "kind": "oil"}],
    )


@pytest.fixture(scope="module")
def book(season: costing.Season, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the season's workbook."""
    path = tmp_path_factory.mktemp("lye") / "lye.xlsx"
    costing.export(season, path, all_sheets=True)
    return path


def test_each_remark_is_given_where_it_belongs(season: costing.Season) -> None:
    """Formulas with lye are looked at, with what they are made from, and no others."""
    assert {row.made: row.remark for row in season.lye.rows} == REMARKS
    assert season.looks.lye_near == 2
    assert season.looks.lye_untold == 3
    assert season.checks.lye == "OK"


def test_the_sheet_keeps_the_rules_of_the_book(book: Path) -> None:
    """Its formulas are short, the same down a column, and go in no circle."""
    found = Workbook(book)
    assert [*too_long(found), *unlike_their_column(found), *circles(found)] == []


def test_edits_of_a_recipe_reach_the_sheet(book: Path, tmp_path: Path) -> None:
    """Nothing differs as exported; more lye, another oil and a new line typed in are counted at once.

    140 g of lye are more than 139.7 g that olive oil takes up at most; 800 g of castor oil take up 100.4 to 106.6 g, less
    than 120 g, also under a name of one's own with the packaged key beside it; a formula typed in a free row of its card
    makes its bar richer.
    """
    cells = Book.at(book)
    typed = {
        (("Formulas", cells.place("Formulas", heading, cells.row("Formulas", heading, keys)))): value
        for heading, keys, value in (
            ("Grams", {"Formula": "bold-bar", "What": "sodium-hydroxide"}, 140.0),
            ("What", {"Formula": "calm-bar", "What": "olive-oil"}, "Huile du moulin"),
            ("What", {"Formula": "near-bar", "What": "olive-oil"}, "coconut-oil"),
        )
    }
    edited = tmp_path / "edited.xlsx"
    items = cells.free_row("Items", "Item")
    typed[("Items", cells.place("Items", "Item", items))] = "Huile du moulin"
    typed[("Items", cells.place("Items", "Same as", items))] = "castor-oil"
    typed[("Items", cells.place("Items", "Kind", items))] = "oil"
    typed[("Items", cells.place("Items", "Item", items + 1))] = "coconut-oil"
    typed_into(book, edited, typed)
    as_written, after = recalculated(book, edited)
    anew = after.book
    count, found = differences(book, as_written)
    assert found == []
    assert count > 2000
    remarks = {key[0]: remark for key, remark in Book(anew).column("Lye", "Look at", ("Made",)).items()}
    assert remarks["bold-bar"] == "too much lye"
    assert remarks["near-bar"].strip() == ""
    low = {key[0]: grams for key, grams in Book(anew).column("Lye", "Taken up, low", ("Made",)).items()}
    assert low["calm-bar"] == pytest.approx(1000 * 176 * 0.7128893 / 1000)
    checks = Book(anew).column("Checks", "Result", ("Key",))
    assert (checks[("lye",)], checks[("overall",)]) == ("CHECK", "CHECK")
