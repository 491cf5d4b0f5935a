"""What a slip is: good tables in, the same tables with one thing typed wrongly out, and where that was."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from decimal import Decimal

from tests.slips.tables import Clean, Row, Tables

SPREAD = ("delivery", "discount")
# What a row is called, table by table: a message that names the table names the row by one of these, or by its number.
CALLED = {
    "season": ("key",), "purchases": ("item",), "items": ("item",), "formulas": ("formula",), "steps": ("formula",),
    "lines": ("formula",), "outputs": ("formula",), "tubs": ("tub", "part"), "products": ("product",),
    "channels": ("channel",), "prices": ("product",), "overheads": ("overhead",),
}  # fmt: skip


@dataclass(frozen=True)
class Slipped:
    """A season with one slip in it, and the rows, names and column that a message has to point at."""

    tables: Tables
    table: str
    column: str
    rows: frozenset[int]  # numbered as in the file, where the heading is row 1
    names: frozenset[str] = field(default_factory=frozenset)


@dataclass(frozen=True)
class Typist:
    """Types into a copy of a good season, and finds the rows into which a maker would have slipped."""

    clean: Clean

    def rows(self, table: str) -> list[tuple[int, Row]]:
        """Return a table's rows, each with its place."""
        return list(enumerate(self.clean.tables.get(table, [])))

    def used(self) -> set[str]:
        """Return what formulas and tubs take."""
        taken = {row["item"] for _, row in self.rows("lines")}
        return taken | {row["part"] for _, row in self.rows("tubs")}

    def purchases(self, *units: str) -> list[tuple[int, Row]]:
        """Return the newest purchase of each thing used, the dearest first: those that a price hangs on."""
        newest: dict[str, tuple[int, Row]] = {}
        for at, row in self.rows("purchases"):
            counts = row["item"] in self.used() and Decimal(row["paid"]) > 0
            if counts and row["bought_on"] >= newest.get(row["item"], (0, {"bought_on": ""}))[1]["bought_on"]:
                newest[row["item"]] = (at, row)
        fitting = [(at, row) for at, row in newest.values() if not units or row["unit"] in units]
        return sorted(fitting, key=lambda place: -Decimal(place[1]["paid"]))

    def setting(self, key: str) -> int:
        """Return the place of a setting."""
        return next(at for at, row in self.rows("season") if row["key"] == key)

    def typed(self, table: str, changes: dict[int, Row], column: str = "") -> Slipped:
        """Return the season with cells of some rows typed otherwise."""
        tables = self._with_own(table)
        for at, cells in changes.items():
            tables[table][at].update(cells)
        named = column or next(iter(next(iter(changes.values()))))
        return self._pointing(tables, table, named, changes)

    def added(self, table: str, row: Row, column: str, after: int | None = None) -> Slipped:
        """Return the season with one more row, at the end or after another."""
        tables = self._with_own(table)
        at = len(tables[table]) if after is None else after + 1
        tables[table].insert(at, row)
        return self._pointing(tables, table, column, [at] if after is None else [after, at])

    def left_out(self, table: str, at: int, column: str) -> Slipped:
        """Return the season without a row: only names can point at it, or the rows beside it."""
        tables = self._with_own(table)
        gone = tables[table].pop(at)
        names = frozenset(gone[key] for key in CALLED[table])
        return Slipped(tables, table, column, frozenset(), names)

    def _with_own(self, table: str) -> Tables:
        """Return the tables, of which one may be typed into."""
        return self.clean.tables | {table: copy.deepcopy(self.clean.tables[table])}

    def _pointing(self, tables: Tables, table: str, column: str, places: Iterable[int]) -> Slipped:
        rows = frozenset(at + 2 for at in places)
        before = self.clean.tables[table]
        both = [tables[table][at] for at in places] + [before[at] for at in places if at < len(before)]
        names = frozenset(row[key] for row in both for key in CALLED[table] if row.get(key))
        return Slipped(tables, table, column, rows, names - frozenset(SPREAD))


Finder = Callable[[Typist], Iterator[Slipped]]


@dataclass(frozen=True)
class Slip:
    """A kind of slip: its name, how it comes about, and every place where it could have been typed."""

    name: str
    comes_about: str
    places: Finder


SLIPS: list[Slip] = []


def slip(finder: Finder) -> Finder:
    """Add a kind of slip; its docstring says how it comes about."""
    SLIPS.append(Slip(finder.__name__, (finder.__doc__ or "").strip(), finder))
    return finder


def times(text: str, factor: str) -> str:
    """Return a number as text, times a factor.

    >>> times("1400", "0.001"), times("2.5", "10"), times("0.8", "0.01")
    ('1.4', '25', '0.008')
    """
    return f"{(Decimal(text) * Decimal(factor)).normalize():f}"


def over(text: str, divisor: str) -> str:
    """Return an amount of money divided, to the cent.

    >>> over("186.30", "2")
    '93.15'
    """
    return f"{Decimal(text) / Decimal(divisor):.2f}"
