"""Measure the export and the start-up, in one run: ``python -m tests.bench`` (add ``--small`` to leave out 100-fold)."""

from __future__ import annotations

import io
import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

from openpyxl import Workbook, load_workbook

from tests.bench.manyfold import manyfold

SAMPLE = Path(__file__).parents[2] / "sample"


def timed(work: Callable[[], object], runs: int = 1) -> float:
    """Return the median time of some runs. [second]"""
    times = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return median(times)


def export_time(folder: Path, target: Path) -> tuple[float, float]:
    """Return time [second] and peak memory [MB] of reading, costing and exporting a season, in a process of its own."""
    code = (
        "import json, resource, sys, time\n"
        "import costing, costing.workbook.write.book\n"
        "begun = time.perf_counter()\n"
        "costing.export(costing.cost(costing.read_season(sys.argv[1])), sys.argv[2], replace=True)\n"
        "took = time.perf_counter() - begun\n"
        "print(json.dumps([took, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024]))\n"
    )
    command = [sys.executable, "-c", code, str(folder), str(target)]
    printed = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    took, peak = json.loads(printed)
    return took, peak


def bare_time(book: Path) -> tuple[float, int]:
    """Return the time [second] that openpyxl alone needs to write the same cells, and how many they are."""
    loaded = load_workbook(book)
    cells = [(sheet.title, [[cell.value for cell in row] for row in sheet.iter_rows()]) for sheet in loaded]
    count = sum(1 for _, rows in cells for row in rows for value in row if value is not None)

    def write() -> None:
        fresh: Any = Workbook()
        for title, rows in cells:
            sheet = fresh.create_sheet(title)
            for row in rows:
                sheet.append(row)
        fresh.save(io.BytesIO())

    return timed(write), count


def help_times(runs: int = 15) -> tuple[float, float]:
    """Return the times of ``costing --help`` and of importing click alone. [second]"""
    script = str(Path(sys.executable).with_name("costing"))

    def run(*command: str) -> Callable[[], object]:
        return lambda: subprocess.run(command, check=True, capture_output=True)

    return timed(run(script, "--help"), runs), timed(run(sys.executable, "-c", "import click"), runs)


def main() -> None:
    """Print all measurements."""
    folds = (1, 10) if "--small" in sys.argv else (1, 10, 100)
    with tempfile.TemporaryDirectory() as scratch:
        taken: dict[int, float] = {}
        for fold in folds:
            folder, target = Path(scratch) / f"season-{fold}", Path(scratch) / f"{fold}.xlsx"
            manyfold(SAMPLE, folder, fold)
            taken[fold], peak = export_time(folder, target)
            bare, count = bare_time(target)
            print(
                f"{fold:>4}-fold sample: export {taken[fold]:6.2f} s, peak {peak:5.0f} MB, {count:,} cells; "
                f"bare openpyxl {bare:6.2f} s; ratio {taken[fold] / bare:.2f}"
            )
        if 100 in taken:
            print(f"growth from 10-fold to 100-fold: {taken[100] / taken[10]:.1f} times")
    ours, click = help_times()
    print(f"costing --help {ours * 1000:.0f} ms, import click {click * 1000:.0f} ms; ratio {ours / click:.2f}")
    print(f"this process peaked at {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
