"""The plan is live: whatever it hangs on is edited in the file, its sheets are those of the season costed anew."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from costing.fields.types import day_number
from tests.engines.formulas_package import worked_out as by_package
from tests.engines.hyperformula import fetched, worked_out
from tests.engines.sheets import Sheets, differing
from tests.workbook.libreoffice import Recalculated
from tests.workbook.small_edits import Edit, edited_books, moved_on

pytestmark = pytest.mark.slow

SHEETS = ("Make and buy", "From plan to pot", "Made")


SCRUB, CREAM = {"Product": "scrub 100", "Channel": "stall"}, {"Product": "cream 50", "Channel": "post"}
MELT, HEAD = {"Formula": "mash", "Row": "step", "Step": "melt"}, {"Formula": "mash", "Row": "formula"}
LATER = day_number(date(2026, 9, 30))
EDITS = [
    Edit("Prices", SCRUB, "Planned", 95, "prices", 0, "planned"),
    Edit("Prices", SCRUB, "Planned", 0, "prices", 0, "planned"),
    Edit("Prices", CREAM, "Planned", 260, "prices", 2, "planned"),
    Edit("Made", {"What": "mash/cream"}, "On hand", 5200, "made", 0, "on_hand"),
    Edit("Made", {"What": "mash"}, "On hand", 1900, "made", 1, "on_hand"),
    Edit("Made", {"What": "cream 50"}, "On hand", 55, "made", 2, "on_hand"),
    Edit("Items", {"Item": "plum drops"}, "On hand", 350, "items", 0, "on_hand"),
    Edit("Formulas", MELT, "Days", 24.5, "steps", 0, "days"),
    Edit("Formulas", {"Formula": "scrub", "Row": "step", "Step": "fold"}, "Days", 3, "steps", 2, "days"),
    Edit("Formulas", MELT, "Percent", 0.25, "steps", 0, "loss_percent", 25),
    Edit("Formulas", HEAD, "Grams", 2750, "formulas", 0, "batch_grams"),
    Edit("Formulas", {"Formula": "scrub", "Row": "line", "What": "mash/cream"}, "Grams", 520, "lines", 2, "grams"),
    Edit("Settings", {"Key": "ready_by"}, "Value", LATER, "season", None, "ready_by", "2026-09-30"),
    Edit("Products", {"Product": "cream 50"}, "Waste", 0.2, "products", 1, "waste_percent", 20),
    Edit("Tubs", {"Part": "lid"}, "Count", 3, "tubs", 1, "count"),
]  # fmt: skip


TOGETHER = list({(edit.sheet, str(edit.row), edit.heading): edit for edit in EDITS}.values())  # the last of a cell's


@pytest.fixture(scope="module")
def together(tmp_path_factory: pytest.TempPathFactory) -> tuple[Recalculated, Path]:
    """Return the workbook with all edits at once."""
    return edited_books(tmp_path_factory.mktemp("together"), [TOGETHER])[0]


def test_edits_of_all_that_the_plan_hangs_on_are_followed(together: tuple[Recalculated, Path]) -> None:
    """Plan, stock, waiting days, losses, batches, lines, fills and tubs at once."""
    assert len(TOGETHER) > 12
    assert moved_on(SHEETS, *together) > 50


def test_another_engine_follows_them_too(together: tuple[Recalculated, Path], tmp_path: Path) -> None:
    """HyperFormula, from the formulas of the edited workbook, comes to what is stored in the one exported anew."""
    _, anew = together
    results = worked_out(Sheets(anew.parent / "edited-0.xlsx"), fetched(tmp_path), tmp_path)
    count, found = differing(Sheets(anew), results)
    assert count > 1000
    assert [each for each in found if each.place.partition("!")[0] in SHEETS] == []


@pytest.mark.long
def test_a_third_engine_follows_them(together: tuple[Recalculated, Path]) -> None:
    """And so does the Python package formulas."""
    _, anew = together
    count, found = differing(Sheets(anew), by_package(Sheets(anew.parent / "edited-0.xlsx")))
    assert count > 1000
    assert [each for each in found if each.place.partition("!")[0] in SHEETS] == []


@pytest.fixture(scope="module")
def edited(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Recalculated, Path]]:
    """Return the workbooks with one edit each."""
    books = edited_books(tmp_path_factory.mktemp("plan"), [[edit] for edit in EDITS])
    return {edit.name: book for edit, book in zip(EDITS, books, strict=True)}


@pytest.mark.long
@pytest.mark.parametrize("edit", EDITS, ids=lambda edit: edit.name)
def test_each_edit_alone_is_followed(edit: Edit, edited: dict[str, tuple[Recalculated, Path]]) -> None:
    """And it shows in some cell."""
    assert moved_on(SHEETS, *edited[edit.name]) > 0
