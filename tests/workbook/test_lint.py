"""The workbook breaks none of the rules that a script can check, for the sample and for random seasons."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Font, PatternFill, Protection
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.table import Table, TableColumn

import costing
from tests.seasons import Tables, as_records, random_season, sample_tables, seeded
from tests.workbook import lint
from tests.workbook.libreoffice import differences, recalculated

LIKE_FORMULAS = (
    "=1+1",
    "+SUM(A1:A9)",
    "-2+3",
    "@import",
    '=HYPERLINK("https://example.org")',
    "#N/A",
    "'quoted",
    "1e5",
    "TRUE",
)
BOOKS = ("sample", "default", "season-0", "season-1", "season-2", "like formulas")


def _with_texts_like_formulas() -> Tables:
    """Return the sample with texts that a careless writer would turn into formulas, errors or numbers."""
    tables = sample_tables()
    tables["season"]["name"] = LIKE_FORMULAS[0]
    for table, column in (("products", "name"), ("formulas", "name"), ("items", "name"), ("purchases", "note")):
        for row, text in zip(tables[table], LIKE_FORMULAS, strict=False):
            row[column] = text
    for row, text in zip(tables["channels"], LIKE_FORMULAS, strict=False):
        row["name"] = text
    for row in tables["purchases"]:
        row["supplier"] = {"Hallowquay Jars": "=1+1", "Brackmoss Supply": "<>"}.get(
            row.get("supplier", ""), row.get("supplier", "")
        )
    return tables


@pytest.fixture(scope="module")
def paths(sample_book: Path, default_book: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Return the workbooks that the rules are held against."""
    folder = tmp_path_factory.mktemp("lint")
    found = {"sample": sample_book, "default": default_book}
    seasons = {name: random_season(seeded(int(name[-1]))) for name in BOOKS if name.startswith("season")}
    for name, tables in (seasons | {"like formulas": _with_texts_like_formulas()}).items():
        found[name] = folder / f"{name}.xlsx"
        costing.export(costing.cost(as_records(tables)), found[name], all_sheets=True)
    return found


@pytest.fixture(scope="module")
def books(paths: dict[str, Path]) -> dict[str, lint.Workbook]:
    """Return the same, read once for all rules."""
    return {name: lint.Workbook(path) for name, path in paths.items()}


@pytest.mark.slow
@pytest.mark.parametrize("name", BOOKS)
@pytest.mark.parametrize("rule", lint.RULES, ids=lambda rule: rule.__name__)
def test_no_rule_is_broken(
    rule: Callable[[lint.Workbook], Iterator[str]], name: str, books: dict[str, lint.Workbook]
) -> None:
    """Nothing is found by any rule."""
    assert list(rule(books[name]))[:5] == []


@pytest.mark.slow
def test_there_is_something_to_look_at(books: dict[str, lint.Workbook]) -> None:
    """The rules above have thousands of formulas, hundreds of given cells, and every sheet before them."""
    sample = books["sample"]
    assert len(sample.formulas) > 5000
    given = [cell for sheet in sample.book for cell in lint.cells_of(sheet) if not cell.protection.locked]
    assert len(given) > 1000
    assert len({formula.place[0] for formula in sample.formulas}) == 35
    assert len(sample.names) > 50


@pytest.mark.slow
def test_tabs_tell_where_records_stand(books: dict[str, lint.Workbook]) -> None:
    """Sheets with the maker's own tables, and no others, have a coloured tab."""
    coloured = [sheet.title for sheet in books["sample"].book if sheet.sheet_properties.tabColor]
    assert coloured == [
        "Settings", "Purchases", "Items", "Formulas", "Tubs", "Products", "Channels", "Prices", "Own or bought",
        "Overheads", "Weighings", "Batches", "Batch lines", "Made", "Seen",
    ]  # fmt: skip


@pytest.mark.slow
def test_texts_like_formulas_arrive_as_texts(paths: dict[str, Path], books: dict[str, lint.Workbook]) -> None:
    """A name that starts with = + - @ or looks like an error or a number stays the text it is, in LibreOffice too."""
    path, book = paths["like formulas"], books["like formulas"].book
    anew = recalculated(path)[0]
    for one in (book, anew.with_only("Products", "Items", "Purchases", "Formulas", "At a glance")):
        for sheet, column in (("Products", 2), ("Items", 2), ("Purchases", 13), ("Formulas", 4)):
            cells = [cell for row in one[sheet].iter_rows(min_col=column, max_col=column) for cell in row]
            found = {cell.value: cell.data_type for cell in cells if cell.value in LIKE_FORMULAS}
            assert found == dict.fromkeys(LIKE_FORMULAS, "s"), sheet
        assert one["At a glance"]["A1"].value == LIKE_FORMULAS[0]
        assert one["At a glance"]["A1"].data_type == "s"
    assert differences(path, anew)[1] == []


# -- every rule finds what it is for --


def _broken(formula: str) -> Callable[[Any, Any], None]:
    """Return what puts one formula beside two that are as they should be."""

    def spoil(_: Any, sheet: Any) -> None:
        sheet["B2"] = formula

    return spoil


def _circle(book: Any, sheet: Any) -> None:
    """Let each of two columns sum the whole of the other in its last row, which no cell really needs."""
    for name, letter in (("ones", "C"), ("twos", "D")):
        book.defined_names[name] = DefinedName(name, attr_text=f"'A sheet'!${letter}$2:${letter}$9")
    sheet["C9"], sheet["D9"] = "=SUMIFS(twos,twos,1)", "=SUMIFS(ones,ones,1)"


def _unlocked(_: Any, sheet: Any) -> None:
    sheet["A2"].protection = Protection(locked=False)


def _given(_: Any, sheet: Any) -> None:
    sheet["E5"].protection = Protection(locked=False)


def _hidden(_: Any, sheet: Any) -> None:
    sheet.column_dimensions["C"].hidden = True


def _merged(_: Any, sheet: Any) -> None:
    sheet.merge_cells("D4:E5")


def _twice_named(book: Any, _: Any) -> None:
    book.defined_names["List_Things"] = DefinedName("List_Things", attr_text="'A sheet'!$A$1")


def _like_a_cell(book: Any, _: Any) -> None:
    book.defined_names["tax1"] = DefinedName("tax1", attr_text="'A sheet'!$A$1")


def _heads(_: Any, sheet: Any) -> None:
    sheet["B1"] = "one"


def _faint(_: Any, sheet: Any) -> None:
    sheet["A1"].font, sheet["A1"].fill = Font(color="8A8A8A"), PatternFill("solid", fgColor="F4F4F4")


def _faint_when(_: Any, sheet: Any) -> None:
    how = DifferentialStyle(font=Font(color="CC9900"), fill=PatternFill(bgColor="FFF1CC", fill_type="solid"))
    sheet.conditional_formatting.add("A1:A3", Rule(type="expression", formula=["A1=1"], dxf=how))


SPOILT: list[tuple[Callable[[lint.Workbook], Iterator[str]], Callable[[Any, Any], None]]] = [
    (lint.functions_outside, _broken("=IFERROR(A2,0)")),
    (lint.too_long, _broken("=" + "+".join(["A2"] * 70))),
    (lint.too_deep, _broken("=ABS(ABS(ABS(ABS(ABS(A2)))))")),
    (lint.numbers_inside, _broken("=A2*1.15")),
    (lint.unknown_names, _broken("=A2*no_such_name")),
    (lint.unlike_their_column, _broken("=A3+1")),
    (lint.unlike_their_column, _broken("17")),
    (lint.circles, _broken("=SUM(B$1:B3)")),
    (lint.circles, _circle),
    (lint.unlocked_formulas, _unlocked),
    (lint.unguarded, _given),
    (lint.given_without_a_sign, _given),
    (lint.hidden_or_merged, _hidden),
    (lint.hidden_or_merged, _merged),
    (lint.names_alike, _twice_named),
    (lint.names_alike, _like_a_cell),
    (lint.heads_alike, _heads),
    (lint.faint, _faint),
    (lint.faint, _faint_when),
]


@pytest.mark.parametrize(("rule", "spoil"), SPOILT, ids=lambda each: each.__name__)
def test_a_rule_finds_what_breaks_it(
    rule: Callable[[lint.Workbook], Iterator[str]], spoil: Callable[[Any, Any], None], tmp_path: Path
) -> None:
    """Each rule is silent about a plain sheet, and speaks once that is spoilt."""
    for name, spoilt in (("plain", False), ("spoilt", True)):
        book = openpyxl.Workbook()
        sheet = book.worksheets[0]
        sheet.title = "A sheet"
        for at, cells in enumerate((("One", "Two"), ("=1+C2", "=A2+1"), ("=1+C3", "=A3+1")), start=1):
            for column, text in zip("AB", cells, strict=True):
                sheet[f"{column}{at}"] = text
        if spoilt:
            spoil(book, sheet)
        table = Table(displayName="list_things", name="list_things", ref="A1:B3")
        table.tableColumns = [TableColumn(id=1, name="One"), TableColumn(id=2, name="Two")]
        sheet.add_table(table)
        book.save(tmp_path / f"{name}.xlsx")
    assert list(rule(lint.Workbook(tmp_path / "plain.xlsx"))) == []
    assert list(rule(lint.Workbook(tmp_path / "spoilt.xlsx"))) != []


@pytest.mark.slow
@pytest.mark.parametrize("result", ['<c r="A3" s="1"><f>A1</f><v></v></c>', '<c r="A3" t="e"><f>A1</f><v>#N/A</v></c>'])
def test_a_missing_result_is_found(result: str, sample_book: Path, tmp_path: Path) -> None:
    """One formula without a stored result, or with an error, is told among thousands that have theirs."""
    spoilt = tmp_path / "spoilt.xlsx"
    with zipfile.ZipFile(sample_book) as old, zipfile.ZipFile(spoilt, "w") as new:
        for part in old.infolist():
            data = old.read(part)
            if part.filename == "xl/worksheets/sheet1.xml":
                data = re.sub(rb'<c r="A3".*?</c>', result.encode(), data, count=1)
            new.writestr(part.filename, data)
    assert len(list(lint.without_result(lint.Workbook(spoilt)))) == 1


def test_every_rule_is_tried() -> None:
    """A sheet is spoilt for every rule."""
    assert {rule for rule, _ in SPOILT} | {lint.without_result} == set(lint.RULES)


def test_contrast_is_reckoned_as_published() -> None:
    """Black on white is 21, a colour on itself 1; the greys 777777 and 767676 on white are 4.48 and 4.54 (WCAG 2.2, G18)."""
    pairs = [("000000", "FFFFFF"), ("336699", "336699"), ("777777", "FFFFFF"), ("767676", "FFFFFF")]
    assert [round(lint.contrast(*pair), 2) for pair in pairs] == [21, 1, 4.48, 4.54]
