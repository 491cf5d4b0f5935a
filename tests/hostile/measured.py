"""Reading a season in a process of its own, to tell what it cost."""

from __future__ import annotations

import contextlib
import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
CODE = """
import json, resource, sys, time
import costing
from costing.workbook.read.opened_book import Book
begun = time.process_time()
try:
    costing.read_season(sys.argv[1])
    told = ""
except costing.CostingError as error:
    told = str(error)
took = time.process_time() - begun
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)
try:
    with open("/proc/self/status") as status:  # ru_maxrss counts what the program that started this one held
        peak = next(int(line.split()[1]) / 1e3 for line in status if line.startswith("VmHWM"))
except OSError:
    pass
print(json.dumps([told, took, peak]))
"""


@dataclass(frozen=True)
class Measured:
    """What reading a season came to."""

    told: str  # the message; nothing where it could be read
    seconds: float  # of the processor, start-up not counted
    megabytes: float  # at most, the program itself counted


def peak_anew() -> None:
    """Have the largest memory of this process counted from now on, where a system can."""
    with contextlib.suppress(OSError):
        Path("/proc/self/clear_refs").write_text("5", encoding="ascii")


def peak_megabytes() -> float:
    """Return how much memory this process has held at most since then, where a system tells."""
    with contextlib.suppress(OSError):
        status = Path("/proc/self/status").read_text(encoding="utf-8")
        return next(int(line.split()[1]) / 1e3 for line in status.splitlines() if line.startswith("VmHWM"))
    return 0.0


def measured(path: Path) -> Measured:
    """Read a season and return what that came to."""
    done = subprocess.run(
        [sys.executable, "-c", CODE, str(path)], cwd=ROOT, check=True, capture_output=True, text=True, timeout=60
    )
    return Measured(*json.loads(done.stdout))
