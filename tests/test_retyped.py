"""What is typed wrongly into a sheet is told by its row: the rules of the sheets, worked out without a spreadsheet program.

What is typed, and what is to be said of it, is the list that spreadsheet programs are asked too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import pytest

import costing
from costing.engine.calculated import CalculatedTable, Row
from costing.engine.table import Column, Table
from costing.season.costed import Season
from costing.tables.book import BOOK
from tests.retyped import retyped, unworked
from tests.workbook.small_season import TABLES
from tests.workbook.tells import (
    AT_STALL,
    BATCH,
    BELOW,
    CREAM,
    DELIVERY,
    FREE,
    JAR,
    MASH,
    OLIVE,
    REST,
    RETURNED,
    SCRUB,
    STALL,
    TELLS,
    WEIGHED,
    Tell,
)  # fmt: skip

AT_POST = {"Product": "cream 50", "Channel": "post"}
CREAM_MADE = {"What": "mash/cream", "On hand": 700}
FURTHER = [
    # each cell that must be above 0, and the same left as it was: 0 is told of the one that is 0
    Tell("a rate of 0", "Purchases", JAR, {"Rate": 0}, "0 is too little"),
    Tell("a density of 0", "Items", {"Item": "plum drops"}, {"Density": 0}, "0 is too little"),
    Tell("a quote of 0", "Items", {"Item": "sugar"}, {"Quote": 0}, "0 is too little"),
    Tell("a part counted 0 times", "Tubs", {"Part": "lid"}, {"Count": 0}, "0 is too little"),
    Tell("a fill of 0", "Products", SCRUB, {"Fill": 0}, "0 is too little"),
    Tell("an own price of 0", "Prices", AT_POST, {"Own price": 0}, "0 is too little"),
    # what was made
    Tell("unknown thing on hand", "Made", CREAM_MADE, {"What": "mash/creme"}, "Neither made nor sold"),
    Tell("a thing on hand twice", "Made", CREAM_MADE, {"What": "mash"}, "Twice"),
    Tell("a stock below zero", "Made", CREAM_MADE, {"On hand": -1}, "Below zero"),
    # names in every table of them
    Tell("a wildcard as a formula", "Formulas", MASH, {"Formula": "ma?h"}, "Blank or sign in name"),
    Tell("two blanks in a batch", "Batches", BATCH, {"Batch": "B  1"}, "Blank or sign in name"),
]  # fmt: skip
SHORTENED = (
    "is empty",
    "No head",
    "no price reaches",
    "Unknown base",
)  # in the list, of more words that are tried further below
# What is right, though it lies at an edge of what is not, or looks like it: nothing is said of it.
RIGHT = [
    Tell("outputs by sales alone", "Formulas", CREAM, {"Valued": "sales", "Worth per kg": 30}),
    Tell("an output that bears nothing", "Formulas", REST, {"Valued": "nothing", "Worth per kg": None}),
    Tell("a step without minutes", "Formulas", {"Step": "fold", "Row": "step"}, {"Minutes": None}),
    Tell("an empty tub", "Weighings", WEIGHED, {"Tare": 0}),
    Tell("no planned tubs", "Prices", AT_STALL, {"Planned": 0}),
    Tell("nothing paid for", "Purchases", {"Item": "lid"}, {"Paid": 0}),
    Tell("all of it tax", "Purchases", OLIVE, {"Tax in it": 9}),
    Tell("a rate of 1 at home", "Purchases", OLIVE, {"Rate": 1}),
    Tell("the season's currency", "Purchases", OLIVE, {"Currency": "EUR"}),
    Tell("the season's currency with its rate", "Purchases", OLIVE, {"Currency": "EUR", "Rate": 1}),
    Tell("a tax by its rate", "Purchases", OLIVE, {"Tax rate in it": 0.2}),
    Tell("on the day priced on", "Purchases", OLIVE, {"Bought on": 46234}),
    Tell("one pack", "Purchases", OLIVE, {"Packs": 1}),
    Tell("all of it returned", "Purchases", RETURNED, {"Packs": -2, "Paid": -80, "Tax in it": -10}),
    Tell("a delivery for nothing", "Purchases", DELIVERY, {"Paid": 0}),
    Tell("a discount", "Purchases", DELIVERY, {"Item": "discount"}),
    Tell("a density", "Items", {"Item": "sugar"}, {"Density": 0.9}),
    Tell("a quote as its price", "Items", {"Item": "sugar"}, {"Quote": 2}),
    Tell("two of a part", "Tubs", {"Part": "lid"}, {"Count": 2}),
    Tell("a label as its fill", "Products", SCRUB, {"Label": 100}),
    Tell("no margin", "Channels", STALL, {"Margin wanted": 0}),
    Tell("no fee", "Channels", STALL, {"Fee": 0}),
    Tell("a fee of one in a hundred", "Channels", STALL, {"Fee": 0.01}),
    Tell("an overhead of nothing", "Overheads", {"Overhead": "mirror"}, {"Amount": 0}),
    Tell("a jug emptied", "Batch lines", {"Item": "sugar"}, {"Jug before": 700, "Jug after": 0}),
]  # fmt: skip
TYPED_OVER = ("Landed cost", "Cost per gram", "Profit")
# What a spreadsheet makes an error of, Python refuses: cells with texts for numbers are asked alone, below.
ERRORS = ("a text", "a number as", "all wasted", "all unsold")
ASKED = [
    tell for tell in (*TELLS, *FURTHER)
    if tell.row != BELOW and not set(TYPED_OVER) & set(tell.typed) and not tell.name.startswith(ERRORS)
]  # fmt: skip
ROWS = [tell for tell in ASKED if tell.sheet != "Settings" and tell.remark]
ON_SETTINGS = [tell for tell in ASKED if tell.sheet == "Settings" and not tell.look]
# One of each table with rows that can be looked at: what was typed, and as what Seen names its row.
LOOKED_AT = [
    ("a rate of 1", "purchases, jar of 2026-07-01, Jars 7"),
    ("a quote for a piece", "items, sugar"),
    ("an unusual batch", "formulas, mash"),
    ("minutes for hours", "steps, mash, melt"),
    ("an output as a part of one", "outputs, mash, rest"),
    ("all of a box in one tub", "tubs, pot, lid"),
    ("an unusual fill", "products, scrub 100"),
    ("a fee tenfold", "channels, stall"),
    ("an own price of ten", "prices, scrub 100, stall"),
    ("an overhead that sums the others", "overheads, all"),
]
WITH_REMARKS = [table for table in BOOK.tables() if "remarks" in table.columns]


@cache
def _small() -> Callable[[], Season]:
    return unworked(costing.records_from(**TABLES))


def small() -> Season:
    """Return the small season, nothing worked out yet."""
    return _small()()


def typed(tell: Tell) -> tuple[Season, Row | None]:
    """Return the small season with something typed, and the row in which it was."""
    season = small()
    for each in tell.more:
        retyped(season, each.sheet, each.row, each.typed)  # type: ignore[arg-type]
    return season, retyped(season, tell.sheet, None if tell.row == FREE else tell.row, tell.typed)  # type: ignore[arg-type]


def _remarks(table: CalculatedTable[Any]) -> list[str]:
    table.finish()
    return [row.remarks.strip() for row in table.rows]


def test_as_it_was_written_no_row_says_anything() -> None:
    """So that whatever is said below was typed."""
    season = small()
    assert {table.key: "".join(_remarks(season[table])) for table in WITH_REMARKS} == {
        table.key: "" for table in WITH_REMARKS
    }
    assert season.mend.rows == 0
    assert (season.looks.looks, season.looks.left_over) == (1, 1)


def _holds(said: str, remark: str) -> bool:
    """Tell whether a row says just that, or begins or ends so where the list has it shortened."""
    parts = [part.strip() for part in said.rstrip(".").split(". ")]
    if remark in SHORTENED:
        return any(part.startswith(remark) or part.endswith(remark) for part in parts)
    return remark in parts


@pytest.mark.parametrize("tell", ROWS, ids=lambda tell: tell.name)
def test_a_row_says_what_was_typed_wrongly(tell: Tell) -> None:
    """Its Remarks, or those of a row that depends on it; and that is counted among what to mend or to look at."""
    _, row = typed(tell)
    assert row is not None
    table = row._filled
    telling = [each for each, said in zip(table.rows, _remarks(table), strict=True) if _holds(said, tell.remark)]
    assert telling, _remarks(table)
    if tell.look:
        assert [each.to_look_at for each in telling] == [1] * len(telling)
        assert [each.to_mend for each in table.rows] == [0] * len(table.rows)
    else:
        assert [each.to_mend == 1 or tell.remark in each.remark for each in telling] == [True] * len(telling)


@pytest.mark.parametrize("tell", RIGHT, ids=lambda tell: tell.name)
def test_what_is_right_at_an_edge_is_not_told(tell: Tell) -> None:
    _, row = typed(tell)
    assert row is not None
    assert "".join(_remarks(row._filled)) == ""


@pytest.mark.parametrize("tell", ON_SETTINGS, ids=lambda tell: tell.name)
def test_a_setting_typed_wrongly_is_one_to_mend(tell: Tell) -> None:
    mend = typed(tell)[0].mend
    assert mend.numbers + mend.amounts + mend.words + mend.main_channel == 1


@pytest.mark.parametrize(("name", "place"), LOOKED_AT)
def test_what_stands_on_seen_is_not_said_again(name: str, place: str) -> None:
    """By its place, as the check tells it."""
    tell = next(each for each in TELLS if each.name == name)
    season, row = typed(tell)
    retyped(season, "Seen", None, {"Where": place})
    assert row is not None
    row._filled.finish()
    assert (row.remarks.strip(), row.to_look_at) == ("", 0)
    unseen, again = typed(tell)
    assert again is not None
    again._filled.finish()
    assert again.to_look_at == 1
    assert unseen.seen.place.filled() == 0


def test_a_sample_of_each_table_with_slips_is_looked_at_above() -> None:
    tables = {table.sheet for table in WITH_REMARKS if "looked_at" in table.columns}
    assert {tell.sheet for tell in TELLS if tell.name in {name for name, _ in LOOKED_AT}} == tables


def test_a_price_that_no_margin_leaves_is_no_own_one_under_its_floor() -> None:
    """Where fee and margin leave nothing, the channel says so; its suggested prices are not the maker's."""
    season, _ = typed(Tell("", "Channels", STALL, {"Margin wanted": 0.99}))
    said = _remarks(season.prices)
    assert [row.suggested < row.floor for row in season.prices.rows] == [True, True, False]
    assert said[0] == ""
    assert season.looks.under_floor == 0


def test_what_is_wrong_is_said_before_what_deserves_a_look() -> None:
    """A channel whose fee is over a hundred and whose margin no price reaches says the first alone."""
    _, row = typed(Tell("", "Channels", STALL, {"Margin wanted": 0.99, "Fee": 2}))
    assert row is not None
    assert "Over 100 %." in _remarks(row._filled)


def _named(value: Any) -> str:
    return str(getattr(value, "key", value))


def _needed() -> Iterator[tuple[Table[Any], Column]]:
    for table in WITH_REMARKS:
        for column in table.given:
            if table.key not in ("making", "purchases") and table.row.model_fields[column.key].is_required():
                yield table, column


@pytest.mark.parametrize(("table", "column"), list(_needed()), ids=_named)
def test_what_must_be_filled_in_is_told_where_it_is_not(table: Table[Any], column: Column) -> None:
    """Of the first row of each table, one cell after the other is cleared; all that must be there are named together."""
    season = small()
    first: Any = season[table].rows[0]
    cells = {each.heading: first.__dict__[each.key] for each in table.given}
    retyped(season, table.sheet, cells, {column.heading: None})
    needed = [each.heading for _, each in _needed() if each.table is table]
    needed[1:] = [heading.lower() for heading in needed[1:]]
    named = " or ".join(filter(None, (", ".join(needed[:-1]), needed[-1])))
    assert _holds(_remarks(season[table])[0], f"{named} is empty")
