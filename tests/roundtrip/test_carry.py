"""Carrying a workbook's edits back: only what was edited is written, in the way of each file, and what was there is kept."""

from __future__ import annotations

import csv
import difflib
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner

import costing
from costing.cli import main
from costing.exchange.carried_states import LOG
from costing.exchange.carrying import carry, plan_carrying
from costing.records.schema import TABLES_BY_NAME
from tests.roundtrip.makers import changes, edits, grid
from tests.roundtrip.small_books import (
    CASTOR,
    LABELS,
    NOTHING,
    PAID,
    PAID_TOLD,
    added,
    carried,
    deleted,
    exported,
    file_text,
    held,
    replaced,
    retyped,
    set_to,
    typed,
    written,
    wrote,
)
from tests.small_season import FILES, small_season

pytestmark = pytest.mark.slow

NOW = datetime(2026, 11, 2, 9, 30)


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
        "-2025-05-12,Brackmoss Supply,BM-1042,castor-oil,1,5,L,66.70,8.70,,,",
        "+2025-05-12,Brackmoss Supply,BM-1042,castor-oil,1,5,L,70.5,8.70,,,",
        "-2025-09-15,Wattlemere Ingredients,W7902,discount,,,,6.50,0,AUD,1.09,welcome discount",
        '+2026-10-20,,,water,,2,L,1234.5,,,,"Öl; ""fein"", 3"',
    ],
    Dialect("semicolons", ";", decimal_comma=True, end="\r\n", codec="cp1252"): [
        "-2025-05-12;Brackmoss Supply;BM-1042;castor-oil;1;5;L;66,70;8,70;;;\r",
        "+2025-05-12;Brackmoss Supply;BM-1042;castor-oil;1;5;L;70,5;8,70;;;\r",
        "-2025-09-15;Wattlemere Ingredients;W7902;discount;;;;6,50;0;AUD;1,09;welcome discount\r",
        '+2026-10-20;;;water;;2;L;1234,5;;;;"Öl; ""fein"", 3"\r',
    ],
    Dialect("tabs in UTF-16", "\t", end="\r\n", codec="utf-16"): [
        "-2025-05-12\tBrackmoss Supply\tBM-1042\tcastor-oil\t1\t5\tL\t66.70\t8.70\t\t\t\r",
        "+2025-05-12\tBrackmoss Supply\tBM-1042\tcastor-oil\t1\t5\tL\t70.5\t8.70\t\t\t\r",
        "-2025-09-15\tWattlemere Ingredients\tW7902\tdiscount\t\t\t\t6.50\t0\tAUD\t1.09\twelcome discount\r",
        '+2026-10-20\t\t\twater\t\t2\tL\t1234.5\t\t\t\t"Öl; ""fein"", 3"\r',
    ],
    Dialect("sep= and a mark", ";", decimal_comma=True, codec="utf-8-sig", first="sep=;\n"): [
        "-2025-05-12;Brackmoss Supply;BM-1042;castor-oil;1;5;L;66,70;8,70;;;",
        "+2025-05-12;Brackmoss Supply;BM-1042;castor-oil;1;5;L;70,5;8,70;;;",
        "-2025-09-15;Wattlemere Ingredients;W7902;discount;;;;6,50;0;AUD;1,09;welcome discount",
        '+2026-10-20;;;water;;2;L;1234,5;;;;"Öl; ""fein"", 3"',
    ],
    Dialect("all in quotes", quoted=True, end="\r\n"): [
        '-"2025-05-12","Brackmoss Supply","BM-1042","castor-oil","1","5","L","66.70","8.70","","",""\r',
        '+"2025-05-12","Brackmoss Supply","BM-1042","castor-oil","1","5","L",70.5,"8.70","","",""\r',
        '-"2025-09-15","Wattlemere Ingredients","W7902","discount","","","","6.50","0","AUD","1.09","welcome discount"\r',
        '+2026-10-20,,,water,,2,L,1234.5,,,,"Öl; ""fein"", 3"\r',
    ],
}


@pytest.mark.parametrize("dialect", DIALECTS, ids=lambda dialect: dialect.name)
def test_only_edited_cells_are_written_and_in_the_way_of_their_file(dialect: Dialect, folder: Path) -> None:
    replaced(folder / "purchases.csv", "2.60,0.34,,,metered town water", "2.60,0.34,,,Wasserzähler: gemessen")
    dialect.write(folder)
    before = held(folder)
    book = exported(
        folder,
        PAID,
        deleted("Purchases", item="discount", invoice="W7902"),
        added("Purchases", bought_on=datetime(2026, 10, 20), item="water", size=2, unit="L", paid=1234.5,
              note='Öl; "fein", 3'),
    )  # fmt: skip
    assert wrote(book, folder, 3) == [
        PAID_TOLD,
        "purchases: removed bought_on 2025-09-15, supplier Wattlemere Ingredients, invoice W7902, item discount, paid 6.5, "
        "currency AUD, rate 1.09, note welcome discount",
        'purchases: added bought_on 2026-10-20, item water, size 2, unit L, paid 1234.5, note Öl; "fein", 3',
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
        b'\r\nPRODUCT , Channel,planned,price\n"scrub-90",STALL,"150",\r\n\n'
        b"whip-90, stall,0120,9.500\n,,,\nwhip-60,stall,110,8"
    )
    file.write_bytes(odd)
    book = exported(
        folder,
        typed("Prices", {"product": "whip-60"}, planned=111),
        added("Prices", product="whip-60", channel="shops", price=14),
    )
    wrote(book, folder, 2)
    assert file.read_bytes() == odd.replace(b"stall,110,8", b"stall,111,8\r\nwhip-60,shops,,14\r\n")


def test_columns_that_a_file_lacks_are_added(folder: Path) -> None:
    file = folder / "prices.csv"
    file.write_bytes(b"product,channel,,\nwhip-60,stall,,\n")
    replaced(folder / "overheads.csv", file_text(folder / "overheads.csv"), "overhead,amount\n")
    book = exported(folder, typed("Prices", {"product": "whip-60"}, planned=10))
    wrote(book, folder, 1)
    assert file.read_bytes() == b"product,channel,planned\nwhip-60,stall,10,\n"


def test_file_that_is_not_there_is_made_with_its_headings(folder: Path) -> None:
    (folder / "overheads.csv").unlink()
    book = exported(
        folder,
        added("Overheads", overhead="stall-fees", amount=640),
        added("Own or bought", product="whip-60", bought="whip-90"),
    )
    wrote(book, folder, 2)
    assert file_text(folder / "overheads.csv") == "overhead,amount,hours,shared_by,channel\nstall-fees,640,,,\n"
    assert file_text(folder / "alternatives.csv") == "product,bought\nwhip-60,whip-90\n"


def test_file_is_found_whatever_capitals_its_name_has(folder: Path, own: Path) -> None:
    (folder / "purchases.csv").rename(folder / "Purchases.CSV")
    names = set(held(folder))
    wrote(written(own, PAID), folder, 1)
    assert {name for name in held(folder) if not name.startswith("kept")} == names
    assert "castor-oil,1,5,L,70.5,8.70" in file_text(folder / "Purchases.CSV")


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
    row = "2026-07-31,,,water,1,1000,L,2.60,0.34,,,metered town water\n"
    replaced(folder / "purchases.csv", row, row * 2)
    wrote(exported(folder, deleted("Purchases", item="water")), folder, 1)
    assert file_text(folder / "purchases.csv") == FILES["purchases"]


# -- what was there is kept --


def test_dated_copies_are_the_old_files(folder: Path, own: Path) -> None:
    before = held(folder)
    wrote(written(own, PAID, LABELS), folder, 2)
    kept = {name: data for name, data in held(folder).items() if name.startswith("kept/")}
    assert kept.pop(LOG)
    dated = {name.split("/")[1] for name in kept}
    assert len(dated) == 1
    assert re.fullmatch(r"\d{4}-\d\d-\d\d \d{6}", dated.pop())
    assert {Path(name).name: data for name, data in kept.items()} == {
        name: before[name] for name in ("purchases.csv", "tubs.csv")
    }


def test_copies_of_the_same_second_do_not_replace_each_other(folder: Path, own: Path) -> None:
    for paid in (70.5, 71.5):
        kept = carry(plan_carrying(written(own, typed("Purchases", CASTOR, paid=paid)), folder), now=NOW)
        assert [file.name for file in kept] == ["purchases.csv"]
    first, second = (folder / "kept" / name / "purchases.csv" for name in ("2026-11-02 093000", "2026-11-02 093000 (2)"))
    assert file_text(first) == FILES["purchases"]
    assert "castor-oil,1,5,L,70.5,8.70" in file_text(second)


def test_the_log_holds_no_text_that_a_spreadsheet_could_run(folder: Path, tmp_path: Path) -> None:
    """Names of workbooks and of things in them are the maker's, and may be anything."""
    book = written(tmp_path / "=1+1;@x.xlsx", PAID, typed("Purchases", CASTOR, note="+cmd"))
    wrote(book, folder, 1)
    assert re.fullmatch(r'[\w\s"{}\[\]:,+/=-]*', file_text(folder / LOG))
    assert not re.search(r'(^|["\s;,])[=+@]', file_text(folder / LOG))


# -- steps, items, settings --

WHIP = {"formula": "whip", "row": "step"}


def _moved_up(book: Any) -> None:
    """Move the step cure of the bar before cut."""
    cards = grid(book, "Formulas")
    cut, cure = (cards.find(formula="bar", row="step", step=step) for step in ("cut", "cure"))
    held_cells = [[cards.sheet.cell(row, at).value for at in cards.columns.values()] for row in (cure, cut)]
    for row, cells in zip((cut, cure), held_cells, strict=True):
        cards.put(row, **dict(zip(cards.columns, cells, strict=True)))


def _step_added(book: Any) -> None:
    cards = grid(book, "Formulas")
    after = cards.find(formula="bar", row="step", step="cut") + 1
    cards.sheet.insert_rows(after)
    cards.put(after, formula="bar", row="step", step="stamp", minutes=8)


def test_steps_in_another_order_are_written_in_it(folder: Path) -> None:
    book = exported(folder, _moved_up)
    assert wrote(book, folder, 2) == ["steps: bar cut: order 3 → 4", "steps: bar cure: order 4 → 3"]
    old = "bar,cut,25,0,0,0.4\nbar,cure,10,180,20,11\n"
    new = FILES["steps"].replace(old, "bar,cure,10,180,20,11\nbar,cut,25,,,0.4\n")
    assert file_text(folder / "steps.csv") == new


def test_step_is_added_in_its_place(folder: Path) -> None:
    wrote(exported(folder, _step_added), folder, 2)
    lines = file_text(folder / "steps.csv").splitlines()
    steps = [line.split(",")[1] for line in lines if line.startswith("bar,")]
    assert steps == ["lye", "blend", "cut", "stamp", "cure"]
    others = [line for line in FILES["steps"].splitlines() if not line.startswith("bar,")]
    assert [line for line in lines if not line.startswith("bar,")] == others


def test_figure_of_a_step_is_changed_in_its_cell(folder: Path) -> None:
    wrote(exported(folder, typed("Formulas", WHIP | {"step": "whip"}, hours=0.5)), folder, 1)
    new = FILES["steps"].replace("whip,whip,25,500,0.4,1.5", "whip,whip,25,500,0.5,1.5")
    assert file_text(folder / "steps.csv") == new


@pytest.fixture
def implied(folder: Path) -> Path:
    """Return a folder in which only its lines tell the steps of the whip, the first of them alone in front."""
    text = "".join(
        line for line in file_text(folder / "steps.csv").splitlines(keepends=True) if not line.startswith("whip,")
    )
    replaced(folder / "steps.csv", file_text(folder / "steps.csv"), text)
    kaolin = "whip,whip,kaolin,0.7,\n"
    replaced(folder / "lines.csv", kaolin, "")
    replaced(folder / "lines.csv", "whip,melt,water,39.3,\n", f"{kaolin}whip,melt,water,39.3,\n")
    return folder


def test_steps_that_only_lines_tell_are_nothing_to_carry(implied: Path) -> None:
    assert carried(exported(implied), implied, "--yes").stdout == NOTHING


def test_steps_that_only_lines_tell_are_written_once_they_hold_a_figure(implied: Path) -> None:
    steps = file_text(implied / "steps.csv")
    assert wrote(exported(implied, typed("Formulas", WHIP | {"step": "whip"}, minutes=25)), implied, 1) == [
        "steps: whip whip: minutes blank → 25"
    ]
    assert file_text(implied / "steps.csv") == f"{steps}whip,melt,,,,\nwhip,whip,25,,,\n"


def test_steps_keep_their_order_when_the_line_that_told_it_is_deleted(implied: Path) -> None:
    """The lines left over would put the whipping first; so the steps are written as the workbook has them."""
    steps = file_text(implied / "steps.csv")
    line = {"formula": "whip", "row": "line"}
    trimmings, water = deleted("Formulas", **line, what="bar/trimmings"), line | {"what": "water"}
    book = exported(implied, trimmings, typed("Formulas", water, percent=0.993))
    wrote(book, implied, 2)
    assert changes(costing.read_season(book), costing.read_season(implied)) == []
    assert file_text(implied / "steps.csv") == f"{steps}whip,melt,,,,\nwhip,whip,,,,\n"


def test_new_formula_comes_with_all_its_tables(folder: Path, own: Path) -> None:
    def typing(book: Any) -> None:
        cards = grid(book, "Formulas")
        rows: tuple[dict[str, Any], ...] = (
            {"row": "formula", "what": "Salt bar", "grams": 900},
            {"row": "line", "step": "mix", "what": "bar/trimmings", "percent": "60 %"},
            {"row": "line", "step": "mix", "what": "white-sugar", "percent": 40},
            {"row": "step", "step": "mix", "minutes": 9},
            {"row": "output", "what": "bars", "percent": 100},
        )
        for at, cells in enumerate(rows, start=cards.rows[-1] + 2):
            cards.put(at, formula="salt-bar", **cells)

    assert wrote(written(own, typing), folder, 5) == [
        "formulas: added formula salt-bar, name Salt bar, batch_grams 900",
        "steps: added formula salt-bar, step mix, minutes 9",
        "lines: added formula salt-bar, step mix, item bar/trimmings, percent 60",
        "lines: added formula salt-bar, step mix, item white-sugar, percent 40",
        "outputs: added formula salt-bar, output bars, percent 100",
    ]
    assert (
        file_text(folder / "lines.csv") == f"{FILES['lines']}salt-bar,mix,bar/trimmings,60,\nsalt-bar,mix,white-sugar,40,\n"
    )


def test_lines_are_added_under_those_of_their_step(folder: Path, own: Path) -> None:
    def typing(book: Any) -> None:
        cards = grid(book, "Formulas")
        cards.put(cards.find(formula="bar", row="line", what="water"), percent=0.195)
        cards.put(cards.rows[-1] + 1, formula="bar", row="line", step="lye", what="kaolin", percent="0.5 %")

    wrote(written(own, typing), folder, 2)
    new = FILES["lines"].replace("bar,lye,water,20,\n", "bar,lye,water,19.5,\nbar,lye,kaolin,0.5,\n")
    assert file_text(folder / "lines.csv") == new


def test_corrections_of_items_are_carried_without_the_packaged_figures(folder: Path, own: Path) -> None:
    book = written(
        own,
        typed("Items", {"item": "white-sugar"}, on_hand=900),
        typed("Items", {"item": "castor-oil"}, quote=15.5),
        typed("Items", {"item": "kaolin"}, on_hand=None),
    )
    assert wrote(book, folder, 3) == [
        "items: castor-oil: quote blank → 15.5",
        "items: removed item kaolin, on_hand 720",
        "items: added item white-sugar, on_hand 900",
    ]
    new = (
        FILES["items"]
        .replace("castor-oil,,,,,1450,,,,", "castor-oil,,,,,1450,15.5,,,")
        .replace("kaolin,,,,,720,", "kaolin,,,,,,")
    )
    assert file_text(folder / "items.csv") == f"{new}white-sugar,,,,,900,,,,\n"


def test_item_put_back_to_its_packaged_figure_is_blank_in_the_records(folder: Path, own: Path) -> None:
    wrote(written(own, typed("Items", {"item": "castor-oil"}, density=0.9)), folder, 1)
    packaged = small_season().row("items", item="castor-oil").density
    wrote(retyped(own, typed("Items", {"item": "castor-oil"}, density=packaged)), folder, 1)
    assert file_text(folder / "items.csv") == FILES["items"]


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


def test_season_that_is_no_folder_is_refused(own: Path, tmp_path: Path) -> None:
    for path in (written(own), tmp_path / "nowhere"):
        result = carried(own, path, "--yes")
        told = f"{path}: is no folder; a workbook's edits are carried into a season's folder\n"
        assert (result.exit_code, result.stdout, result.stderr) == (2, "", told)


def test_workbook_that_is_not_there_is_refused(folder: Path, own: Path) -> None:
    result = carried(own, folder, "--yes")
    assert (result.exit_code, result.stderr) == (2, f"{own}: is not there; name a workbook\n")


@pytest.mark.parametrize("side", ["workbook", "records"])
def test_faults_of_either_side_are_told_and_nothing_is_written(side: str, folder: Path, own: Path) -> None:
    written(own, PAID)
    if side == "workbook":
        retyped(own, typed("Purchases", CASTOR, paid="a lot"))
        told = 'sheet Purchases, row 6, Paid: "a lot" is not a number; write digits'
    else:
        replaced(folder / "purchases.csv", "castor-oil,1,5,L,66.70,8.70", "castor-oil,1,5,L,a lot,8.70")
        told = 'purchases.csv, row 2, paid: "a lot" is not a number; write digits'
    before = held(folder)
    result = carried(own, folder, "--yes")
    assert (result.exit_code, result.stdout) == (1, "")
    assert told in result.stderr
    assert held(folder) == before


def test_season_that_would_have_faults_is_not_written_and_they_name_the_cells(folder: Path) -> None:
    """Each side is whole, but a product of the workbook stands in a tub that the records have given up."""
    replaced(folder / "tubs.csv", "jar-100,jar,1\n", "tin,jar,1\njar-100,jar,1\n")
    book = exported(folder, typed("Products", {"product": "whip-90"}, tub="tin"))
    replaced(folder / "tubs.csv", "tin,jar,1\n", "")
    before = held(folder)
    result = carried(book, folder, "--yes")
    assert result.exit_code == 1
    assert 'sheet Products, cell D7, tub: tub "tin" has no parts; write its parts in tubs' in result.stderr
    assert held(folder) == before


def test_what_a_check_would_refuse_only_when_it_is_costed_is_not_written(folder: Path, own: Path) -> None:
    """Both sides are whole, but the discounts that each wrote are together more than the goods."""
    written(own, typed("Purchases", {"item": "discount"}, paid=20))
    replaced(folder / "purchases.csv", "kaolin,1,500,g,29.00", "kaolin,1,500,g,19.00")
    before = held(folder)
    result = carried(own, folder, "--yes")
    assert result.exit_code == 1
    assert "sheet Purchases, " in result.stderr
    assert held(folder) == before
    assert CliRunner().invoke(main, ["check", str(folder)]).exit_code == 0


@pytest.mark.parametrize("log", [b"\xff\xfe\x00", b"[]", b'{"carried": [{"export": "x"}]}', b"{" * 9000])
def test_log_that_cannot_be_read_is_refused(log: bytes, folder: Path, own: Path) -> None:
    (folder / "kept").mkdir()
    (folder / LOG).write_bytes(log)
    before = held(folder)
    result = carried(written(own, PAID), folder, "--yes")
    assert result.exit_code == 2
    assert result.stderr == (
        f"{folder}/kept/carried.json: is no log of what was carried; put back what it was, or move it elsewhere\n"
    )
    assert held(folder) == before


# -- the question --


@pytest.mark.parametrize("answer", ["n\n", "\n", ""])
def test_question_answered_with_no_or_not_at_all_writes_nothing(answer: str, folder: Path, own: Path) -> None:
    before = held(folder)
    result = carried(written(own, PAID), folder, answer=answer)
    assert result.exit_code == 1
    assert result.stdout == f"carry  {PAID_TOLD}\n"
    assert result.stderr.startswith(f"Write 1 change into {folder}? [y/N]: ")
    assert ("Nothing was written.\n" in result.stderr) or ("Aborted!" in result.stderr)
    assert held(folder) == before


def test_question_answered_with_yes_writes(folder: Path, own: Path) -> None:
    result = carried(written(own, PAID), folder, answer="y\n")
    assert result.exit_code == 0
    assert re.fullmatch(
        rf"carry  {re.escape(PAID_TOLD)}\nWrote 1 change into {folder}\. "
        rf"Kept what was there in {folder}/kept/\d{{4}}-\d\d-\d\d \d{{6}}\.\n",
        result.stdout,
    )
    assert edits(folder, small_season().records) == [PAID_TOLD]


@pytest.mark.parametrize("waiting", ["changed", "gone", "made"])
def test_records_that_change_while_the_question_is_asked_are_not_written_over(waiting: str, folder: Path, own: Path) -> None:
    (folder / "overheads.csv").unlink()
    planned = plan_carrying(exported(folder, PAID, added("Overheads", overhead="website", amount=240)), folder)
    if waiting == "changed":
        replaced(folder / "season.csv", "hourly_rate,28", "hourly_rate,30")
        told = f"{folder}/season.csv: was changed while carrying waited; nothing was written. Carry again"
    elif waiting == "gone":
        (folder / "tubs.csv").unlink()
        told = f"{folder}/tubs.csv: is gone while carrying waited; nothing was written. Carry again"
    else:
        (folder / "overheads.csv").write_text("overhead,amount\n", encoding="utf-8")
        told = f"{folder}/overheads.csv: was made while carrying waited; nothing was written. Carry again"
    before = held(folder)
    with pytest.raises(costing.Refusal) as caught:
        carry(planned, now=NOW)
    assert str(caught.value) == told
    assert held(folder) == before
