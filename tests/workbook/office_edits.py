"""Edits made one by one in a workbook that LibreOffice has open, each taken back after what follows from it was read.

``edits_made`` starts the rest in the Python that LibreOffice speaks to (Debian's package python3-uno), in a process of
its own.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

Place = tuple[str, int, int]  # sheet, row and column, counted from 1
PYTHON = "/usr/bin/python3"  # the one that Debian's python3-uno belongs to
MOVE = "move"  # in place of an edit's cells: a sheet, and the rows from and to which its first so many cells are cut


def _needed() -> None:
    """See that there is a Python that LibreOffice speaks to: in CI there must be, on a maker's machine tests are skipped."""
    import pytest  # noqa: PLC0415  # not there in that Python itself

    from tests.workbook.libreoffice import soffice  # noqa: PLC0415  # nor is what this needs

    soffice()
    asked = [PYTHON, "-c", "import uno"]
    if Path(PYTHON).exists() and not subprocess.run(asked, check=False, capture_output=True).returncode:
        return
    if os.environ.get("CI"):
        pytest.fail("LibreOffice cannot be typed into in CI: install python3-uno")
    pytest.skip("python3-uno is not installed: nothing is typed into LibreOffice")


def edits_made(
    book: Path,
    edits: Sequence[Mapping[Place, Any]],
    read: Sequence[Place],
    folder: Path,
    move: tuple[str, int, int, int] | None = None,
) -> tuple[list[Any], list[list[Any]]]:
    """Return what some cells come to as the workbook stands, after each edit, and after cells were cut and put elsewhere."""
    _needed()
    given = folder / "edits.json"
    listed = [[[*place, value] for place, value in edit.items()] for edit in edits]
    given.write_text(json.dumps({"edits": listed, MOVE: move, "read": read}), encoding="utf-8")
    root = Path(__file__).parents[2]
    command = [PYTHON, "-m", "tests.workbook.office_edits", str(book), str(given)]
    printed = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True, cwd=root, timeout=600).stdout
    before, *after = json.loads(printed)
    return before, after


def _cell(document: Any, sheet: str, row: int, column: int) -> Any:
    return document.Sheets.getByName(sheet).getCellByPosition(column - 1, row - 1)


def _write(cell: Any, value: Any) -> None:
    if isinstance(value, str) and value.startswith("="):
        cell.Formula = value
    elif value is None or isinstance(value, str):
        cell.String = value or ""
    else:
        cell.Value = value


def _content(cell: Any) -> Any:
    kind = cell.Type.value
    return {"EMPTY": None, "VALUE": cell.Value, "TEXT": cell.String}.get(kind, cell.Formula)


def _read(document: Any, places: Sequence[Place]) -> list[Any]:
    document.calculate()  # what an edit made stale, and nothing else
    found: dict[Place, Any] = {}
    for sheet in {sheet for sheet, _, _ in places}:
        found |= _block(document, sheet, [place for place in places if place[0] == sheet])
    return [found[sheet, row, column] for sheet, row, column in places]


def _block(document: Any, sheet: str, places: Sequence[Place]) -> dict[Place, Any]:
    """Return what stands in cells of one sheet, asked for in one go: each question alone is a message to LibreOffice."""
    rows, columns = [row for _, row, _ in places], [column for _, _, column in places]
    top, left = min(rows), min(columns)
    box = document.Sheets.getByName(sheet).getCellRangeByPosition(left - 1, top - 1, max(columns) - 1, max(rows) - 1)
    values = box.getDataArray()
    found = {(sheet, row, column): values[row - top][column - left] for _, row, column in places}
    return {place: _error(document, place) if value is None else value for place, value in found.items()}


def _error(document: Any, place: Place) -> str:
    return f"#{_cell(document, *place).getError()}"


def _cut(document: Any, sheet: str, source: int, target: int, width: int) -> None:
    page = document.Sheets.getByName(sheet)
    cut = page.getCellRangeByPosition(0, source - 1, width - 1, source - 1).RangeAddress
    page.moveRange(page.getCellByPosition(0, target - 1).CellAddress, cut)


def _made(document: Any, given: Any) -> list[list[Any]]:
    found = [_read(document, given["read"])]
    for edit in given["edits"]:
        cells = [(_cell(document, *place), value) for *place, value in edit]
        before = [(cell, _content(cell)) for cell, _ in cells]
        for cell, value in cells:
            _write(cell, value)
        found.append(_read(document, given["read"]))
        for cell, value in before:
            _write(cell, value)
    if given[MOVE]:
        _cut(document, *given[MOVE])
        found.append(_read(document, given["read"]))
    return found


def _main(book: str, edits: str) -> None:
    from tests.bench.recalculating import office  # noqa: PLC0415  # there, as here, without what only tests need

    with office() as desktop:
        document = desktop.loadComponentFromURL(Path(book).resolve().as_uri(), "_blank", 0, ())
        sys.stdout.write(json.dumps(_made(document, json.loads(Path(edits).read_text(encoding="utf-8")))))
        document.close(True)  # noqa: FBT003  # as UNO has it


if __name__ == "__main__":
    _main(*sys.argv[1:])
