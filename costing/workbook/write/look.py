"""The look of the workbook: few colours, each with a meaning that a word or a border says too."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.styles.differential import DifferentialStyle

FONT = "Arial"
INK, QUIET = "22303C", "4A5560"
BAND = "DDE7E8"  # heading rows
RULE = "2F4B52"  # the line below them, and above and below a recipe card
SAND, SAND_EDGE = "FBF3E0", "C9AE74"  # what the maker fills in
MIST = "EEF2F3"  # what was kept from the day of export
SERIES = ("12436D", "28A197", "801650", "F46A25", "3D3D3D", "A285D1")
WRONG_INK, WRONG_PAPER = "8C1D18", "FBE9E7"
LOOK_INK, LOOK_PAPER = "6B4A00", "FFF1CC"


@dataclass(frozen=True)
class Style:
    """How one sort of cell looks: its role, its number format, and how its text is set."""

    role: str
    number_format: str = "General"
    wrap: bool = False
    right: bool = False
    left: bool = False


def _font(role: str) -> Font:
    sizes = {"title": 18, "block": 12, "said": 14, "answer": 18, "card": 14}
    colours = {"about": QUIET, "note": QUIET, "link": "1B4F72"}
    bold = role in ("title", "block", "heading", "answer")
    return Font(
        name=FONT,
        size=sizes.get(role, 10),
        bold=bold,
        color=colours.get(role, INK),
        underline="single" if role == "link" else None,
    )


def _fill(role: str) -> PatternFill:
    colours = {"heading": BAND, "given": SAND, "kept": MIST, "answer": MIST}
    if role not in colours:
        return PatternFill()
    return PatternFill("solid", fgColor=colours[role])


def _border(role: str) -> Border:
    if role == "given":
        edge = Side(style="thin", color=SAND_EDGE)
        return Border(left=edge, right=edge, top=edge, bottom=edge)
    if role == "card":
        edge = Side(style="dashed", color=QUIET)
        return Border(top=edge, bottom=edge)
    if role == "heading":
        return Border(bottom=Side(style="medium", color=RULE))
    if role in ("worked", "kept", "answer"):
        return Border(bottom=Side(style="hair", color="B8C2C6"))
    return Border()


class Styles:
    """Turns styles into the numbers that cells carry."""

    def __init__(self, book: Workbook) -> None:
        self._sheet: Any = book.worksheets[0]
        self._numbers: dict[Style, int] = {}

    def number(self, style: Style) -> int:
        """Return the number of a style, entering it in the book when it is new."""
        if style not in self._numbers:
            self._numbers[style] = self._enter(style)
        return self._numbers[style]

    def _enter(self, style: Style) -> int:
        cell = Cell(self._sheet, row=1, column=1)
        cell.font = _font(style.role)
        cell.fill = _fill(style.role)
        cell.border = _border(style.role)
        cell.number_format = style.number_format
        heading = style.role == "heading"
        cell.alignment = Alignment(
            wrap_text=style.wrap or heading or None,
            vertical="center" if heading or style.role == "card" else "top",
            horizontal="right" if style.right else "left" if style.left else None,
            indent=1 if style.left and style.role in ("given", "worked", "kept", "heading", "answer", "card") else 0,
        )
        cell.protection = Protection(locked=style.role != "given")
        if style.number_format == "@":
            cell.quotePrefix = True
        return int(cell.style_id)


def number_format(unit: str, shape: str, decimals: int | None, digits: int, *, given: bool) -> str:
    """Return the number format of a figure. Worked zeros stay blank, so that spare rows do."""
    if unit == "text":
        return "@" if given else "General"
    if shape == "date":
        return "yyyy-mm-dd" if given else "yyyy-mm-dd;;"
    if shape == "percent":
        part = f"0.{'0' * (decimals or 1)}%"
        return "0.0#%" if given else f"{part};-{part};"
    if shape == "unit price" and digits:
        return f"#,##0.{'0' * digits}##;-#,##0.{'0' * digits}##;"
    if given:
        return "#,##0.00" if unit == "money" and digits == 2 else "General"
    if decimals is None:
        decimals = digits if unit.startswith("money") else 2
    plain = "#,##0" + ("." + "0" * decimals if decimals else "")
    return f"{plain};-{plain};"


def card_format(shape: str, unit: str, plain: str, currency: str) -> str:
    """Return the number format of a figure on a shelf card, which is cut off from its heading and so says it itself."""
    positive = plain.split(";", maxsplit=1)[0]
    if unit == "gram":
        return f'{positive}" g";;'
    if shape == "unit price":
        return f'{positive}" per {"kg" if unit == "money/kilogram" else "100 g"}";;'
    return f'"{currency}" {positive};;' if unit == "money" else plain


@cache
def wrong() -> DifferentialStyle:
    """Return the look of a failed check; the cell says CHECK too."""
    fill = PatternFill(bgColor=WRONG_PAPER, fill_type="solid")
    return DifferentialStyle(font=Font(color=WRONG_INK, bold=True), fill=fill)


@cache
def remarked() -> DifferentialStyle:
    """Return the look of a remark that deserves a look; the cell says what it is too."""
    fill = PatternFill(bgColor=LOOK_PAPER, fill_type="solid")
    return DifferentialStyle(font=Font(color=LOOK_INK), fill=fill)


@cache
def heading_of_card() -> DifferentialStyle:
    """Return the look of the first and the last row of a recipe card; the cells say which they are too."""
    return DifferentialStyle(font=Font(bold=True), border=Border(top=Side(style="thin", color=RULE)))
