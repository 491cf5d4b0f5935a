"""The frame of a workbook: sheets drawn from a layout, names and properties."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.packaging.custom import StringProperty
from openpyxl.workbook.defined_name import DefinedName

from costing.workbook.write.layout import Layout
from costing.workbook.write.look import Styles
from costing.workbook.write.package import packed
from costing.workbook.write.sheet_drawer import SheetDrawer
from costing.workbook.write.strings import SharedStrings


def drawn(layout: Layout, flag: str) -> tuple[Workbook, list[SheetDrawer]]:
    """Return a book with a sheet for each page, and the drawers that hold their cells."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for page in layout.pages:
        book.create_sheet(page.sheet).sheet_state = "hidden" if page.hidden else "visible"
    styles, strings = Styles(book), SharedStrings()
    drawers = []
    for page, sheet in zip(layout.pages, book.worksheets, strict=True):
        drawers.append(SheetDrawer(sheet, page, layout, styles, strings))
        drawers[-1].draw(flag)
    return book, drawers


def describe(book: Workbook, title: str, subject: str, facts: Mapping[str, str]) -> None:
    """Set the document's properties, and facts of our own among them."""
    properties: Any = book.properties
    properties.title, properties.subject = title, subject
    properties.creator, properties.language = "costing", "en"
    for name, value in facts.items():
        book.custom_doc_props.append(  # type: ignore[attr-defined]  # the stubs leave it out
            StringProperty(name=name, value=value)
        )


def finished(book: Workbook, layout: Layout, drawers: Sequence[SheetDrawer]) -> bytes:
    """Return the bytes of the .xlsx file."""
    for drawer in drawers:
        drawer.finish()
    _add_names(book, layout, drawers)
    return packed(book, drawers, drawers[0].rows.strings)


def _add_names(book: Workbook, layout: Layout, drawers: Sequence[SheetDrawer]) -> None:
    """Enter the names that formulas and drop-downs use, and no others."""
    used = {name for drawer in drawers for name in drawer.used_names}
    used |= {str(rule.formula1) for sheet in book.worksheets for rule in sheet.data_validations.dataValidation}
    for name, place in layout.names():
        if name in used:
            book.defined_names[name] = DefinedName(name, attr_text=place)
