"""Try mutants: ``python -m tests.mutants --count 200 --seed 1``. Tells which of them no test notices.

Each is one small change to one place of the program, drawn by lot. The tests see it in a copy of the project. What
survives is a wrong that nothing would notice, or changes nothing; those that change nothing are listed with the reason in
``equivalents.toml``.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from pathlib import Path
from random import Random

import hypothesis  # noqa: F401  # imported here once, so that no trial has to
import openpyxl  # noqa: F401
import pint  # noqa: F401
import pydantic  # noqa: F401

from tests.mutants.equivalents import Equivalent, known
from tests.mutants.places import Mutant, mutants_at, spots_in
from tests.mutants.scope import ROOT, modules
from tests.mutants.touched import Touched
from tests.mutants.trials import Trial, compiled, copied, watched

MANY = {"another text": 0.25, "arguments swapped": 0.25}  # as often as all others together: three of four are passed over


def drawn(count: int, seed: int, only: str = "") -> Iterator[Mutant]:
    """Yield mutants of so many places, each place and each of its changes as likely as the others, but for texts."""
    random = Random(seed)  # noqa: S311  # the same every time is what is wanted
    sources = {path: (ROOT / path).read_text(encoding="utf-8") for path in modules(only=only)}
    places = [(path, number) for path, source in sources.items() for number in range(spots_in(source))]
    random.shuffle(places)
    for path, number in places:
        found = mutants_at(path, sources[path], number) if count else []
        mutant = random.choice(found) if found else None
        if mutant and random.random() < MANY.get(mutant.sort, 1):
            count -= 1
            yield mutant


def main() -> int:
    """Draw mutants and try them; return 1 if any survives that is not known to be equivalent."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--count", type=int, default=200, help="how many to try")
    parser.add_argument("--seed", type=int, default=1, help="another seed draws others")
    parser.add_argument("--first", type=int, default=0, help="the number to begin with, to go on where a run ended")
    parser.add_argument("--only", default="", help="try modules only whose path holds this")
    parser.add_argument("--workers", type=int, default=1, help="how many to try at a time")
    parser.add_argument("--touched", type=Path, help="keep there what each test touches, or take it from there")
    parser.add_argument("--list", action="store_true", help="tell the mutants and try none")
    chosen = parser.parse_args()
    mutants = list(drawn(chosen.first + chosen.count, chosen.seed, chosen.only))[chosen.first :]
    if chosen.list:
        print(*(mutant.told() for mutant in mutants), sep="\n")  # noqa: T201
        return 0
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        project = copied(Path(folder) / "project")  # at once, so that work that goes on does not mix with the mutants
        survivors = _tried(mutants, project, chosen)
    return 1 if survivors else 0


def _tried(mutants: list[Mutant], project: Path, chosen: argparse.Namespace) -> list[Mutant]:
    begun = time.perf_counter()
    touched = _touched(project, chosen.touched)
    print(f"{len(touched.seconds)} tests, {sum(touched.seconds.values()):.0f} s with nothing changed", flush=True)  # noqa: T201
    for test in touched.failing:
        print(f"left out, since it fails with nothing changed: {test}")  # noqa: T201
    listed = known()
    killed, equivalent, survivors = 0, [], []
    for mutant, killer in _met(mutants, project, touched, chosen.workers):
        entry = next((entry for entry in listed if entry.is_of(mutant)), None)
        if killer:
            killed += 1
            word = f"killed {killer}" if killer.startswith(("at", "by")) else f"killed by {killer}"
            word += "; yet it is listed as equivalent" if entry else ""
        elif entry:
            equivalent.append(entry)
            word = f"equivalent: {entry.why}"
        else:
            survivors.append(mutant)
            word = "SURVIVED"
        print(f"{mutant.told()}\n  {word}", flush=True)  # noqa: T201
    _summed_up(killed, equivalent, survivors, chosen, time.perf_counter() - begun)
    return survivors


def _summed_up(
    killed: int, equivalent: list[Equivalent], survivors: list[Mutant], chosen: argparse.Namespace, seconds: float
) -> None:
    if survivors:
        print("\nSurvivors:", *(mutant.told() for mutant in survivors), sep="\n")  # noqa: T201
    counted = killed + len(survivors)
    print(  # noqa: T201
        f"\n{counted + len(equivalent)} tried of seed {chosen.seed}: {killed} killed, {len(survivors)} survived, "
        f"{len(equivalent)} equivalent; {killed / max(counted, 1):.1%} of {counted} killed; {seconds:.0f} s"
    )


def _touched(project: Path, kept: Path | None) -> Touched:
    if kept and kept.exists():
        return Touched.read(kept)
    touched = watched(project)
    if kept:
        touched.write(kept)
    return touched


_trial: list[Trial] = []


def _begin(project: Path, touched: Touched) -> None:
    place = Path(tempfile.mkdtemp(dir=project.parent))
    shutil.copytree(project, place, dirs_exist_ok=True)
    _trial[:] = [Trial(place, compiled(place, touched))]


def _meet(mutant: Mutant) -> str:
    return _trial[0].killer(mutant)


def _met(mutants: list[Mutant], project: Path, touched: Touched, workers: int) -> Iterator[tuple[Mutant, str]]:
    """Yield each mutant with its killer, as they come."""
    with ProcessPoolExecutor(workers, get_context("fork"), _begin, (project, touched)) as pool:
        waiting = {pool.submit(_meet, mutant): mutant for mutant in mutants}
        for done in as_completed(waiting):
            yield waiting[done], done.result()


if __name__ == "__main__":
    sys.exit(main())
