"""Where a doubted row stands: named by what the maker sees of it, with its number, and found again in the table seen."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from typing import TypeVar

from costing.errors import Doubt
from costing.fields.types import Record
from costing.tables.buying.purchases import Purchase
from costing.tables.written import Rows

R = TypeVar("R", bound=Record)


def numbered(rows: Rows[R]) -> Iterator[tuple[R, int]]:
    """Yield each record with the number of its row where it was read, or 0 where it was not read from a table."""
    return zip(rows.records, rows.numbers or [0] * len(rows), strict=True)


def purchase_place(row: Purchase) -> str:
    """Name a purchase by what the maker sees: its item, day and receipt."""
    receipt = " ".join(part for part in (row.supplier, row.invoice) if part)
    return f"purchases, {row.item} of {row.bought_on}" + (f", {receipt}" if receipt else "")


def unseen(doubts: Iterable[Doubt], seen: Sequence[str]) -> Iterator[Doubt]:
    """Yield the doubts that the maker has not looked at. What was looked at is its place, or all of what was told.

    A name may hold a colon, so a place ends where a doubt's place does: the longest of those that a text of ``seen`` begins
    with. A text cut short at a name's own colon means the one place that goes on with it, if there is just one.
    """
    told = list(doubts)
    places = {doubt.where for doubt in told}
    cut: dict[str, set[str]] = defaultdict(set)
    for place in places:
        cut[place.split(":", 1)[0]].add(place)
    looked_at = {_looked_at(text.removeprefix("doubt: ").strip(), places, cut) for text in seen}
    return (doubt for doubt in told if doubt.where not in looked_at)


def _looked_at(text: str, places: set[str], cut: dict[str, set[str]]) -> str:
    for end in sorted({len(text), *(at for at, letter in enumerate(text) if letter == ":")}, reverse=True):
        place = _without_row(text[:end])
        if place in places:
            return place
    goes_on = cut.get(text, set())
    return next(iter(goes_on)) if len(goes_on) == 1 else ""


def _without_row(place: str) -> str:
    """Return a place without its row's number, which changes when rows are added above it."""
    whole, word, number = place.rpartition(", row ")
    return whole if word and number.isdecimal() else place
