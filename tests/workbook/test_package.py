"""The file is a sound package of parts, each rule finds what breaks it, and a second reader finds every cell as stored."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Iterator
from datetime import date, datetime
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from python_calamine import CalamineWorkbook

import costing
from tests.seasons import as_records, sample_tables
from tests.workbook import package
from tests.workbook.package import Package

BOOKS = ("sample", "two seasons", "blank", "odd texts")
ODD_TEXTS = (
    "Salt & clay &P &D", "_x0041_ bar", 'less < "more" > less', "tail _x", "😀 & 𝔘", "&amp; &#65; %s %%", "a_x000D_b",
    "'quoted'", "&", "tab\there",
)  # fmt: skip
ODD_NAMES = {"Everyday bar 110 g": "Salt & clay №1 (50 %), l'ours", "Coast shops": "Shops & fairs, №2 (N’Awa)"}
SEASON = f"Tubs & tins, 50 % &D _x0041_ {'& ' * 60}"
Spoil = tuple[str, str, str]  # a part, what is there first, and what it becomes


def _with_odd_texts() -> costing.Season:
    """Return the sample with texts that have a meaning in XML, in a footer or as an escape, and one as long as may be."""
    tables = sample_tables()
    tables["season"]["name"] = SEASON
    for table, column in (("products", "name"), ("items", "name"), ("formulas", "name"), ("channels", "name")):
        for row, text in zip(tables[table], ODD_TEXTS, strict=False):
            row[column] = text
    for row, text in zip(tables["purchases"], (*ODD_TEXTS, "one\ntwo", "x" * 2000), strict=False):
        row["note"] = text
    for rows in (tables[name] for name in ("products", "channels", "prices", "overheads", "weighings", "alternatives")):
        rows[:] = [{column: ODD_NAMES.get(text, text) for column, text in row.items()} for row in rows]
    for row in tables["purchases"]:
        row["supplier"] = row.get("supplier", "").replace("Hallowquay Jars", "_x0042_ & Sons")
    return costing.cost(as_records(tables))


@pytest.fixture(scope="module")
def paths(since_book: Path, sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Return the workbooks that the rules are held against."""
    folder = tmp_path_factory.mktemp("package")
    costing.start_workbook(folder / "blank.xlsx")
    costing.export(_with_odd_texts(), folder / "odd.xlsx", all_sheets=True)
    return dict(zip(BOOKS, (sample_book, since_book, folder / "blank.xlsx", folder / "odd.xlsx"), strict=True))


@pytest.fixture(scope="module")
def packages(paths: dict[str, Path]) -> dict[str, Package]:
    """Return the same, read once for all rules."""
    return {name: Package(path) for name, path in paths.items()}


@pytest.mark.parametrize("name", BOOKS)
@pytest.mark.parametrize("rule", package.RULES, ids=lambda rule: rule.__name__)
def test_no_rule_is_broken(rule: Callable[[Package], Iterator[str]], name: str, packages: dict[str, Package]) -> None:
    """Nothing is found by any rule."""
    assert list(rule(packages[name]))[:5] == []


# -- each rule on a spoilt file --

FIRST, TYPES, BOOK = "xl/worksheets/sheet1.xml", "[Content_Types].xml", "xl/workbook.xml"
STRINGS, TABLE, DRAWING = "xl/sharedStrings.xml", "xl/tables/table1.xml", "xl/drawings/drawing1.xml"
MANY = "n" * 256
SPOILT: list[tuple[Callable[[Package], Iterator[str]], Spoil, str]] = [
    (package.out_of_order, (FIRST, r"(<pageMargins.*?/>)(<pageSetup.*?/>)", r"\2\1"),
     f"{FIRST}: pageMargins behind pageSetup"),
    (package.out_of_order, (FIRST, "<drawing", "<picture/><drawing"), f"{FIRST}: drawing behind picture"),
    (package.out_of_order, (FIRST, "<pageMargins", "<margins/><pageMargins"), f"{FIRST}: margins in worksheet"),
    (package.out_of_order, (BOOK, "<sheets>", "<calcPr/><sheets>"), f"{BOOK}: sheets behind calcPr"),
    (package.out_of_order, (TABLE, "<tableColumns", "<tableStyleInfo/><tableColumns"),
     f"{TABLE}: tableColumns behind tableStyleInfo"),
    (package.out_of_order, ("xl/styles.xml", "<fonts", "<fills/><fonts"), "xl/styles.xml: fonts behind fills"),
    (package.out_of_order, (FIRST, r'(<c r="A3"[^>]*>)(<f>.*?</f>)(<v.*?</v>)', r"\1\3\2"), f"{FIRST}: f behind v A3"),
    (package.cells_out_of_order, (FIRST, '<row r="2"', '<row r="1"'), f"{FIRST}: row 1 behind row 1"),
    (package.cells_out_of_order, (FIRST, 'r="A2"', 'r="A3"'), f"{FIRST}: A3 in row 2 behind column A"),
    (package.cells_out_of_order, (FIRST, r'(<c r="A14".*?</c>)(<c r="B14".*?</c>)', r"\2\1"),
     f"{FIRST}: A14 in row 14 behind column B"),
    (package.twice, (BOOK, 'name="Settings"', 'name="AT A GLANCE"'), "sheet: at a glance"),
    (package.twice, (BOOK, 'sheetId="2"', 'sheetId="1"'), "sheetId: 1"),
    (package.twice, (BOOK, 'r:id="rId2"', 'r:id="rId1"'), "sheet's part: rId1"),
    (package.twice, (BOOK, 'definedName name="[^"]*"', 'definedName name="Ok_Overall"'), "name: ok_overall"),
    (package.twice, (TABLE, 'id="1"', 'id="2"'), "table: 2"),
    (package.twice, (TABLE, ' name="list_totals"', ' name="List_Glance"'), "table's name: list_glance"),
    (package.twice, (TABLE, 'displayName="list_totals"', 'displayName="OK_overall"'), "name: ok_overall"),
    (package.twice, (TABLE, 'tableColumn id="2"', 'tableColumn id="1"'), f"{TABLE}, column: 1"),
    (package.twice, (TABLE, r'name="Profit \(NZD\)"', 'name="OVERHEADS (NZD)"'), f"{TABLE}, heading: overheads (nzd)"),
    (package.twice, (DRAWING, 'cNvPr id="2"', 'cNvPr id="1"'), f"{DRAWING}, shape: 1"),
    (package.twice, (DRAWING, 'name="Chart 2"', 'name="Chart 1"'), f"{DRAWING}, shape's name: chart 1"),
    (package.twice, ("xl/_rels/workbook.xml.rels", 'Id="rId2"', 'Id="rId1"'), "xl/_rels/workbook.xml.rels: rId1"),
    (package.too_long, (BOOK, 'name="Settings"', f'name="{"s" * 32}"'), "sheet 2: 32 letters, 31 at most"),
    (package.too_long, (STRINGS, "<t xml:space=\"preserve\">[^<]*", f"<t>{'t' * 32768}"),
     "shared text 0: 32768 letters, 32767 at most"),
    (package.too_long, (STRINGS, "<t xml:space=\"preserve\">[^<]*", f"<t>{'😀' * 16384}"),
     "shared text 0: 32768 letters, 32767 at most"),
    (package.too_long, (TABLE, r'name="Profit \(NZD\)"', f'name="{MANY}"'), f"{TABLE}, column 2: 256 letters, 255 at most"),
    (package.too_long, (FIRST, "<f>[^<]*</f>", f"<f>{'1+' * 100}1</f>"), f"{FIRST}, A3, formula: 201 letters, 200 at most"),
    (package.too_long, (FIRST, "<formula>[^<]*", f'<formula>"{MANY}"=A1'),
     f"{FIRST}, format 1, text in formula: 256 letters, 255 at most"),
    (package.too_long, (FIRST, "<formula1>[^<]*", f'<formula1>"{MANY}"'),
     f"{FIRST}, validation of *: 256 letters, 255 at most"),
    (package.too_long, (FIRST, ' prompt="[^"]*', f' prompt="{MANY}'),
     f"{FIRST}, prompt of *: 256 letters, 255 at most"),
    (package.too_long, (FIRST, 'promptTitle="[^"]*', f'promptTitle="{"p" * 33}'),
     f"{FIRST}, promptTitle of *: 33 letters, 32 at most"),
    (package.too_long, (FIRST, "<oddHeader ?/>", f"<oddHeader>&amp;L{'h' * 254}</oddHeader>"),
     f"{FIRST}, oddHeader: 256 letters, 255 at most"),
    (package.strings_astray, (FIRST, r't="s"><v>\d+', 't="s"><v>999999'), f"{FIRST}, A1: no shared text 999999"),
    (package.strings_astray, (FIRST, r't="s"><v>\d+', 't="s"><v>-1'), f"{FIRST}, A1: no shared text -1"),
    (package.strings_astray, (FIRST, r'(r="A1" s="\d+") t="s"><v>\d+</v>', r'\1 t="inlineStr"><is><t>x</t></is>'),
     f"{FIRST}, A1: holds its text itself"),
    (package.strings_astray, (STRINGS, r'uniqueCount="\d+"', 'uniqueCount="7"'), "shared texts: uniqueCount says 7 and is "),
    (package.strings_astray, (STRINGS, "uniqueCount", 'count="7" uniqueCount'), "shared texts: count says 7 and is "),
    (package.styles_astray, (FIRST, r'r="A2" s="\d+"', 'r="A2" s="9999"'), f"{FIRST}, A2: no style 9999"),
    (package.styles_astray, (FIRST, r'dxfId="\d+"', 'dxfId="99"'), f"{FIRST}, format 1: no style 99"),
    (package.miscounted, (FIRST, '<tableParts count="3"', '<tableParts count="4"'), f"{FIRST}: tableParts says 4 and has 3"),
    (package.miscounted, (TABLE, 'tableColumns count="9"', 'tableColumns count="8"'),
     f"{TABLE}: tableColumns says 8 and has 9"),
    (package.heads_unlike_cells, (TABLE, r'name="Profit \(NZD\)"', 'name="Gain"'), f"{TABLE}: Gain over Profit (NZD)"),
    (package.header_codes, (FIRST, "<oddFooter>[^<]*", "<oddFooter>&amp;LBars &amp; tubs"), f"{FIRST}, oddFooter: & "),
    (package.header_codes, (FIRST, "<oddFooter>[^<]*", "<oddFooter>&amp;LBars &amp;Deeper"), f"{FIRST}, oddFooter: &D"),
    (package.header_codes, (FIRST, "<oddFooter>[^<]*", "<oddFooter>&amp;LBars&amp;Look"), f"{FIRST}, oddFooter: &L &L"),
    (package.texts_taken_for_escapes, (STRINGS, "<t xml:space=\"preserve\">[^<]*", "<t>_x0041_"),
     f"{STRINGS}: _x0041_ in _x0041_"),
    (package.texts_taken_for_escapes, (STRINGS, "<t xml:space=\"preserve\">[^<]*", "<t>_x005F_ bar"),
     f"{STRINGS}: _x005F_ in _x005F_ bar"),
    (package.texts_taken_for_escapes, (TABLE, r'name="Profit \(NZD\)"', 'name="_x0041_"'), f"{TABLE}: _x0041_ in _x0041_"),
    (package.leading_nowhere, ("xl/_rels/workbook.xml.rels", "sharedStrings.xml", "texts.xml"),
     f"{BOOK}, sharedStrings: no part xl/texts.xml"),
    (package.leading_nowhere, ("xl/worksheets/_rels/sheet1.xml.rels", 'Id="rId2"', 'Id="rId9"'),
     f"{FIRST}, tablePart: no relationship rId2"),
    (package.leading_nowhere, ("xl/worksheets/_rels/sheet1.xml.rels", "<Relationship [^>]*table1.xml[^>]*>", ""),
     f"{TABLE}: nothing leads there"),
    (package.types_astray, (TYPES, "<Override [^>]*table1.xml[^>]*>", ""), f"{TABLE}: is application/xml"),
    (package.types_astray, (TYPES, "<Default [^>]*rels[^>]*>", ""), "_rels/.rels: is of no type"),
    (package.types_astray, (TYPES, "spreadsheetml.worksheet", "spreadsheetml.table"),
     f"{FIRST}: is application/vnd.openxmlformats-officedocument.spreadsheetml.table+xml"),
    (package.types_astray, (TYPES, "table1.xml", "table0.xml"), "xl/tables/table0.xml: has a type and is not there"),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "spoil", "told"), SPOILT, ids=lambda each: getattr(each, "__name__", None))
def test_a_rule_names_what_breaks_it(
    rule: Callable[[Package], Iterator[str]], spoil: Spoil, told: str, sample_book: Path, tmp_path: Path
) -> None:
    """The sample with one thing spoilt is told by the rule, in words that lead there."""
    part, there, instead = spoil
    spoilt = tmp_path / "spoilt.xlsx"
    with zipfile.ZipFile(sample_book) as old, zipfile.ZipFile(spoilt, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == part:
                text, times = re.subn(there, instead, data.decode(), count=1, flags=re.DOTALL)
                assert times == 1
                data = text.encode()
            new.writestr(name, data)
    assert any(fnmatchcase(found, f"{told}*") for found in rule(Package(spoilt)))


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_part_twice_is_told(sample_book: Path, tmp_path: Path) -> None:
    """Two parts whose names differ in case only are one to a program that does not mind the case."""
    spoilt = tmp_path / "spoilt.xlsx"
    spoilt.write_bytes(sample_book.read_bytes())
    with zipfile.ZipFile(spoilt, "a") as file:
        file.writestr("xl/Tables/Table1.xml", "<table/>")
    assert list(package.twice(Package(spoilt))) == ["part: xl/tables/table1.xml"]


def test_every_rule_is_tried() -> None:
    """A file is spoilt for every rule."""
    assert {rule for rule, _, _ in SPOILT} == set(package.RULES)


# -- what the maker's texts become --


def test_a_footer_shows_the_title_as_written(packages: dict[str, Package]) -> None:
    """A sign & in a season's name begins no code in the footer, and a long name is cut before it is too long."""
    footers = package.named(package.parsed(packages["odd texts"].parts[FIRST]), "oddFooter")
    title, pages = package.text_of(next(footers)).removeprefix("&L").split("&RPage ")
    assert title.replace("&&", "&") == f"{SEASON[:100]}…"
    assert pages == "&P of &N"


def test_charts_and_headings_keep_names_as_written(packages: dict[str, Package]) -> None:
    """A name with marks is the same text under a bar and at the head of a list as in its cell."""
    odd = packages["odd texts"]
    points = {package.text_of(each) for _, chart in odd.roots("xl/charts/") for each in package.named(chart, "v")}
    product, channel = ODD_NAMES.values()
    assert product in points
    headings = {column.get("name") for _, table in odd.roots("xl/tables/") for column in package.named(table, "tableColumn")}
    assert f"Price, {channel} (NZD)" in headings


# -- a second reader --


def _as_calamine_reads(path: Path) -> dict[tuple[str, int, int], Any]:
    book = CalamineWorkbook.from_path(str(path))
    sheets = {name: book.get_sheet_by_name(name).to_python(skip_empty_area=False) for name in book.sheet_names}
    return {
        (name, row, column): value
        for name, rows in sheets.items()
        for row, cells in enumerate(rows, start=1)
        for column, value in enumerate(cells, start=1)
        if value != ""
    }


def _as_openpyxl_reads(path: Path) -> dict[tuple[str, int, int], Any]:
    return {
        (sheet.title, cell.row, cell.column): _day(cell.value)
        for sheet in openpyxl.load_workbook(path, data_only=True)
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    }


def _day(value: Any) -> Any:
    """Return a moment at midnight as the day that it is: the other reader knows days."""
    return value.date() if isinstance(value, datetime) and value == datetime(*value.timetuple()[:3]) else value


@pytest.mark.parametrize(("name", "least"), [("sample", 30_000), ("two seasons", 30_000), ("blank", 400)])
def test_two_readers_find_the_same_cells(name: str, least: int, paths: dict[str, Path]) -> None:
    """Every text, figure, day and stored result is the same to calamine, which is written in Rust, and to openpyxl."""
    one, other = _as_calamine_reads(paths[name]), _as_openpyxl_reads(paths[name])
    assert one == other
    assert len(one) > least
    if name != "blank":
        assert {str, float, date} <= {type(value) for value in one.values()}


def test_odd_texts_arrive_as_written(paths: dict[str, Path]) -> None:
    """Each odd text stands in its cell for calamine; for openpyxl too, but that it leaves escapes in stored results."""
    one, other = _as_calamine_reads(paths["odd texts"]), _as_openpyxl_reads(paths["odd texts"])
    for sheet in ("Products", "Items"):
        texts = {" ".join(str(value).split()) for (title, _, at), value in one.items() if (title, at) == (sheet, 2)}
        assert texts >= {" ".join(text.split()) for text in ODD_TEXTS}, sheet  # some names are kept without their tab
    assert one["At a glance", 1, 1] == SEASON.strip()
    assert {"one\ntwo", "x" * 2000} <= set(one.values())
    assert one.keys() == other.keys()
    assert {at: value for at, value in one.items() if "_x" not in str(value)} == {
        at: value for at, value in other.items() if "_x" not in str(value)
    }
