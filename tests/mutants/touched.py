"""Which tests enter which function, and how long each takes: seen once, so that a mutant meets only tests that can tell."""

from __future__ import annotations

import json
import sys
import time
from collections import defaultdict
from collections.abc import Generator, Iterable, Sequence
from cProfile import Profile
from dataclasses import dataclass, field
from pathlib import Path
from types import CodeType
from typing import Any

import pytest

UNKNOWN = 0.1  # seconds that a test is taken to need that was not watched
Entered = set[tuple[str, str]]  # path below the root, qualified name


@dataclass
class Touched:
    """What was seen: the tests that enter a function, and the seconds that each takes."""

    seconds: dict[str, float]
    tests: dict[str, dict[str, list[str]]]  # by path, then by qualified name
    new: list[str] = field(default_factory=list)  # of which it is not known yet what they touch
    failing: list[str] = field(default_factory=list)  # with nothing changed, and so able to tell nothing

    def of(self, path: str, within: str) -> list[str]:
        """Return the tests that may notice a change, the quickest first: all, where it is done when a module is loaded."""
        chosen: Iterable[str] = self.tests.get(path, {}).get(within) or self.seconds
        there = {test for test in chosen if test in self.seconds} - set(self.failing)
        return sorted(there | set(self.new), key=lambda test: (self.seconds[test], test))

    def with_new(self, tests: Sequence[str]) -> Touched:
        """Return what was seen, for the tests that are there now."""
        new = [test for test in tests if test not in self.seconds]
        seconds = {test: self.seconds.get(test, UNKNOWN) for test in tests}
        return Touched(seconds, self.tests, new, self.failing)

    def write(self, path: Path) -> None:
        """Keep it for later runs."""
        path.write_text(
            json.dumps({"seconds": self.seconds, "tests": self.tests, "failing": self.failing}), encoding="utf-8"
        )

    @classmethod
    def read(cls, path: Path) -> Touched:
        """Return what was kept."""
        return cls(**json.loads(path.read_text(encoding="utf-8")))


@dataclass(eq=False)  # plugins are told apart by identity
class Watcher:
    """A plugin of pytest that notes the functions each test enters, those of the fixtures it uses among them."""

    root: Path
    profile: Profile = field(default_factory=lambda: Profile(builtins=False))
    entered: Entered = field(default_factory=set)
    by_fixture: dict[str, Entered] = field(default_factory=dict)
    by_test: dict[str, Entered] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)
    failed: set[str] = field(default_factory=set)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note a test that fails with nothing changed."""
        if report.failed:
            self.failed.add(report.nodeid)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Generator[None, object, object]:
        """Watch one test from its fixtures to its end."""
        _forget_what_was_kept()
        self.entered = set()
        begun = time.perf_counter()
        self.profile.enable()
        try:
            return (yield)
        finally:
            self.seconds[item.nodeid] = round(time.perf_counter() - begun, 4)
            self.entered |= self._seen()
            self.profile.disable()
            fixtures = [self.by_fixture.get(name, set()) for name in getattr(item, "fixturenames", ())]
            self.by_test[item.nodeid] = self.entered.union(*fixtures)

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: Any) -> Generator[None, object, object]:
        """Note what a fixture enters that is made once for many tests."""
        self.entered |= self._seen()
        try:
            return (yield)
        finally:
            seen = self._seen()
            self.entered |= seen
            if fixturedef.scope != "function":
                self.by_fixture.setdefault(fixturedef.argname, set()).update(seen)

    def touched(self) -> Touched:
        """Return what was seen."""
        tests: dict[str, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
        for test, entered in self.by_test.items():
            for path, name in sorted(entered) if test not in self.failed else ():
                tests[path][name].append(test)
        return Touched(self.seconds, tests, failing=sorted(self.failed))

    def _seen(self) -> Entered:
        """Return what was entered since this was last asked for."""
        self.profile.disable()
        below = f"{self.root / 'costing'}/"
        codes = [entry.code for entry in self.profile.getstats() if isinstance(entry.code, CodeType)]
        seen = {
            (code.co_filename[len(str(self.root)) + 1 :], code.co_qualname)
            for code in codes
            if code.co_filename.startswith(below)
        }
        self.profile.clear()
        self.profile.enable()
        return seen


def _forget_what_was_kept() -> None:
    """Empty the caches of the program's functions, so that each test is seen to enter what it needs."""
    for name, module in list(sys.modules.items()):
        if name.partition(".")[0] == "costing":
            for value in list(vars(module).values()):
                if hasattr(value, "cache_clear"):
                    value.cache_clear()
