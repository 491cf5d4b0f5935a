"""What may become of a broken season: costed, or told what is wrong and where. Everything else is a failure."""

from __future__ import annotations

import hashlib
import json
import re
import time
from pathlib import Path
from typing import Any

from click.testing import CliRunner

import costing
from costing.cli import main
from costing.exchange.carrying import plan_carrying
from costing.shown.subjects import SUBJECTS
from costing.workbook.write.book import workbook_bytes

LONGEST = 5.0  # of the processor, so that a busy machine breaks no test [second]
_CODES = {"costed": 0, "faults": 1, "refused": 2}


def verdict(path: Path, *, workbook: bool = False) -> str:
    """Return ``costed``, ``faults`` or ``refused``; ``workbook`` has the workbook made too, where it is costed.

    Raises
    ------
    AssertionError
        When a fault names no place, a figure is not finite, it took too long, or a file was written.
    Exception
        Whatever else comes out, which nothing should.

    """
    before = _listed(path.parent)
    begun = time.process_time()
    try:
        season = costing.cost(costing.read_season(path))
        json.dumps(costing.figures(season), allow_nan=False)
        _check_words("\n".join(subject.report(season) for subject in SUBJECTS), most=500_000)
        if workbook:
            workbook_bytes(season)
        found = "costed"
    except costing.Faults as error:
        _check_faults(error, path)
        found = "faults"
    except costing.Refusal as error:
        _check_refusal(str(error), path)
        found = "refused"
    took = time.process_time() - begun
    assert took < LONGEST, f"took {took:.1f} s"
    assert _listed(path.parent) == before, "a file was written"
    return found


def check_commands(path: Path, found: str) -> None:
    """Check that the commands end as the verdict says, without a traceback, and write nothing unless it was costed."""
    before = _listed(path.parent)
    _check_command(["check", str(path), "--verbose"], found)
    _check_command(["trace", str(path), "bar"], found)
    if found != "costed":
        _check_command(["export", str(path), "-o", str(path.parent / "prices.xlsx")], found)
    assert _listed(path.parent) == before, "a file was written"


def _check_command(words: list[str], found: str) -> None:
    result = CliRunner().invoke(main, words)
    assert result.exception is None or isinstance(result.exception, SystemExit), repr(result.exception)
    missing = words[0] == "trace" and result.exit_code == _CODES["refused"]  # a product that is not there
    assert missing or result.exit_code == _CODES[found], f"{words[0]} ended with {result.exit_code}: {result.stderr[:300]}"
    told = [line for line in result.stderr.splitlines() if not line.startswith("noticed: ")]
    assert bool(told) == bool(result.exit_code)


def check_carrying(book: Path, records: Path) -> None:
    """Check that what a broken workbook would carry into whole records is planned, or refused in words."""
    before: Any = _listed(records)
    try:
        for change in plan_carrying(book, records).changes:
            assert str(change)
    except costing.Faults as error:
        for fault in error.faults:
            _check_words(str(fault))
    except costing.Refusal as error:
        _check_words(str(error))
    assert _listed(records) == before, "a file was written"


def _check_faults(error: costing.Faults, path: Path) -> None:
    assert error.faults
    for fault in error.faults:
        assert fault.where.strip(), f"names no place: {fault}"
        assert fault.what.strip(), f"names nothing: {fault}"
        assert fault.do.strip(), f"has no advice: {fault}"
        _check_words(str(fault))
        if path.is_dir():
            assert re.match(r"[^,:]*\.csv\b", fault.where, re.IGNORECASE), f"names no file: {fault}"


def _check_refusal(told: str, path: Path) -> None:
    _check_words(told)
    assert told.startswith(str(path)), f"names no file: {told}"


def _check_words(text: str, most: int = 3000) -> None:
    """Check that a message has an end, and that nothing in it moves a terminal's cursor."""
    assert len(text) <= most, f"{len(text)} letters: {text[:200]}…"
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]", text), f"holds control characters: {text!a:.300}"


def _listed(place: Path) -> dict[str, str]:
    """Return every file below a folder with a digest of its bytes."""
    return {str(file): hashlib.sha256(file.read_bytes()).hexdigest() for file in sorted(place.rglob("*")) if file.is_file()}
