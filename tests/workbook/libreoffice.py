"""Recalculation by LibreOffice, an independent program, from a copy of a workbook without stored results."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
import zipfile
from collections.abc import Collection, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import openpyxl
import pytest

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


def recalculated(*books: Path, only: Collection[str] = ()) -> list[Any]:
    """Return workbooks as LibreOffice works them out anew, in as many starts of it as there are processors.

    Sheets that are not among those in ``only``, if any are, are emptied before the results are loaded: that is quicker.
    """
    command, starts = soffice(), min(os.cpu_count() or 1, len(books))
    with ThreadPoolExecutor(starts) as pool:
        shares = list(pool.map(lambda first: _in_one_start(command, books[first::starts], only), range(starts)))
    return [shares[at % starts][at // starts] for at in range(len(books))]


def _in_one_start(command: str, books: Sequence[Path], only: Collection[str]) -> list[Any]:
    """Return workbooks as LibreOffice works them out in one start, with a profile of its own."""
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
            [command, f"-env:UserInstallation=file://{folder}/profile", "--headless", "--norestore", "--convert-to",
             "xlsx", "--outdir", str(folder / "out"), *(str(folder / "in" / name) for name in names)],
            check=True, capture_output=True, timeout=600,
        )  # fmt: skip
        made = (folder / "out" / name for name in names)
        return [openpyxl.load_workbook(_with_only(each, only) if only else each, data_only=True) for each in made]


def _with_only(source: Path, sheets: Collection[str]) -> Path:
    """Return a copy of a workbook that LibreOffice wrote, which numbers sheets in their order, with cells in some only."""
    target = source.with_suffix(".lean.xlsx")
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        titles = re.findall(r'<sheet name="([^"]*)"', old.read("xl/workbook.xml").decode())
        kept = {f"xl/worksheets/sheet{at}.xml" for at, title in enumerate(titles, start=1) if title in sheets}
        for part in old.infolist():
            data = old.read(part)
            if part.filename.startswith("xl/worksheets/sheet") and part.filename not in kept:
                data = re.sub(rb"<sheetData>.*</sheetData>", b"<sheetData/>", data, flags=re.DOTALL)
            new.writestr(part.filename, data)
    return target


@dataclass(frozen=True)
class Difference:
    """A formula cell whose stored result is not what LibreOffice works out."""

    place: str
    formula: str
    stored: Any
    worked_out: Any


def differences(path: Path, anew: Any) -> tuple[int, list[Difference]]:
    """Return how many formula cells there are, and those whose results differ by more than one in 10⁹."""
    formulas = openpyxl.load_workbook(path)
    stored = openpyxl.load_workbook(path, data_only=True)
    count, found = 0, []
    for sheet in formulas:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type != "f":
                    continue
                count += 1
                ours = stored[sheet.title][cell.coordinate].value
                theirs = anew[sheet.title][cell.coordinate].value
                if not same(ours, theirs):
                    found.append(Difference(f"{sheet.title}!{cell.coordinate}", str(cell.value), ours, theirs))
    return count, found


def same(ours: Any, theirs: Any) -> bool:
    """Say whether two results are equal to nine digits; nothing and a lone blank are the same text."""
    if isinstance(ours, int | float) and isinstance(theirs, int | float):
        return abs(ours - theirs) <= 1e-9 * max(abs(ours), abs(theirs), 1e-3)
    return _plain(ours) == _plain(theirs)


def _plain(value: Any) -> str:
    return "" if value is None else str(value).strip()
