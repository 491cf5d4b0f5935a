"""The long run: ``python -m tests.hostile --count 5000 --seed 1``. Tells what failed, each end's number, and the worst."""

from __future__ import annotations

import argparse
import faulthandler
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from itertools import count, islice
from pathlib import Path

from tests.hostile.measured import peak_anew, peak_megabytes
from tests.hostile.mutations import is_folder, mutated
from tests.hostile.sources import written_folder
from tests.hostile.verdict import LONGEST, check_carrying, check_commands, verdict


def main() -> int:
    """Break seasons and tell what comes of it; return 1 if anything failed."""
    parser = argparse.ArgumentParser(prog="python -m tests.hostile", description=__doc__)
    parser.add_argument("--count", type=int, default=5000, help="how many seasons to break")
    parser.add_argument("--seed", type=int, default=1, help="another seed breaks them in other ways")
    parser.add_argument("--first", type=int, default=0, help="the number to begin with, to see one failure again")
    parser.add_argument("--only", choices=("folders", "workbooks"), help="pass over those of the other kind, uncounted")
    chosen = parser.parse_args()
    ends: Counter[str] = Counter()
    slowest = largest = (0.0, 0)
    begun = time.perf_counter()
    for number in islice(_numbers(chosen.first, chosen.only), chosen.count):
        peak_anew()
        before = time.process_time()
        ends[_tried(chosen.seed, number)] += 1
        slowest = max(slowest, (time.process_time() - before, number))
        largest = max(largest, (peak_megabytes(), number))
    told = ", ".join(f"{times} {end}" for end, times in sorted(ends.items()))
    print(  # noqa: T201
        f"{chosen.count} broken {chosen.only or 'seasons'} of seed {chosen.seed}: {told}; "
        f"{time.perf_counter() - begun:.0f} s; all that was done with one took up to {slowest[0]:.1f} s of the processor "
        f"(number {slowest[1]}) and {largest[0]:.0f} MB (number {largest[1]})"
    )
    return 1 if ends["failed"] else 0


def _numbers(first: int, only: str | None) -> Iterator[int]:
    return (number for number in count(first) if only is None or is_folder(number) == (only == "folders"))


def _tried(seed: int, number: int) -> str:
    broken = mutated(seed, number)
    faulthandler.dump_traceback_later(8 * LONGEST, exit=True)  # a hang ends the run, and tells where it hung
    try:
        with tempfile.TemporaryDirectory() as place:
            return tried(broken.write(Path(place)), number)
    except Exception:  # whatever it is, it should not have come out
        last = traceback.format_exc().strip().splitlines()
        print(f"seed {seed} number {number}: {'; '.join(broken.told)}", *last[-7:], sep="\n    ", flush=True)  # noqa: T201
        return "failed"
    finally:
        faulthandler.cancel_dump_traceback_later()


def tried(path: Path, number: int) -> str:
    """Return what becomes of a broken season; of some also see what each command does, and what would be carried."""
    found = verdict(path, workbook=number % 5 == 0)
    if number % 7 == 0:
        check_commands(path, found)
    if path.is_file() and number % 3 == 0:
        with tempfile.TemporaryDirectory() as other:
            check_carrying(path, written_folder(Path(other)))
    return found


if __name__ == "__main__":
    sys.exit(main())
