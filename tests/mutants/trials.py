"""A mutant meets the tests: in a copy of the project, in a process of its own, until the first test fails."""

from __future__ import annotations

import ast
import json
import os
import resource
import shutil
import signal
import sys
import time
from collections import Counter
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests.mutants.places import Mutant, written
from tests.mutants.scope import ROOT, modules
from tests.mutants.touched import Touched, Watcher

# What is tried on a mutant: the quick tests that touch its function; then, if it is still alive, the laws of its subject,
# and where seasons come in and go out the round trips. Left out are those of the terminal, those that need a spreadsheet
# program or minutes, and those that say that something changed without saying what is right: more survive here, never fewer.
LEFT_OUT = ("test_docs.py", "test_rules.py", "test_saving.py")
QUICK = (
    "published",
    "doubts",
    *sorted(path.name for path in (ROOT / "tests").glob("test_*.py") if path.name not in LEFT_OUT),
)
QUICK_PATHS = (*(f"tests/{name}" for name in QUICK), "costing")
SLOW = {
    "tables/": ("laws/test_measures.py", "laws/test_costs.py", "laws/test_definitions.py"),
    "tables/equations": ("laws/test_prices.py", "laws/test_ladder.py", "laws/test_lye.py", "laws/test_scales.py"),
    "tables/buying/": ("laws/test_stock.py",),
    "tables/making/": ("laws/test_lye.py", "laws/test_contents.py", "laws/test_scales.py"),
    "tables/scales/": ("laws/test_scales.py",),
    "tables/selling/": ("laws/test_prices.py", "laws/test_ladder.py"),
    "tables/deciding/": ("laws/test_contents.py",),
    "tables/whole/": ("laws/test_totals.py", "laws/test_prices.py", "laws/test_compare.py"),
    "engine/": ("laws/test_costs.py", "laws/test_stock.py", "laws/test_definitions.py"),
    "season/": ("laws/test_lye.py",),
    "records/": ("laws/test_renaming.py", "roundtrip/test_round_trip.py"),
    "folder/": ("roundtrip/test_round_trip.py",),
    "workbook/": ("roundtrip/test_round_trip.py", "roundtrip/test_makers_session.py"),
    "exchange/": ("roundtrip/test_carry.py",),
}
OPTIONS = (
    "-o", "addopts=", "-q", "--import-mode=importlib", "--doctest-modules", "-p", "no:cacheprovider", "-p", "no:xdist",
    "-W", "ignore::pytest.PytestAssertRewriteWarning", "-k", "not little_time",  # by the clock
)  # fmt: skip
OURS = ("costing", "catalogues", "tests")
MEMORY = 4 * 2**30  # bytes that a mutant may take
PATIENCE = 60.0  # seconds beyond five times what the longest of its tests took; where none ends for so long, it hangs
LONGEST = 1800.0  # seconds for laws and round trips
FIRST_TESTS = 60  # are tried before the others are even collected
PASSED, SOME_FAILED, NOTHING_TO_RUN = 0, 1, 5  # exit codes of pytest


def copied(place: Path) -> Path:
    """Copy the project, with the modules to be tried written from their syntax trees, as mutants are."""
    ignored = shutil.ignore_patterns("__pycache__", ".git", ".venv", ".*_cache", ".hypothesis", "*.xlsx")
    shutil.copytree(ROOT, place, ignore=ignored, dirs_exist_ok=True)
    for path in modules():
        (place / path).write_text(written(ast.parse((ROOT / path).read_text(encoding="utf-8"))), encoding="utf-8")
    return place


def watched(place: Path) -> Touched:
    """Run the quick tests once with nothing changed, and return what each touches; those that fail are told and left out.

    Raises
    ------
    RuntimeError
        When they cannot be run at all: then no mutant could be judged.

    """
    kept = place / "touched.json"

    def watch() -> int:
        watcher = Watcher(place)
        code = pytest.main([*OPTIONS, *QUICK_PATHS], plugins=[watcher])
        watcher.touched().write(kept)
        return int(code)

    told = place / "watched.txt"
    if _alone(place, watch, told, 3600.0, write_bytecode=True) not in (PASSED, SOME_FAILED):
        raise RuntimeError(f"the tests cannot be run with nothing changed: {told.read_text(encoding='utf-8')[-3000:]}")
    return Touched.read(kept)


def compiled(place: Path, touched: Touched) -> Touched:
    """Have all modules of the copy compiled once, so that each trial compiles the mutant alone.

    Quick tests that were not there yet when it was noted what they touch are taken to touch everything.
    """
    kept = place / "collected.json"

    def collect() -> int:
        chosen = Chosen(None)
        code = int(
            pytest.main([*OPTIONS, "--collect-only", *QUICK_PATHS, "tests/laws", "tests/roundtrip"], plugins=[chosen])
        )
        kept.write_text(json.dumps(chosen.collected), encoding="utf-8")
        return code

    _alone(place, collect, place / "compiled.txt", 900.0, write_bytecode=True)
    found: list[str] = json.loads(kept.read_text(encoding="utf-8"))
    return touched.with_new([test for test in found if not test.startswith(("tests/laws/", "tests/roundtrip/"))])


@dataclass(eq=False)  # plugins are told apart by identity
class Chosen:
    """A plugin of pytest that runs some tests in the order wanted, or all but some, and notes the first that fails."""

    tests: Sequence[str] | None
    left_out: Sequence[str] = ()
    failed: str = ""
    collected: list[str] = field(default_factory=list)

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Keep the tests chosen."""
        self.collected = [item.nodeid for item in items]
        if self.tests is not None:
            order = {test: at for at, test in enumerate(self.tests)}
            items[:] = sorted((item for item in items if item.nodeid in order), key=lambda item: order[item.nodeid])
        items[:] = [item for item in items if item.nodeid not in self.left_out]

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note a test that fails."""
        if report.failed:
            self.failed = self.failed or report.nodeid


@dataclass
class Trial:
    """One copy of the project, in which one mutant after the other is tried."""

    place: Path
    touched: Touched
    kills: Counter[str] = field(default_factory=Counter)
    sound: set[str] = field(default_factory=set)  # tests that were seen to pass with nothing changed

    def killer(self, mutant: Mutant) -> str:
        """Return the test that notices a mutant first, or what else becomes of it; nothing where it survives.

        A test that fails with nothing changed notices nothing: the others are asked again without it.
        """
        while not self._is_sound(found := self._first_killer(mutant)):
            self.touched.failing.append(found)
        self.kills[found] += 1
        return found

    def _is_sound(self, test: str) -> bool:
        """Tell whether a test passes with nothing changed; what is no test, such as hanging, is taken as it is."""
        file, colons, _ = test.partition("::")
        if colons and test not in self.sound and not self._meets([file], Chosen([test]), LONGEST):
            self.sound.add(test)
        return not colons or test in self.sound

    def _first_killer(self, mutant: Mutant) -> str:
        target = self.place / mutant.path
        as_it_was, when = target.read_bytes(), target.stat().st_mtime
        target.write_text(mutant.module, encoding="utf-8")
        os.utime(target, (when + 1000 + sum(self.kills.values()),) * 2)  # else its compiled form would be taken for the same
        try:
            tests = sorted(self.touched.of(mutant.path.as_posix(), mutant.within), key=self._dearness)
            found = self._tried(tests[:FIRST_TESTS]) or self._tried(tests[FIRST_TESTS:]) or self._slowly(mutant)
        finally:
            target.write_bytes(as_it_was)
            os.utime(target, (when, when))
        return found

    def _dearness(self, test: str) -> tuple[float, str]:
        """Return what orders the tests: quick ones first, and those that have noticed much."""
        return (self.touched.seconds[test] + 0.02) / (1 + self.kills[test]), test

    def _tried(self, tests: Sequence[str]) -> str:
        """Return which of some tests fails first, or nothing."""
        if not tests:
            return ""
        files = sorted({test.partition("::")[0] for test in tests})
        return self._meets(files, Chosen(tests), PATIENCE + 5 * max(self.touched.seconds[test] for test in tests))

    def _slowly(self, mutant: Mutant) -> str:
        """Return which of the laws and round trips fails first, or nothing."""
        where = mutant.path.as_posix().removeprefix("costing/")
        slow = [f"tests/{file}" for part, files in SLOW.items() if where.startswith(part) for file in files]
        return self._meets(slow, Chosen(None, self.touched.failing), LONGEST) if slow else ""

    def _meets(self, files: Sequence[str], chosen: Chosen, longest: float) -> str:
        def meet() -> int:
            code = int(pytest.main([*OPTIONS, "-x", *files], plugins=[chosen]))
            told.write_text(chosen.failed or "at its import", encoding="utf-8")
            return code

        told = self.place / "killer.txt"
        told.write_text("by a crash", encoding="utf-8")
        code = _alone(self.place, meet, self.place / "trial.txt", longest)
        if code in (PASSED, NOTHING_TO_RUN):
            return ""
        return "by its hanging" if code is None else told.read_text(encoding="utf-8")


def _alone(place: Path, work: object, told: Path, longest: float, *, write_bytecode: bool = False) -> int | None:
    """Do something in a process of its own that sees the copy only; return its exit code, or None where it hangs.

    It does where nothing is told for longer than ``longest``: with each test that ends, a dot is.
    """
    assert callable(work)
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        code = 3
        with suppress(BaseException):
            _enter(place, told, write_bytecode=write_bytecode)
            code = work()
        os._exit(code)
    ends, size = time.monotonic() + longest, 0
    while time.monotonic() < ends:
        if told.exists() and told.stat().st_size != size:
            ends, size = time.monotonic() + longest, told.stat().st_size
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        time.sleep(0.02)
    with suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return None


def _enter(place: Path, told: Path, *, write_bytecode: bool) -> None:
    """Make this process one that knows only the copy of the project."""
    os.setsid()
    with told.open("wb") as file:
        os.dup2(file.fileno(), 1)
        os.dup2(file.fileno(), 2)
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    os.chdir(place)
    for name in [name for name in sys.modules if name.partition(".")[0] in OURS]:
        del sys.modules[name]
    sys.path[:] = [str(place), *(entry for entry in sys.path if Path(entry or ".").resolve() not in (ROOT, place))]
    sys.dont_write_bytecode = not write_bytecode
    os.environ |= {"HYPOTHESIS_PROFILE": "short", "PYTHONDONTWRITEBYTECODE": "" if write_bytecode else "1"}
