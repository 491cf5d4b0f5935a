"""From a costed season to the bytes of a workbook."""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Mapping
from importlib.metadata import version
from typing import Any

from openpyxl import Workbook
from openpyxl.packaging.custom import StringProperty
from openpyxl.workbook.defined_name import DefinedName

from costing.normal import digests
from costing.season import Season
from costing.workbook.charts import Bars, Line, bar_chart
from costing.workbook.layout import Layout
from costing.workbook.look import Styles
from costing.workbook.pages import layout_of
from costing.workbook.sheets import SheetDrawer

SCHEMA_VERSION = "1"
EXPORT_PROPERTY, TABLE_PROPERTY = "records", "records_"  # names of the workbook's own properties
ROW_HEIGHT = 0.45  # of a row of ten-point text [centimetre]


def workbook_bytes(season: Season) -> bytes:
    """Return the pricing workbook of a season as the bytes of an .xlsx file."""
    settings = season.records.season
    base = digests(season.records)
    layout = layout_of(season, _facts(season, base))
    book = Workbook()
    book.remove(book.worksheets[0])
    for page in layout.pages:
        book.create_sheet(page.sheet)
    styles = Styles(book)
    flag = f"Checks: {season.checks.overall}  ·  To look at: {season.looks.looks}"
    drawers = []
    for page, sheet in zip(layout.pages, book.worksheets, strict=True):
        drawers.append(SheetDrawer(sheet, page, layout, styles))
        drawers[-1].draw(flag)
    charts = _charts(season, layout)
    _add_charts(drawers[0], charts, len(season.products.rows))
    for drawer in drawers:
        drawer.finish()
    _add_names(book, layout, drawers)
    _describe(book, settings.name, base)
    return _assembled(book, [drawer.rows for drawer in drawers], charts)


def _facts(season: Season, base: Mapping[str, str]) -> list[tuple[str, str]]:
    settings = season.records.season
    together = whole_digest(base)
    return [
        ("Purpose", "What each formula costs per gram, what each tub must sell for, and what making it yourself saves."),
        ("Season", f"{settings.name}, priced on {settings.priced_on.isoformat()} in {settings.currency}."),
        ("Written by", f"costing {version('costing')}, workbook schema {SCHEMA_VERSION}."),
        ("Records", f"SHA-256 {together[:16]}… of the season's tables on the day of export."),
    ]


def whole_digest(base: Mapping[str, str]) -> str:
    """Return one digest for all tables, by which an export is known."""
    return hashlib.sha256("".join(base[name] for name in sorted(base)).encode()).hexdigest()


def _describe(book: Workbook, title: str, base: Mapping[str, str]) -> None:
    properties: Any = book.properties
    properties.title, properties.creator, properties.language = title, "costing", "en"
    properties.subject = "Pricing workbook"
    facts = {"schema": SCHEMA_VERSION, "tool": f"costing {version('costing')}", EXPORT_PROPERTY: whole_digest(base)}
    for name, value in (facts | {f"{TABLE_PROPERTY}{table}": text for table, text in base.items()}).items():
        book.custom_doc_props.append(  # type: ignore[attr-defined]  # the stubs leave it out
            StringProperty(name=name, value=value)
        )


def _add_names(book: Workbook, layout: Layout, drawers: list[SheetDrawer]) -> None:
    """Enter the names that formulas and drop-downs use, and no others."""
    written = "".join(drawer.rows.xml() for drawer in drawers)
    lists = {rule.formula1 for sheet in book.worksheets for rule in sheet.data_validations.dataValidation}
    for name, place in layout.names():
        if name in written or name in lists:
            book.defined_names[name] = DefinedName(name, attr_text=place)


def _charts(season: Any, layout: Layout) -> list[Bars]:
    currency = season.records.season.currency
    products = [row.name for row in season.products.rows]
    parts = ("materials", "packaging", "work", "power", "overheads")
    headings = season.products.table.columns
    cost = Bars(
        "What one costs",
        "Stacked bars: the cost of one of each product in materials, packaging, work, power and overheads.",
        currency,
        (layout.reference("products", "name"), products),
        [
            Line(
                headings[part].heading,
                layout.reference("products", part),
                [getattr(r, part) for r in season.products.rows],
            )
            for part in parts
        ],
        stacked=True,
        across=True,
        number_format="0",
    )
    compared = season.alternatives.rows
    own = Bars(
        "Own or bought: what one costs",
        "Bars side by side: the cost of one of your own and of the same from a bought base.",
        currency,
        (layout.reference("alternatives", "product"), [row.product for row in compared]),
        [
            Line("Own", layout.reference("alternatives", "own_cost"), [row.own_cost for row in compared]),
            Line(
                "From bought base",
                layout.reference("alternatives", "bought_cost"),
                [row.bought_cost for row in compared],
            ),
        ],
    )
    lines = season.glance.rows
    earns = Bars(
        "What the season earns",
        "Bars: the profit that the planned sales of each product leave.",
        currency,
        (layout.reference("glance", "name"), [row.name for row in lines]),
        [Line("Season's profit", layout.reference("glance", "season_profit"), [row.season_profit for row in lines])],
        across=True,
        number_format="#,##0",
    )
    return [cost, earns, own]


def _add_charts(drawer: SheetDrawer, charts: list[Bars], products: int) -> None:
    """Put the charts under the table of the first sheet: two side by side, the third below."""
    page = drawer.page
    top = page.last + 3
    half = drawer.width / 2
    tall = max(8.0, 0.55 * products + 3.5)
    below = top + int(tall / ROW_HEIGHT) + 2
    anchors = (f"A{top}", f"{drawer.column_at(half)}{top}", f"A{below}")
    for bars, anchor, height in zip(charts, anchors, (tall, tall, 8.5), strict=True):
        chart = bar_chart(bars, width=half - 0.6, height=height)
        chart.anchor = anchor
        drawer.sheet.add_chart(chart)
    page.break_before = top - 2
    page.last_chart_row = below + int(8.5 / ROW_HEIGHT) + 1


def _assembled(book: Workbook, rows: list[Any], charts: list[Bars]) -> bytes:
    """Write everything but cells with openpyxl, then put in the cells and the charts' alternative texts."""
    frame, whole = io.BytesIO(), io.BytesIO()
    book.save(frame)
    by_part = {f"xl/worksheets/sheet{at}.xml": each for at, each in enumerate(rows, start=1)}
    with zipfile.ZipFile(frame) as source, zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as target:
        for part in source.infolist():
            data = source.read(part)
            if part.filename in by_part:
                data = _with_rows(data.decode(), by_part[part.filename]).encode()
            elif part.filename.startswith("xl/drawings/drawing"):
                data = _with_alternatives(data.decode(), charts).encode()
            target.writestr(part.filename, data)
    return whole.getvalue()


def _with_rows(xml: str, rows: Any) -> str:
    for empty in ("<sheetData />", "<sheetData></sheetData>", "<sheetData/>"):
        if empty in xml:
            xml = xml.replace('<dimension ref="A1:A1" />', f'<dimension ref="{rows.extent}" />')
            return xml.replace(empty, rows.xml())
    raise ValueError("openpyxl wrote a sheet without a place for its cells")


def _with_alternatives(xml: str, charts: list[Bars]) -> str:
    for at, bars in enumerate(charts, start=1):
        xml = xml.replace(f'name="Chart {at}"', f'name="Chart {at}" descr="{bars.alternative}"')
    return xml
