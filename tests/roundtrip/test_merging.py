"""Export, workbook and records brought together cell by cell: nobody's edit is lost, undone or guessed at."""

from __future__ import annotations

import base64
import json
import re
import zlib
from datetime import datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.packaging.custom import StringProperty

import costing
from costing.exchange.carried_states import LOG
from costing.season.comparable import normal_tables
from costing.season.packing import packed, unpacked
from costing.workbook.identity import EXPORT_PROPERTY, GIVEN_PROPERTY, in_pieces
from tests.roundtrip.makers import edits, grid, write_folder
from tests.roundtrip.small_books import (
    CASTOR,
    LABELS,
    LABELS_TOLD,
    NOTHING,
    PAID,
    PAID_TOLD,
    added,
    carried,
    deleted,
    exported,
    file_text,
    held,
    nothing_new,
    replaced,
    retyped,
    set_to,
    typed,
    written,
    wrote,
)
from tests.seasons import random_season, seeded
from tests.small_season import FILES, small_season

pytestmark = pytest.mark.slow

WATER_BY_HAND = ("2.60,0.34", "2.80,0.34")
FIRST = f"{GIVEN_PROPERTY}1"
SETTLED = "or say which side's to take with --settle workbook or --settle records.\n"


@pytest.fixture
def other(tmp_path: Path) -> Path:
    """Return where a second copy of the workbook is."""
    return tmp_path / "other.xlsx"


def conflicts(book: Path, season: Path, *options: str) -> list[str]:
    """Carry, see that nothing is written for conflicts, and return what is told of each."""
    before = held(season)
    result = carried(book, season, "--yes", *options)
    assert result.exit_code == 1
    assert held(season) == before
    *told, last = result.stderr.splitlines(keepends=True)
    assert last.endswith(SETTLED)
    assert last.startswith(f"{len(told)} cell{'s' * (len(told) > 1)} changed in the workbook and in the records since")
    return [line.removeprefix("conflict  ").rstrip("\n") for line in told]


# -- cell by cell --


def test_cells_of_one_table_edited_on_either_side_are_merged(folder: Path, own: Path) -> None:
    replaced(folder / "purchases.csv", *WATER_BY_HAND)
    assert wrote(written(own, PAID), folder, 1) == [PAID_TOLD]
    assert edits(folder, small_season().records) == [PAID_TOLD, "purchases: 2026-07-31 water: paid 2.6 → 2.8"]


def test_cells_of_one_row_edited_on_either_side_are_merged(folder: Path, own: Path) -> None:
    replaced(folder / "purchases.csv", "castor-oil,1,5,L,66.70,8.70,,,", "castor-oil,1,5,L,66.70,8.70,,,checked")
    assert wrote(written(own, PAID), folder, 1) == [PAID_TOLD]
    assert "castor-oil,1,5,L,70.5,8.70,,,checked\n" in file_text(folder / "purchases.csv")


def test_cell_edited_on_both_sides_is_told_with_its_values_and_places(folder: Path, own: Path) -> None:
    """Not even what is no conflict is written: what was shown is carried as a whole or not at all."""
    replaced(folder / "purchases.csv", "66.70,8.70", "68,8.70")
    assert conflicts(written(own, PAID, LABELS), folder) == [
        "purchases: 2025-05-12 Brackmoss Supply BM-1042 castor-oil: paid is 70.5 in the workbook, 68 in the records, and "
        "was 66.7 at the export (sheet Purchases, cell H6; purchases.csv, row 2)"
    ]


def test_same_edit_on_both_sides_is_nothing_to_carry(folder: Path, own: Path) -> None:
    replaced(folder / "purchases.csv", "66.70,8.70", "70.50,8.70")
    before = held(folder)
    assert carried(written(own, PAID), folder, "--yes").stdout == NOTHING
    after = held(folder)
    assert after.pop(LOG)  # that both sides now agree is remembered
    assert after == before


@pytest.mark.parametrize("side", ["workbook", "records"])
def test_maker_chooses_a_side(side: str, folder: Path, own: Path) -> None:
    replaced(folder / "purchases.csv", "66.70,8.70", "68,8.70")
    written(own, PAID, LABELS)
    told = [PAID_TOLD.replace("66.7", "68"), LABELS_TOLD] if side == "workbook" else [LABELS_TOLD]
    assert wrote(own, folder, len(told), "--settle", side) == told
    assert carried(own, folder, "--yes").exit_code == 0


def test_conflict_is_over_once_one_side_is_brought_in_line(folder: Path, own: Path) -> None:
    replaced(folder / "purchases.csv", "66.70,8.70", "68,8.70")
    assert len(conflicts(written(own, PAID), folder)) == 1
    replaced(folder / "purchases.csv", "68,8.70", "70.5,8.70")
    assert carried(own, folder, "--yes").stdout == NOTHING


def test_size_and_unit_are_one_figure(folder: Path, own: Path) -> None:
    """A size from one side with the unit of the other would be a figure that nobody wrote."""
    replaced(folder / "purchases.csv", "castor-oil,1,5,L,", "castor-oil,1,6,L,")
    told = conflicts(written(own, typed("Purchases", CASTOR, size=4.8, unit="kg")), folder)
    assert [line.split(": ")[2].split(" (")[0] for line in told] == [
        "size is 4.8 in the workbook, 6 in the records, and was 5 at the export",
        "unit is kg in the workbook, L in the records, and was L at the export",
    ]


def test_settings_are_merged_one_by_one(folder: Path, own: Path) -> None:
    replaced(folder / "season.csv", "stale_days,180", "stale_days,90")
    assert wrote(written(own, set_to("hourly_rate", 30)), folder, 1) == ["season: settings: hourly_rate 28 → 30"]
    replaced(folder / "season.csv", "power_price,0.34", "power_price,0.5")
    retyped(own, set_to("power_price", 0.4))
    assert conflicts(own, folder) == [
        "season: settings: power_price is 0.4 in the workbook, 0.5 in the records, and was 0.34 at the export "
        "(sheet Settings, cell C15; season.csv, row 7)"
    ]


def test_figures_of_an_item_are_merged_though_its_row_came_or_went(folder: Path, own: Path) -> None:
    replaced(folder / "items.csv", "kaolin,,,,,720,,,,", "kaolin,,,,,720,30,,,")
    wrote(written(own, typed("Items", {"item": "kaolin"}, on_hand=None)), folder, 1)
    assert "kaolin,,,,,,30,,,\n" in file_text(folder / "items.csv")


# -- whole rows --

NEW = {"bought_on": datetime(2026, 10, 20), "item": "water", "size": 2, "unit": "L", "paid": 1.5, "note": "bottle"}
NEW_LINE = "2026-10-20,,,water,,2,L,1.5,,,,bottle\n"


def test_rows_added_on_either_side_are_all_there(folder: Path, own: Path) -> None:
    other = "2026-10-21,,,water,,3,L,2.5,,,,another bottle\n"
    (folder / "purchases.csv").write_text(FILES["purchases"] + other, encoding="utf-8")
    wrote(written(own, added("Purchases", **NEW)), folder, 1)
    assert file_text(folder / "purchases.csv") == FILES["purchases"] + other + NEW_LINE


def test_row_added_on_both_sides_alike_is_one_row(folder: Path, own: Path) -> None:
    (folder / "purchases.csv").write_text(FILES["purchases"] + NEW_LINE, encoding="utf-8")
    assert carried(written(own, added("Purchases", **NEW)), folder, "--yes").stdout == NOTHING


def test_row_added_on_both_sides_with_other_figures_is_a_conflict(folder: Path, own: Path) -> None:
    (folder / "overheads.csv").write_text(f"{FILES['overheads']}website,200,units\n", encoding="utf-8")
    told = conflicts(written(own, added("Overheads", overhead="website", amount=240, shared_by="units")), folder)
    assert told == [
        "overheads: website: amount is 240 in the workbook, 200 in the records, and was blank at the export "
        "(sheet Overheads, cell B8; overheads.csv, row 4)"
    ]


def test_row_removed_on_one_side_goes_and_on_both_is_gone(folder: Path, own: Path) -> None:
    replaced(folder / "purchases.csv", "2025-09-15,Wattlemere Ingredients,W7902,discount,,,,6.50,0,AUD,1.09,"
             "welcome discount\n", "")  # fmt: skip
    written(own, deleted("Purchases", item="discount"), deleted("Overheads", overhead="insurance"))
    assert wrote(own, folder, 1) == ["overheads: removed overhead insurance, amount 310"]


@pytest.mark.parametrize("gone", ["workbook", "records"])
def test_row_removed_on_one_side_and_edited_on_the_other_is_a_conflict(gone: str, folder: Path, own: Path) -> None:
    if gone == "workbook":
        replaced(folder / "overheads.csv", "insurance,310", "insurance,330")
        told = conflicts(written(own, deleted("Overheads", overhead="insurance")), folder)
        ends = "(overheads.csv, row 3)"
    else:
        replaced(folder / "overheads.csv", "insurance,310,units\n", "")
        told = conflicts(written(own, typed("Overheads", {"overhead": "insurance"}, amount=330)), folder)
        ends = "(sheet Overheads, cell B7)" if told[0].endswith("cell B7)") else "(sheet Overheads, row 7)"
    kept = "records" if gone == "workbook" else "workbook"
    was = f"was removed in the {gone}, and changed in the {kept}: amount 310 → 330"
    assert told == [f"overheads: insurance: {was} {ends}"]


def test_steps_put_in_on_both_sides_are_counted_anew(folder: Path, own: Path) -> None:
    (folder / "steps.csv").write_text(FILES["steps"].replace("scrub,", "bar,wrap,3,,,\nscrub,"), encoding="utf-8")

    def stamp(book: Any) -> None:
        cards = grid(book, "Formulas")
        after = cards.find(formula="bar", row="step", step="blend") + 1
        cards.sheet.insert_rows(after)
        cards.put(after, formula="bar", row="step", step="stamp", minutes=8)

    wrote(written(own, stamp), folder, 4)
    steps = [line.split(",")[1] for line in file_text(folder / "steps.csv").splitlines() if line.startswith("bar,")]
    assert steps == ["lye", "blend", "stamp", "cut", "cure", "wrap"]


# -- copies of one export --


def test_second_copy_of_an_export_does_not_undo_the_edits_of_the_first(folder: Path, own: Path, other: Path) -> None:
    assert wrote(written(own, PAID), folder, 1) == [PAID_TOLD]
    assert wrote(written(other, LABELS), folder, 1) == [LABELS_TOLD]
    assert edits(folder, small_season().records) == [PAID_TOLD, LABELS_TOLD]
    retyped(own, set_to("hourly_rate", 30))
    assert wrote(own, folder, 1) == ["season: settings: hourly_rate 28 → 30"]
    assert "1 row of the records differ" in nothing_new(own, folder)


def test_second_copy_without_edits_carries_nothing_and_says_what_differs(folder: Path, own: Path, other: Path) -> None:
    wrote(written(own, PAID), folder, 1)
    assert nothing_new(written(other), folder) == (
        "Nothing to carry: no edit in the workbook is new. 1 row of the records differ from it and stay as they are.\n"
    )


def test_cell_edited_in_two_copies_is_a_conflict(folder: Path, own: Path, other: Path) -> None:
    wrote(written(own, PAID), folder, 1)
    told = conflicts(written(other, typed("Purchases", CASTOR, paid=72)), folder)
    assert [line.split(": ")[2].split(" (")[0] for line in told] == [
        "paid is 72 in the workbook, 70.5 in the records, and was 66.7 at the export"
    ]


def test_workbook_carried_before_is_known_under_another_name(folder: Path, own: Path, other: Path) -> None:
    wrote(written(own, PAID), folder, 1)
    own.rename(other)
    assert wrote(retyped(other, LABELS), folder, 1) == [LABELS_TOLD]


def test_edits_after_a_carry_are_carried_again(folder: Path, own: Path) -> None:
    wrote(written(own, PAID), folder, 1)
    assert nothing_new(own, folder) == NOTHING
    retyped(own, typed("Purchases", CASTOR, paid=71))
    assert wrote(own, folder, 1) == [PAID_TOLD.replace("66.7 → 70.5", "70.5 → 71")]


def test_row_added_carried_and_edited_is_the_same_row(folder: Path, own: Path) -> None:
    wrote(written(own, added("Purchases", **NEW)), folder, 1)
    retyped(own, typed("Purchases", {"note": "bottle"}, paid=1.75, size=3))
    assert wrote(own, folder, 1) == ["purchases: 2026-10-20 water: size 2 → 3, paid 1.5 → 1.75"]


def test_edit_taken_back_in_the_workbook_is_taken_back_in_the_records(folder: Path, own: Path) -> None:
    wrote(written(own, PAID), folder, 1)
    retyped(own, typed("Purchases", CASTOR, paid=66.7))
    assert wrote(own, folder, 1) == [PAID_TOLD.replace("66.7 → 70.5", "70.5 → 66.7")]
    assert edits(folder, small_season().records) == []


def test_copy_put_in_the_place_of_a_workbook_that_was_carried_is_doubted(folder: Path, own: Path, other: Path) -> None:
    """Nothing tells it from one in which the edit was taken back by hand: so the maker is asked."""
    wrote(written(own, PAID), folder, 1)
    written(other, LABELS).rename(own)
    told = conflicts(own, folder)
    assert [line.split(": ")[2].split(" (")[0] for line in told] == [
        "paid is 66.7 in the workbook, 70.5 in the records, and was 66.7 at the export"
    ]
    assert wrote(own, folder, 1, "--settle", "records") == [LABELS_TOLD]


def test_records_changed_after_a_carry_are_merged_with_later_edits(folder: Path, own: Path) -> None:
    wrote(written(own, PAID), folder, 1)
    replaced(folder / "purchases.csv", *WATER_BY_HAND)
    assert "1 row of the records differ" in nothing_new(own, folder)
    retyped(own, typed("Purchases", CASTOR, paid=71))
    assert wrote(own, folder, 1) == [PAID_TOLD.replace("66.7 → 70.5", "70.5 → 71")]
    replaced(folder / "purchases.csv", "71,8.70", "72,8.70")
    assert "2 rows of the records differ" in nothing_new(own, folder)
    assert len(conflicts(retyped(own, typed("Purchases", CASTOR, paid=73)), folder)) == 1


def test_second_export_of_the_same_records_has_a_memory_of_its_own(folder: Path, own: Path, tmp_path: Path) -> None:
    """An edit carried from one workbook and taken back by hand is still an edit where it is made in the next one."""
    wrote(written(own, PAID), folder, 1)
    (folder / "purchases.csv").write_text(FILES["purchases"], encoding="utf-8")
    again = tmp_path / "again.xlsx"
    costing.export(costing.cost(costing.read_season(folder)), again)
    assert wrote(retyped(again, PAID), folder, 1) == [PAID_TOLD]


# -- nothing to carry is true --


def test_records_changed_alone_stay_and_are_told(folder: Path, own: Path) -> None:
    """The workbook is behind; its older figures are no edits."""
    replaced(folder / "purchases.csv", "66.70,8.70", "70.50,8.70")
    assert "1 row of the records differ" in nothing_new(written(own), folder)


def test_edited_copy_that_was_exported_again_still_has_its_edits(folder: Path, own: Path, tmp_path: Path) -> None:
    again = tmp_path / "again.xlsx"
    costing.export(costing.cost(costing.read_season(written(own, PAID))), again)
    assert wrote(again, folder, 1) == [PAID_TOLD]
    assert carried(own, folder, "--yes").stdout == NOTHING


def test_workbook_of_another_season_is_refused(own: Path, tmp_path: Path) -> None:
    """Its name is another, and most of its rows were never here."""
    elsewhere = write_folder(tmp_path / "elsewhere", random_season(seeded(5)))
    before = held(elsewhere)
    result = carried(written(own), elsewhere, "--yes")
    assert (result.exit_code, held(elsewhere)) == (2, before)
    assert result.stderr == (
        f'{own}: was exported from another season, "Driftwood Shed in spring"; this one is "A season drawn by lot". '
        f"Carry it into the folder that it was exported from\n"
    )


def test_season_under_another_name_is_still_the_same(folder: Path, own: Path) -> None:
    replaced(folder / "season.csv", "Driftwood Shed in spring", "Spring")
    assert wrote(written(own, PAID), folder, 1) == [PAID_TOLD]


def test_what_is_passed_over_in_the_workbook_is_noticed(folder: Path, own: Path) -> None:
    """A column of the maker's own beside a table is told before what is carried."""

    def view(book: Any) -> None:
        book["Products"].cell(5, book["Products"].max_column + 2).value = "My view"

    result = carried(written(own, PAID, view), folder, "--yes")
    noticed, told, _ = result.stdout.splitlines()
    assert noticed == 'noticed: Products, row 5: column "my view" is not read'
    assert told == f"carry  {PAID_TOLD}"


# -- what the workbook says of itself --


def marked(path: Path, **properties: str | None) -> Path:
    """Give a workbook other properties of its own; None takes one away."""
    book: Any = openpyxl.load_workbook(path)
    kept = {each.name: str(each.value) for each in book.custom_doc_props.props}
    if any(name.startswith(GIVEN_PROPERTY) for name in properties):
        kept = {name: value for name, value in kept.items() if not name.startswith(GIVEN_PROPERTY)}
    for name in book.custom_doc_props.names:
        del book.custom_doc_props[name]
    for name, value in (kept | properties).items():
        if value is not None:
            book.custom_doc_props.append(StringProperty(name=name, value=value))
    book.save(path)
    return path


def test_forged_state_of_the_export_makes_no_quiet_change(folder: Path, own: Path) -> None:
    """Who forges what the export was given can turn a conflict into a change, but it is shown before it is written."""
    replaced(folder / "purchases.csv", "66.70,8.70", "68,8.70")
    forged = in_pieces(packed(normal_tables(costing.read_season(folder))))
    assert wrote(marked(written(own, PAID), **forged), folder, 1) == [PAID_TOLD.replace("66.7", "68")]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        (EXPORT_PROPERTY, "=1+1"), (EXPORT_PROPERTY, None), (EXPORT_PROPERTY, "0123456789abcdef\n"), (FIRST, None),
        (FIRST, "no base64"), (FIRST, base64.b64encode(zlib.compress(b"[]")).decode()),
        (FIRST, packed({"season": [{"nmae": "x"}]})), (FIRST, packed({"tubs": [{"tub": "x"}]})),
    ],
)  # fmt: skip
def test_what_a_workbook_is_known_by_is_checked_for_its_form(name: str, value: str | None, folder: Path, own: Path) -> None:
    result = carried(marked(written(own, PAID), **{name: value}), folder, "--yes")
    told = f"{own}: was not written by costing export, so its edits cannot be told from what was there\n"
    assert (result.exit_code, result.stderr) == (2, told)
    assert held(folder) == {f"{name}.csv": text.encode() for name, text in FILES.items()}


def test_control_characters_in_what_the_export_was_given_are_shown_as_such(folder: Path, own: Path) -> None:
    tables = {name: [dict(row) for row in rows] for name, rows in normal_tables(costing.read_season(folder)).items()}
    next(row for row in tables["purchases"] if row["item"] == "castor-oil")["note"] = "\x1b[2Jseen"
    replaced(folder / "purchases.csv", "66.70,8.70,,,", "66.70,8.70,,,mine")
    told = conflicts(marked(written(own, typed("Purchases", CASTOR, note="x")), **in_pieces(packed(tables))), folder)
    assert "was \\x1b[2Jseen at the export" in told[0]


def test_tables_that_would_unpack_without_end_are_not_taken() -> None:
    bomb = base64.b64encode(zlib.compress(b'{"season":[{"name":"' + b"x" * 70_000_000 + b'"}]}', 9)).decode()
    assert unpacked(bomb) is None


def test_a_log_with_more_in_it_than_is_known_is_taken(folder: Path, own: Path) -> None:
    wrote(written(own, PAID), folder, 1)
    log = json.loads(file_text(folder / LOG))
    log["carried"][0]["by"] = "a later version"
    (folder / LOG).write_text(json.dumps(log), encoding="utf-8")
    assert nothing_new(own, folder) == NOTHING


# -- the only clear date of a column --


@pytest.mark.parametrize("side", ["workbook", "records"])
def test_only_clear_date_of_a_column_is_not_changed_without_a_word(side: str, folder: Path, own: Path) -> None:
    """One date, the 15th, says that day comes before month; without it the others could be read in two ways."""
    days = re.sub(r"(\d{4})-(\d\d)-(\d\d)", r"\3/\2/\1", FILES["purchases"])
    for clear, other in (("12/05/2025", "07/05/2025"), ("15/09/2025", "05/09/2025"), ("31/07/2026", "03/07/2026")):
        days = days.replace(clear, other)
    (folder / "purchases.csv").write_text(days.replace("03/07/2026,,,label", "15/07/2026,,,label"), encoding="utf-8")
    book = exported(folder, typed("Purchases", {"item": "label"}, bought_on=datetime(2026, 7, 4)))
    if side == "records":
        book = exported(folder, LABELS)
        replaced(folder / "purchases.csv", "15/07/2026", "04/07/2026")
    before = held(folder)
    result = carried(book, folder, "--yes")
    assert (result.exit_code, held(folder)) == (1, before)
    assert "purchases.csv, rows 2 to " in result.stderr
    assert '"07/05/2025" can be 2025-05-07 or 2025-07-05' in result.stderr
    assert ("once the workbook's edits are in it" in result.stderr) == (side == "workbook")
