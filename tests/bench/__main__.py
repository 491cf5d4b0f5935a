"""Measure export, start-up and recalculation in one run: ``python -m tests.bench`` (``--small``: no 100-fold)."""

from __future__ import annotations

import io
import json
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

from openpyxl import Workbook, load_workbook

from tests.bench.manyfold import manyfold
from tests.bench.recalculating import recalculation_times

SAMPLE = Path(__file__).parents[2] / "sample"


def timed(work: Callable[[], object], runs: int = 1) -> float:
    """Return the median processor time of some runs, their child processes in it. [second]

    Not the time on the clock: that grows with whatever else the machine does.
    """
    times = []
    for _ in range(runs):
        begun = _processor_time()
        work()
        times.append(_processor_time() - begun)
    return median(times)


def _processor_time() -> float:
    used = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(each.ru_utime + each.ru_stime for each in used)


def export_time(folder: Path, target: Path) -> tuple[float, float]:
    """Return time [second] and peak memory [MB] of reading, costing and exporting a season, in a process of its own."""
    code = (
        "import json, resource, sys, time\n"
        "import costing, costing.exchange.season_files, costing.season.working_out\n"
        "begun = time.process_time()\n"
        "costing.export(costing.cost(costing.read_season(sys.argv[1])), sys.argv[2], replace=True)\n"
        "took = time.process_time() - begun\n"
        "print(json.dumps([took, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024]))\n"
    )
    target.unlink(missing_ok=True)  # what is written over would be read first
    command = [sys.executable, "-c", code, str(folder), str(target)]
    printed = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    took, peak = json.loads(printed)
    return took, peak


def bare_time(book: Path, runs: int) -> tuple[float, int]:
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

    return timed(write, runs), count


def command_time(*command: str, runs: int = 15) -> float:
    """Return the time of a command of Python's. [second]"""
    return timed(lambda: subprocess.run([sys.executable, *command], check=True, capture_output=True), runs)


def start_up() -> None:
    """Print the times of the commands that a maker waits for."""
    ours, click = command_time("-m", "costing", "--help"), command_time("-c", "import click")
    print(f"costing --help {ours * 1000:.0f} ms, import click {click * 1000:.0f} ms; ratio {ours / click:.2f}")
    for command in ("check", "show"):
        print(f"costing {command} sample {command_time('-m', 'costing', command, str(SAMPLE), runs=5):.2f} s")


def recalculation(book: Path, fold: int) -> dict[str, float]:
    """Print how long LibreOffice takes for each edit, and return it; nothing where it is not there."""
    times = recalculation_times(book)
    told = ", ".join(f"{edit} {took:.2f} s" for edit, took in times.items()) or "nothing: it or python3-uno is missing"
    print(f"{fold:>4}-fold sample: LibreOffice after an edited {told}")
    return times


def main() -> None:
    """Print all measurements."""
    folds = (1, 10) if "--small" in sys.argv else (1, 10, 100)
    with tempfile.TemporaryDirectory() as scratch:
        taken: dict[int, float] = {}
        waited: dict[int, dict[str, float]] = {}
        for fold in folds:
            folder, target = Path(scratch) / f"season-{fold}", Path(scratch) / f"{fold}.xlsx"
            manyfold(SAMPLE, folder, fold)
            runs = [export_time(folder, target) for _ in range(5 if fold == 1 else 1)]
            taken[fold], peak = median(took for took, _ in runs), max(peak for _, peak in runs)
            bare, count = bare_time(target, 5 if fold == 1 else 1)
            print(
                f"{fold:>4}-fold sample: export {taken[fold]:6.2f} s, peak {peak:5.0f} MB, {count:,} cells; "
                f"bare openpyxl {bare:6.2f} s; ratio {taken[fold] / bare:.2f}"
            )
            if fold <= 10:
                waited[fold] = recalculation(target, fold)
        for edit, took in waited[10].items():
            print(f"LibreOffice after an edited {edit}: from the sample to 10-fold {took / waited[1][edit]:.1f} times")
        if 100 in taken:
            print(f"growth from 10-fold to 100-fold: {taken[100] / taken[10]:.1f} times")
    start_up()
    print(f"this process peaked at {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
