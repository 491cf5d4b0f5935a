"""Recalculation by LibreOffice, an independent program, from a copy of a workbook without stored results."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import tempfile
import zipfile
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.workbook.stored_cells import Cells, stored_cells

SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value>
</prop></item></oor:items>
"""


def soffice() -> str:
    """Return LibreOffice's command; in CI it must be there, on a maker's machine its tests are skipped."""
    found = shutil.which("soffice") or shutil.which("libreoffice")
    if found is None:
        if os.environ.get("CI"):
            pytest.fail("LibreOffice is missing in CI: install libreoffice-calc")
        pytest.skip("LibreOffice is not installed: the workbook is not recalculated")
    return found


def without_results(source: Path, target: Path) -> None:
    """Copy a workbook, leaving out the stored result of every formula."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            data = old.read(part)
            if part.filename.startswith("xl/worksheets/sheet"):
                data = re.sub(rb"(</f>)<v[^>]*>[^<]*</v>", rb"\1", data)
            new.writestr(part.filename, data)


class Recalculated:
    """A workbook as LibreOffice worked it out: its cells as they are stored, or as openpyxl reads them."""

    def __init__(self, data: bytes) -> None:
        self._data = data

    @cached_property
    def cells(self) -> Cells:
        """The formulas and results of each sheet."""
        return stored_cells(io.BytesIO(self._data))

    @cached_property
    def book(self) -> Any:
        """The workbook with its results, which takes longer to read."""
        return openpyxl.load_workbook(io.BytesIO(self._data), data_only=True)

    def with_only(self, *titles: str) -> Any:
        """Return the workbook without the cells of other sheets, which is quicker to read."""
        lean = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(self._data)) as old, zipfile.ZipFile(lean, "w") as new:
            named = re.findall(r'<sheet name="([^"]*)"', old.read("xl/workbook.xml").decode())  # numbered in their order
            kept = {f"xl/worksheets/sheet{at}.xml" for at, title in enumerate(named, start=1) if title in titles}
            for part in old.infolist():
                data = old.read(part)
                if part.filename.startswith("xl/worksheets/sheet") and part.filename not in kept:
                    data = re.sub(rb"<sheetData>.*</sheetData>", b"<sheetData/>", data, flags=re.DOTALL)
                new.writestr(part.filename, data)
        return openpyxl.load_workbook(lean, data_only=True)


def recalculated(*books: Path) -> list[Recalculated]:
    """Return workbooks as LibreOffice works them out anew, in one start of it: those need seconds."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        (folder / "profile/user").mkdir(parents=True)
        (folder / "profile/user/registrymodifications.xcu").write_text(SETTINGS, encoding="utf-8")
        (folder / "in").mkdir()
        names = []
        for at, book in enumerate(books):
            names.append(f"{at}.xlsx")
            without_results(book, folder / "in" / names[-1])
        subprocess.run(
            [soffice(), f"-env:UserInstallation=file://{folder}/profile", "--headless", "--norestore", "--convert-to",
             "xlsx", "--outdir", str(folder / "out"), *(str(folder / "in" / name) for name in names)],
            check=True, capture_output=True, timeout=600,
        )  # fmt: skip
        return [Recalculated((folder / "out" / name).read_bytes()) for name in names]


@dataclass(frozen=True)
class Difference:
    """A formula cell whose stored result is not what LibreOffice works out."""

    place: str
    formula: str
    stored: Any
    worked_out: Any


def differences(path: Path, anew: Recalculated) -> tuple[int, list[Difference]]:
    """Return how many formula cells there are, and those whose results differ by more than one in 10⁹."""
    count, found = 0, []
    for sheet, cells in stored_cells(path).items():
        theirs = anew.cells[sheet]
        for place, cell in cells.items():
            if cell.formula:
                count += 1
                worked_out = theirs[place].value if place in theirs else None
                if not same(cell.value, worked_out):
                    found.append(Difference(f"{sheet}!{place}", cell.formula, cell.value, worked_out))
    return count, found


def same(ours: Any, theirs: Any) -> bool:
    """Say whether two results are equal to nine digits; nothing and a lone blank are the same text."""
    if isinstance(ours, int | float) and isinstance(theirs, int | float):
        return abs(ours - theirs) <= 1e-9 * max(abs(ours), abs(theirs), 1e-3)
    return _plain(ours) == _plain(theirs)


def _plain(value: Any) -> str:
    return "" if value is None else str(value).strip()
