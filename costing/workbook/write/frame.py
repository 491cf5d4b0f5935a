"""The frame of a workbook: sheets drawn from a layout, names, and the cells put into what openpyxl writes."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.packaging.custom import StringProperty
from openpyxl.workbook.defined_name import DefinedName

from costing.workbook.write.layout import Layout
from costing.workbook.write.look import Styles
from costing.workbook.write.sheet_drawer import SheetDrawer


def drawn(layout: Layout, flag: str) -> tuple[Workbook, list[SheetDrawer]]:
    """Return a book with a sheet for each page, and the drawers that hold their cells."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for page in layout.pages:
        book.create_sheet(page.sheet)
    styles = Styles(book)
    drawers = []
    for page, sheet in zip(layout.pages, book.worksheets, strict=True):
        drawers.append(SheetDrawer(sheet, page, layout, styles))
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
    return _assembled(book, drawers)


def _add_names(book: Workbook, layout: Layout, drawers: Sequence[SheetDrawer]) -> None:
    """Enter the names that formulas and drop-downs use, and no others."""
    used = {name for drawer in drawers for name in drawer.used_names}
    used |= {str(rule.formula1) for sheet in book.worksheets for rule in sheet.data_validations.dataValidation}
    for name, place in layout.names():
        if name in used:
            book.defined_names[name] = DefinedName(name, attr_text=place)


def _assembled(book: Workbook, drawers: Sequence[SheetDrawer]) -> bytes:
    """Write everything but cells with openpyxl, then put in the cells and the charts' alternative texts."""
    frame, whole = io.BytesIO(), io.BytesIO()
    book.save(frame)
    by_part = {f"xl/worksheets/sheet{at}.xml": drawer.rows for at, drawer in enumerate(drawers, start=1)}
    charted = [drawer.alternatives for drawer in drawers if drawer.alternatives]
    by_drawing = {f"xl/drawings/drawing{at}.xml": texts for at, texts in enumerate(charted, start=1)}
    with zipfile.ZipFile(frame) as source, zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as target:
        for part in source.infolist():
            data = source.read(part)
            if part.filename in by_part:
                data = _with_rows(data.decode(), by_part[part.filename]).encode()
            elif part.filename in by_drawing:
                data = _with_alternatives(data.decode(), by_drawing[part.filename]).encode()
            target.writestr(part.filename, data)
    return whole.getvalue()


def _with_rows(xml: str, rows: Any) -> str:
    for empty in ("<sheetData />", "<sheetData></sheetData>", "<sheetData/>"):
        if empty in xml:
            xml = xml.replace('<dimension ref="A1:A1" />', f'<dimension ref="{rows.extent}" />')
            return xml.replace(empty, rows.xml())
    raise ValueError("openpyxl wrote a sheet without a place for its cells")


def _with_alternatives(xml: str, alternatives: Sequence[str]) -> str:
    for at, text in enumerate(alternatives, start=1):
        xml = xml.replace(f'name="Chart {at}"', f'name="Chart {at}" descr="{text}"')
    return xml
