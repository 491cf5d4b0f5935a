"""Carrying a workbook's edits back: only what was edited is written, what was there is kept, conflicts are told."""

from __future__ import annotations

import csv
import difflib
import io
import re
import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner, Result

import costing
from costing.cli import main
from costing.exchange.carrying import LOG, carry, plan_carrying
from costing.records.schema import TABLES_BY_NAME
from costing.season.comparable import digests
from tests.roundtrip.makers import SAMPLE, changes, edits, grid, leaned, setting, typed_into

pytestmark = pytest.mark.slow

NOTHING = "Nothing to carry: the records hold all that the workbook does.\n"
NOW = datetime(2026, 11, 2, 9, 30)
Typing = Callable[[Any], None]


# -- what the tests do --


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a copy of the sample's folder."""
    copy = tmp_path / "season"
    copy.mkdir()
    for file in SAMPLE.glob("*.csv"):
        shutil.copy(file, copy)
    return copy


def carried(book: Path, season: Path, *options: str, answer: str | None = None) -> Result:
    """Call the command."""
    return CliRunner().invoke(main, ["carry", str(book), str(season), *options], input=answer)


def wrote(book: Path, season: Path, changes_made: int) -> list[str]:
    """Carry without being asked, and return what was told of each change."""
    result = carried(book, season, "--yes")
    assert (result.exit_code, result.stderr) == (0, "")
    *told, last = result.stdout.splitlines()
    assert last.startswith(f"Wrote {changes_made} changes into {season}.")
    assert carried(book, season, "--yes").stdout == NOTHING
    return [line.removeprefix("carry  ") for line in told]


def held(season: Path) -> dict[str, bytes]:
    """Return every file of a folder, those kept among them."""
    return {str(file.relative_to(season)): file.read_bytes() for file in sorted(season.rglob("*")) if file.is_file()}


_EXPORTS: dict[str, bytes] = {}  # by the records that they were written from, since exporting takes longest of all


def exported(season: Path, *typings: Typing) -> Path:
    """Export a folder and type into the workbook."""
    path = season.with_name("own.xlsx")
    records = costing.read_season(season)
    known = str(digests(records))
    if known not in _EXPORTS:
        costing.export(costing.cost(records), path)
        _EXPORTS[known] = leaned(path, path).read_bytes()
    path.write_bytes(_EXPORTS[known])
    return typed_into(path, path, lambda book: [typing(book) for typing in typings])


def typed(sheet: str, row: dict[str, str], **values: Any) -> Typing:
    """Type values into the first row of a sheet that shows something."""

    def typing(book: Any) -> None:
        table = grid(book, sheet)
        table.put(table.find(**row), **values)

    return typing


def added(sheet: str, **values: Any) -> Typing:
    """Type a row below the last one."""

    def typing(book: Any) -> None:
        table = grid(book, sheet)
        table.put(table.rows[-1] + 1, **values)

    return typing


def deleted(sheet: str, **row: str) -> Typing:
    """Delete the first row of a sheet that shows something."""

    def typing(book: Any) -> None:
        table = grid(book, sheet)
        table.sheet.delete_rows(table.find(**row))

    return typing


def set_to(key: str, value: Any) -> Typing:
    """Change a setting."""

    def typing(book: Any) -> None:
        setting(book, key).value = value

    return typing


def replaced(file: Path, old: str, new: str) -> None:
    """Edit the records by hand."""
    text = file.read_bytes().decode("utf-8")
    assert text.count(old) == 1
    file.write_bytes(text.replace(old, new).encode("utf-8"))


CASTOR = {"item": "Castor oil", "invoice": "BM-1042"}
PAID = typed("Purchases", CASTOR, paid=70.5)
PAID_TOLD = "purchases: 2025-05-12 Brackmoss Supply BM-1042 Castor oil: paid 66.7 → 70.5"


# -- only what was edited is written, in the way that each file is written --


@dataclass(frozen=True)
class Dialect:
    """A way of writing CSV."""

    name: str
    delimiter: str = ","
    decimal_comma: bool = False
    end: str = "\n"
    codec: str = "utf-8"
    first: str = ""
    quoted: bool = False

    def write(self, season: Path) -> None:
        """Write every file of a folder anew in this way."""
        for file in season.glob("*.csv"):
            with file.open(encoding="utf-8", newline="") as opened:
                rows = list(csv.reader(opened))
            text = io.StringIO(newline="")
            writer = csv.writer(
                text,
                delimiter=self.delimiter,
                lineterminator=self.end,
                quoting=csv.QUOTE_ALL if self.quoted else csv.QUOTE_MINIMAL,
            )
            writer.writerows(self._spelled(file.stem, rows))
            file.write_bytes((self.first + text.getvalue()).encode(self.codec))

    def _spelled(self, table: str, rows: Sequence[list[str]]) -> list[list[str]]:
        """Write numbers with a decimal comma, where that is the way."""
        fields = TABLES_BY_NAME[table].model.model_fields
        spelled = [rows[0]]
        for cells in rows[1:]:
            names = cells[:1] * 2 if table == "season" else rows[0]
            numbers = [fields[name].metadata[0].shape in ("number", "percent") for name in names]
            marks = zip(cells, numbers, strict=True)
            spelled.append([cell.replace(".", ",") if number and self.decimal_comma else cell for cell, number in marks])
        return spelled

    def lines(self, data: bytes) -> list[str]:
        """Return the lines of a file, with their ends."""
        return re.findall(r"[^\n]*\n|[^\n]+", data.decode(self.codec))


DIALECTS = {
    Dialect("plain"): [
        "-2025-05-12,Brackmoss Supply,BM-1042,Castor oil,1,5,L,66.70,8.70,,,",
        "+2025-05-12,Brackmoss Supply,BM-1042,Castor oil,1,5,L,70.5,8.70,,,",
        "-2025-09-15,Wattlemere Ingredients,W7902,discount,,,,6.50,0,AUD,1.09,welcome discount on the first base order",
        '+2026-10-20,,,Water,,2,L,1234.5,,,,"Öl; ""fein"", 3"',
    ],
    Dialect("semicolons", ";", decimal_comma=True, end="\r\n", codec="cp1252"): [
        "-2025-05-12;Brackmoss Supply;BM-1042;Castor oil;1;5;L;66,70;8,70;;;\r",
        "+2025-05-12;Brackmoss Supply;BM-1042;Castor oil;1;5;L;70,5;8,70;;;\r",
        "-2025-09-15;Wattlemere Ingredients;W7902;discount;;;;6,50;0;AUD;1,09;welcome discount on the first base order\r",
        '+2026-10-20;;;Water;;2;L;1234,5;;;;"Öl; ""fein"", 3"\r',
    ],
    Dialect("tabs in UTF-16", "\t", end="\r\n", codec="utf-16"): [
        "-2025-05-12\tBrackmoss Supply\tBM-1042\tCastor oil\t1\t5\tL\t66.70\t8.70\t\t\t\r",
        "+2025-05-12\tBrackmoss Supply\tBM-1042\tCastor oil\t1\t5\tL\t70.5\t8.70\t\t\t\r",
        "-2025-09-15\tWattlemere Ingredients\tW7902\tdiscount\t\t\t\t6.50\t0\tAUD\t1.09\t"
        "welcome discount on the first base order\r",
        '+2026-10-20\t\t\tWater\t\t2\tL\t1234.5\t\t\t\t"Öl; ""fein"", 3"\r',
    ],
    Dialect("sep= and a mark", ";", decimal_comma=True, codec="utf-8-sig", first="sep=;\n"): [
        "-2025-05-12;Brackmoss Supply;BM-1042;Castor oil;1;5;L;66,70;8,70;;;",
        "+2025-05-12;Brackmoss Supply;BM-1042;Castor oil;1;5;L;70,5;8,70;;;",
        "-2025-09-15;Wattlemere Ingredients;W7902;discount;;;;6,50;0;AUD;1,09;welcome discount on the first base order",
        '+2026-10-20;;;Water;;2;L;1234,5;;;;"Öl; ""fein"", 3"',
    ],
    Dialect("all in quotes", quoted=True, end="\r\n"): [
        '-"2025-05-12","Brackmoss Supply","BM-1042","Castor oil","1","5","L","66.70","8.70","","",""\r',
        '+"2025-05-12","Brackmoss Supply","BM-1042","Castor oil","1","5","L",70.5,"8.70","","",""\r',
        '-"2025-09-15","Wattlemere Ingredients","W7902","discount","","","","6.50","0","AUD","1.09",'
        '"welcome discount on the first base order"\r',
        '+2026-10-20,,,Water,,2,L,1234.5,,,,"Öl; ""fein"", 3"\r',
    ],
}


@pytest.mark.parametrize("dialect", DIALECTS, ids=lambda dialect: dialect.name)
def test_only_edited_cells_are_written_and_in_the_way_of_their_file(dialect: Dialect, folder: Path, lean_book: Path) -> None:
    replaced(folder / "purchases.csv", "2.60,0.34,,,metered town water", "2.60,0.34,,,Wasserzähler: gemessen")
    dialect.write(folder)
    before = held(folder)
    book = exported(
        folder,
        PAID,
        deleted("Purchases", item="discount", invoice="W7902"),
        added("Purchases", bought_on=datetime(2026, 10, 20), item="Water", size=2, unit="L", paid=1234.5,
              note='Öl; "fein", 3'),
    )  # fmt: skip
    assert wrote(book, folder, 3) == [
        PAID_TOLD,
        "purchases: removed bought_on 2025-09-15, supplier Wattlemere Ingredients, invoice W7902, item discount, paid 6.5, "
        "currency AUD, rate 1.09, note welcome discount on the first base order",
        'purchases: added bought_on 2026-10-20, item Water, size 2, unit L, paid 1234.5, note Öl; "fein", 3',
    ]
    after = held(folder)
    assert {name for name in before if before[name] != after[name]} == {"purchases.csv"}
    old, new = (dialect.lines(each["purchases.csv"]) for each in (before, after))
    told = [line.rstrip("\n") for line in difflib.unified_diff(old, new, n=0) if line[0] in "+-"]
    assert told[2:] == DIALECTS[dialect]
    assert changes(costing.read_season(book), costing.read_season(folder)) == []


def test_blank_lines_spelling_and_order_of_other_rows_stay(folder: Path) -> None:
    file = folder / "prices.csv"
    odd = (
        b'\r\nPRODUCT , Channel,planned,price\n"Olive and lavender bar 120 g",MARKET STALL,"150",\r\n\n'
        b"Everyday bar 110 g, market stall,0120,9.500\n,,,\nLavender whipped soap 60 g,Market stall,110,8"
    )
    file.write_bytes(odd)
    book = exported(
        folder,
        typed("Prices", {"product": "Lavender whipped soap 60 g"}, planned=111),
        added("Prices", product="Pink clay whipped soap 120 g", channel="Market stall", price=14),
    )
    wrote(book, folder, 2)
    assert file.read_bytes() == odd.replace(
        b"stall,110,8", b"stall,111,8\r\nPink clay whipped soap 120 g,Market stall,,14\r\n"
    )


def test_columns_that_a_file_lacks_are_added(folder: Path) -> None:
    file = folder / "prices.csv"
    file.write_bytes(b"product,channel,,\nOlive and lavender bar 120 g,Market stall,,\n")
    replaced(folder / "overheads.csv", file_text(folder / "overheads.csv"), "overhead,amount\n")
    book = exported(folder, typed("Prices", {"product": "Olive and lavender bar 120 g"}, planned=10))
    wrote(book, folder, 1)
    assert file.read_bytes() == b"product,channel,planned\nOlive and lavender bar 120 g,Market stall,10,\n"


def file_text(file: Path) -> str:
    """Return what a file holds."""
    return file.read_text(encoding="utf-8")


def test_file_that_is_not_there_is_made_with_its_headings(folder: Path) -> None:
    for name in ("overheads", "alternatives"):
        (folder / f"{name}.csv").unlink()
    book = exported(
        folder,
        added_first("Overheads", overhead="Stall fees", amount=640),
        added_first(
            "Own or bought", product="Pink clay whipped soap 120 g", bought="Pink clay whipped soap from base 120 g"
        ),
    )
    wrote(book, folder, 2)
    assert file_text(folder / "overheads.csv") == "overhead,amount,shared_by\nStall fees,640,\n"
    assert (
        file_text(folder / "alternatives.csv")
        == "product,bought\nPink clay whipped soap 120 g,Pink clay whipped soap from base 120 g\n"
    )


def added_first(sheet: str, **values: Any) -> Typing:
    """Type a row under the headings of an empty table."""

    def typing(book: Any) -> None:
        table = grid(book, sheet)
        table.put(table.heading + 1, **values)

    return typing


def test_file_is_found_whatever_capitals_its_name_has(folder: Path) -> None:
    (folder / "purchases.csv").rename(folder / "Purchases.CSV")
    names = set(held(folder))
    wrote(exported(folder, PAID), folder, 1)
    assert {name for name in held(folder) if not name.startswith("kept")} == names
    assert "Castor oil,1,5,L,70.5,8.70" in file_text(folder / "Purchases.CSV")


def test_letter_that_windows_1252_lacks_turns_the_file_into_marked_utf8(folder: Path) -> None:
    replaced(folder / "purchases.csv", "metered town water", "Wasserzähler")
    Dialect("semicolons", ";", codec="cp1252").write(folder)
    book = exported(folder, typed("Purchases", CASTOR, note="řepkový olej"))
    wrote(book, folder, 1)
    data = (folder / "purchases.csv").read_bytes()
    assert data.startswith(b"\xef\xbb\xbf")
    assert "8.70;;;řepkový olej\n" in data.decode("utf-8-sig")
    assert "Wasserzähler\n" in data.decode("utf-8-sig")


def test_text_that_looks_like_a_formula_is_defused(folder: Path) -> None:
    def typing(book: Any) -> None:
        table = grid(book, "Purchases")
        cell = table.cell(table.find(**CASTOR), "note")
        cell.value, cell.data_type = '=HYPERLINK("x")', "s"

    wrote(exported(folder, typing), folder, 1)
    assert '8.70,,,"\'=HYPERLINK(""x"")"\n' in file_text(folder / "purchases.csv")


def test_one_of_two_equal_rows_can_be_removed(folder: Path) -> None:
    row = "2026-07-31,,,Water,1,1000,L,2.60,0.34,,,metered town water\n"
    replaced(folder / "purchases.csv", row, row * 2)
    wrote(exported(folder, deleted("Purchases", item="Water")), folder, 1)
    assert (folder / "purchases.csv").read_bytes() == (SAMPLE / "purchases.csv").read_bytes()


# -- what was there is kept --


def test_dated_copies_are_the_old_files(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    before = held(folder)
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    book = typed_into(book, book, typed("Tubs", {"tub": "Jar 500 mL", "part": "Large label"}, count=3))
    wrote(book, folder, 2)
    kept = {name: data for name, data in held(folder).items() if name.startswith("kept/")}
    log = kept.pop("kept/carried.csv").decode().splitlines()
    dated = {name.split("/")[1] for name in kept}
    assert len(dated) == 1
    assert re.fullmatch(r"\d{4}-\d\d-\d\d \d{6}", dated.pop())
    assert {Path(name).name: data for name, data in kept.items()} == {
        name: before[name] for name in ("purchases.csv", "tubs.csv")
    }
    assert log[0] == "export,table,digest,carried_on"
    assert [line.split(",")[1] for line in log[1:]] == ["purchases", "tubs"]


def test_copies_of_the_same_second_do_not_replace_each_other(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    for at, paid in enumerate((70.5, 71.5)):
        book = typed_into(lean_book, tmp_path / f"{at}.xlsx", typed("Purchases", CASTOR, paid=paid))
        carry(plan_carrying(book, folder), now=NOW)
    kept = folder / "kept" / "2026-11-02 093000"
    assert sorted(file.name for file in kept.iterdir()) == ["purchases (2).csv", "purchases.csv"]
    assert (kept / "purchases.csv").read_bytes() == (SAMPLE / "purchases.csv").read_bytes()
    assert b"Castor oil,1,5,L,70.5,8.70" in (kept / "purchases (2).csv").read_bytes()


# -- both sides --


def test_table_changed_on_both_sides_is_told_and_nothing_is_written(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    """Not even the tables that are no conflict are written: what was shown is carried as a whole or not at all."""
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    book = typed_into(book, book, typed("Tubs", {"tub": "Jar 500 mL", "part": "Large label"}, count=3))
    replaced(folder / "purchases.csv", "2.60,0.34", "2.80,0.34")
    before = held(folder)
    result = carried(book, folder, "--yes")
    assert result.exit_code == 1
    assert result.stdout == "carry  tubs: Jar 500 mL Large label: count 2 → 3\n"
    assert result.stderr == (
        f"conflict  {PAID_TOLD}\n"
        "conflict  purchases: 2026-07-31 Water: paid 2.8 → 2.6\n"
        "purchases: changed in the workbook and in the records since the export; nothing was written. "
        "Bring one side in line by hand, then carry again.\n"
    )
    assert held(folder) == before


def test_conflict_is_over_once_one_side_is_brought_in_line(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    replaced(folder / "purchases.csv", "2.60,0.34", "2.80,0.34")
    assert carried(book, folder, "--yes").exit_code == 1
    replaced(folder / "purchases.csv", "2.80,0.34", "2.60,0.34")
    assert wrote(book, folder, 1) == [PAID_TOLD]


def test_different_tables_changed_on_both_sides_are_merged(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    replaced(folder / "tubs.csv", "Jar 500 mL,Large label,2", "Jar 500 mL,Large label,3")
    assert wrote(book, folder, 1) == [PAID_TOLD]
    assert edits(folder, costing.read_season(SAMPLE)) == [PAID_TOLD, "tubs: Jar 500 mL Large label: count 2 → 3"]


def test_what_is_passed_over_in_the_workbook_is_noticed(folder: Path) -> None:
    """A column of the maker's own beside a table is told before what is carried."""

    def typing(book: Any) -> None:
        book["Products"].cell(5, book["Products"].max_column + 1).value = "Ideas"

    result = carried(exported(folder, PAID, typing), folder, "--yes")
    noticed, told, _ = result.stdout.splitlines()
    assert noticed == 'noticed: Products, row 5: column "ideas" is not read'
    assert told == f"carry  {PAID_TOLD}"


def test_same_change_on_both_sides_is_nothing_to_carry(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    replaced(folder / "purchases.csv", "Castor oil,1,5,L,66.70,8.70", "Castor oil,1,5,L,70.50,8.70")
    before = held(folder)
    assert carried(book, folder, "--yes").stdout == NOTHING
    after = held(folder)
    assert after.pop(f"kept/{LOG}")  # that both sides now agree is remembered
    assert after == before


def test_records_changed_alone_stay(folder: Path, lean_book: Path) -> None:
    """The workbook is behind; its older figures are no edits."""
    replaced(folder / "purchases.csv", "Castor oil,1,5,L,66.70,8.70", "Castor oil,1,5,L,70.50,8.70")
    before = held(folder)
    assert carried(lean_book, folder, "--yes").stdout == NOTHING
    assert held(folder) == before


def test_edits_after_a_carry_are_carried_again(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    wrote(book, folder, 1)
    book = typed_into(book, book, typed("Purchases", CASTOR, paid=71))
    assert wrote(book, folder, 1) == [PAID_TOLD.replace("66.7 → 70.5", "70.5 → 71")]


def test_edit_taken_back_in_the_workbook_is_taken_back_in_the_records(
    folder: Path, lean_book: Path, sample_season: costing.Season, tmp_path: Path
) -> None:
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    wrote(book, folder, 1)
    book = typed_into(book, book, typed("Purchases", CASTOR, paid=66.7))
    assert wrote(book, folder, 1) == [PAID_TOLD.replace("66.7 → 70.5", "70.5 → 66.7")]
    assert edits(folder, sample_season.records) == []


def test_records_changed_after_a_carry_are_in_conflict_with_later_edits(
    folder: Path, lean_book: Path, tmp_path: Path
) -> None:
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    wrote(book, folder, 1)
    replaced(folder / "purchases.csv", "2.60,0.34", "2.80,0.34")
    assert carried(book, folder, "--yes").stdout == NOTHING
    book = typed_into(book, book, typed("Purchases", CASTOR, paid=71))
    before = held(folder)
    assert carried(book, folder, "--yes").exit_code == 1
    assert held(folder) == before


def test_second_export_of_the_same_records_has_a_memory_of_its_own(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    """An edit carried from one workbook and taken back by hand is still an edit where it is made in the next one."""
    first = typed_into(lean_book, tmp_path / "first.xlsx", PAID)
    wrote(first, folder, 1)
    shutil.copy(SAMPLE / "purchases.csv", folder)
    second = exported(folder, PAID, lambda book: _made_at(book, datetime(2026, 11, 2)))
    assert wrote(second, folder, 1) == [PAID_TOLD]


def _made_at(book: Any, when: datetime) -> None:
    book.properties.created = when


def test_carrying_that_was_cut_short_can_be_done_again(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    """The first table was written, but neither the log nor the second table."""
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    book = typed_into(book, book, typed("Tubs", {"tub": "Jar 500 mL", "part": "Large label"}, count=3))
    replaced(folder / "purchases.csv", "Castor oil,1,5,L,66.70,8.70", "Castor oil,1,5,L,70.5,8.70")
    assert wrote(book, folder, 1) == ["tubs: Jar 500 mL Large label: count 2 → 3"]
    book = typed_into(book, book, typed("Purchases", CASTOR, paid=71))
    assert wrote(book, folder, 1) == [PAID_TOLD.replace("66.7 → 70.5", "70.5 → 71")]


def test_records_that_change_while_the_question_is_asked_are_not_written_over(
    folder: Path, lean_book: Path, tmp_path: Path
) -> None:
    planned = plan_carrying(typed_into(lean_book, tmp_path / "book.xlsx", PAID), folder)
    replaced(folder / "purchases.csv", "2.60,0.34", "2.80,0.34")
    before = held(folder)
    with pytest.raises(costing.Faults) as caught:
        carry(planned, now=NOW)
    assert str(caught.value) == "purchases.csv: would not become what was shown; carry again, or change it by hand"
    assert held(folder) == before


# -- steps, items, settings --

WHIP = {"formula": "Lavender whipped soap", "row": "step"}


def _moved_up(book: Any) -> None:
    """Move the step cure of the olive bar before cut."""
    cards = grid(book, "Formulas")
    cut, cure = (cards.find(formula="Olive and lavender bar", row="step", step=step) for step in ("cut", "cure"))
    held_cells = [[cards.sheet.cell(row, at).value for at in cards.columns.values()] for row in (cure, cut)]
    for row, cells in zip((cut, cure), held_cells, strict=True):
        cards.put(row, **dict(zip(cards.columns, cells, strict=True)))


def _step_added(book: Any) -> None:
    cards = grid(book, "Formulas")
    after = cards.find(formula="Olive and lavender bar", row="step", step="cut") + 1
    cards.sheet.insert_rows(after)
    cards.put(after, formula="Olive and lavender bar", row="step", step="stamp", minutes=8)


def test_steps_in_another_order_are_written_in_it(folder: Path) -> None:
    book = exported(folder, _moved_up)
    assert wrote(book, folder, 2) == [
        "steps: Olive and lavender bar cut: order 3 → 4",
        "steps: Olive and lavender bar cure: order 4 → 3",
    ]
    old = "Olive and lavender bar,cut,25,0,0,0.4\nOlive and lavender bar,cure,10,180,20,11\n"
    new = file_text(SAMPLE / "steps.csv").replace(
        old, "Olive and lavender bar,cure,10,180,20,11\nOlive and lavender bar,cut,25,,,0.4\n"
    )
    assert file_text(folder / "steps.csv") == new


def test_step_is_added_in_its_place(folder: Path) -> None:
    wrote(exported(folder, _step_added), folder, 2)
    lines = file_text(folder / "steps.csv").splitlines()
    assert [line.split(",")[1] for line in lines if line.startswith("Olive and lavender bar,")] == [
        "lye",
        "blend",
        "cut",
        "stamp",
        "cure",
    ]
    others = [
        line for line in file_text(SAMPLE / "steps.csv").splitlines() if not line.startswith("Olive and lavender bar,")
    ]
    assert [line for line in lines if not line.startswith("Olive and lavender bar,")] == others


def test_figure_of_a_step_is_changed_in_its_cell(folder: Path) -> None:
    wrote(exported(folder, typed("Formulas", WHIP | {"step": "whip"}, hours=0.5)), folder, 1)
    new = file_text(SAMPLE / "steps.csv").replace(
        "Lavender whipped soap,whip,25,500,0.4,1.5", "Lavender whipped soap,whip,25,500,0.5,1.5"
    )
    assert file_text(folder / "steps.csv") == new


@pytest.fixture
def implied(folder: Path) -> Path:
    """Return a folder in which only its lines tell the steps of the lavender whip, the first of them alone in front."""
    text = "".join(
        line
        for line in file_text(folder / "steps.csv").splitlines(keepends=True)
        if not line.startswith("Lavender whipped soap,")
    )
    replaced(folder / "steps.csv", file_text(folder / "steps.csv"), text)
    kaolin = "Lavender whipped soap,whip,Kaolin,0.7,\n"
    replaced(folder / "lines.csv", kaolin, "")
    replaced(
        folder / "lines.csv", "Lavender whipped soap,melt,Water,36.2,\n", f"{kaolin}Lavender whipped soap,melt,Water,36.2,\n"
    )
    return folder


def test_steps_that_only_lines_tell_are_nothing_to_carry(implied: Path) -> None:
    assert carried(exported(implied), implied, "--yes").stdout == NOTHING


def test_steps_that_only_lines_tell_are_written_once_they_hold_a_figure(implied: Path) -> None:
    steps = file_text(implied / "steps.csv")
    assert wrote(exported(implied, typed("Formulas", WHIP | {"step": "whip"}, minutes=25)), implied, 1) == [
        "steps: Lavender whipped soap whip: minutes blank → 25"
    ]
    assert file_text(implied / "steps.csv") == f"{steps}Lavender whipped soap,melt,,,,\nLavender whipped soap,whip,25,,,\n"


def test_steps_keep_their_order_when_the_line_that_told_it_is_deleted(implied: Path) -> None:
    """The lines left over would put the whipping first; so the steps are written as the workbook has them."""
    steps = file_text(implied / "steps.csv")
    line = {"formula": "Lavender whipped soap", "row": "line"}
    book = exported(
        implied, deleted("Formulas", **line, what="Soap shreds"), typed("Formulas", line | {"what": "Water"}, percent=0.672)
    )
    wrote(book, implied, 2)
    assert changes(costing.read_season(book), costing.read_season(implied)) == []
    assert file_text(implied / "steps.csv") == f"{steps}Lavender whipped soap,melt,,,,\nLavender whipped soap,whip,,,,\n"


def test_new_formula_comes_with_all_its_tables(folder: Path) -> None:
    def typing(book: Any) -> None:
        cards = grid(book, "Formulas")
        rows: tuple[dict[str, Any], ...] = (
            {"row": "formula", "what": "Salt bar", "grams": 900},
            {"row": "line", "step": "mix", "what": "Olive and lavender bar/trimmings", "percent": "60 %"},
            {"row": "line", "step": "mix", "what": "White sugar", "percent": 40},
            {"row": "step", "step": "mix", "minutes": 9},
            {"row": "output", "what": "bars", "percent": 100},
        )
        for at, cells in enumerate(rows, start=cards.rows[-1] + 2):
            cards.put(at, formula="salt-bar", **cells)

    book = exported(folder, typing)
    assert wrote(book, folder, 5) == [
        "formulas: added formula salt-bar, name Salt bar, batch_grams 900",
        "steps: added formula salt-bar, step mix, minutes 9",
        "lines: added formula salt-bar, step mix, item Olive and lavender bar/trimmings, percent 60",
        "lines: added formula salt-bar, step mix, item White sugar, percent 40",
        "outputs: added formula salt-bar, output bars, percent 100",
    ]
    assert file_text(folder / "lines.csv").endswith(
        "salt-bar,mix,Olive and lavender bar/trimmings,60,\nsalt-bar,mix,White sugar,40,\n"
    )


def test_lines_are_added_under_those_of_their_step(folder: Path) -> None:
    def typing(book: Any) -> None:
        cards = grid(book, "Formulas")
        cards.put(cards.find(formula="Pink clay sugar scrub", what="Vitamin E"), percent=0.001)
        cards.put(
            cards.rows[-1] + 1, formula="Pink clay sugar scrub", row="line", step="fold", what="Pink clay", percent="0.1 %"
        )

    wrote(exported(folder, typing), folder, 2)
    new = file_text(SAMPLE / "lines.csv").replace(
        "Pink clay sugar scrub,fold,Vitamin E,0.2,\n",
        "Pink clay sugar scrub,fold,Vitamin E,0.1,\nPink clay sugar scrub,fold,Pink clay,0.1,\n",
    )
    assert file_text(folder / "lines.csv") == new


def test_corrections_of_items_are_carried_without_the_packaged_figures(folder: Path) -> None:
    items = file_text(folder / "items.csv")
    book = exported(
        folder,
        typed("Items", {"item": "Sunflower oil"}, density=0.9185),
        typed("Items", {"item": "Shea butter"}, quote=15.5),
        typed("Items", {"item": "Kaolin"}, on_hand=None),
    )
    assert wrote(book, folder, 3) == [
        "items: Shea butter: quote blank → 15.5",
        "items: removed item Kaolin, on_hand 720",
        "items: added item Sunflower oil, density 0.9185",
    ]
    new = items.replace("Shea butter,,,,4600,,,,", "Shea butter,,,,4600,15.5,,,").replace("Kaolin,,,,720,", "Kaolin,,,,,")
    assert file_text(folder / "items.csv") == f"{new}Sunflower oil,,,0.9185,,,,,\n"


def test_item_put_back_to_its_packaged_figure_is_blank_in_the_records(folder: Path, sample_season: costing.Season) -> None:
    before = (folder / "items.csv").read_bytes()
    density = typed("Items", {"item": "Olive oil"}, density=0.9)
    book = exported(folder, density)
    wrote(book, folder, 1)
    packaged = sample_season.row("items", item="Olive oil").density
    wrote(typed_into(book, book, typed("Items", {"item": "Olive oil"}, density=packaged)), folder, 1)
    assert (folder / "items.csv").read_bytes() == before


def test_settings_are_changed_added_and_put_back_to_their_default(folder: Path) -> None:
    replaced(folder / "season.csv", "stale_days,180\n", "")
    old = file_text(folder / "season.csv")
    book = exported(
        folder,
        set_to("hourly_rate", 30),
        set_to("stale_days", 90),
        set_to("power_price", None),
        set_to("reclaims_tax", "no"),
    )
    assert wrote(book, folder, 1) == [
        "season: settings: hourly_rate 28 → 30, power_price 0.34 → blank, reclaims_tax yes → blank, stale_days blank → 90"
    ]
    new = old.replace("hourly_rate,28", "hourly_rate,30").replace("power_price,0.34", "power_price,0")
    assert file_text(folder / "season.csv") == new.replace("reclaims_tax,yes", "reclaims_tax,no") + "stale_days,90\n"


# -- refusals and faults: nothing is written --


def test_workbook_that_is_no_export_is_refused(folder: Path, tmp_path: Path) -> None:
    CliRunner().invoke(main, ["start", "--workbook", str(tmp_path / "blank.xlsx")])
    openpyxl.Workbook().save(tmp_path / "foreign.xlsx")
    before = held(folder)
    for path in (tmp_path / "blank.xlsx", tmp_path / "foreign.xlsx"):
        result = carried(path, folder, "--yes")
        told = f"{path}: was not written by costing export, so its edits cannot be told from what was there\n"
        assert (result.exit_code, result.stdout, result.stderr) == (2, "", told)
    assert held(folder) == before


def test_season_that_is_no_folder_is_refused(lean_book: Path, tmp_path: Path) -> None:
    for path in (lean_book, tmp_path / "nowhere"):
        result = carried(lean_book, path, "--yes")
        told = f"{path}: is no folder; a workbook's edits are carried into a season's folder\n"
        assert (result.exit_code, result.stdout, result.stderr) == (2, "", told)


def test_workbook_that_is_not_there_is_refused(folder: Path, tmp_path: Path) -> None:
    result = carried(tmp_path / "none.xlsx", folder, "--yes")
    told = f"{tmp_path}/none.xlsx: is not there; name a workbook\n"
    assert (result.exit_code, result.stderr) == (2, told)


@pytest.mark.parametrize("side", ["workbook", "records"])
def test_faults_of_either_side_are_told_and_nothing_is_written(
    side: str, folder: Path, lean_book: Path, tmp_path: Path
) -> None:
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    if side == "workbook":
        book = typed_into(book, book, typed("Purchases", CASTOR, paid="a lot"))
        told = 'sheet Purchases, row 8, Paid: "a lot" is not a number; write digits'
    else:
        replaced(folder / "purchases.csv", "Castor oil,1,5,L,66.70,8.70", "Castor oil,1,5,L,a lot,8.70")
        told = 'purchases.csv, row 4, paid: "a lot" is not a number; write digits'
    before = held(folder)
    result = carried(book, folder, "--yes")
    assert (result.exit_code, result.stdout) == (1, "")
    assert told in result.stderr
    assert held(folder) == before


def test_season_that_would_have_faults_is_not_written(folder: Path) -> None:
    """Each side is whole, but a product of the workbook stands in a tub that the records have given up."""
    replaced(folder / "tubs.csv", "Jar 100 mL,Jar 100 mL,1\n", "tin,Jar 100 mL,1\nJar 100 mL,Jar 100 mL,1\n")
    book = exported(folder, typed("Products", {"product": "Olive and lavender bar 120 g"}, tub="tin"))
    replaced(folder / "tubs.csv", "tin,Jar 100 mL,1\n", "")
    before = held(folder)
    result = carried(book, folder, "--yes")
    assert result.exit_code == 1
    assert 'products.csv, row 2, tub: tub "tin" has no parts; write its parts in tubs' in result.stderr
    assert held(folder) == before


def test_log_that_cannot_be_read_is_refused(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    (folder / "kept").mkdir()
    (folder / "kept" / "carried.csv").write_bytes(b"\xff\xfe\x00")
    before = held(folder)
    result = carried(book, folder, "--yes")
    assert result.exit_code == 2
    assert result.stderr.startswith(f"{folder}/kept/carried.csv: cannot be read (")
    assert held(folder) == before


# -- the question --


@pytest.mark.parametrize("answer", ["n\n", "\n", ""])
def test_question_answered_with_no_or_not_at_all_writes_nothing(
    answer: str, folder: Path, lean_book: Path, tmp_path: Path
) -> None:
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    before = held(folder)
    result = carried(book, folder, answer=answer)
    assert result.exit_code == 1
    assert result.stdout == f"carry  {PAID_TOLD}\n"
    assert result.stderr.startswith(f"Write these 1 changes into {folder}? [y/N]: ")
    assert ("Nothing was written.\n" in result.stderr) or ("Aborted!" in result.stderr)
    assert held(folder) == before


def test_question_answered_with_yes_writes(folder: Path, lean_book: Path, tmp_path: Path) -> None:
    book = typed_into(lean_book, tmp_path / "book.xlsx", PAID)
    result = carried(book, folder, answer="y\n")
    assert result.exit_code == 0
    assert re.fullmatch(
        rf"carry  {re.escape(PAID_TOLD)}\nWrote 1 changes into {folder}\. "
        rf"Kept what was there in {folder}/kept/\d{{4}}-\d\d-\d\d \d{{6}}\.\n",
        result.stdout,
    )
    assert edits(folder, costing.read_season(SAMPLE)) == [PAID_TOLD]
