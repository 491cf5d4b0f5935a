"""Recipe cards, which hold four tables on one sheet, taken apart row by row."""

from __future__ import annotations

from collections.abc import Container, Iterator

from costing.errors import Fault, did_you_mean
from costing.records.parsing import RawRow, RawTable

_CARD_CELLS = {
    "formula": ("formulas", {"formula": "formula", "what": "name", "grams": "batch_grams", "note": "note"}),
    "line": ("lines", {"formula": "formula", "step": "step", "what": "item", "percent": "percent", "grams": "grams"}),
    "step": (
        "steps",
        {
            "formula": "formula",
            "step": "step",
            "percent": "loss_percent",
            "minutes": "minutes",
            "watts": "watts",
            "hours": "hours",
            "days": "days",
        },
    ),
    "output": (
        "outputs",
        {"formula": "formula", "what": "output", "percent": "percent", "valued": "valued", "price_per_kg": "price_per_kg"},
    ),
}


def split_cards(cards: RawTable) -> dict[str, RawTable]:
    """Turn the rows of recipe cards into the four tables that they hold."""
    rows: dict[str, list[RawRow]] = {name: [] for name, _ in _CARD_CELLS.values()}
    faults = list(cards.faults)
    for row in cards.rows:
        kind = str(row.cells.get("row") or "").strip().lower()
        if kind == "yield":
            faults += _misplaced(cards, row, kind, ("formula",))
            continue
        if kind not in _CARD_CELLS:
            do = f"write one of {', '.join(_CARD_CELLS)}" if not kind else did_you_mean(kind, [*_CARD_CELLS, "yield"])
            faults.append(Fault(f"{cards.source}, row {row.number}, Row", f'"{kind}" is no kind of row', do))
            continue
        name, places = _CARD_CELLS[kind]
        faults += _misplaced(cards, row, kind, places)
        rows[name].append(RawRow(row.number, {key: row.cells[cell] for cell, key in places.items() if cell in row.cells}))
    labels = {
        name: {key: cards.labels.get(cell, cell) for cell, key in places.items()} for name, places in _CARD_CELLS.values()
    }
    tables = {}
    for name, places in _CARD_CELLS.values():
        told = faults if name == "formulas" else []
        notices = (*cards.notices, *_unkept_notes(cards)) if name == "formulas" else ()
        tables[name] = RawTable(
            cards.source,
            tuple(places.values()),
            rows[name],
            faults=tuple(told),
            notices=notices,
            labels=labels[name],
            how=f"{cards.how}, {len(rows[name])} of them {name}",
            letters={key: cards.letters[cell] for cell, key in places.items() if cell in cards.letters},
        )
    return tables


def _unkept_notes(cards: RawTable) -> Iterator[str]:
    """Tell of a note that stands on a row other than a card's head, where no record keeps it."""
    for row in cards.rows:
        kind = str(row.cells.get("row") or "").strip().lower()
        if kind != "formula" and row.cells.get("note"):
            where = f"{cards.source}, row {row.number}"
            yield f"{where}: a note on a {kind or 'nameless'} row is not kept; write it on the card's head"


def _misplaced(cards: RawTable, row: RawRow, kind: str, places: Container[str]) -> Iterator[Fault]:
    for cell, value in row.cells.items():
        if cell not in places and cell not in ("row", "note") and value not in (None, 0) and str(value).strip():
            where = f"{cards.source}, row {row.number}, {cards.labels.get(cell, cell)}"
            yield Fault(where, f"{value} stands in a {kind} row, which has no such thing", "clear it, or move it to its row")
