"""Faults: one thing at a time is broken in a season that is whole, and the whole message is compared."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import costing
from costing.cli import main
from tests.seasons import SAMPLE

Tables = dict[str, list[dict[str, str]]]
Change = Callable[[Tables], object]

OWN_TABLES = [
    "season", "purchases", "formulas", "steps", "lines", "outputs", "tubs", "products", "channels", "prices",
    "overheads", "alternatives",
]  # fmt: skip


def whole() -> Tables:
    """Return a small season without a fault."""
    day = "2026-08-03"
    return {
        "season": [
            {"key": "name", "value": "Small season"},
            {"key": "currency", "value": "GBP"},
            {"key": "priced_on", "value": "2026-11-01"},
            {"key": "hourly_rate", "value": "15"},
        ],
        "purchases": [
            {"bought_on": day, "supplier": "Mill", "invoice": "M1", "item": "olive-oil", "packs": "1", "size": "5"}
            | {"unit": "kg", "paid": "30", "tax": "5", "currency": "", "rate": ""},
            {"bought_on": day, "supplier": "Mill", "invoice": "M1", "item": "shea-butter", "size": "1", "unit": "kg"}
            | {"paid": "12"},
            {"bought_on": day, "supplier": "Mill", "invoice": "M1", "item": "sodium-hydroxide", "size": "1"}
            | {"unit": "kg", "paid": "6"},
            {"bought_on": day, "supplier": "Mill", "invoice": "M1", "item": "delivery", "paid": "4"},
            {"bought_on": "2026-09-01", "supplier": "Well", "item": "water", "size": "10", "unit": "L", "paid": "3"},
            {
                "bought_on": "2026-09-01",
                "supplier": "Potter",
                "item": "jar",
                "size": "2",
                "unit": "dozen",
                "paid": "24",
            },
        ],
        "formulas": [
            {"formula": "bar", "name": "Bar", "batch_grams": "1000"},
            {"formula": "whip", "name": "Whipped soap"},
        ],
        "steps": [
            {"formula": "bar", "step": "mix", "minutes": "30"},
            {"formula": "bar", "step": "cure", "loss_percent": "10"},
        ],
        "lines": [
            {"formula": "bar", "step": "mix", "item": "olive-oil", "percent": "60", "grams": ""},
            {"formula": "bar", "step": "mix", "item": "shea-butter", "percent": "5"},
            {"formula": "bar", "step": "mix", "item": "sodium-hydroxide", "percent": "8"},
            {"formula": "bar", "step": "mix", "item": "water", "percent": "27"},
            {"formula": "whip", "step": "whip", "item": "bar/ends", "grams": "200"},
            {"formula": "whip", "step": "whip", "item": "water", "grams": "300"},
        ],
        "outputs": [
            {"formula": "bar", "output": "bars", "percent": "90", "valued": "weight", "price_per_kg": ""},
            {"formula": "bar", "output": "ends", "percent": "10"},
        ],
        "tubs": [{"tub": "small-jar", "part": "jar", "count": "1"}],
        "products": [
            {"product": "bar-90", "name": "Bar 90 g", "filled_with": "bar/bars", "tub": "small-jar"}
            | {"fill_grams": "90", "minutes": "1", "waste_percent": ""},
            {"product": "whip-100", "name": "Whipped soap 100 g", "filled_with": "whip", "tub": "small-jar"}
            | {"fill_grams": "100", "minutes": "2"},
        ],
        "channels": [{"channel": "stall", "margin_percent": "35", "fee_percent": "2", "shown_with_tax": ""}],
        "prices": [
            {"product": "bar-90", "channel": "stall", "planned": "10", "price": ""},
            {"product": "whip-100", "channel": "stall", "planned": "20"},
        ],
        "overheads": [{"overhead": "rent", "amount": "60", "shared_by": ""}],
        "alternatives": [{"product": "whip-100", "bought": "bar-90"}],
    }


def write(folder: Path, tables: Tables) -> Path:
    """Write tables as the CSV files of a season's folder."""
    folder.mkdir(exist_ok=True)
    for name, rows in tables.items():
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, list(dict.fromkeys(column for row in rows for column in row)))
            writer.writeheader()
            writer.writerows(rows)
    return folder


def cell(table: str, row: int, **cells: str) -> Change:
    """Change cells of a row, numbered as in the file: its heading is row 1."""
    return lambda tables: tables[table][row - 2].update(cells)


def more(table: str, **cells: str) -> Change:
    """Add a row below the others; the table may be a new one."""
    return lambda tables: tables.setdefault(table, []).append(cells)


def without(table: str) -> Change:
    """Leave a table out."""
    return lambda tables: tables.pop(table)


def heading(table: str, old: str, new: str) -> Change:
    """Write a heading otherwise."""

    def change(tables: Tables) -> None:
        tables[table] = [{new if key == old else key: text for key, text in row.items()} for row in tables[table]]

    return change


def setting(key: str, value: str) -> Change:
    """Add a setting."""
    return more("season", key=key, value=value)


def together(*changes: Change) -> Change:
    """Make several changes."""
    return lambda tables: [change(tables) for change in changes]


def faults_of(folder: Path, *changes: Change) -> tuple[costing.Fault, ...]:
    """Return the faults that a season with these changes gives."""
    tables = whole()
    together(*changes)(tables)
    with pytest.raises(costing.Faults) as caught:
        costing.cost(costing.read_season(write(folder, tables)))
    return caught.value.faults


def told(folder: Path, *changes: Change) -> list[str]:
    """Return the messages that a season with these changes gives."""
    return [str(fault) for fault in faults_of(folder, *changes)]


def test_the_season_that_is_broken_below_is_whole(tmp_path: Path) -> None:
    season = costing.cost(costing.read_season(write(tmp_path, whole())))
    assert season.row("products", product="whip-100").total > 0
    assert sorted(whole()) == sorted(OWN_TABLES)


ONE_FAULT = [
    # tables and headings
    pytest.param(
        without("channels"),
        "channels.csv: is missing; fill it in; it needs channel, margin_percent",
        id="a required table is missing",
    ),
    pytest.param(
        lambda tables: tables["channels"][0].update(channel="", margin_percent="", fee_percent=""),
        "channels.csv: has no rows; fill it in; it needs channel, margin_percent",
        id="a required table holds only its heading",
    ),
    pytest.param(
        heading("purchases", "supplier", "suplier"),
        'purchases.csv, heading: there is no column "suplier"; did you mean "supplier"?',
        id="a heading is misspelt",
    ),
    pytest.param(
        heading("tubs", "count", "zzz"),
        'tubs.csv, heading: there is no column "zzz"; known here: count, part, tub',
        id="a heading is like no column",
    ),
    # cells
    pytest.param(
        cell("purchases", 2, paid="123", tax="23", tax_percent="23"),
        "purchases.csv, row 2, tax_percent: tax of 23 and tax_percent of 23; write one of the two",
        id="a tax in money and by its rate",
    ),
    pytest.param(
        cell("purchases", 2, tax="23 %"),
        'purchases.csv, row 2, tax: "23 %" is a rate, and this column holds money; '
        "name the column tax_percent, or write the tax in money",
        id="a rate in a column of money",
    ),
    pytest.param(
        cell("purchases", 2, size="2 lumps"),
        'purchases.csv, row 2, size: "2 lumps" is not a number, and "lumps" no unit known here; '
        "write plain figures, in digits, without lumps",
        id="a size with a word behind it",
    ),
    pytest.param(
        cell("lines", 2, percent="a lot"),
        'lines.csv, row 2, percent: "a lot" is not a number; write digits, with a point before the decimals',
        id="words where a number belongs",
    ),
    pytest.param(
        cell("season", 5, value="fifteen"),
        'season.csv, row 5, hourly_rate: "fifteen" is not a number; write digits, with a point before the decimals',
        id="words where a setting's number belongs",
    ),
    pytest.param(
        cell("purchases", 2, size="-5"),
        "purchases.csv, row 2, size: -5 is not above 0; write a number above 0",
        id="a negative size",
    ),
    pytest.param(
        cell("lines", 6, grams="-200"),
        "lines.csv, row 6, grams: -200 is not above 0; write a number above 0",
        id="a negative weight",
    ),
    pytest.param(
        cell("products", 3, minutes="-2"),
        "products.csv, row 3, minutes: -2 is below 0; write 0 or more",
        id="negative minutes",
    ),
    pytest.param(
        cell("products", 2, waste_percent="100"),
        "products.csv, row 2, waste_percent: 100 is above 99; write 99 or less",
        id="everything wasted",
    ),
    pytest.param(
        cell("purchases", 2, paid="1,234"),
        'purchases.csv, row 2, paid: "1,234" can be 1234 or 1.234; write 1234 or 1.234',
        id="a number with two readings",
    ),
    pytest.param(
        cell("purchases", 2, bought_on="03/04/2027"),
        'purchases.csv, row 2, bought_on: "03/04/2027" can be 2027-04-03 or 2027-03-04; write 2027-04-03 or 2027-03-04',
        id="a date with two readings",
    ),
    pytest.param(
        cell("purchases", 2, bought_on="31/13/2026"),
        'purchases.csv, row 2, bought_on: "31/13/2026" is not a date as year-month-day; write it like 2026-11-01',
        id="a date without a reading",
    ),
    pytest.param(
        cell("season", 4, value="yesterday"),
        'season.csv, row 4, priced_on: "yesterday" is not a date as year-month-day; write it like 2026-11-01',
        id="no date at all",
    ),
    pytest.param(
        cell("purchases", 2, bought_on="2206-08-03"),
        "purchases.csv, row 2, bought_on: 2206-08-03 is no day of this trade; check the year",
        id="a year with its digits mixed up",
    ),
    pytest.param(
        cell("products", 2, tub=" "),
        "products.csv, row 2, tub: is empty; fill it in: the package",
        id="a cell that must be filled in is blank",
    ),
    pytest.param(
        cell("lines", 3, item="shea butter"),
        'lines.csv, row 3, item: "shea butter" is neither bought nor made; '
        'write it in purchases or formulas; did you mean "shea-butter"?',
        id="another name",
    ),
    pytest.param(
        cell("purchases", 2, supplier="Mill*"),
        'purchases.csv, row 2, supplier: "Mill*" holds one of * ? ~; leave it out: spreadsheets take it to mean any letters',
        id="a wildcard in a supplier",
    ),
    pytest.param(
        cell("channels", 2, shown_with_tax="maybe"),
        'channels.csv, row 2, shown_with_tax: "maybe" is not one of yes, no; write one of these',
        id="neither yes nor no",
    ),
    # settings
    pytest.param(
        cell("season", 3, value="NZ$"),
        'season.csv, row 3, currency: "NZ$" is no currency of ISO 4217; did you mean "NZD"?',
        id="an unknown currency of the season",
    ),
    pytest.param(
        cell("purchases", 2, currency="EURO", rate="0.87"),
        'purchases.csv, row 2, currency: "EURO" is no currency of ISO 4217; did you mean "EUR"?',
        id="an unknown currency of a purchase",
    ),
    pytest.param(
        setting("cost_basis", "averge"),
        'season.csv, row 6, cost_basis: "averge" is not one of latest, average, dearest, quote; did you mean "average"?',
        id="an unknown cost basis",
    ),
    pytest.param(
        setting("hourly_rat", "3"),
        'season.csv, row 6, hourly_rat: is no setting; did you mean "hourly_rate"?',
        id="an unknown setting",
    ),
    pytest.param(
        setting("hourly_rate", "16"),
        "season.csv, hourly_rate: this setting stands there twice; delete one of the two rows",
        id="a setting twice",
    ),
    pytest.param(
        cell("season", 2, value=""),
        "season.csv, row 2, name: is empty; fill it in: what this season is called",
        id="a setting that must be filled in is blank",
    ),
    # purchases
    pytest.param(
        cell("purchases", 3, unit="L"),
        "purchases.csv, row 3, unit: L of an item without density; "
        "add its density in g/mL to items, or weigh it and write g (shea-butter)",
        id="a volume of an item without density",
    ),
    pytest.param(
        cell("purchases", 2, unit="cup"),
        'purchases.csv, row 2, unit: "cup" is no measure of weight; weigh it and write grams',
        id="a cup",
    ),
    pytest.param(
        cell("purchases", 2, unit="tablespoons"),
        'purchases.csv, row 2, unit: "tablespoons" is no measure of weight; weigh it and write grams',
        id="a spoon",
    ),
    pytest.param(
        cell("purchases", 2, unit="gallon"),
        'purchases.csv, row 2, unit: "gallon" differs between countries; write us gallon or imperial gallon',
        id="a gallon of no country",
    ),
    pytest.param(
        cell("purchases", 2, size=""),
        "purchases.csv, row 2: size and unit are not both filled in; "
        "write what one pack holds, as 500 and g, or 1 and piece",
        id="goods without size",
    ),
    pytest.param(
        cell("purchases", 2, packs="0"),
        "purchases.csv, row 2: 0 packs; write how many were bought, or delete the row",
        id="no packs",
    ),
    pytest.param(
        cell("purchases", 2, packs="-1"),
        "purchases.csv, row 2: -1 packs paid with 30; write both positive for a purchase, both negative for a return",
        id="a return that was paid for",
    ),
    pytest.param(
        cell("purchases", 2, tax="31"),
        "purchases.csv, row 2: tax of 31 in 30 paid; write the part of the amount paid that is tax",
        id="more tax than was paid",
    ),
    pytest.param(
        cell("purchases", 2, currency="EUR"),
        "purchases.csv, row 2, rate: is empty for a purchase in EUR; write how many GBP one EUR costs",
        id="a foreign currency without rate",
    ),
    pytest.param(
        cell("purchases", 2, rate="1.2"),
        "purchases.csv, row 2, rate: 1.2 for a purchase in GBP; leave it blank, or name the currency",
        id="a rate without foreign currency",
    ),
    pytest.param(
        cell("purchases", 5, item="discount", paid="-4"),
        "purchases.csv, row 5: discount of -4; write a discount as a positive amount; it is taken off",
        id="a negative discount",
    ),
    pytest.param(
        cell("purchases", 5, invoice=""),
        "purchases.csv, row 5: a delivery without supplier and invoice cannot be shared; "
        "write the supplier and invoice of the goods it belongs to",
        id="a delivery without invoice",
    ),
    pytest.param(
        cell("purchases", 5, invoice="M2"),
        "purchases.csv, row 5, invoice: no goods of Mill, invoice M2, to share this delivery among; known here: M1",
        id="a delivery on an invoice without goods",
    ),
    pytest.param(
        together(
            more("purchases", bought_on="2026-08-03", item="lid", size="1", unit="dozen", paid="1"),
            more("purchases", bought_on="2026-08-03", item="lid", size="1", unit="kg", paid="1"),
        ),
        'purchases.csv, row 8, unit: "lid" is bought by the piece; '
        "purchases.csv, row 9 has it by weight: make two items of it, or use one way",
        id="an item bought by the piece and by weight",
    ),
    pytest.param(
        more("purchases", bought_on="2026-08-03", item="whip", size="1", unit="kg", paid="9"),
        'purchases.csv, row 8, item: "whip" is also a formula; give one of the two another key',
        id="an item with the key of a formula",
    ),
    # keys
    pytest.param(
        more("formulas", formula="bar", name="Bar again", batch_grams="500"),
        'formulas.csv, row 4: formula "bar" is there already in row 2; give each its own',
        id="two rows with one key",
    ),
    pytest.param(
        more("prices", product="bar-90", channel="stall"),
        'prices.csv, row 4: product and channel "bar-90 / stall" is there already in row 2; give each its own',
        id="two rows with one key of two columns",
    ),
    # formulas
    pytest.param(
        cell("lines", 5, percent="24"),
        "formulas.csv, row 2, formula: percentages of bar add up to 97; make its lines in lines add up to 100 (+3 to go)",
        id="percentages that add up to 97",
    ),
    pytest.param(
        cell("lines", 5, percent="27.02"),
        "formulas.csv, row 2, formula: percentages of bar add up to 100.02; "
        "make its lines in lines add up to 100 (-0.02 to go)",
        id="percentages that add up to a little too much",
    ),
    pytest.param(
        cell("formulas", 2, batch_grams=""),
        "formulas.csv, row 2, batch_grams: is empty, but bar is in percent; write what a batch weighs",
        id="percent without a batch weight",
    ),
    pytest.param(
        cell("lines", 3, grams="5"),
        "lines.csv, row 3: both percent and grams; write one of the two",
        id="both percent and grams",
    ),
    pytest.param(
        cell("lines", 7, grams=""),
        "lines.csv, row 7: neither percent nor grams; write one of the two",
        id="neither percent nor grams",
    ),
    pytest.param(
        cell("lines", 3, item="lard"),
        'lines.csv, row 3, item: "lard" was never bought; write what you paid for it in purchases',
        id="an item used but never bought",
    ),
    pytest.param(
        lambda tables: tables["purchases"].pop(4),
        'lines.csv, rows 5 and 7, item: "water" was never bought (2 alike); '
        "write what you paid for it in purchases, for water from the tap 1000 kg paid with 0",
        id="water that nobody buys",
    ),
    pytest.param(
        cell("purchases", 3, bought_on="2026-11-02"),
        'lines.csv, row 3, item: "shea-butter" was never bought by 2026-11-01, the day priced on; '
        "write an earlier purchase of it in purchases, or move priced_on",
        id="an item bought only after the day priced on",
    ),
    pytest.param(
        cell("lines", 3, item="shea-buter"),
        'lines.csv, row 3, item: "shea-buter" is neither bought nor made; '
        'write it in purchases or formulas; did you mean "shea-butter"?',
        id="a misspelt item",
    ),
    pytest.param(
        cell("lines", 3, item="jar"),
        'lines.csv, row 3, item: "jar" is bought by the piece; a formula takes grams: buy it by weight',
        id="an item bought by the piece in a formula",
    ),
    pytest.param(
        more("lines", formula="bra", step="mix", item="water", grams="5"),
        'lines.csv, row 8, formula: there is no formula "bra"; did you mean "bar"?',
        id="a line of an unknown formula",
    ),
    pytest.param(
        more("steps", formula="whipp", step="whip", minutes="5"),
        'steps.csv, row 4, formula: there is no formula "whipp"; did you mean "whip"?',
        id="a step of an unknown formula",
    ),
    pytest.param(
        cell("lines", 3, step="mixx"),
        'lines.csv, row 3, step: there is no step of bar "mixx"; did you mean "mix"?',
        id="a line in an unknown step",
    ),
    pytest.param(
        cell("lines", 6, item="bar/end"),
        'lines.csv, row 6, item: there is no output "bar/end"; did you mean "bar/ends"?',
        id="a line with an unknown output",
    ),
    pytest.param(
        more("formulas", formula="scrub", name="Scrub"),
        'formulas.csv, row 4, formula: "scrub" has no lines; write in lines what goes into it',
        id="a formula without lines",
    ),
    pytest.param(
        together(
            more("formulas", formula="scrub", name="Scrub"),
            more("lines", formula="scrub", step="fold", item="whip", grams="5"),
            more("lines", formula="bar", step="mix", item="scrub", grams="5"),
        ),
        "lines.csv, row 9, item: formulas use each other in a circle: bar → scrub → whip → bar; take one of these lines out",
        id="a circle of three formulas",
    ),
    pytest.param(
        more("lines", formula="bar", step="mix", item="bar/ends", grams="5"),
        "lines.csv, row 8, item: formulas use each other in a circle: bar → bar; take one of these lines out",
        id="a formula that uses itself",
    ),
    # outputs
    pytest.param(
        cell("outputs", 2, percent="87"),
        "outputs.csv, row 2, percent: outputs of bar add up to 97; "
        "make them add up to 100; what is thrown away is an output valued nothing",
        id="outputs that add up to 97",
    ),
    pytest.param(
        cell("outputs", 2, valued="sales", price_per_kg="9"),
        "outputs.csv, row 2, valued: outputs of bar share by weight and by sales; value them all by weight, or all by sales",
        id="outputs valued two ways",
    ),
    pytest.param(
        cell("outputs", 2, valued="set"),
        "outputs.csv, row 2: valued set, but price_per_kg is empty; write what a kilogram of it is worth",
        id="an output of set worth without its worth",
    ),
    pytest.param(
        together(cell("outputs", 2, valued="nothing"), cell("outputs", 3, valued="nothing")),
        "outputs.csv, row 2, valued: no output of bar bears the rest of its cost; "
        "value at least one of them by weight or sales",
        id="outputs that bear nothing",
    ),
    pytest.param(
        together(cell("outputs", 2, valued="sales", price_per_kg="0"), cell("outputs", 3, valued="sales", price_per_kg="0")),
        "outputs.csv, row 2, price_per_kg: outputs of bar have no sales value to share by; "
        "write a price_per_kg above 0 for one of them",
        id="outputs shared by a sales value of nothing",
    ),
    # tubs, products, channels, prices
    pytest.param(
        more("tubs", tub="large-jar", part="shea-butter"),
        'tubs.csv, row 3, part: "shea-butter" is bought by weight; a tub\'s parts are bought by the piece',
        id="a part bought by weight",
    ),
    pytest.param(
        more("tubs", tub="small-jar", part="jars"),
        'tubs.csv, row 3, part: "jars" is neither bought nor made; write it in purchases or formulas; did you mean "jar"?',
        id="a misspelt part",
    ),
    pytest.param(
        cell("products", 3, tub="smal-jar"),
        'products.csv, row 3, tub: tub "smal-jar" has no parts; write its parts in tubs; did you mean "small-jar"?',
        id="a tub without parts",
    ),
    pytest.param(
        cell("products", 3, filled_with="whipp"),
        'products.csv, row 3, filled_with: there is no formula or output "whipp"; did you mean "whip"?',
        id="a product filled with an unknown formula",
    ),
    pytest.param(
        cell("products", 2, filled_with="bar/bar"),
        'products.csv, row 2, filled_with: there is no formula or output "bar/bar"; did you mean "bar/bars"?',
        id="a product filled with an unknown output",
    ),
    pytest.param(
        cell("prices", 2, product="bar-9"),
        'prices.csv, row 2, product: there is no product "bar-9"; did you mean "bar-90"?',
        id="a price of an unknown product",
    ),
    pytest.param(
        cell("prices", 2, channel="stal"),
        'prices.csv, row 2, channel: there is no channel "stal"; did you mean "stall"?',
        id="a price in an unknown channel",
    ),
    pytest.param(
        setting("main_channel", "stal"),
        'season.csv, row 6, main_channel: there is no channel "stal"; did you mean "stall"?',
        id="an unknown main channel",
    ),
    pytest.param(
        setting("unit_price_decimals", "1.5"),
        "season.csv, row 6, unit_price_decimals: 1.5 decimals; write a whole number",
        id="half a decimal",
    ),
    pytest.param(
        more("made", what="bar-9", on_hand="5"),
        'made.csv, row 2, what: there is no formula, output or product "bar-9"; did you mean "bar-90"?',
        id="made stock of nothing",
    ),
    pytest.param(
        together(more("made", what="bar", on_hand="5"), more("made", what="bar", on_hand="6")),
        'made.csv, row 3: what "bar" is there already in row 2; give each its own',
        id="made stock twice",
    ),
    pytest.param(
        more("made", what="bar", on_hand="-5"),
        "made.csv, row 2, on_hand: -5 is below 0; write 0 or more",
        id="made stock below zero",
    ),
    pytest.param(
        cell("alternatives", 2, bought="bar-9"),
        'alternatives.csv, row 2, bought: there is no product "bar-9"; did you mean "bar-90"?',
        id="an alternative to an unknown product",
    ),
    pytest.param(
        cell("channels", 2, margin_percent="98"),
        "channels.csv, row 2, margin_percent: no price reaches a margin of 98 % at a fee of 2 %; lower one of the two",
        id="a margin that no price reaches",
    ),
    pytest.param(
        cell("channels", 2, margin_percent="88", fee_percent="10", sales_tax_percent="20"),
        "channels.csv, row 2, margin_percent: no price reaches a margin of 88 % at a fee of 10 %; lower one of the two",
        id="a margin that no price reaches, since the fee is taken of the tax too",
    ),
    # overheads
    pytest.param(
        together(cell("prices", 2, planned=""), cell("prices", 3, planned="0")),
        "overheads.csv, row 2, amount: nothing is planned to carry it; write planned numbers in prices",
        id="overheads and nothing planned",
    ),
    pytest.param(
        together(
            cell("overheads", 2, shared_by="minutes"),
            cell("steps", 2, minutes=""),
            cell("products", 2, minutes=""),
            cell("products", 3, minutes=""),
        ),
        "overheads.csv, row 2, shared_by: shared by minutes, but the plan has none; "
        "share it by units, or write minutes in steps and products",
        id="overheads shared by minutes and no minutes",
    ),
]


@pytest.mark.parametrize(("change", "message"), ONE_FAULT)
def test_one_fault_says_where_what_and_what_to_do(change: Change, message: str, tmp_path: Path) -> None:
    assert told(tmp_path, change) == [message]


def test_a_folder_with_one_table_names_every_other_that_must_be_there(tmp_path: Path) -> None:
    def all_but_tubs(tables: Tables) -> None:
        for name in set(tables) - {"tubs"}:
            del tables[name]

    assert told(tmp_path, all_but_tubs) == [
        "season.csv: is missing; fill it in; it needs name, currency, priced_on",
        "purchases.csv: is missing; fill it in; it needs bought_on, item, paid",
        "formulas.csv: is missing; fill it in; it needs formula",
        "lines.csv: is missing; fill it in; it needs formula, step, item",
        "products.csv: is missing; fill it in; it needs product, filled_with, tub, fill_grams",
        "channels.csv: is missing; fill it in; it needs channel, margin_percent",
    ]


def test_a_misspelt_file_is_told_beside_the_table_that_it_leaves_missing(tmp_path: Path) -> None:
    assert told(tmp_path, lambda tables: tables.update(purchase=tables.pop("purchases"))) == [
        'purchase.csv: is no table of a season; did you mean "purchases"? Rename it, or move it elsewhere',
        "purchases.csv: is missing; fill it in; it needs bought_on, item, paid",
    ]


def test_a_required_heading_that_is_misspelt_is_also_missing(tmp_path: Path) -> None:
    assert told(tmp_path, heading("channels", "margin_percent", "margin_per_cent")) == [
        'channels.csv, heading: there is no column "margin_per_cent"; did you mean "margin_percent"?',
        'channels.csv, heading: column "margin_percent" is missing; add it; it must be filled in',
    ]


def test_set_worth_above_the_batch_is_a_fault_of_the_outputs(tmp_path: Path) -> None:
    (fault,) = faults_of(tmp_path, cell("outputs", 3, valued="set", price_per_kg="150"))
    assert fault.where.startswith("outputs.csv, ")
    assert (fault.what, fault.do) == (
        "outputs of set worth 13.50 in a batch of bar that costs 12.65",
        "lower the price_per_kg of what is set",
    )


@pytest.mark.parametrize(("step", "ending"), [("0.50", "0.90"), ("0.50", "0.50"), ("1", "1.00")])
def test_a_price_ending_stays_below_the_price_step(step: str, ending: str, tmp_path: Path) -> None:
    (fault,) = faults_of(tmp_path, setting("price_step", step), setting("price_ending", ending))
    assert fault.where.startswith("season.csv")
    assert (fault.what, fault.do) == (
        f"price_ending {ending} is not below price_step {step}",
        "write an ending below the step",
    )


def test_all_faults_of_cells_are_told_at_once_in_the_order_of_the_tables(tmp_path: Path) -> None:
    changes = (
        cell("purchases", 2, size="2 lumps", paid="x", supplier="Mill?"),
        cell("purchases", 4, unit="cups"),
        cell("products", 3, fill_grams="0"),
        cell("channels", 2, margin_percent="100"),
        without("formulas"),
    )
    assert told(tmp_path, *changes) == [
        "formulas.csv: is missing; fill it in; it needs formula",
        'purchases.csv, row 2, supplier: "Mill?" holds one of * ? ~; leave it out: spreadsheets take it to mean any letters',
        'purchases.csv, row 2, size: "2 lumps" is not a number, and "lumps" no unit known here; '
        "write plain figures, in digits, without lumps",
        'purchases.csv, row 2, paid: "x" is not a number; write digits, with a point before the decimals',
        'purchases.csv, row 4, unit: "cups" is no measure of weight; weigh it and write grams',
        "products.csv, row 3, fill_grams: 0 is not above 0; write a number above 0",
        "channels.csv, row 2, margin_percent: 100 is above 99; write 99 or less",
    ]


def test_all_faults_between_tables_are_told_at_once(tmp_path: Path) -> None:
    changes = (
        cell("purchases", 3, unit="L"),
        cell("lines", 2, item="olive-oi"),
        cell("lines", 5, percent="24"),
        cell("products", 2, filled_with="bar/bar", tub="smal-jar"),
        cell("prices", 3, channel="post"),
        cell("channels", 2, margin_percent="98"),
    )
    assert sorted(told(tmp_path, *changes)) == [
        "channels.csv, row 2, margin_percent: no price reaches a margin of 98 % at a fee of 2 %; lower one of the two",
        "formulas.csv, row 2, formula: percentages of bar add up to 97; make its lines in lines add up to 100 (+3 to go)",
        'lines.csv, row 2, item: "olive-oi" is neither bought nor made; '
        'write it in purchases or formulas; did you mean "olive-oil"?',
        'prices.csv, row 3, channel: there is no channel "post"; known here: stall',
        'products.csv, row 2, filled_with: there is no formula or output "bar/bar"; did you mean "bar/bars"?',
        'products.csv, row 2, tub: tub "smal-jar" has no parts; write its parts in tubs; did you mean "small-jar"?',
        "purchases.csv, row 3, unit: L of an item without density; "
        "add its density in g/mL to items, or weigh it and write g (shea-butter)",
    ]


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(cell("lines", 5, percent="27.01"), id="percentages within a hundredth"),
        pytest.param(cell("lines", 2, percent="60 %"), id="a percent sign"),
        pytest.param(cell("lines", 6, grams="200 g"), id="grams with their unit"),
        pytest.param(cell("purchases", 6, unit="us gallon"), id="a volume of an item with density"),
        pytest.param(
            together(cell("purchases", 3, unit="L"), more("items", item="shea-butter", density="0.9")),
            id="a volume of an item given a density",
        ),
        pytest.param(cell("purchases", 3, bought_on="2026-11-01"), id="bought on the day priced on"),
        pytest.param(cell("purchases", 2, currency="EUR", rate="0.87"), id="a foreign currency with its rate"),
        pytest.param(cell("purchases", 2, currency="GBP", rate="1"), id="the season's own currency written out"),
        pytest.param(cell("purchases", 2, tax="30"), id="all of it tax"),
        pytest.param(cell("purchases", 5, invoice="m1", supplier="MILL"), id="an invoice in other capitals"),
        pytest.param(
            together(cell("outputs", 2, valued="sales", price_per_kg="9"), cell("outputs", 3, valued="nothing")),
            id="one output shared by sales, one worth nothing",
        ),
        pytest.param(cell("channels", 2, margin_percent="97.9"), id="a margin only just reached"),
        pytest.param(
            together(without("overheads"), without("prices"), without("alternatives"), without("steps")),
            id="optional tables left out",
        ),
        pytest.param(together(setting("price_step", "1"), setting("price_ending", "0.99")), id="an ending below the step"),
    ],
)
def test_what_is_just_right_is_no_fault(change: Change, tmp_path: Path) -> None:
    tables = whole()
    change(tables)
    season = costing.cost(costing.read_season(write(tmp_path, tables)))
    assert [row.product for row in season.products.rows] == ["bar-90", "whip-100"]


@pytest.mark.parametrize("word", ["Versand", "frais de port", "Portes de envio", "Wysyłka", "P&P"])
def test_delivery_is_read_in_other_languages_where_a_row_has_no_size_and_unit(word: str, tmp_path: Path) -> None:
    tables = whole()
    tables["purchases"][3]["item"] = word
    meant = costing.figures(costing.cost(costing.read_season(write(tmp_path / "meant", whole()))))
    assert costing.figures(costing.cost(costing.read_season(write(tmp_path / "said", tables)))) == meant


def test_a_thing_is_called_as_its_maker_wrote_it_first(tmp_path: Path) -> None:
    tables = whole()
    cell("purchases", 3, item="Shea-Butter")(tables)
    items = costing.figures(costing.cost(costing.read_season(write(tmp_path, tables))))["items"]
    assert "Shea-Butter" in items
    assert "shea-butter" not in items


def _from_python(**changed: Any) -> list[str]:
    tables: dict[str, Any] = dict(whole())
    tables["season"] = {row["key"]: row["value"] for row in whole()["season"]}
    with pytest.raises(costing.Faults) as caught:
        costing.cost(costing.records_from(**(tables | changed)))
    return [str(fault) for fault in caught.value.faults]


def test_a_row_with_more_cells_than_headings_is_told(tmp_path: Path) -> None:
    """A comma in a text that stands without quotes would move the cells behind it; empty ones at the end do no harm."""
    path = write(tmp_path, whole()) / "tubs.csv"
    path.write_text("tub,part,count\nsmall-jar,jar,1,,\n", encoding="utf-8")
    assert costing.cost(costing.read_season(tmp_path)).row("products", product="whip-100").total > 0
    path.write_text("tub,part,count\nsmall-jar,jar,1,5\nsmall-jar,jar,\n", encoding="utf-8")
    with pytest.raises(costing.Faults) as caught:
        costing.read_season(tmp_path)
    rest = "put a text that holds the separator in double quotes"
    told = [str(fault) for fault in caught.value.faults if "cells" in fault.what]
    assert told == [f"tubs.csv, row 2: 4 cells under 3 headings; {rest}"]


def test_records_from_python_name_the_position_in_the_list() -> None:
    rows: list[dict[str, Any]] = [*whole()["formulas"], {"formula": "scrub", "name": "Scrub", "batch_grams": -1.5}]
    told_of_it = "formulas, row 3, batch_grams: -1.5 is not above 0; write a number above 0"
    assert _from_python(formulas=rows) == [told_of_it]


def test_records_from_python_refuse_a_table_that_is_none() -> None:
    assert _from_python(product=[]) == ['product: is no table; did you mean "products"?']


def test_records_from_python_name_a_setting_without_a_row() -> None:
    season = {"name": "n", "currency": "GBP", "priced_on": "2026-11-01", "hourly_rate": True}
    assert _from_python(season=season) == ['season, row 4, hourly_rate: "True" is not a number; write digits']


COMMANDS = [["check"], ["show"], ["show", "--json"], ["trace"], ["export"]]
THROUGH_ALL_COMMANDS = {
    "a cell": (
        cell("purchases", 2, size="2 lumps"),
        'purchases.csv, row 2, size: "2 lumps" is not a number, and "lumps" no unit known here; '
        "write plain figures, in digits, without lumps",
    ),
    "between tables": (
        cell("prices", 2, product="bar-9"),
        'prices.csv, row 2, product: there is no product "bar-9"; did you mean "bar-90"?',
    ),
    "of worked figures": (
        together(
            cell("overheads", 2, shared_by="minutes"),
            cell("steps", 2, minutes=""),
            cell("products", 2, minutes=""),
            cell("products", 3, minutes=""),
        ),
        "overheads.csv, row 2, shared_by: shared by minutes, but the plan has none; "
        "share it by units, or write minutes in steps and products",
    ),
}


@pytest.mark.parametrize("stage", THROUGH_ALL_COMMANDS)
@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_a_fault_ends_every_command_with_code_1_and_nothing_written(command: list[str], stage: str, tmp_path: Path) -> None:
    change, message = THROUGH_ALL_COMMANDS[stage]
    tables = whole()
    change(tables)
    folder = write(tmp_path / "season", tables)
    target = tmp_path / "prices.xlsx"
    target.write_text("the old file", encoding="utf-8")
    more_words = {"trace": ["bar-90"], "export": ["-o", str(target), "--replace"]}.get(command[0], [])
    before = sorted(tmp_path.rglob("*"))
    result = CliRunner().invoke(main, [command[0], str(folder), *command[1:], *more_words])
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr == f"1 fault in the records; nothing was costed or written.\n  {message}\n"
    assert isinstance(result.exception, SystemExit)
    assert target.read_text(encoding="utf-8") == "the old file"
    assert sorted(tmp_path.rglob("*")) == before


def test_several_faults_are_counted_and_listed_in_the_terminal(tmp_path: Path) -> None:
    tables = whole()
    together(cell("prices", 2, channel="stal"), cell("prices", 3, channel="stal"), cell("products", 2, tub="pott"))(tables)
    result = CliRunner().invoke(main, ["check", str(write(tmp_path, tables))])
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.splitlines() == [
        "2 faults in the records; nothing was costed or written.",
        '  products.csv, row 2, tub: tub "pott" has no parts; write its parts in tubs; known here: small-jar',
        '  prices.csv, rows 2 and 3, channel: there is no channel "stal" (2 alike); did you mean "stall"?',
    ]


def test_a_table_is_found_in_any_case_and_only_once(tmp_path: Path) -> None:
    """Purchases.CSV is the table; beside purchases.csv it is told, since one of them would be left out without a word."""
    folder = Path(shutil.copytree(SAMPLE, tmp_path / "season"))
    (folder / "purchases.csv").rename(folder / "Purchases.CSV")
    assert len(costing.read_season(folder).purchases) == len(costing.read_season(SAMPLE).purchases)
    shutil.copy(folder / "Purchases.CSV", folder / "purchases.csv")
    if len([file for file in folder.iterdir() if file.name.lower() == "purchases.csv"]) == 1:
        pytest.skip("this file system knows no case")
    with pytest.raises(costing.Faults) as raised:
        costing.read_season(folder)
    assert str(raised.value.faults[0]) == (
        "Purchases.CSV, purchases.csv: are one table in two files; keep one, and move the other elsewhere"
    )


def test_a_return_alone_gives_no_price(tmp_path: Path) -> None:
    """What was only sent back by the day priced on, and bought after it, has no price: its line is told."""

    def sent_back(tables: Tables) -> None:
        (row,) = [row for row in tables["purchases"] if row["item"] == "shea-butter"]
        tables["purchases"].append(row | {"invoice": "M2", "packs": "-1", "paid": "-12"})
        row["bought_on"] = "2026-11-20"

    lines = [line for line in told(tmp_path, sent_back) if "shea-butter" in line and line.startswith("lines.csv")]
    assert len(lines) == 1
