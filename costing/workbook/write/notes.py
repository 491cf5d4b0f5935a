"""The texts of the workbook: how to use it, what it does not do, cautions, and how each column is worked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from costing.engine.declared import GIVEN, KEPT
from costing.engine.spelling import describe
from costing.engine.table import Column, Entry
from costing.errors import Caution
from costing.fields.catalogue import sources
from costing.workbook.write.choosing import Chosen
from costing.workbook.write.layout import FiguresBlock, Page, TableBlock, TextBlock, unit_words

HOW_TO = (
    ("Change a figure", "Sheets with a sand-coloured tab hold your records. Sand-coloured cells with a border are yours: "
                        "type over them and every figure and chart follows."),
    ("Add a row", "Type in the free sand-coloured rows below the last; they count at once. Where you insert a row in "
                  "between, copy the formulas of the row above into it."),
    ("What is white", "White cells are worked out. They refuse typing; column headings say the unit."),
    ("See the workings", "Columns with steps on the way are folded away and not printed: press the [+] above the column "
                         "beside them, or the 2 in the corner."),
    ("See a hidden sheet", "Right-click the tab of any sheet and choose Unhide or Show sheet. Those out of sight "
                           "are listed below."),
    ("What is grey", "Grey cells keep the figure of the day this workbook was written, so that you see what an edit did."),
    ("Try another price basis", "On Settings choose latest, average, dearest or quote: everything is priced anew."),
    ("Set a price", "On Prices type your own price; leave it blank to use the suggested one. Then read Profit, Margin and "
                    "Pay per hour in the same row."),
    ("Formulas", "Cards stand in the order of making and look only upwards: do not sort that sheet. A new formula goes "
                 "below those it uses."),
    ("Checks", "If the line under a sheet's title says CHECK, open Checks: it names what does not add up."),
)  # fmt: skip

LIMITS = (
    ("Costs only", "This book prices what you wrote down. It does not know whether a formula is good or safe."),
    ("Weights", "Everything is worked by weight. A volume is turned into grams by the density on Items."),
    ("Tax and law", "Tax rates are yours to look up, and so is the law on labels, contents and cosmetic products."),
    ("Sizes", "A price looks at one tub. It does not know how many you will sell at it; the plan on Prices is yours."),
)

SAFETY = (
    ("Lye", "Lye burns skin and eyes. Goggles, gloves, long sleeves, fresh air; lye into water, never water into lye; "
            "children and animals elsewhere. Follow the supplier's safety data sheet, and test each batch."),
    ("Hot melts", "Melted soap holds its heat and sticks. Add scents and whatever is volatile only when it has cooled."),
    ("Keeping", "Whipped soap holds water and can spoil. Whether a preservative protects it, and how much, is for the "
                "supplier's document, a challenge test and the product's safety assessment to say."),
    ("Skin", "Shares marked here are published limits or common practice, never a clearance. A safety assessment and "
             "local law decide what may be sold."),
    ("Before you sell", "Look up what local law asks for: a safety assessment, a responsible person or notifier, allergens "
                        "on the label, product liability insurance."),
)  # fmt: skip

COLOURS = (
    ("Sand with a border", "Yours to fill in or change."),
    ("White", "Worked out from the others."),
    ("Grey", "Kept from the day of export, or fixed."),
    ("CHECK on red", "Something does not add up: see Checks."),
    ("A remark on yellow", "Deserves a look; nothing is wrong with the sums."),
)


def caution_block(cautions: Sequence[Caution]) -> TextBlock:
    """Return the cautions of the day of export as a block."""
    rows = [(caution.where, f"{caution.what}; {caution.do}.") for caution in cautions]
    return TextBlock(
        "Cautions on the day of export",
        ("Where", "What to check, and what to do"),
        rows or [("none", "Nothing came up on the day of export.")],
        (34, 70),
    )


def glossary(pages: Sequence[Page], currency: str) -> Iterator[tuple[str, str, str, str, str]]:
    """Yield sheet, heading, unit, meaning and working of every column and figure, from their own definitions."""
    for page in pages:
        for block in page.blocks:
            if isinstance(block, TableBlock):
                for column in block.filled.table.columns.values():
                    yield _explained(page.sheet, column, currency)
            elif isinstance(block, FiguresBlock):
                for entry in block.filled.figures.entries.values():
                    yield _explained(page.sheet, entry, currency)


def _explained(sheet: str, part: Column | Entry, currency: str) -> tuple[str, str, str, str, str]:
    if part.kind == GIVEN:
        working = "fixed" if isinstance(part, Column) and part.table.fixed else "yours"
    elif part.kind == KEPT:
        working = "kept" if isinstance(part, Column) else "fixed"
    else:
        working = describe(part.expression)
    return sheet, part.heading, unit_words(part.unit, part.shape, currency) or "–", part.note, working


def source_rows() -> list[tuple[str, str]]:
    """Return the sources of the catalogue's figures as rows."""
    return [(row["source"], f"{row['what_for']}: {row['how_known']}") for row in sources()]


AWAY = ("Sheet", "What is on it, and whether it is here")


def _out_of_sight(found: Chosen) -> Iterator[tuple[str, str]]:
    """Yield each sheet that is not in sight, with what is on it and whether it is there."""
    for page in found.hidden:
        yield page.sheet, f"{page.about} Hidden."
    for page in found.left_out:
        yield page.sheet, f"{page.about} Left out; costing export shows it with --with {option_of(page.sheet)}."


def option_of(sheet: str) -> str:
    """Return by what a sheet is asked for on the command line.

    >>> option_of("Price ladder")
    'price-ladder'
    """
    return sheet.lower().replace(" ", "-")


def notes_blocks(found: Chosen, facts: Sequence[tuple[str, str]], currency: str) -> list[Any]:
    """Return the blocks of the Notes sheet."""
    wide, five = (24, 104), (24, 104, 26, 13, 70)
    pages = [*found.in_sight, *found.hidden]
    away = list(_out_of_sight(found))
    return [
        TextBlock("This workbook", ("What", "Is"), facts, wide),
        TextBlock("How to use it", ("To", "Do this"), HOW_TO, wide),
        TextBlock("Colours", ("Look", "Means"), COLOURS, wide),
        TextBlock("Safety", ("With", "Mind"), SAFETY, wide),
        TextBlock("Limits", ("About", "Know that"), LIMITS, wide),
        *([TextBlock("Sheets out of sight", AWAY, away, wide, printed=False)] if away else []),
        TextBlock("Sources of the packaged list", ("Source", "For and how known"), source_rows(), wide, printed=False),
        TextBlock(
            "How each column is worked",
            ("On sheet", "What it means", "Heading", "In", "How it is worked"),
            [(sheet, note, heading, unit, working) for sheet, heading, unit, note, working in glossary(pages, currency)],
            five,
            printed=False,
        ),
    ]
