"""The long run: ``python -m tests.hostile --count 5000 --seed 1``. Tells what failed, and how often each end came up."""

from __future__ import annotations

import argparse
import faulthandler
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

from tests.hostile.mutations import mutated
from tests.hostile.sources import written_folder
from tests.hostile.verdict import LONGEST, check_carrying, check_commands, verdict


def main() -> int:
    """Break seasons and tell what comes of it; return 1 if anything failed."""
    parser = argparse.ArgumentParser(prog="python -m tests.hostile", description=__doc__)
    parser.add_argument("--count", type=int, default=5000, help="how many seasons to break")
    parser.add_argument("--seed", type=int, default=1, help="another seed breaks them in other ways")
    parser.add_argument("--first", type=int, default=0, help="the number to begin with, to see one failure again")
    chosen = parser.parse_args()
    ends: Counter[str] = Counter()
    begun = time.perf_counter()
    for number in range(chosen.first, chosen.first + chosen.count):
        ends[_tried(chosen.seed, number)] += 1
    told = ", ".join(f"{count} {end}" for end, count in sorted(ends.items()))
    print(f"{chosen.count} broken seasons of seed {chosen.seed}: {told}; {time.perf_counter() - begun:.0f} s")  # noqa: T201
    return 1 if ends["failed"] else 0


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
