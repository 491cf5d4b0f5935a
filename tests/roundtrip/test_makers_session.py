"""A maker's afternoon in the exported workbook: every kind of cell edited, rows moved, and mistakes that are told."""

from __future__ import annotations

import re
import shutil
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time
from pathlib import Path
from typing import Any, NamedTuple

import openpyxl
import pytest

import costing
from costing.exchange.season_files import open_season
from costing.fields.types import day_number
from costing.tables.buying.purchases import Purchase
from tests.roundtrip.makers import changes, edits, grid, saved_by_libreoffice, setting, typed_into

pytestmark = pytest.mark.slow

Where = dict[str, str]
YES, NO = True, False


class Edit(NamedTuple):
    """One cell as the maker edits it: sheet, the row that shows something, column, what is typed, what that changes."""

    sheet: str
    row: Where
    column: str
    typed: Any
    change: str
    number_format: str = ""


def _bought(item: str, invoice: str) -> Where:
    return {"item": item, "invoice": invoice}


def _card(formula: str, kind: str, **cells: str) -> Where:
    return {"formula": formula, "row": kind, **cells}


EDITS = (
    # numbers and what is typed for them
    Edit("Purchases", _bought("Castor oil", "BM-1042"), "paid", 70.5,
         "purchases: 2025-05-12 Brackmoss Supply BM-1042 Castor oil: paid 66.7 → 70.5"),
    Edit("Purchases", _bought("delivery", "BM-1042"), "paid", "30,50",
         "purchases: 2025-05-12 Brackmoss Supply BM-1042 delivery: paid 28.75 → 30.5"),
    Edit("Purchases", _bought("Jar 330 mL", "HQ-3310"), "paid", "1.325,00 NZ$",
         "purchases: 2025-06-03 Hallowquay Jars HQ-3310 Jar 330 mL: paid 325 → 1325"),
    Edit("Purchases", _bought("Jar 200 mL", "HQ-3310"), "tax", "\u00a031,80 ",
         "purchases: 2025-06-03 Hallowquay Jars HQ-3310 Jar 200 mL: tax 31.7 → 31.8"),
    Edit("Purchases", _bought("Glycerin", "W7714"), "packs", 5,
         "purchases: 2025-06-17 Wattlemere Ingredients W7714 Glycerin: packs 4 → 5"),
    Edit("Purchases", _bought("Stearic acid", "W7714"), "rate", "1,09",
         "purchases: 2025-06-17 Wattlemere Ingredients W7714 Stearic acid: rate 1.08 → 1.09"),
    Edit("Purchases", _bought("Small label", "HQ-3790"), "packs", None,
         "purchases: 2026-10-13 Hallowquay Jars HQ-3790 Small label: packs 1000 → blank"),
    Edit("Items", {"item": "Glycerin"}, "on_hand", "11 250", "items: Glycerin: on_hand 11800 → 11250"),
    Edit("Items", {"item": "Olive oil"}, "quote", 12.25, "items: Olive oil: quote 11.6 → 12.25"),
    Edit("Items", {"item": "Coconut oil"}, "density", 0.9245, "items: Coconut oil: density blank → 0.9245"),
    Edit("Overheads", {"overhead": "Website"}, "amount", "1'240.50", "overheads: Website: amount 240 → 1240.5"),
    Edit("Tubs", {"tub": "Jar 500 mL", "part": "Large label"}, "count", 3.0, "tubs: Jar 500 mL Large label: count 2 → 3"),
    # numbers with their unit behind them
    Edit("Formulas", _card("Olive and lavender bar", "formula"), "grams", "5200 g",
         "formulas: Olive and lavender bar: batch_grams 5000 → 5200"),
    Edit("Formulas", _card("Olive and lavender bar", "step", step="lye"), "minutes", "12 min",
         "steps: Olive and lavender bar lye: minutes 10 → 12"),
    Edit("Formulas", _card("Olive and lavender bar", "step", step="blend"), "watts", "1500 W",
         "steps: Olive and lavender bar blend: watts 1400 → 1500"),
    Edit("Formulas", _card("Olive and lavender bar", "step", step="cut"), "hours", 0.25,
         "steps: Olive and lavender bar cut: hours blank → 0.25"),
    Edit("Products", {"product": "Olive and lavender bar 120 g"}, "fill_grams", "124 g",
         "products: Olive and lavender bar 120 g: fill_grams 123 → 124"),
    # percentages: shown as such, holding the number, as text
    Edit("Formulas", _card("Everyday bar", "line", what="Water"), "percent", 0.2005,
         "lines: Everyday bar lye Water: percent 20.15 → 20.05"),
    Edit("Formulas", _card("Everyday bar", "line", what="Castor oil"), "percent", 0.036,
         "lines: Everyday bar blend Castor oil: percent 3.5 → 3.6"),
    Edit("Formulas", _card("Lavender whipped soap", "line", what="Water"), "percent", "36,1 %",
         "lines: Lavender whipped soap melt Water: percent 36.2 → 36.1"),
    Edit("Formulas", _card("Lavender whipped soap", "line", what="Glycerin"), "percent", 19.1,
         "lines: Lavender whipped soap melt Glycerin: percent 19 → 19.1", "General"),
    Edit("Formulas", _card("Soap shreds", "step", step="dry"), "percent", "0.9 %",
         "steps: Soap shreds dry: loss_percent 4 → 0.9"),
    Edit("Channels", {"channel": "Market stall"}, "margin_percent", 40,
         "channels: Market stall: margin_percent 20 → 40", "General"),
    Edit("Channels", {"channel": "Web shop"}, "sales_tax_percent", "12,5",
         "channels: Web shop: sales_tax_percent 15 → 12.5"),
    Edit("Products", {"product": "Pink clay whipped soap 200 g"}, "waste_percent", 0.03,
         "products: Pink clay whipped soap 200 g: waste_percent 2 → 3"),
    Edit("Items", {"item": "Lavender oil"}, "highest_percent", 0.032, "items: Lavender oil: highest_percent 2.5 → 3.2"),
    # dates: as a date, as text, as the number that sheets keep
    Edit("Purchases", _bought("Coconut oil", "20518"), "bought_on", datetime(2025, 5, 22),
         "purchases: 2025-05-20 Pindle and Rook Wholesale 20518 Coconut oil: bought_on 2025-05-20 → 2025-05-22"),
    Edit("Purchases", _bought("Olive oil", "20518"), "bought_on", " 2025-05-21",
         "purchases: 2025-05-20 Pindle and Rook Wholesale 20518 Olive oil: bought_on 2025-05-20 → 2025-05-21"),
    Edit("Purchases", _bought("Large label", "HQ-3527"), "bought_on", day_number(date(2026, 1, 14)),
         "purchases: 2026-01-13 Hallowquay Jars HQ-3527 Large label: bought_on 2026-01-13 → 2026-01-14", "General"),
    # keys, choices and units in other spellings
    Edit("Purchases", _bought("Sunflower oil", "22871"), "item", "\u00a0Olive  OIL ",
         "purchases: 2026-08-12 Pindle and Rook Wholesale 22871 Sunflower oil: item Sunflower oil → Olive oil"),
    Edit("Purchases", _bought("Shea butter", "BM-1042"), "unit", " Kilograms",
         "purchases: 2025-05-12 Brackmoss Supply BM-1042 Shea butter: unit lb → kg"),
    Edit("Purchases", _bought("Phenoxyethanol", "W7714"), "currency", "usd ",
         "purchases: 2025-06-17 Wattlemere Ingredients W7714 Phenoxyethanol: currency AUD → USD"),
    Edit("Tubs", {"tub": "Jar 100 mL", "part": "Small lid"}, "part", "LARGE LID", ""),
    Edit("Products", {"product": "Pink clay whipped soap 120 g"}, "tub", "JAR 330 ML",
         "products: Pink clay whipped soap 120 g: tub Jar 200 mL → Jar 330 mL"),
    Edit("Channels", {"channel": "Coast shops"}, "shown_with_tax", YES, "channels: Coast shops: shown_with_tax no → blank",
         "General"),
    Edit("Overheads", {"overhead": "Insurance"}, "shared_by", "Minutes", "overheads: Insurance: shared_by blank → minutes"),
    Edit("Own or bought", {"product": "Pink clay whipped soap 120 g"}, "bought", "lavender Whipped SOAP from base 120 g",
         "alternatives: Pink clay whipped soap 120 g: "
         "bought Pink clay whipped soap from base 120 g → Lavender whipped soap from base 120 g"),
    # texts, and numbers where a text belongs
    Edit("Purchases", {"item": "Water"}, "supplier", "Town\u00a0water ",
         "purchases: 2026-07-31 Water: supplier blank → Town water"),
    Edit("Purchases", _bought("Glycerin", "W8133"), "invoice", 8133,
         "purchases: 2026-02-10 Wattlemere Ingredients W8133 Glycerin: invoice W8133 → 8133"),
    Edit("Purchases", _bought("Kaolin", "BM-1339"), "note", "first line\nsecond line",
         "purchases: 2026-07-07 Brackmoss Supply BM-1339 Kaolin: note blank → first line\\nsecond line"),
    Edit("Items", {"item": "Vitamin E"}, "note", "#A12 on the tin", "items: Vitamin E: note blank → #A12 on the tin"),
    Edit("Formulas", _card("Pink clay whipped soap", "formula"), "what", "Rosa Schlagseife",
         "formulas: Pink clay whipped soap: name blank → Rosa Schlagseife"),
    Edit("Formulas", _card("Soap shreds", "formula"), "note", None,
         "formulas: Soap shreds: note trimmings of both bars, made up with everyday bars → blank"),
    # outputs and prices
    Edit("Formulas", _card("Olive and lavender bar", "output", what="trimmings"), "price_per_kg", "6,5",
         "outputs: Olive and lavender bar trimmings: price_per_kg 6 → 6.5"),
    Edit("Formulas", _card("Everyday bar", "output", what="bars"), "percent", 0.87,
         "outputs: Everyday bar bars: percent 88 → 87"),
    Edit("Formulas", _card("Everyday bar", "output", what="trimmings"), "percent", "13%",
         "outputs: Everyday bar trimmings: percent 12 → 13"),
    Edit("Prices", {"product": "Olive and lavender bar 120 g", "channel": "Market stall"}, "planned", 160,
         "prices: Olive and lavender bar 120 g Market stall: planned 150 → 160"),
    Edit("Prices", {"product": "Everyday bar 110 g", "channel": "Market stall"}, "price", None,
         "prices: Everyday bar 110 g Market stall: price 11.5 → blank"),
    Edit("Prices", {"product": "Pink clay whipped soap 200 g", "channel": "Web shop"}, "price", "$ 19.90",
         "prices: Pink clay whipped soap 200 g Web shop: price blank → 19.9"),
)  # fmt: skip
SETTINGS: dict[str, Any] = {"priced_on": "2026-11-02", "hourly_rate": "30,00", "reclaims_tax": NO, "price_ending": 0.1}
MOVED = (
    "season: settings: priced_on 2026-11-01 → 2026-11-02, hourly_rate 28 → 30, reclaims_tax yes → blank, "
    "price_ending blank → 0.1",
    # the part of a tub is its key, so that one row goes and another comes
    "tubs: removed tub Jar 100 mL, part Small lid",
    "tubs: added tub Jar 100 mL, part Large lid",
    # rows inserted, typed in spare rows, typed below the table
    "purchases: added bought_on 2026-10-20, item Water, size 2, unit L, paid 3.5",
    "purchases: added bought_on 2026-10-21, item Water, size 3, unit L, paid 4.5",
    "purchases: added bought_on 2026-10-22, item Water, size 4, unit L, paid 5.5",
    "overheads: added overhead scales, amount 99.5, shared_by grams",
    "steps: added formula Olive and lavender bar, step wash, minutes 5",
    "steps: Olive and lavender bar cut: order 3 → 4, hours blank → 0.25",
    "steps: Olive and lavender bar cure: order 4 → 5",
    # rows deleted
    "purchases: removed bought_on 2025-09-15, supplier Wattlemere Ingredients, invoice W7902, item discount, paid 6.5, "
    "currency AUD, rate 1.09, note welcome discount on the first base order",
    "prices: removed product Olive and lavender bar 120 g, channel Coast shops, planned 60",
    "alternatives: removed product Pink clay sugar scrub 250 g, bought Pink clay sugar scrub from base 250 g",
)
NEW_NAMES = {"Purchases": "Receipts 2026", "Formulas": "Cards", "Prices": "What I ask", "Settings": "This season"}


def session(book: Any) -> None:
    """Work in an exported sample as a maker does."""
    for name, by in (("Purchases", "item"), ("Tubs", "part"), ("Items", "item"), ("Prices", "channel")):
        grid(book, name).sort(by, down=name == "Items")
    rows = [(edit, grid(book, edit.sheet).find(**edit.row)) for edit in EDITS]
    for edit, row in rows:
        cell = grid(book, edit.sheet).cell(row, edit.column)
        cell.value = edit.typed
        cell.number_format = edit.number_format or cell.number_format
    for key, value in SETTINGS.items():
        setting(book, key).value = value
    setting(book, "reclaims_tax").number_format = "General"  # a cell of another format would not take a yes or no as such
    _move_rows(book)
    own = book.create_sheet("My own", 0)
    own["A1"], own["B2"] = "nothing to do with costing", 12
    for name, new in NEW_NAMES.items():
        rename(book, name, new)


def _move_rows(book: Any) -> None:
    purchases, cards = grid(book, "Purchases"), grid(book, "Formulas")
    middle = purchases.find(item="Glycerin")
    purchases.sheet.insert_rows(middle)
    water = {"item": "Water", "unit": "L"}
    purchases.put(middle, bought_on=datetime(2026, 10, 20), size=2, paid=3.5, **water)
    purchases.put(purchases.rows[-1] + 1, bought_on=datetime(2026, 10, 21), size=3, paid=4.5, **water)
    purchases.put(purchases.sheet.max_row + 7, bought_on=datetime(2026, 10, 22), size=4, paid=5.5, **water)
    overheads = grid(book, "Overheads")
    overheads.put(overheads.sheet.max_row + 3, overhead="scales", amount=99.5, shared_by="grams")
    cut = cards.find(formula="Olive and lavender bar", row="step", step="cut")
    cards.sheet.insert_rows(cut)
    cards.put(cut, formula="Olive and lavender bar", row="Step", step="wash", minutes=5)
    for name, cells in (
        ("Purchases", {"item": "discount", "invoice": "W7902"}),
        ("Prices", {"product": "Olive and lavender bar 120 g", "channel": "Coast shops"}),
        ("Own or bought", {"product": "Pink clay sugar scrub 250 g"}),
    ):
        table = grid(book, name)
        table.sheet.delete_rows(table.find(**cells))


def rename(book: Any, name: str, new: str) -> None:
    """Rename a sheet, and in the names that lead to it, as a spreadsheet program does."""
    book[name].title = new
    for defined in book.defined_names.values():
        defined.attr_text = re.sub(rf"^'?{name}'?!", f"'{new}'!", defined.attr_text)


def with_formula(path: Path, sheet: str, cell: str, formula: str, result: str, *, kind: str = "n") -> None:
    """Put a formula into a cell; ``result`` is the XML of its stored result, ``kind`` the letter for what that is."""
    part = f"xl/worksheets/sheet{openpyxl.load_workbook(path, read_only=True).sheetnames.index(sheet) + 1}.xml"
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    found = rf'<c r="{cell}"( s="\d+")?[^>]*?(/>|>.*?</c>)'
    xml, count = re.subn(found, rf'<c r="{cell}"\1 t="{kind}"><f>{formula}</f>{result}</c>', parts[part].decode(), count=1)
    assert count == 1
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, xml if name == part else data)


@pytest.fixture(scope="module")
def worked_in(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the sample's workbook after the session."""
    return typed_into(sample_book, tmp_path_factory.mktemp("session") / "session.xlsx", session)


def _expected() -> list[str]:
    """Return what the session changes. Two edits of one row make one change, so cut's hours are told with its order."""
    return sorted([*(edit.change for edit in EDITS if edit.change and edit.column != "hours"), *MOVED])


def test_every_edit_of_a_session_is_read(worked_in: Path, sample_season: costing.Season) -> None:
    assert len({(edit.sheet, edit.column) for edit in EDITS} | set(SETTINGS)) >= 20
    assert sorted(edits(worked_in, sample_season.records)) == _expected()


def test_session_can_be_costed_and_exported(worked_in: Path, tmp_path: Path) -> None:
    records = costing.read_season(worked_in)
    costing.export(costing.cost(records), tmp_path / "again.xlsx")
    assert edits(tmp_path / "again.xlsx", records) == []


def test_session_comes_through_libreoffice(worked_in: Path, sample_season: costing.Season, tmp_path: Path) -> None:
    """LibreOffice works out formulas in given cells that had no result before."""
    book = openpyxl.load_workbook(worked_in)
    row = grid(book, "Receipts 2026", Purchase).find(item="Wrapping paper")
    with_formula(worked_in, "Receipts 2026", f"H{row}", "12*5", "")
    (saved,) = saved_by_libreoffice(tmp_path, worked_in)
    source = open_season(saved)
    formula = "purchases: 2026-05-26 Hallowquay Jars HQ-3661 Wrapping paper: paid 57.5 → 60"
    assert sorted(changes(sample_season.records, source.records())) == sorted([*_expected(), formula])
    assert sorted(source.notices) == [
        "Channels, D8: =TRUE() counts as True",  # so LibreOffice writes what was typed as TRUE
        f"Receipts 2026, H{row}: =12*5 counts as 60",
        "This season, C16: =FALSE() counts as False",
    ]


# -- mistakes, and what is told of them --


class Mistake(NamedTuple):
    """What the maker does to a workbook, and the fault that must be told of it, in all its words."""

    name: str
    typing: Callable[[Any], None]
    told: str


def _typed(sheet: str, row: Where, column: str, value: Any, number_format: str = "") -> Callable[[Any], None]:
    """Type a value into one cell."""

    def typing(book: Any) -> None:
        table = grid(book, sheet)
        cell = table.cell(table.find(**row), column)
        cell.value = value
        cell.number_format = number_format or cell.number_format

    return typing


def _castor(column: str, value: Any, number_format: str = "") -> Callable[[Any], None]:
    return _typed("Purchases", _bought("Castor oil", "BM-1042"), column, value, number_format)


def _merged(book: Any) -> None:
    book["Purchases"].merge_cells("B8:C9")


def _heading(sheet: str, cell: str, text: str) -> Callable[[Any], None]:
    def typing(book: Any) -> None:
        book[sheet][cell] = text

    return typing


def _deleted(sheet: str, row: int) -> Callable[[Any], None]:
    def typing(book: Any) -> None:
        book[sheet].delete_rows(row)

    return typing


def _twice(book: Any) -> None:
    table = grid(book, "Tubs")
    table.put(table.rows[-1] + 2, tub="JAR 100 mL", part=" Small lid")


def _misspelt_setting(book: Any) -> None:
    book["Settings"].insert_rows(12)
    book["Settings"]["A13"] = "hourly_rte"


YEAR = "write it like 2026-11-01"
MISTAKES = (
    Mistake("error", _castor("paid", "#DIV/0!"),
            "Purchases, H8: #DIV/0! is an error; write the figure itself, or clear the cell"),
    Mistake("two readings", _castor("paid", "1,234"),
            'sheet Purchases, row 8, Paid: "1,234" can be 1234 or 1.234; write 1234 or 1.234'),
    Mistake("another kind of unit behind a size", _castor("size", "5 pieces"),
            'sheet Purchases, row 8, Size: size "5 pieces" beside the unit L; '
            "write the size in that unit, or clear the unit"),
    Mistake("gallon of no country", _castor("unit", "gallon"),
            'sheet Purchases, row 8, Unit: "gallon" differs between countries; write us gallon or imperial gallon'),
    Mistake("cup", _castor("unit", "cups"),
            'sheet Purchases, row 8, Unit: "cups" is no measure of weight; weigh it and write grams'),
    Mistake("boolean for a number", _castor("paid", YES),
            "Purchases, H8: TRUE; write a figure or a text"),
    Mistake("boolean for a key", _castor("item", NO),
            "Purchases, D8: FALSE; write a figure or a text"),
    Mistake("date for a number", _castor("packs", datetime(2026, 1, 2)),
            "Purchases, E8: 2026-01-02 is a date; write a number, and set the cell's format to number"),
    Mistake("date for a key", _castor("item", datetime(2026, 1, 2)),
            "Purchases, D8: 2026-01-02 is a date; write a text, with ' before it"),
    Mistake("time", _castor("paid", time(12, 30)),
            'sheet Purchases, row 8, Paid: "12 h 30 min" is of another kind than this column, which holds money; '
            "write money"),
    Mistake("text date of two readings", _castor("bought_on", "05/06/2026"),
            'sheet Purchases, row 8, Bought on: "05/06/2026" can be 2026-06-05 or 2026-05-06; '
            "write 2026-06-05 or 2026-05-06"),
    Mistake("text date of no reading", _castor("bought_on", "25.16.2026"),
            'sheet Purchases, row 8, Bought on: "25.16.2026" is not a date as year-month-day; write it like 2026-11-01'),
    Mistake("number for a date", _castor("bought_on", 2026, "General"),
            f"Purchases, A8: 2026 is no date; {YEAR}"),
    Mistake("formula without result", _castor("paid", "=12*3"),
            "Purchases, H8: =12*3 has no result; "
            "open the workbook in a spreadsheet program and save it, or write the figure itself"),
    Mistake("percentage of two readings", _typed("Channels", {"channel": "Market stall"}, "margin_percent", 0.4, "General"),
            "Channels, I6: 0.4 can be 0.4 % or 40 %; write 0.4 % or 40 %, with the sign"),
    Mistake("percentage too high", _typed("Channels", {"channel": "Market stall"}, "margin_percent", 3.5),
            "sheet Channels, row 6, Margin wanted: 350 is above 99; write 99 or less"),
    Mistake("other money", _castor("paid", "£25.00"),
            'sheet Purchases, row 8, Paid: "£25.00" is GBP, and the row in NZD; '
            "write GBP in currency, with its rate, or the amount in NZD"),
    Mistake("rate in a cell of money", _castor("tax", 0.23, "0 %"),
            'sheet Purchases, row 8, Tax in it: "23 %" is a rate, and this column holds money; '
            "name the column tax_percent, or write the tax in money"),
    Mistake("no such choice", _typed("Overheads", {"overhead": "Website"}, "shared_by", "gramm"),
            'sheet Overheads, row 9, Shared by: "gramm" is not one of units, grams, minutes; did you mean "grams"?'),
    Mistake("needed cell cleared", _castor("paid", None),
            "sheet Purchases, row 8, Paid: is empty; fill it in: what was paid for the row, tax included"),
    Mistake("needed cell of blanks", _castor("paid", " \u00a0"),
            "sheet Purchases, row 8, Paid: is empty; fill it in: what was paid for the row, tax included"),
    Mistake("merged", _merged, "Purchases, B8:C9: cells are merged; split them, and fill in each row"),
    Mistake("key twice", _twice, 'sheet Tubs, row 25: tub and part "Jar 100 mL / Small lid" is there already in row 9; '
            "give each its own"),
    Mistake("heading misspelt", _heading("Purchases", "H5", "Payed"),
            'Purchases, row 5: there is no column "payed"; did you mean "paid"?'),
    Mistake("headings deleted", _deleted("Overheads", 5),
            "Overheads: has no row of headings; write them back; it needs overhead"),
    Mistake("setting deleted", _deleted("Settings", 8),
            "sheet Settings, priced_on: is empty; fill it in: the day the prices are worked out for. "
            "Purchases after it are left out"),
    Mistake("setting misspelt below a blank row", _misspelt_setting,
            'sheet Settings, row 13, hourly_rte: is no setting; did you mean "hourly_rate"?'),
    Mistake("minutes on a line", _typed("Formulas", _card("Olive and lavender bar", "line", what="Water"), "minutes", 5),
            "sheet Formulas, row 8, Minutes: 5 stands in a line row, which has no such thing; "
            "clear it, or move it to its row"),
    Mistake("grams on a yield", _typed("Formulas", _card("Olive and lavender bar", "yield"), "grams", 4800),
            "sheet Formulas, row 19, Grams: 4800 stands in a yield row, which has no such thing; "
            "clear it, or move it to its row"),
    Mistake("no such kind of row", _typed("Formulas", _card("Olive and lavender bar", "line", what="Water"), "row", "lines"),
            'sheet Formulas, row 8, Row: "lines" is no kind of row; did you mean "line"?'),
    Mistake("kind of row cleared", _typed("Formulas", _card("Olive and lavender bar", "line", what="Water"), "row", None),
            'sheet Formulas, row 8, Row: "" is no kind of row; write one of formula, line, step, output'),
)  # fmt: skip


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake.name)
def test_mistake_is_told_with_its_place_and_what_to_do(mistake: Mistake, lean_book: Path, tmp_path: Path) -> None:
    path = typed_into(lean_book, tmp_path / "mistaken.xlsx", mistake.typing)
    with pytest.raises(costing.Faults) as caught:
        costing.read_season(path)
    assert mistake.told in [str(fault) for fault in caught.value.faults]


def _own_sheet(name: str) -> Callable[[Any], None]:
    def typing(book: Any) -> None:
        book.copy_worksheet(book["Overheads"]).title = name

    return typing


def _another_column(book: Any) -> None:
    book["Overheads"]["L5"] = "My view"
    book["Overheads"]["L6"] = "paid in June"


NOTICES = (
    ("note on a step row", _typed("Formulas", _card("Olive and lavender bar", "step", step="lye"), "note", "mind the fumes"),
     "sheet Formulas, row 9: a note on a step row is not kept; write it on the card's head"),
    ("copied sheet", _own_sheet("Overheads (2)"), "sheet Overheads (2) is not read: sheet Overheads holds overheads"),
    ("column of one's own", _another_column, 'Overheads, row 5: column "my view" is not read'),
)  # fmt: skip


@pytest.mark.parametrize(("typing", "told"), [each[1:] for each in NOTICES], ids=[each[0] for each in NOTICES])
def test_what_is_not_read_is_noticed(
    typing: Callable[[Any], None], told: str, lean_book: Path, sample_season: costing.Season, tmp_path: Path
) -> None:
    source = open_season(typed_into(lean_book, tmp_path / "noticed.xlsx", typing))
    assert source.notices == [told]
    assert changes(sample_season.records, source.records()) == []


# -- formulas with stored results, put into the exported file as it is --


@pytest.mark.parametrize(("formula", "result"), [("12*3", "36"), ("SUM(30,6.5)", "36.5"), ("250/3", "83.333333333333329")])
def test_formula_in_a_given_cell_counts_with_its_stored_result(
    formula: str, result: str, lean_book: Path, sample_season: costing.Season, tmp_path: Path
) -> None:
    path = Path(shutil.copy(lean_book, tmp_path / "book.xlsx"))
    with_formula(path, "Purchases", "H9", formula, f"<v>{result}</v>")
    source = open_season(path)
    paid = f"{float(result)}".removesuffix(".0")
    told = f"purchases: 2025-05-12 Brackmoss Supply BM-1042 delivery: paid 28.75 → {paid}"
    assert changes(sample_season.records, source.records()) == [told]
    assert source.notices == [f"Purchases, H9: ={formula} counts as {paid}"]


def test_formula_that_came_to_an_error_is_told(lean_book: Path, tmp_path: Path) -> None:
    path = Path(shutil.copy(lean_book, tmp_path / "book.xlsx"))
    with_formula(path, "Purchases", "H9", "1/0", "<v>#DIV/0!</v>", kind="e")
    with pytest.raises(costing.Faults) as caught:
        costing.read_season(path)
    told = "Purchases, H9: #DIV/0! is an error; write the figure itself, or clear the cell"
    assert told in [str(fault) for fault in caught.value.faults]


# -- rows and sheets moved --


def test_blank_rows_anywhere_are_passed_over(lean_book: Path, sample_season: costing.Season, tmp_path: Path) -> None:
    def typing(book: Any) -> None:
        for name in ("Settings", "Purchases", "Items", "Formulas", "Tubs", "Products", "Prices", "Overheads"):
            for row in (12, 8, 6, 2):
                book[name].insert_rows(row)

    assert edits(typed_into(lean_book, tmp_path / "book.xlsx", typing), sample_season.records) == []


def test_columns_may_be_moved(lean_book: Path, sample_season: costing.Season, tmp_path: Path) -> None:
    def typing(book: Any) -> None:
        book["Overheads"].insert_cols(1, 2)
        book["Overheads"].move_range("C5:C40", cols=9)

    assert edits(typed_into(lean_book, tmp_path / "book.xlsx", typing), sample_season.records) == []


def test_rows_sorted_or_shuffled_mean_the_same(lean_book: Path, sample_season: costing.Season, tmp_path: Path) -> None:
    def typing(book: Any) -> None:
        for name, by in (("Purchases", "paid"), ("Items", "item"), ("Products", "tub"), ("Prices", "planned")):
            grid(book, name).sort(by, down=True)

    assert edits(typed_into(lean_book, tmp_path / "book.xlsx", typing), sample_season.records) == []


def test_sheets_may_be_renamed_reordered_and_joined_by_others(
    lean_book: Path, sample_season: costing.Season, tmp_path: Path
) -> None:
    def typing(book: Any) -> None:
        for name in ("Purchases", "Items", "Formulas", "Tubs", "Products", "Channels", "Prices", "Overheads", "Settings"):
            rename(book, name, f"My {name}")
        book.move_sheet("My Purchases", offset=6)
        book.create_sheet("Purchases")["A1"] = "see My Purchases"

    assert edits(typed_into(lean_book, tmp_path / "book.xlsx", typing), sample_season.records) == []


def test_sheet_of_an_optional_table_can_be_deleted(lean_book: Path, sample_season: costing.Season, tmp_path: Path) -> None:
    path = typed_into(lean_book, tmp_path / "book.xlsx", lambda book: book.remove(book["Overheads"]))
    told = edits(path, sample_season.records)
    assert [change.split(",")[0] for change in told][:2] == [
        "overheads: removed overhead Stall fees", "overheads: removed overhead Days at the stall",
    ]  # fmt: skip
    assert len(told) == len(sample_season.records.overheads)


def test_sheet_of_a_required_table_is_missed(lean_book: Path, tmp_path: Path) -> None:
    path = typed_into(lean_book, tmp_path / "book.xlsx", lambda book: book.remove(book["Channels"]))
    with pytest.raises(costing.Faults) as caught:
        costing.read_season(path)
    told = "book.xlsx, sheet channels: is missing; fill it in; it needs channel, margin_percent"
    assert told in [str(fault) for fault in caught.value.faults]
