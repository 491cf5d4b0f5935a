"""Cells edited in the workbook give what the season gives when it is costed anew from equally edited records."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pytest

import costing
from costing.engine.table import Column, Entry
from costing.tables.making.moving_cards import MAKING
from tests.seasons import Row, Tables, as_records, sample_tables
from tests.workbook.books import Book
from tests.workbook.libreoffice import same
from tests.workbook.office_edits import Place, edits_made

pytestmark = pytest.mark.slow

FREE: Mapping[str, str] = {}  # in place of the keys of a row: the first row below the last
CARD_ROWS = {"formulas": "formula", "lines": "line", "steps": "step", "yields": "yield", "outputs": "output"}
ON_CARD = {"name": "what", "batch_grams": "grams", "item": "what", "loss_percent": "percent", "output": "what"}
COMPARED = {
    "products": (("product",), ("total",)),
    "prices": (("product", "channel"), ("suggested", "used", "profit", "per_100g")),
    "alternatives": (("product",), ("saving", "base_break_even")),
}
CHECKS = "Checks: Result"
FIRST_DAY = date(1899, 12, 30)  # from which sheets count days


@dataclass(frozen=True)
class Change:
    """What is typed into one row of records: in which table, found by which keys, or a free one."""

    table: str
    keys: Mapping[str, str]
    cells: Mapping[str, str]

    def in_records(self, tables: Tables) -> None:
        """Make the change in the records. A card's yield is no record."""
        if self.table == "season":
            tables["season"] |= self.cells
        elif self.keys:
            self._row(tables[self.table]).update(self.cells)
        elif self.table != "yields":
            tables[self.table].append(dict(self.cells))

    def _row(self, rows: list[Row]) -> Row:
        found = [row for row in rows if self.keys.items() <= row.items()]
        assert len(found) == 1, (self.table, self.keys, len(found))
        return found[0]

    def in_book(self, book: Book, season: costing.Season, free: dict[str, int]) -> dict[tuple[str, str], Any]:
        """Return what to type, by sheet and address. ``free`` counts the free rows already taken on each sheet."""
        if self.table == "season":
            entries = season.settings.figures.entries
            return dict(self._setting(book, entries[key], text) for key, text in self.cells.items())
        parts = {part.heading: _shown(part, text) for part, text in self._parts(season, self.cells)}
        sheet = MAKING.sheet if self.table in CARD_ROWS else getattr(season, self.table).table.sheet
        kind = {"Row": CARD_ROWS[self.table]} if self.table in CARD_ROWS else {}
        if self.keys:
            keys = {part.heading: _shown(part, text) for part, text in self._parts(season, self.keys)}
            row = book.row(sheet, next(iter(parts)), keys | kind)
        else:
            parts |= kind
            row = book.free_row(sheet, next(iter(parts)), free.setdefault(sheet, 0))
            free[sheet] += 1
        return {(sheet, book.place(sheet, heading, row)): value for heading, value in parts.items()}

    @staticmethod
    def _setting(book: Book, entry: Entry, text: str) -> tuple[tuple[str, str], Any]:
        row = book.row(entry.sheet, "Value", {"Key": entry.key})
        return (entry.sheet, book.place(entry.sheet, "Value", row)), _shown(entry, text)

    def _parts(self, season: costing.Season, cells: Mapping[str, str]) -> list[tuple[Column, str]]:
        if self.table in CARD_ROWS:
            return [(MAKING.columns[ON_CARD.get(key, key)], text) for key, text in cells.items()]
        return [(getattr(season, self.table).table.columns[key], text) for key, text in cells.items()]


def _shown(part: Column | Entry, text: str) -> Any:
    """Return what a maker types into a cell for a text of the records: percentages as parts, dates as sheets keep them."""
    if text == "" or part.holds_text:
        return text or None
    if part.shape == "date":
        return (date.fromisoformat(text) - FIRST_DAY).days
    return float(text) / 100 if part.shape == "percent" else float(text)


def _one(table: str, keys: Mapping[str, str], **cells: str) -> list[Change]:
    return [Change(table, keys, cells)]


OLIVE = {"item": "Olive oil", "invoice": "22871", "size": "20"}
SHEA = {"item": "Shea butter", "invoice": "BM-1339"}
CARD = "clay-scrub-coarse"

EDITS: dict[str, list[Change]] = {
    "price paid": _one("purchases", OLIVE, paid="310.40"),
    "price paid in another currency": _one("purchases", {"item": "Whipped soap base", "invoice": "W8466"}, paid="199"),
    "packs": _one("purchases", SHEA, packs="3"),
    "packs emptied": _one("purchases", SHEA, packs=""),
    "pack size": _one("purchases", OLIVE, size="15"),
    "unit": _one("purchases", SHEA, unit="lb"),
    "tax": _one("purchases", OLIVE, tax="0"),
    "tax by its rate": _one("purchases", OLIVE, tax="0", tax_percent="23"),
    "currency rate": _one("purchases", {"item": "Whipped soap base", "invoice": "W8466"}, rate="1.31"),
    "delivery": _one("purchases", {"item": "delivery", "invoice": "HQ-3661"}, paid="180", tax="8.10"),
    "discount": _one("purchases", {"item": "discount", "invoice": "BM-1339"}, paid="70"),
    "day of a purchase, past the day priced on": _one("purchases", OLIVE, bought_on="2026-11-02"),
    "a new purchase": _one(
        "purchases", FREE, bought_on="2026-10-30", supplier="Brackmoss Supply", invoice="BM-1500", item="Coconut oil",
        packs="2", size="5", unit="lb", paid="63.25", tax="8.25", rate="1",
    ),
    "a new purchase on an old receipt": _one(
        "purchases", FREE, bought_on="2026-10-13", supplier="Hallowquay Jars", invoice="HQ-3790", item="Large lid",
        packs="20", size="1", unit="dozen", paid="92", rate="1",
    ),
    "a new purchase, packs and rate left blank": _one(
        "purchases", FREE, bought_on="2026-10-30", item="Coconut oil", size="5", unit="lb", paid="33.25",
    ),
    "density": _one("items", {"item": "Glycerin"}, density="1.13"),
    "quote": [
        Change("season", FREE, {"cost_basis": "quote"}), Change("items", {"item": "Olive oil"}, {"quote": "17.25"}),
    ],
    "kind": _one("items", {"item": "Whipped soap base"}, kind="surfactant"),
    "percentages of two lines": [
        Change("lines", {"formula": "Lavender whipped soap", "item": "Soap shreds"}, {"percent": "35"}),
        Change("lines", {"formula": "Lavender whipped soap", "item": "Water"}, {"percent": "32.2"}),
    ],
    "item of a line": _one("lines", {"formula": "Pink clay whipped soap", "item": "Sweet orange oil"}, item="Lavender oil"),
    "batch": _one("formulas", {"formula": "Pink clay whipped soap"}, batch_grams="3000"),
    "loss": _one("steps", {"formula": "Everyday bar", "step": "cure"}, loss_percent="16.5"),
    "minutes of a step": _one("steps", {"formula": "Pink clay whipped soap", "step": "whip"}, minutes="25"),
    "watts": _one("steps", {"formula": "Lavender whipped soap", "step": "melt"}, watts="2400"),
    "hours": _one("steps", {"formula": "Olive and lavender bar", "step": "cure"}, hours="240"),
    "worth of an output": _one("outputs", {"formula": "Olive and lavender bar", "output": "trimmings"}, price_per_kg="3.10"),
    "how an output is valued": _one(
        "outputs", {"formula": "Olive and lavender bar", "output": "trimmings"}, valued="nothing"
    ),
    "how an output is valued, emptied": _one(
        "outputs", {"formula": "Olive and lavender bar", "output": "trimmings"}, valued=""
    ),
    "percentages of two outputs": [
        Change("outputs", {"formula": "Olive and lavender bar", "output": "bars"}, {"percent": "80"}),
        Change("outputs", {"formula": "Olive and lavender bar", "output": "trimmings"}, {"percent": "20"}),
    ],
    "hourly rate": _one("season", FREE, hourly_rate="19.50"),
    "power price": _one("season", FREE, power_price="1.20"),
    "tax on purchases": _one("season", FREE, reclaims_tax="no"),
    "basis average": _one("season", FREE, cost_basis="average"),
    "basis dearest": _one("season", FREE, cost_basis="dearest"),
    "basis quote": _one("season", FREE, cost_basis="quote"),
    "days to average": [Change("season", FREE, {"cost_basis": "average", "average_days": "120"})],
    "day priced on": _one("season", FREE, priced_on="2026-10-01"),
    "price step and ending": _one("season", FREE, price_step="1", price_ending="0.90"),
    "parts of a tub": _one("tubs", {"tub": "Jar 330 mL", "part": "Large label"}, count="3"),
    "a new part of a tub": _one("tubs", FREE, tub="Jar 200 mL", part="Shrink band", count="2"),
    "a new part of a tub, count left blank": _one("tubs", FREE, tub="Jar 200 mL", part="Shrink band"),
    "fill": _one("products", {"product": "Lavender sugar scrub 250 g"}, fill_grams="261"),
    "label": _one("products", {"product": "Lavender sugar scrub 250 g"}, label_grams="225"),
    "waste": _one("products", {"product": "Pink clay whipped soap 120 g"}, waste_percent="9"),
    "minutes of a tub": _one("products", {"product": "Olive and lavender bar 120 g"}, minutes="0"),
    "what a tub is filled with": _one(
        "products", {"product": "Lavender whipped soap 60 g"}, filled_with="Pink clay whipped soap"
    ),
    "planned": _one("prices", {"product": "Pink clay whipped soap 120 g", "channel": "Market stall"}, planned="260"),
    "own price": _one("prices", {"product": "Pink clay whipped soap 120 g", "channel": "Market stall"}, price="13.20"),
    "own price taken out": _one("prices", {"product": "Lavender whipped soap 60 g", "channel": "Market stall"}, price=""),
    "a new price": _one("prices", FREE, product="Pink clay sugar scrub 250 g", channel="Web shop", planned="18"),
    "channel fee": _one("channels", {"channel": "Web shop"}, fee_percent="7.25"),
    "fee for each": _one("channels", {"channel": "Web shop"}, fee_each="0.95"),
    "parcel": _one("channels", {"channel": "Web shop"}, parcel_each="8.40"),
    "margin": _one("channels", {"channel": "Market stall"}, margin_percent="41.5"),
    "sales tax": _one("channels", {"channel": "Market stall"}, sales_tax_percent="20"),
    "shown without tax": _one("channels", {"channel": "Market stall"}, shown_with_tax="no"),
    "overhead": _one("overheads", {"overhead": "Share of the rent"}, amount="1444"),
    "how an overhead is shared": _one("overheads", {"overhead": "Share of the rent"}, shared_by="minutes"),
    "hours of an overhead": _one("overheads", {"overhead": "Books and orders"}, hours="25.5"),
    "only one channel carries an overhead": _one("overheads", {"overhead": "Insurance"}, channel="Market stall"),
    "all channels carry an overhead": _one("overheads", {"overhead": "Helper on market days"}, channel=""),
    "part unsold": _one("products", {"product": "Lavender whipped soap 120 g"}, unsold_percent="7"),
    "several in a parcel": _one("channels", {"channel": "Web shop"}, sold_together="3.5"),
    "what a shop keeps": _one("channels", {"channel": "Coast shops"}, shop_margin_percent="22"),
    "a shop is priced like the others": [
        Change("channels", {"channel": "Coast shops"}, {"of_channel": "", "shop_margin_percent": ""}),
    ],
    "a new overhead of hours": _one("overheads", FREE, overhead="sweeping", hours="8", shared_by="grams"),
    "a new overhead": _one("overheads", FREE, overhead="banners", amount="99", shared_by="units"),
    "a new overhead, sharing left blank": _one("overheads", FREE, overhead="banners", amount="99"),
    "a new channel, tax left blank": [
        Change("channels", FREE, {"channel": "fair", "sales_tax_percent": "15", "margin_percent": "30"}),
        Change("prices", FREE, {"product": "Pink clay sugar scrub 250 g", "channel": "fair", "planned": "5"}),
    ],
    "a new formula, filled and sold": [
        Change("formulas", FREE, {"formula": CARD, "name": "Coarse clay scrub", "batch_grams": "1500"}),
        Change("lines", FREE, {"formula": CARD, "step": "fold", "item": "Pink clay whipped soap", "percent": "45"}),
        Change("lines", FREE, {"formula": CARD, "step": "fold", "item": "White sugar", "percent": "55"}),
        Change("steps", FREE, {"formula": CARD, "step": "fold", "minutes": "12", "loss_percent": "2"}),
        Change("yields", FREE, {"formula": CARD}),
        Change("outputs", FREE, {"formula": CARD, "output": "tubs", "percent": "97", "valued": "weight"}),
        Change("outputs", FREE, {"formula": CARD, "output": "crumbs", "percent": "3", "valued": "nothing"}),
        Change("products", FREE, {
            "product": "coarse-250", "name": "Coarse scrub", "filled_with": f"{CARD}/tubs", "tub": "Jar 330 mL",
            "fill_grams": "252", "minutes": "3",
        }),
        Change("prices", FREE, {"product": "coarse-250", "channel": "Market stall", "planned": "30"}),
    ],
}  # fmt: skip


def _edited(edit: str) -> costing.Season:
    tables = deepcopy(sample_tables())
    for change in EDITS[edit]:
        change.in_records(tables)
    return costing.cost(as_records(tables))


Figures = dict[str, dict[tuple[Any, ...], Any]]


def _figures(season: costing.Season) -> Figures:
    """Return what is compared of a costed season, by heading and key."""
    found: Figures = {}
    for name, (keys, columns) in COMPARED.items():
        filled = getattr(season, name)
        for column in columns:
            heading = f"{filled.table.sheet}: {filled.table.columns[column].heading}"
            found[heading] = {tuple(getattr(row, key) for key in keys): getattr(row, column) for row in filled.rows}
    return found


class Looked:
    """Where the workbook shows what is compared, with its keys, in free rows too; and the results of its checks."""

    def __init__(self, book: Book, season: costing.Season) -> None:
        self._wanted: dict[str, list[list[Place]]] = {CHECKS: book.places("Checks", "Key", "Result")}
        for name, (keys, columns) in COMPARED.items():
            table = getattr(season, name).table
            for column in columns:
                headings = [table.columns[key].heading for key in (*keys, column)]
                self._wanted[f"{table.sheet}: {headings[-1]}"] = book.places(table.sheet, *headings)
        self.places = [place for rows in self._wanted.values() for row in rows for place in row]

    def figures(self, values: list[Any]) -> Figures:
        """Return what is compared, by heading and key, from the values at these places. Blank rows are left out."""
        found, following = Figures(), iter(values)
        for heading, rows in self._wanted.items():
            read = [[next(following) for _ in row] for row in rows]
            found[heading] = {tuple(keys): value for *keys, value in read if any(str(key).strip() for key in keys)}
        return found


@pytest.fixture(scope="module")
def in_office(
    sample_season: costing.Season, sample_book: Path, tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Figures]:
    """Return what the workbook shows as it was written, and after each edit, made alone where LibreOffice has it open."""
    book = Book.at(sample_book)
    looked = Looked(book, sample_season)
    typed = [_typed(changes, book, sample_season) for changes in EDITS.values()]
    before, after = edits_made(sample_book, typed, looked.places, tmp_path_factory.mktemp("edits"))
    return {name: looked.figures(values) for name, values in zip(("", *EDITS), (before, *after), strict=True)}


def _typed(changes: Iterable[Change], book: Book, season: costing.Season) -> dict[Place, Any]:
    free: dict[str, int] = {}
    cells = (cell for change in changes for cell in change.in_book(book, season, free).items())
    return {book.numbered(*place): value for place, value in cells}


@pytest.mark.parametrize("edit", EDITS)
def test_an_edit_gives_what_costing_anew_gives(edit: str, in_office: dict[str, Figures]) -> None:
    """Costs, prices, profits and savings in the edited workbook are those of the edited records, and every check holds."""
    shown = dict(in_office[edit])
    assert set(shown.pop(CHECKS).values()) == {"OK"}
    assert shown != {heading: figures for heading, figures in in_office[""].items() if heading != CHECKS}
    assert list(_unlike(shown, _figures(_edited(edit)))) == []


def test_as_it_was_written_it_shows_what_was_costed(in_office: dict[str, Figures], sample_season: costing.Season) -> None:
    """What the edits are compared with is whole: every figure is there, and more than a few checks."""
    shown = dict(in_office[""])
    assert len(shown.pop(CHECKS)) > 5
    assert list(_unlike(shown, _figures(sample_season))) == []


def _unlike(some: Figures, others: Figures) -> Iterator[str]:
    """Yield what differs, or stands on one side only."""
    for heading in some.keys() | others.keys():
        one, other = some.get(heading, {}), others.get(heading, {})
        for key in one.keys() | other.keys():
            if key not in one or key not in other:
                yield f"{heading}, {key}: only on one side"
            elif not same(one[key], other[key]):
                yield f"{heading}, {key}: {one[key]} is not {other[key]}"
