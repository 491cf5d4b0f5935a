"""The documentation says what the program does: every command is run, every Python line too."""

from __future__ import annotations

import doctest
import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.readme import README, ROOT, refreshed


@contextmanager
def _inside(folder: Path) -> Iterator[None]:
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)


def test_the_readme_shows_what_its_commands_print() -> None:
    """Running the README's commands again changes nothing in it; if it does: python -m tests.readme."""
    text = README.read_text(encoding="utf-8")
    assert text.count("```console") >= 5
    assert refreshed(text) == text


def test_the_readmes_python_lines_work() -> None:
    """The lines under "From Python" give what stands below them."""
    with _inside(ROOT):
        failed, tried = doctest.testfile(str(README), module_relative=False)
    assert tried >= 18
    assert failed == 0


def test_the_readmes_test_command_is_the_one_ci_runs() -> None:
    """CI runs the README's own test command, word for word."""
    commands = re.findall(r"```sh\n(.*?)\n```", README.read_text(encoding="utf-8"), flags=re.DOTALL)
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert len(commands) == 4
    assert "```sh" in script
    assert "README.md" in script


def test_every_file_the_developers_guide_names_is_there() -> None:
    """The map in DEVELOPERS.md names no file that has moved."""
    named = re.findall(
        r"`((?:costing|catalogues|tests|sample)/[\w./-]*)`", (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    )
    assert len(named) > 15
    missing = [name for name in named if not (ROOT / name).exists()]
    assert missing == []
