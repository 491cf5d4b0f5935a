"""What somebody can type wrongly into a workbook, each with what the workbook itself is to say of it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from openpyxl.worksheet.cell_range import CellRange

from tests.workbook.books import Book

FREE, BELOW = "a free row", "below the free rows"
Cells = dict[tuple[str, str], Any]  # by sheet and address; a text that begins with = is a formula


@dataclass(frozen=True)
class Tell:
    """Something typed: on which sheet, in the row with which keys, under which headings; and what is said of it.

    remark: what Remarks says on its sheet; look: whether it deserves a look, and nothing is wrong.
    """

    name: str
    sheet: str
    row: Mapping[str, Any] | str
    typed: Mapping[str, Any]
    remark: str = ""
    look: bool = False
    more: tuple[Tell, ...] = field(default=())

    def cells(self, book: Book) -> Cells:
        """Return what stands in which cells then."""
        found = {(self.sheet, self._place(book, heading)): value for heading, value in self.typed.items()}
        for other in self.more:
            found |= other.cells(book)
        return found

    def _place(self, book: Book, heading: str) -> str:
        heads = [heading] if isinstance(self.row, str) else [heading, *self.row]
        top, last = next(
            (top, last) for top, last, columns in book.blocks(self.sheet)
            if all(any(_is(text, head) for text in columns) for head in heads)
        )  # fmt: skip
        if not isinstance(self.row, str):
            return book.place(self.sheet, heading, book.row(self.sheet, heading, self.row))
        first = next(text for text, at in sorted(next(
            columns for each, _, columns in book.blocks(self.sheet) if each == top
        ).items(), key=lambda pair: pair[1]))  # fmt: skip
        row = book.free_row(self.sheet, first) if self.row == FREE else last
        place = book.place(self.sheet, heading, row)
        return re.sub(r"\d+", lambda number: str(int(number[0]) + 1), place) if self.row == BELOW else place


def _is(text: str, heading: str) -> bool:
    return text == heading or text.startswith(f"{heading} (")


def moved(book: Book, sheet: str, row: Mapping[str, Any]) -> Cells:
    """Return the cells of a sheet after the given ones of a row were cut and put into the first free row.

    Formulas go on pointing at what was moved, and those of the free row at what stands there now: it counts twice.
    """
    page = book.book[sheet]
    old = book.row(sheet, next(iter(row)), row)
    table = next(iter(page.tables.values()))
    left, top, right, _ = CellRange(table.ref).bounds
    new = book.free_row(sheet, str(page.cell(top, left).value))
    given = [at for at in range(left, right + 1) if not page.cell(old, at).protection.locked]
    cells: Cells = {}
    for at in given:
        cells[sheet, page.cell(new, at).coordinate] = page.cell(old, at).value
        cells[sheet, page.cell(old, at).coordinate] = None
    letters = "|".join(page.cell(old, at).column_letter for at in given)
    for at in range(left, right + 1):
        cell = page.cell(old, at)
        if cell.data_type == "f":
            cells[sheet, cell.coordinate] = re.sub(rf"(?<![A-Z$])({letters}){old}(?!\d)", rf"\g<1>{new}", str(cell.value))
    return cells


OLIVE = {"Item": "olive oil", "Invoice": "9"}
DELIVERY, RETURNED, JAR = {"Item": "delivery"}, {"Packs": -1}, {"Item": "jar"}
MASH, MELT, WHIP = (
    {"Formula": "mash", "Row": "formula"}, {"Step": "melt", "Row": "step"}, {"Step": "whip", "Row": "line"},
)  # fmt: skip
YIELD, REST, CREAM = (
    {"Formula": "scrub", "Row": "yield"}, {"What": "rest", "Row": "output"}, {"What": "cream", "Row": "output"},
)  # fmt: skip
SCRUB, STALL, AT_STALL = {"Product": "scrub 100"}, {"Channel": "stall"}, {"Product": "scrub 100", "Channel": "stall"}
WEIGHED, POURED, BATCH = {"Gross": 162}, {"Item": "mash/cream"}, {"Batch": "B1"}
NEW_PURCHASE = {"Bought on": 46220, "Item": "sugar", "Packs": 1, "Size": 1, "Unit": "kg", "Paid": 2.2, "Rate": 1}

TELLS = [
    # names that lead nowhere
    Tell("unknown part of a tub", "Tubs", {"Part": "lid"}, {"Part": "jar-999"}, "Unknown part"),
    Tell("unknown tub", "Products", SCRUB, {"Tub": "pott"}, "Unknown tub"),
    Tell("unknown filling", "Products", SCRUB, {"Filled with": "scrubb"}, "Unknown filling"),
    Tell("unknown product on Prices", "Prices", AT_STALL, {"Product": "scrub"}, "Unknown product"),
    Tell("unknown channel", "Prices", AT_STALL, {"Channel": "stal"}, "Unknown channel"),
    Tell("unknown main channel", "Settings", {"Key": "main_channel"}, {"Value": "market"}),
    Tell("unknown own product", "Own or bought", {"Own": "scrub 100"}, {"Own": "scrub"}, "Unknown product"),
    Tell("unknown base product", "Own or bought", {"Own": "scrub 100"}, {"From bought base": "x"}, "Unknown base"),
    Tell("unknown product weighed", "Weighings", WEIGHED, {"Product": "scrub"}, "Unknown product"),
    Tell("unknown formula of a batch", "Batches", BATCH, {"Formula": "x"}, "Unknown formula"),
    Tell("unknown batch of a line", "Batch lines", POURED, {"Batch": "B2"}, "Unknown batch"),
    Tell("made stock of nothing", "Made", {"What": "mash"}, {"What": "mush"}, "Neither made nor sold"),
    Tell("unknown item of a batch line", "Batch lines", POURED, {"Item": "x"}, "Unknown item"),
    Tell("unknown item of a line", "Formulas", WHIP, {"What": "plum"}, "not found above"),
    Tell("unknown step of a line", "Formulas", WHIP, {"Step": "wip"}, "Unknown step"),
    Tell("an item that the lists do not have", "Purchases", OLIVE, {"Item": "olive oil extra"}, "Not on Items"),
    Tell("unknown unit", "Purchases", OLIVE, {"Unit": "kilo"}, "Unknown unit"),
    Tell("unknown cost basis", "Settings", {"Key": "cost_basis"}, {"Value": "lastest"}),
    Tell("unknown way to value", "Formulas", REST, {"Valued": "sett"}, "Unknown valued"),
    Tell("unknown sort of row", "Formulas", WHIP, {"Row": "lines"}, "Unknown row"),
    Tell("unknown way to share", "Overheads", {"Overhead": "cover"}, {"Shared by": "gram"}, "Unknown shared by"),
    Tell("unknown kind", "Items", {"Item": "sugar"}, {"Kind": "exfoliants"}, "Unknown kind"),
    Tell("neither yes nor no", "Channels", STALL, {"Shown with tax": "maybe"}, "Unknown shown with tax"),
    # the same key twice
    Tell("an item twice", "Items", {"Item": "jar"}, {"Item": "lid"}, "Twice"),
    Tell("a product twice", "Products", SCRUB, {"Product": "cream 50"}, "Twice"),
    Tell("a channel twice", "Channels", STALL, {"Channel": "post"}, "Twice"),
    Tell("a part twice in a tub", "Tubs", {"Part": "lid"}, {"Part": "jar"}, "Twice"),
    Tell("a price twice", "Prices", {"Product": "cream 50", "Channel": "post"}, {"Channel": "stall"}, "Twice"),
    Tell("made stock twice", "Made", {"What": "mash"}, {"What": "mash/cream"}, "Twice"),
    Tell("an overhead of an unknown channel", "Overheads", {"Overhead": "mirror"}, {"Channel": "stal"}, "Unknown channel"),
    Tell("a shop of an unknown channel", "Channels", STALL, {"Sells on at": "fair"}, "Unknown channel it sells on at"),
    Tell("a shop that sells on nowhere", "Channels", STALL, {"Shop keeps": 0.3}, "No channel it sells on at"),
    Tell("a shop that keeps nothing", "Channels", STALL, {"Sells on at": "post"}, "Nothing that the shop keeps"),
    Tell("all wasted", "Products", SCRUB, {"Waste": 1}, "Nothing is left to sell"),
    Tell("all unsold", "Products", SCRUB, {"Unsold": 1}, "Nothing is left to sell"),
    Tell("hours below zero", "Overheads", {"Overhead": "cover"}, {"Hours": -3}, "Below zero"),
    Tell("hours beyond all use", "Overheads", {"Overhead": "cover"}, {"Hours": 4000}, "Unusual hours", look=True),
    Tell("an overhead twice", "Overheads", {"Overhead": "cover"}, {"Overhead": "mirror"}, "Twice"),
    Tell("an alternative twice", "Own or bought", FREE, {"Own": "scrub 100", "From bought base": "cream 50"}, "Twice"),
    Tell("a batch twice", "Batches", FREE, {"Batch": "B1", "Formula": "mash", "Made on": 46220}, "Twice"),
    Tell("an output twice", "Formulas", REST, {"What": "cream"}, "Made twice"),
    Tell("a step twice", "Formulas", {"Step": "whip", "Row": "step"}, {"Step": "melt"}, "Empty or twice"),
    # what must be filled in
    Tell("a missing unit", "Purchases", OLIVE, {"Unit": None}, "Size or unit is empty"),
    Tell("a missing size", "Purchases", OLIVE, {"Size": None}, "Size or unit is empty"),
    Tell("a missing day", "Purchases", OLIVE, {"Bought on": None}, "Day, item or paid is empty"),
    Tell("a missing item", "Purchases", OLIVE, {"Item": None}, "Day, item or paid is empty"),
    Tell("a missing payment", "Purchases", OLIVE, {"Paid": None}, "Day, item or paid is empty"),
    Tell("a missing density", "Items", {"Item": "plum drops"}, {"Density": None}),
    Tell("a missing tub", "Products", SCRUB, {"Tub": None}, "is empty"),
    Tell("a missing fill", "Products", SCRUB, {"Fill": None}, "is empty"),
    Tell("a missing channel", "Prices", AT_STALL, {"Channel": None}, "is empty"),
    Tell("a missing margin", "Channels", STALL, {"Margin wanted": None}, "is empty"),
    Tell("a missing amount", "Overheads", {"Overhead": "mirror"}, {"Amount": None}, "is empty"),
    Tell("a missing rate", "Purchases", JAR, {"Rate": None}, "Rate is empty"),
    Tell("a missing day priced on", "Settings", {"Key": "priced_on"}, {"Value": None}),
    Tell("a missing batch weight", "Formulas", MASH, {"Grams": None}, "Batch empty"),
    Tell("a line without its amount", "Formulas", WHIP, {"Percent": None}, "Percent or grams"),
    Tell("a worth left out", "Formulas", REST, {"Worth per kg": None}, "No worth"),
    Tell("a gross weight left out", "Weighings", WEIGHED, {"Gross": None}, "is empty"),
    Tell("a jug without its after", "Batch lines", {"Item": "sugar"}, {"Jug after": None}, "Grams, or both jugs"),
    Tell("a product cleared", "Products", SCRUB, {"Product": None}, "is empty"),
    # cells that cannot be right by themselves
    Tell("a text for a price", "Purchases", OLIVE, {"Paid": "9,00"}, "Text for a number"),
    Tell("a text for a day", "Purchases", OLIVE, {"Bought on": "11.7.2026"}, "Text for a number"),
    Tell("a text for a percentage", "Formulas", WHIP, {"Percent": "40 %"}, "Text for a number"),
    Tell("a text for minutes", "Products", SCRUB, {"Minutes": "two"}, "Text for a number"),
    Tell("a text for a rate", "Settings", {"Key": "hourly_rate"}, {"Value": "12 EUR"}),
    Tell("below zero", "Overheads", {"Overhead": "mirror"}, {"Amount": -60}, "Below zero"),
    Tell("over a hundred", "Channels", STALL, {"Fee": 2}, "Over 100 %"),
    Tell("a size of 0", "Purchases", OLIVE, {"Size": 0}, "0 is too little"),
    Tell("a trailing blank", "Products", SCRUB, {"Product": "scrub 100 "}, "Blank or sign in name"),
    Tell("a leading blank", "Channels", STALL, {"Channel": " stall"}, "Blank or sign in name"),
    Tell("an operator as a name", "Products", SCRUB, {"Product": ">cream"}, "Blank or sign in name"),
    Tell("an operator as a name that is referred to", "Prices", AT_STALL, {"Product": ">cream"}, "Unknown product"),
    Tell("an operator as a bought item", "Purchases", OLIVE, {"Item": ">olive"}, "Blank or sign in name"),
    Tell("a wildcard as a name", "Tubs", {"Part": "lid"}, {"Tub": "p*"}, "Blank or sign in name"),
    Tell("a number as a name", "Items", {"Item": "sugar"}, {"Item": 330}, "Blank or sign in name"),
    # what contradicts itself
    Tell("percentages off 100", "Formulas", WHIP, {"Percent": 0.3}, "not 100 %"),
    Tell("outputs off 100", "Formulas", REST, {"Percent": 0.2}, "not 100 %"),
    Tell("percent and grams", "Formulas", WHIP, {"Grams": 400}, "Percent or grams"),
    Tell("outputs by weight and by sales", "Formulas", REST, {"Valued": "sales"}, "By weight and by sales",
         more=(Tell("", "Formulas", CREAM, {"Valued": "weight"}),)),
    Tell("no output that bears the cost", "Formulas", CREAM, {"Valued": "nothing"}, "Nothing bears the cost"),
    Tell("a card without its yield", "Formulas", YIELD, {"Formula": None, "Row": None}, "Not one yield"),
    Tell("a card without steps", "Formulas", {"Step": "fold", "Row": "step"},
         {"Formula": None, "Row": None, "Step": None, "Minutes": None}, "No step"),
    Tell("a line of no card", "Formulas", WHIP, {"Formula": "mush"}, "No head"),
    Tell("a line behind its step", "Formulas", WHIP, {"Step": "melt"}, "After its step"),
    Tell("more tax than paid", "Purchases", OLIVE, {"Tax in it": 12}, "More tax than paid"),
    Tell("tax in two ways", "Purchases", {"Item": "olive oil", "Packs": 2}, {"Tax rate in it": 0.1}, "Tax in two ways"),
    Tell("a return paid for", "Purchases", OLIVE, {"Packs": -1}, "Sign of packs or paid"),
    Tell("more returned than bought", "Purchases", RETURNED, {"Packs": -3}, "More returned than bought"),
    Tell("returned, never bought", "Purchases", {"Item": "sugar"}, {"Packs": -1, "Paid": -4}, "Returned, never bought"),
    Tell("0 packs", "Purchases", OLIVE, {"Packs": 0}, "0 packs"),
    Tell("a rate without a currency", "Purchases", OLIVE, {"Rate": 1.2}, "Rate without currency"),
    Tell("a delivery of no receipt", "Purchases", DELIVERY, {"Invoice": "77"}, "No goods on it"),
    Tell("a delivery without invoice", "Purchases", DELIVERY, {"Invoice": None}, "Supplier or invoice is empty"),
    Tell("a discount below zero", "Purchases", DELIVERY, {"Item": "discount", "Paid": -6}, "Discount below zero"),
    Tell("an item that is a formula too", "Items", {"Item": "sugar"}, {"Item": "scrub"}, "Also a formula"),
    Tell("by piece and by weight", "Purchases", JAR, {"Unit": "kg"}),
    Tell("a margin that no price reaches", "Channels", STALL, {"Margin wanted": 0.99}, "no price reaches"),
    Tell("nothing in the tub", "Weighings", WEIGHED, {"Tare": 162}, "Nothing in it"),
    Tell("a jug that got heavier", "Batch lines", {"Item": "sugar"}, {"Jug after": 1800}, "Nothing went in"),
    Tell("a batch without lines", "Batches", FREE, {"Batch": "B2", "Formula": "mash", "Made on": 46220}, "No lines"),
    Tell("an ending above its step", "Settings", {"Key": "price_ending"}, {"Value": 0.9}),
    # what the sheet does not count, or counts otherwise
    Tell("a purchase below the ready rows", "Purchases", BELOW, NEW_PURCHASE),
    Tell("a price below the ready rows", "Prices", BELOW, {"Product": "scrub 100", "Channel": "post", "Planned": 9}),
    Tell("a line below the ready rows", "Formulas", BELOW, {"Formula": "scrub", "Row": "line"}),
    Tell("a worked cell typed over", "Purchases", OLIVE, {"Landed cost": 1.5}),
    Tell("a worked cell of a formula typed over", "Formulas", YIELD, {"Cost per gram": 0.001}),
    Tell("a worked cell of Prices typed over", "Prices", AT_STALL, {"Profit": 100}),
    Tell("a worked cell of Break-even typed over", "Break-even", SCRUB, {"Planned": 5}),
    Tell("a worked cell of Fill typed over", "Fill", SCRUB, {"Mean": 5}),
    # what deserves a look
    Tell("after the day priced on", "Purchases", OLIVE, {"Bought on": 46400}, "After the day priced on", look=True),
    Tell("a price a thousandfold", "Purchases", OLIVE, {"Unit": "g"}, "Unlike its other prices", look=True),
    Tell("the same row twice", "Purchases", FREE,
         {"Bought on": 46204, "Supplier": "Mill", "Invoice": "7", "Item": "sugar", "Packs": 1, "Size": 2, "Unit": "kg",
          "Paid": 4, "Rate": 1}, "The same row twice", look=True),
    Tell("bought and used nowhere", "Formulas", {"What": "sugar", "Row": "line"}, {"What": "plum drops"},
         "", look=True),
    Tell("a quote for a piece", "Items", {"Item": "sugar"}, {"Quote": 40}, "Quote unlike its price", look=True),
    Tell("the total of a receipt", "Purchases", FREE,
         {"Bought on": 46204, "Supplier": "Mill", "Invoice": "7", "Item": "sugar", "Packs": 5, "Size": 2, "Unit": "kg",
          "Paid": 64, "Rate": 1}, "The sum of its receipt", look=True),
    Tell("a delivery in cents", "Purchases", DELIVERY, {"Paid": 600}, "Much for its goods", look=True),
    Tell("two deliveries on a receipt", "Purchases", FREE,
         {"Bought on": 46204, "Supplier": "Mill", "Invoice": "7", "Item": "delivery", "Paid": 4, "Rate": 1},
         "Two deliveries", look=True),
    Tell("a year too early", "Purchases", OLIVE, {"Bought on": 42196}, "Long before all others", look=True),
    Tell("a rate of 1", "Purchases", JAR, {"Rate": 1}, "A rate of 1", look=True),
    Tell("a box of a hundred dozen", "Purchases", {"Item": "lid"}, {"Size": 144}, "Many dozens", look=True),
    Tell("a tax unlike the others", "Purchases", OLIVE, {"Tax in it": 3}, "Unlike the other taxes", look=True, more=(
        Tell("", "Purchases", {"Item": "sugar"}, {"Tax in it": 0.5}),
        Tell("", "Purchases", {"Item": "plum drops"}, {"Tax in it": 1}),
    )),
    Tell("a label of another size", "Products", SCRUB, {"Label": 60}, "Fill unlike label", look=True),
    Tell("a channel without sales tax", "Channels", STALL, {"Sales tax": 0}, "No sales tax, unlike others", look=True),
    Tell("a sales tax as a part of one", "Channels", STALL, {"Sales tax": 0.002}, "Sales tax below 1 %", look=True),
    Tell("a fee below one in a hundred", "Channels", STALL, {"Fee": 0.004}, "Fee below 1 %", look=True),
    Tell("a fee tenfold", "Channels", STALL, {"Fee": 0.29}, "Much for a payment", look=True),
    Tell("an own price of ten", "Prices", AT_STALL, {"Own price": 90}, "Unlike the suggested price", look=True),
    Tell("an overhead that sums the others", "Overheads", FREE, {"Overhead": "all", "Amount": 80},
         "The sum of the others", look=True),
    Tell("an output as a part of one", "Formulas", REST, {"Percent": 0.001}, "", look=True),
    Tell("power at nothing", "Settings", {"Key": "power_price"}, {"Value": 0}, look=True),
    Tell("an unusual fill", "Products", SCRUB, {"Fill": 0.1}, "Unusual fill", look=True),
    Tell("minutes for hours", "Formulas", MELT, {"Minutes": 1200}, "Unusual minutes", look=True),
    Tell("an unusual batch", "Formulas", MASH, {"Grams": 1}, "Unusual batch", look=True),
    Tell("all of a box in one tub", "Tubs", {"Part": "lid"}, {"Count": 24}, "Unusual count", look=True),
    Tell("a density in kg per m³", "Items", {"Item": "plum drops"}, {"Density": 998}, "Unusual density", look=True),
    Tell("a fee as a part of one", "Channels", STALL, {"Fee": 0.0002}, "Unusual fee", look=True),
]  # fmt: skip

# What no sheet can see, or these formulas do not, each with its reason.
NOT_SEEN = {
    "a currency that is none of ISO 4217": "its 180 codes stand on no sheet; a currency without its rate is seen",
    "an unknown name in Same as": "the packaged list stands on no sheet",
    "an ingredient of unknown kind": "a blank may be right; Lye counts it as unknown",
    "formulas that use each other in a circle": "cards look upwards only, so the one that comes first finds nothing: "
                                                "told as not found above",
    "a name that a spreadsheet takes for a date or a truth": "it stands there as that date or truth, or as a text",
    "an exchange rate far from its currency's others": "a median by currency; told by check and by the next export",
    "a price unlike its kind's": "a median over the medians of a kind; told by check and by the next export",
    "a margin or a loss below 1 where others are above": "their ranges tell them, as they tell 0.4 for 40",
    "several days long before all others": "only the first is seen; told by check, and by the sheet once that one is mended",
    "the total of a receipt without a number": "rows without a number are no receipt to a sheet; told by check",
    "a supplier or a receipt's day spelled otherwise": "texts that are nearly alike; told by check",
    "a row without tax, or in another currency, beside its supplier's": "counts by supplier, row by row; told by check",
    "numbers of receipts that do not rise with the days": "a longest rise over each supplier's numbers; told by check",
    "more on hand than was ever bought": "a sum for each item over all purchases; told by check",
    "a price step larger than what is sold costs": "a median of costs; told by check",
    "planned numbers beyond, or far below, all others": "ratios held against all others; told by check",
    "one bill under two names": "words of names held against one another; told by check",
    "an own price without its tax": "price steps of every tax beside every price; told by check",
    "a price unlike what such a thing costs": "rough prices by ingredient, at the level of the season; told by check",
    "an amount unlike the plan, the other sizes or packs": "ratios held against all others; told by check",
    "a fill, count or step unlike its likes": "medians over labels, names and tubs; told by check",
    "shares of a formula unlike such formulas": "rough shares by kind, over whole formulas; told by check",
    "pay, power, price step and sales tax unlike the rest": "the level of prices, medians of channels; told by check",
}  # fmt: skip
