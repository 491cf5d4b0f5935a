"""The bench: what each slip does to prices, and whether a new line of ``costing check`` names the row it was typed into."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from unittest.mock import patch

from click.testing import CliRunner

import costing
from costing.cli import main
from costing.exchange import checking
from tests.slips import buying, making, receipts, selling  # each adds its kinds to SLIPS
from tests.slips.slip import SLIPS, Slip, Slipped, Typist
from tests.slips.tables import Clean, Tables

KINDS = (buying, receipts, making, selling)

MATTERS = 0.005  # half a percent of a price
PLACES = 3  # of each slip in each season: the first, a middle and the last place where it could have been typed
# A message may name the row where what was typed there shows: a purchase among the items, or where its item is asked for.
SHOWS_IN = {
    "purchases": ("purchases", "items", "lines", "tubs"), "items": ("items", "purchases"), "lines": ("lines", "formulas"),
    "steps": ("steps", "formulas"), "outputs": ("outputs", "formulas"), "products": ("products", "prices"),
    "prices": ("prices", "products"),
}  # fmt: skip

Prices = dict[tuple[str, str], tuple[float, float]]


@dataclass(frozen=True)
class Seen:
    """What the program says of a season: its lines, and each price with its floor; none where it was refused."""

    lines: tuple[str, ...]
    prices: Prices | None


@dataclass(frozen=True)
class Verdict:
    """What became of one slip."""

    slip: str
    season: str
    table: str
    names: tuple[str, ...]
    moved: float | None  # None: refused, nothing was priced
    told_by: str

    @property
    def matters(self) -> bool:
        """Whether a price moved by half a percent or more, or nothing was priced at all."""
        return self.moved is None or self.moved >= MATTERS


def seen(folder: Path) -> Seen:
    """Return what ``costing check`` says of a folder, and its prices."""
    found: list[checking.Checked] = []

    def kept(path: Path) -> checking.Checked:
        found.append(check(path))
        return found[-1]

    check = checking.check
    with patch.object(checking, "check", kept):  # its season has the prices too
        result = CliRunner().invoke(main, ["check", str(folder)])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    marked = [line.strip() for line in result.output.splitlines() if line.startswith(("  ", "caution", "doubt", "noticed"))]
    if result.exit_code or found[0].season is None:
        return Seen(tuple(marked), None)
    rows = costing.figures(found[0].season)["prices"]
    return Seen(tuple(marked), {(row["product"], row["channel"]): (row["price"], row["floor"]) for row in rows})


def doubts(lines: Iterable[str]) -> list[str]:
    """Return the lines that doubt a record."""
    return [line for line in lines if line.startswith("doubt")]


def moved(before: Prices, after: Prices | None) -> float | None:
    """Return by how much the price or floor that moved most has moved, as a share; None where nothing was priced.

    >>> moved({("bar", "stall"): (8.0, 5.0)}, {("bar", "stall"): (8.0, 5.5)})
    0.1
    """
    if after is None:
        return None
    if set(before) != set(after):
        return 1.0
    changes = [abs(new / old - 1) for key in before for old, new in zip(before[key], after[key], strict=True) if old]
    return round(max(changes, default=0.0), 9)


def telling(slipped: Slipped, clean: Sequence[str], now: Sequence[str]) -> str:
    """Return the first new line that names the table and the row typed into; empty where there is none.

    A line that said the same of the same thing before, with other numbers, is not new: nobody would see the difference.
    """
    known = {_shape(line) for line in clean}
    for line in now:
        if _shape(line) not in known and _names(slipped, line):
            return line
    return ""


def _where(line: str) -> str:
    """Return the part of a line that says where: up to the first colon that ends it."""
    return re.sub(r"^(caution|doubt|noticed): ", "", line).split(": ", 1)[0]


def _shape(line: str) -> tuple[str, str]:
    return _where(line), re.sub(r"\d+", "#", line.replace(_where(line), ""))


def _names(slipped: Slipped, line: str) -> bool:
    if not any(spoken_of(table, line) for table in SHOWS_IN.get(slipped.table, (slipped.table,))):
        return False
    if spoken_of(slipped.table, line) and rows_told(line) & slipped.rows:
        return True
    return any(re.search(rf"(?<![\w-]){re.escape(name.lower())}(?![\w-])", line.lower()) for name in slipped.names)


def spoken_of(table: str, line: str) -> bool:
    """Return whether a message is about a table."""
    return bool(re.search(rf"\b{table}\b", _where(line).lower()))


def rows_told(line: str) -> set[int]:
    """Return the row numbers that a message names where it says where, one or several.

    >>> sorted(rows_told("doubt: purchases.csv, rows 3, 7 and 12, unit: looks like grams; did you mean g?"))
    [3, 7, 12]
    >>> sorted(rows_told("purchases.csv, rows 4 to 6, tax: holds a rate; name the column tax_percent"))
    [4, 5, 6]
    """
    found = re.search(r"rows? ((?:\d+(?:, | and | to )?)+)", _where(line))
    told: set[int] = set()
    for first, last in re.findall(r"(\d+)(?: to (\d+))?", found[1] if found else ""):
        told |= set(range(int(first), int(last or first) + 1))
    return told


def places_of(kind: Slip, clean: Clean) -> list[Slipped]:
    """Return a first, a middle and a last place where a slip could have been typed."""
    every = list(kind.places(Typist(clean)))
    if len(every) <= PLACES:
        return every
    return [every[0], every[len(every) // 2], every[-1]]


def look(clean: Clean, tables: Tables) -> Seen:
    """Return what the program says of tables written as this season's maker writes."""
    with tempfile.TemporaryDirectory() as place:
        return seen(clean.write(tables, Path(place) / clean.name))


def verdicts(clean: Clean, kinds: Iterable[Slip] = (), *, every: int = 1) -> Iterator[Verdict]:
    """Yield what becomes of each slip in a season, or of every so manieth place of each kind."""
    before = look(clean, clean.tables)
    if before.prices is None:
        raise AssertionError("\n".join((f"{clean.name} is no good season:", *before.lines)))
    for kind in kinds or SLIPS:
        for slipped in islice(places_of(kind, clean), 0, None, every):
            now = look(clean, slipped.tables)
            line = telling(slipped, before.lines, now.lines)
            yield Verdict(
                kind.name, clean.name, slipped.table, tuple(sorted(slipped.names)), moved(before.prices, now.prices), line
            )


def share_told(found: Iterable[Verdict]) -> tuple[int, int]:
    """Return how many of the slips that matter were told, and how many matter."""
    matter = [verdict for verdict in found if verdict.matters]
    return sum(bool(verdict.told_by) for verdict in matter), len(matter)
