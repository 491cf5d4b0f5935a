"""Time and memory as seasons grow: ``python -m tests.bench.growing`` (``--small``: up to 1,000 rows instead of 10,000).

Of purchases, items, formulas and layers of formulas there are more and more, everything else stays small. Each season is
costed in a process of its own. The growth printed is the slope between two sizes on logarithmic scales: 1 is in proportion,
and from 1,000 to 10,000 rows n log n has 1.12.
"""

from __future__ import annotations

import json
import math
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from tests.hostile.small_season import Table, small_tables, write_tables

SIZES = (100, 1_000, 10_000)
CODE = """
import json, sys, time
import costing
begun = time.process_time()
costing.cost(costing.read_season(sys.argv[1])).cautions
took = time.process_time() - begun
peak = next(int(line.split()[1]) / 1e3 for line in open("/proc/self/status") if line.startswith("VmHWM"))
print(json.dumps([took, peak]))
"""


def purchases(count: int) -> dict[str, Table]:
    """Return a season with many purchases of one thing."""
    tables = small_tables()
    days = [f"{2021 + at % 5}-{at % 12 + 1:02}-{at % 28 + 1:02}" for at in range(count)]
    tables["purchases"] += [[day, "Quayside", str(at), "Oil", "1", "kg", f"{5 + at % 7}"] for at, day in enumerate(days)]
    return tables


def items(count: int) -> dict[str, Table]:
    """Return a season in which many things are bought, each once."""
    tables = small_tables()
    tables["purchases"] += [["2026-10-02", "Quayside", "2", f"Thing {at} x", "1", "kg", "5"] for at in range(count)]
    return tables


def formulas(count: int) -> dict[str, Table]:
    """Return a season of many formulas, side by side."""
    tables = small_tables()
    tables["formulas"] += [[f"Mix {at} x"] for at in range(count)]
    tables["lines"] += [[f"Mix {at} x", "mix", "Oil", "100"] for at in range(count)]
    return tables


def layers(count: int) -> dict[str, Table]:
    """Return a season of formulas that are each made from the one before."""
    tables = formulas(count)
    tables["lines"][2:] = [[f"Mix {at} x", "mix", f"Mix {at - 1} x" if at else "Oil", "100"] for at in range(count)]
    tables["products"][1][1] = f"Mix {count - 1} x"
    return tables


GROWING: dict[str, Callable[[int], dict[str, Table]]] = {
    "purchases of one item": purchases,
    "items": items,
    "formulas": formulas,
    "layers of formulas": layers,
}


def taken(folder: Path) -> tuple[float, float]:
    """Return the time [second] and peak memory [MB] of costing a season."""
    done = subprocess.run([sys.executable, "-c", CODE, str(folder)], check=True, capture_output=True, text=True)
    took, peak = json.loads(done.stdout)
    return took, peak


def main() -> None:
    """Print a table of time, memory and growth for each kind of season."""
    sizes = SIZES[:2] if "--small" in sys.argv else SIZES
    for name, grown in GROWING.items():
        before: tuple[int, float] | None = None
        for size in sizes:
            with tempfile.TemporaryDirectory() as scratch:
                took, peak = taken(write_tables(grown(size), Path(scratch) / "season"))
            slope = math.log(took / before[1]) / math.log(size / before[0]) if before else math.nan
            print(
                f"{name:<22} {size:>7,} {took:>8.2f} s {peak:>6.0f} MB" + (f"  growth {slope:.2f}" if before else ""),
                flush=True,
            )
            before = size, took


if __name__ == "__main__":
    main()
