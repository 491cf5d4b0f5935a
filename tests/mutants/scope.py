"""Which modules are tried: found by folder, so that a module is in as soon as it stands there."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]

# What the maker's figures, faults and cautions come from, and the ways into it: not how it is shown.
PARTS = (
    "tables/**/*.py",
    "engine/operations*.py",
    "engine/ranges*.py",
    "fields/numerals*.py",
    "fields/types*.py",
    "records/**/*.py",
    "season/caution*.py",
    "season/limits*.py",
    "season/lye*.py",
    "folder/csv_text*.py",
    "folder/reading*.py",
    "workbook/read/readback*.py",
    "workbook/read/typed*.py",
    "exchange/carrying*.py",
)


def modules(root: Path = ROOT, only: str = "") -> Iterator[Path]:
    """Yield the modules to try, below ``root``: all parts, or those whose path holds ``only``.

    Raises
    ------
    ValueError
        When a part names nothing any more.

    """
    found: set[Path] = set()
    for part in PARTS:
        matching = {path.relative_to(root) for path in (root / "costing").glob(part)}
        if not matching:
            raise ValueError(f"costing/{part} is nowhere: say in {Path(__file__).name} where it went")
        found |= matching
    yield from sorted(path for path in found if only in path.as_posix() and path.name != "__init__.py")
