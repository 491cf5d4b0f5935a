"""What can be wrong with an .xlsx file as a package of parts: one function for each rule, each yielding what breaks it.

A spreadsheet program that finds one of these says that the file is damaged and mends it by leaving parts away, or shows
something else than was written. LibreOffice and openpyxl pass over most of them, so that no other test would tell.

Sources: ECMA-376, part 1 (SpreadsheetML, 18.2 to 18.8; ST_Xstring, 22.9.2.19; header and footer codes, 18.3.1.46) and part 2
(packages); the orders of elements were held against the schema data that is published with the Open XML SDK. Lengths:
Microsoft, "Excel specifications and limits", and of validations the documentation of Excel's object model, from memory.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections import Counter
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.worksheet.cell_range import CellRange

from tests.workbook.lint import LONGEST

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

ORDERS = {
    "worksheet": (
        "sheetPr dimension sheetViews sheetFormatPr cols sheetData sheetCalcPr sheetProtection protectedRanges scenarios "
        "autoFilter sortState dataConsolidate customSheetViews mergeCells phoneticPr conditionalFormatting dataValidations "
        "hyperlinks printOptions pageMargins pageSetup headerFooter rowBreaks colBreaks customProperties cellWatches "
        "ignoredErrors smartTags drawing legacyDrawing legacyDrawingHF drawingHF picture oleObjects controls "
        "webPublishItems tableParts extLst"
    ),
    "workbook": (
        "fileVersion fileSharing workbookPr workbookProtection bookViews sheets functionGroups externalReferences "
        "definedNames calcPr oleSize customWorkbookViews pivotCaches webPublishing fileRecoveryPr webPublishObjects extLst"
    ),
    "table": "autoFilter sortState tableColumns tableStyleInfo extLst",
    "styleSheet": "numFmts fonts fills borders cellStyleXfs cellXfs cellStyles dxfs tableStyles colors extLst",
    "c": "f v is extLst",
}
COUNTED = {
    "dataValidations", "tableParts", "tableColumns", "rowBreaks", "numFmts", "fonts", "fills", "borders", "cellStyleXfs",
    "cellXfs", "cellStyles", "dxfs",
}  # fmt: skip
IN_FORMULA, IN_HEADER, IN_CELL, OF_SHEET, OF_FORMULA = 255, 255, 32767, 31, 8192  # letters at most
VALIDATION = {"promptTitle": 32, "prompt": 255, "errorTitle": 32, "error": 255}
ESCAPE = re.compile("_x([0-9A-Fa-f]{4})_")
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"


@lru_cache(maxsize=600)
def parsed(data: bytes) -> Element:
    """Return the root of a part, read once however many packages hold it."""
    return ET.fromstring(data)  # noqa: S314  # a file that the tests themselves wrote


class Package:
    """The parts of a workbook's file."""

    def __init__(self, path: Path) -> None:
        with zipfile.ZipFile(path) as file:
            self.listed = file.namelist()
            self.parts = {name: file.read(name) for name in self.listed}

    def roots(self, folder: str) -> Iterator[tuple[str, Element]]:
        """Yield the parts of a folder with their names, relationships aside."""
        for name, data in self.parts.items():
            if name.startswith(folder) and name.endswith(".xml"):
                yield name, parsed(data)

    @property
    def strings(self) -> list[str]:
        """The shared texts, as a reader shows them."""
        return [text_of(item) for item in parsed(self.parts["xl/sharedStrings.xml"])]

    def relations(self, part: str) -> dict[str, str]:
        """Return where a part's relationships lead, by their ids."""
        folder, name = posixpath.split(part)
        data = self.parts.get(f"{folder}/_rels/{name}.rels".lstrip("/"))
        entries = [] if data is None else [each for each in parsed(data) if each.get("TargetMode") != "External"]
        return {each.get("Id", ""): posixpath.normpath(posixpath.join("/", folder, each.get("Target", "")))[1:]
                for each in entries}  # fmt: skip


def tag(element: Element) -> str:
    """Return an element's name without its name space."""
    return element.tag.rpartition("}")[2]


def named(root: Element, *names: str) -> Iterator[Element]:
    """Yield the elements of some names, wherever they stand."""
    return (element for element in root.iter() if tag(element) in names)


def decoded(text: str) -> str:
    """Return a text as a spreadsheet shows it."""
    return ESCAPE.sub(lambda found: chr(int(found[1], 16)), text)


def text_of(element: Element) -> str:
    """Return all text of an element, as a spreadsheet shows it."""
    return decoded("".join(element.itertext()))


def length(text: str) -> int:
    """Return how many letters spreadsheets count in a text: the units of UTF-16."""
    return len(text.encode("utf-16-le")) // 2


# -- order --


def out_of_order(package: Package) -> Iterator[str]:
    """Yield elements that stand behind one that must follow them, or where none of their name may stand."""
    for part, root in package.roots("xl/"):
        for element in (root, *named(root, "c")):
            allowed = ORDERS.get(tag(element), "").split()
            found = [tag(child) for child in element] if allowed else []
            yield from (f"{part}: {name} in {tag(element)}" for name in found if name not in allowed)
            places = [allowed.index(name) for name in found if name in allowed]
            for before, after in pairwise(places):
                if after < before:
                    yield f"{part}: {allowed[after]} behind {allowed[before]} {element.get('r', '')}".rstrip()


def cells_out_of_order(package: Package) -> Iterator[str]:
    """Yield rows and cells that do not stand in their order, or a cell in a row of another number."""
    for part, root in package.roots("xl/worksheets/"):
        last_row = 0
        for row in named(root, "row"):
            number, last_column = int(row.get("r", "0")), 0
            if number <= last_row:
                yield f"{part}: row {number} behind row {last_row}"
            for cell in row:
                letters, digits = re.fullmatch(r"([A-Z]+)(\d+)", cell.get("r", "")).groups()  # type: ignore[union-attr]
                column = column_index_from_string(letters)
                if int(digits) != number or column <= last_column:
                    yield f"{part}: {cell.get('r')} in row {number} behind column {get_column_letter(max(last_column, 1))}"
                last_column = column
            last_row = number


# -- ids and names --


def twice(package: Package) -> Iterator[str]:
    """Yield ids and names that stand for two things, names in whatever case."""
    for name, times in Counter(_known(package)).items():
        if times > 1:
            yield ": ".join(name)


def _known(package: Package) -> Iterator[tuple[str, str]]:
    """Yield what must be unique: of what sort, and its id or name."""
    yield from (("part", name.lower()) for name in package.listed)
    workbook = parsed(package.parts["xl/workbook.xml"])
    for sheet in named(workbook, "sheet"):
        yield "sheet", sheet.get("name", "").lower()
        yield "sheetId", sheet.get("sheetId", "")
        yield "sheet's part", sheet.get(f"{_RELATION}id", "")
    for defined in named(workbook, "definedName"):
        local = defined.get("localSheetId")
        yield f"name in sheet {local}" if local else "name", defined.get("name", "").lower()
    for part, table in package.roots("xl/tables/"):
        yield "table", table.get("id", "")
        yield "table's name", table.get("name", "").lower()
        yield "name", table.get("displayName", "").lower()
        for column in named(table, "tableColumn"):
            yield f"{part}, column", column.get("id", "")
            yield f"{part}, heading", column.get("name", "").lower()
    for part, drawing in package.roots("xl/drawings/"):
        for shape in named(drawing, "cNvPr"):
            yield f"{part}, shape", shape.get("id", "")
            yield f"{part}, shape's name", shape.get("name", "").lower()
    for part, data in package.parts.items():
        if part.endswith(".rels"):
            yield from ((part, each.get("Id", "")) for each in parsed(data))


# -- lengths --


def too_long(package: Package) -> Iterator[str]:
    """Yield texts and formulas of more letters than a spreadsheet takes, and formulas longer than those of this house."""
    for what, text, most in _measured(package):
        if length(text) > most:
            yield f"{what}: {length(text)} letters, {most} at most"


def _measured(package: Package) -> Iterator[tuple[str, str, int]]:
    """Yield where a text stands, the text, and how long it may be."""
    for sheet in named(parsed(package.parts["xl/workbook.xml"]), "sheet"):
        yield f"sheet {sheet.get('sheetId')}", sheet.get("name", ""), OF_SHEET
    for at, text in enumerate(package.strings):
        yield f"shared text {at}", text, IN_CELL
    for part, table in package.roots("xl/tables/"):
        for column in named(table, "tableColumn"):
            yield f"{part}, column {column.get('id')}", decoded(column.get("name", "")), IN_FORMULA
    for part, sheet in package.roots("xl/worksheets/"):
        yield from _of_cells(part, sheet)
        yield from _of_rules(part, sheet)


def _of_rules(part: str, sheet: Element) -> Iterator[tuple[str, str, int]]:
    for rule in named(sheet, "dataValidation"):
        yield from (
            (f"{part}, {key} of {rule.get('sqref')}", decoded(rule.get(key, "")), VALIDATION[key]) for key in VALIDATION
        )
        for formula in rule:
            yield f"{part}, validation of {rule.get('sqref')}", text_of(formula).strip('"'), IN_FORMULA
    for rule in named(sheet, "cfRule"):
        for formula in rule:
            yield from _of_formula(f"{part}, format {rule.get('priority')}", text_of(formula))
    for side in named(sheet, "headerFooter"):
        yield from ((f"{part}, {tag(each)}", text_of(each), IN_HEADER) for each in side)


def _of_cells(part: str, sheet: Element) -> Iterator[tuple[str, str, int]]:
    for cell in named(sheet, "c"):
        for child in cell:
            where = f"{part}, {cell.get('r')}"
            if tag(child) == "f":
                yield from _of_formula(where, text_of(child))
            elif cell.get("t") == "str":
                yield where, text_of(child), IN_CELL


def _of_formula(where: str, formula: str) -> Iterator[tuple[str, str, int]]:
    yield f"{where}, formula", formula, min(LONGEST, OF_FORMULA)
    for constant in re.findall(r'"((?:[^"]|"")*)"', formula):
        yield f"{where}, text in formula", constant.replace('""', '"'), IN_FORMULA


# -- shared texts, styles and counts --


def strings_astray(package: Package) -> Iterator[str]:
    """Yield cells whose text is not among the shared ones, texts written into cells, and wrong counts of shared texts."""
    root, used = parsed(package.parts["xl/sharedStrings.xml"]), 0
    for part, sheet in package.roots("xl/worksheets/"):
        for cell in named(sheet, "c"):
            if cell.get("t") == "inlineStr":
                yield f"{part}, {cell.get('r')}: holds its text itself"
            if cell.get("t") == "s":
                used += 1
                number = "".join(text_of(child) for child in cell if tag(child) == "v")
                if not number.isdecimal() or int(number) >= len(root):
                    yield f"{part}, {cell.get('r')}: no shared text {number}"
    for key, true in (("uniqueCount", len(root)), ("count", used)):
        if int(root.get(key, true)) != true:
            yield f"shared texts: {key} says {root.get(key)} and is {true}"


def styles_astray(package: Package) -> Iterator[str]:
    """Yield cells and conditional formats whose look is not among the styles."""
    looks = {tag(each): len(each) for each in parsed(package.parts["xl/styles.xml"])}
    for part, sheet in package.roots("xl/worksheets/"):
        for cell in named(sheet, "c"):
            if int(cell.get("s", 0)) >= looks["cellXfs"]:
                yield f"{part}, {cell.get('r')}: no style {cell.get('s')}"
        for rule in named(sheet, "cfRule"):
            if int(rule.get("dxfId", 0)) >= looks.get("dxfs", 0):
                yield f"{part}, format {rule.get('priority')}: no style {rule.get('dxfId')}"


def miscounted(package: Package) -> Iterator[str]:
    """Yield lists that say another number of entries than they have."""
    for part, root in package.roots("xl/"):
        for element in named(root, *COUNTED):
            if int(element.get("count", len(element))) != len(element):
                yield f"{part}: {tag(element)} says {element.get('count')} and has {len(element)}"


def heads_unlike_cells(package: Package) -> Iterator[str]:
    """Yield columns of tables that are called otherwise than the cell at their head."""
    strings = package.strings
    for part, sheet in package.roots("xl/worksheets/"):
        cells = {cell.get("r"): cell for cell in named(sheet, "c") if cell.get("t") == "s"}
        for target in package.relations(part).values():
            if not target.startswith("xl/tables/") or target not in package.parts:
                continue
            table = parsed(package.parts[target])
            left, top, _, _ = CellRange(table.get("ref", "")).bounds
            for at, column in enumerate(named(table, "tableColumn"), start=left):
                cell = cells.get(f"{get_column_letter(at)}{top}")
                shown = None if cell is None else strings[int(text_of(cell))]
                if decoded(column.get("name", "")) != shown:
                    yield f"{target}: {column.get('name')} over {shown}"


# -- escapes --


def header_codes(package: Package) -> Iterator[str]:
    """Yield headers and footers with a sign & that is neither doubled nor one of the codes that this house uses."""
    for part, sheet in package.roots("xl/worksheets/"):
        for side in named(sheet, "headerFooter"):
            for each in side:
                codes = [code for code in re.findall("&.?", text_of(each), re.DOTALL) if code != "&&"]
                sections = [code for code in codes if code in ("&L", "&C", "&R")]
                strange = [code for code in codes if code not in ("&L", "&C", "&R", "&P", "&N")]
                if strange or sections != [code for code in ("&L", "&C", "&R") if code in sections]:
                    yield f"{part}, {tag(each)}: {' '.join(strange or sections)}"


def texts_taken_for_escapes(package: Package) -> Iterator[str]:
    """Yield texts in which a spreadsheet reads a letter's number that the maker wrote: nothing else needs that escape."""
    for part, root in package.roots("xl/"):
        for element in root.iter():
            for text in (element.text or "", *element.attrib.values()):
                for found in ESCAPE.finditer(text):
                    code = int(found[1], 16)
                    guards = code == ord("_") and ESCAPE.match(f"_{text[found.end() :]}")
                    if not (guards or code < ord(" ") or code in (0xFFFE, 0xFFFF)):
                        yield f"{part}: {found[0]} in {text}"


# -- relationships and content types --


def leading_nowhere(package: Package) -> Iterator[str]:
    """Yield relationships to parts that are not there, ids without one, and parts to which none leads."""
    reached = {"[Content_Types].xml"}
    sources = ["", *(name for name in package.parts if not name.endswith(".rels"))]
    for part in sources:
        relations = package.relations(part)
        reached.update(relations.values())
        yield from (f"{part}, {key}: no part {target}" for key, target in relations.items() if target not in package.parts)
        if not part.endswith(".xml"):
            continue
        for element in parsed(package.parts[part]).iter():
            for key, value in element.attrib.items():
                if key.startswith(_RELATION) and value not in relations:
                    yield f"{part}, {tag(element)}: no relationship {value}"
    yield from (f"{part}: nothing leads there" for part in sources[1:] if part not in reached)


TYPES = {
    "xl/workbook": "spreadsheetml.sheet.main", "xl/worksheets/": "spreadsheetml.worksheet",
    "xl/tables/": "spreadsheetml.table", "xl/sharedStrings": "spreadsheetml.sharedStrings",
    "xl/styles": "spreadsheetml.styles", "xl/theme/": "theme",
    "xl/drawings/": "drawing", "xl/charts/": "drawingml.chart", "docProps/app": "extended-properties",
    "docProps/custom": "custom-properties",
}  # fmt: skip


def types_astray(package: Package) -> Iterator[str]:
    """Yield parts without a content type of their own or with one of another sort, and types without their part."""
    root = parsed(package.parts["[Content_Types].xml"])
    own = {each.get("PartName", "")[1:]: each.get("ContentType", "") for each in named(root, "Override")}
    by_ending = {each.get("Extension"): each.get("ContentType", "") for each in named(root, "Default")}
    yield from (f"{name}: has a type and is not there" for name in own if name not in package.parts)
    for part in package.parts:
        kind = own.get(part, by_ending.get(part.rpartition(".")[2], ""))
        wanted = next(
            (f".{end}+xml" for start, end in TYPES.items() if part.startswith(start) and "/_rels/" not in part), ""
        )
        plain = kind in ("", "application/xml") and part != "[Content_Types].xml"
        if plain or not kind.endswith(wanted):
            yield f"{part}: is {kind or 'of no type'}"


RULES = (
    out_of_order, cells_out_of_order, twice, too_long, strings_astray, styles_astray, miscounted, heads_unlike_cells,
    header_codes, texts_taken_for_escapes, leading_nowhere, types_astray,
)  # fmt: skip
