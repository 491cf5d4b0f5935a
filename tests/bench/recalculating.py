"""How long LibreOffice takes from an edited cell to the new answer: every formula that follows from the cell worked out.

All but the first function runs in the Python that LibreOffice speaks to (Debian's package python3-uno), in a process of its
own.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from typing import Any

PYTHON = "/usr/bin/python3"  # the one that Debian's python3-uno belongs to
RUNS = 3
EDITS = {  # what is edited: its sheet, the first words of its column's heading, and a word of its row
    "price": ("Purchases", "Paid", ""),
    "percentage": ("Formulas", "Percent", "line"),
    "hourly rate": ("Settings", "Value", "hourly_rate"),
    "cost basis": ("Settings", "Value", "cost_basis"),
}


def recalculation_times(book: Path) -> dict[str, float]:
    """Return the time that LibreOffice takes for each edit; nothing where it or its Python is missing. [second]"""
    if not shutil.which("soffice") or subprocess.run([PYTHON, "-c", "import uno"], check=False).returncode:
        return {}
    printed = subprocess.run([PYTHON, __file__, str(book)], check=True, stdout=subprocess.PIPE, text=True).stdout
    return dict(json.loads(printed))


@contextmanager
def office() -> Iterator[Any]:
    """Yield the desktop of a LibreOffice of its own."""
    import uno  # type: ignore[import-not-found]  # noqa: PLC0415  # there only in LibreOffice's Python

    with tempfile.TemporaryDirectory() as scratch:
        pipe = f"bench-{Path(scratch).name}"
        command = ["soffice", "--headless", "--norestore", f"--accept=pipe,name={pipe};urp;"]
        started = subprocess.Popen([*command, f"-env:UserInstallation=file://{scratch}"])
        local = uno.getComponentContext()
        resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
        context = _patiently(lambda: resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext"))
        desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
        try:
            yield desktop
        finally:
            desktop.terminate()
            started.wait()


def _patiently(attempt: Any) -> Any:
    for _ in range(120):
        try:
            return attempt()
        except Exception:  # it is still starting; what is raised is no class known here
            time.sleep(0.5)
    raise TimeoutError("LibreOffice did not start")


def _cell(document: Any, sheet: str, heading: str, word: str) -> Any:
    """Return the first cell under a heading that is filled, in a row that holds a word."""
    cells = document.Sheets.getByName(sheet)
    cursor = cells.createCursor()
    cursor.gotoEndOfUsedArea(False)  # noqa: FBT003  # as UNO has it
    last = cursor.RangeAddress
    rows = cells.getCellRangeByPosition(0, 0, last.EndColumn, last.EndRow).DataArray
    top = next(at for at, row in enumerate(rows) if any(str(cell).startswith(heading) for cell in row))
    column = next(at for at, cell in enumerate(rows[top]) if str(cell).startswith(heading))
    row = next(at for at, row in enumerate(rows) if at > top and row[column] != "" and (not word or word in row))
    return cells.getCellByPosition(column, row)


def _time_of_edit(document: Any, cell: Any) -> float:
    """Return the time from an edit to the answer, half of the runs undoing the edit of the run before. [second]"""
    old = cell.String if cell.Type.value == "TEXT" else cell.Value
    new = ("latest" if old != "latest" else "average") if isinstance(old, str) else old * 1.1
    times = []
    for at in range(2 * RUNS):
        value = old if at % 2 else new
        begun = time.perf_counter()
        if isinstance(value, str):
            cell.String = value
        else:
            cell.Value = value
        document.calculate()  # what the edit made stale, and nothing else
        times.append(time.perf_counter() - begun)
    return median(times)


def _measured(book: str) -> dict[str, float]:
    with office() as desktop:
        document = desktop.loadComponentFromURL(Path(book).resolve().as_uri(), "_blank", 0, ())
        times = {name: _time_of_edit(document, _cell(document, *where)) for name, where in EDITS.items()}
        document.close(True)  # noqa: FBT003  # as UNO has it
    return times


if __name__ == "__main__":
    print(json.dumps(_measured(sys.argv[1])))
