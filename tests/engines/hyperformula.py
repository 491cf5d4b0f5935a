"""HyperFormula (npm, 3.5.0, GPL-3.0), fetched when the tests run and started by node; none of it is kept here or shipped."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NoReturn

import pytest

from tests.engines.sheets import Place, Sheets, typed_in

PACKAGE = "hyperformula@3.5.0"
SCRIPT = Path(__file__).with_name("hyperformula.mjs")
SCRIPT_OF_EDITS = Path(__file__).with_name("hyperformula_edits.mjs")
CIRCLE = "#CYCLE!"


def fetched(folder: Path) -> Path:
    """Fetch the package into a folder and return its module; in CI it must be there, elsewhere its tests are skipped."""
    if not (shutil.which("npm") and shutil.which("node")):
        _missing("node and npm are not installed")
    command = ["npm", "install", "--prefix", str(folder), "--no-audit", "--no-fund", "--ignore-scripts", PACKAGE]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        _missing(f"npm cannot fetch {PACKAGE} ({' '.join(done.stderr.split())[:200]})")
    return folder / "node_modules/hyperformula/commonjs/index.js"


def _missing(why: str) -> NoReturn:
    if os.environ.get("CI"):
        pytest.fail(f"{why}; in CI HyperFormula must be there: install nodejs and npm")
    pytest.skip(f"{why}: the workbook is not worked out by HyperFormula")


def worked_out(sheets: Sheets, module: Path, folder: Path) -> dict[Place, Any]:
    """Return what HyperFormula works out for each cell. The folder holds what is passed over and back."""
    given, found = folder / "given.json", folder / "found.json"
    given.write_text(json.dumps({"sheets": sheets.rows(), "names": sheets.names}), encoding="utf-8")
    subprocess.run(["node", str(SCRIPT), str(module), str(given), str(found)], check=True, capture_output=True, timeout=300)
    return {
        (sheet, row, column): value
        for sheet, rows in json.loads(found.read_text(encoding="utf-8")).items()
        for row, cells in enumerate(rows, start=1)
        for column, value in enumerate(cells, start=1)
    }


def after_edits(
    sheets: Sheets, edits: Sequence[Mapping[Place, Any]], read: Sequence[Place], module: Path, folder: Path
) -> tuple[list[Any], list[list[Any]]]:
    """Return what some cells come to as the workbook stands, and after each of many edits, each made alone."""
    given, found = folder / "edits.json", folder / "after.json"
    listed = [[[*place, typed_in(value)] for place, value in edit.items()] for edit in edits]
    passed = {"sheets": sheets.rows(), "names": sheets.names, "read": read, "edits": listed}
    given.write_text(json.dumps(passed), encoding="utf-8")
    command = ["node", str(SCRIPT_OF_EDITS), str(module), str(given), str(found)]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    results = json.loads(found.read_text(encoding="utf-8"))
    return results["before"], results["after"]
