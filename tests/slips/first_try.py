"""The first try of the season in Portuguese: what must be told of it, and the same season once each message is heeded."""

from __future__ import annotations

import copy
import json
from dataclasses import dataclass
from typing import Any

from tests.slips.tables import ORVALHEIRA, Notation, Tables, read_tables

AS_IT_STANDS = Notation(decimal="\0", separator=";")  # no cell is rewritten: each is kept as the maker typed it


@dataclass(frozen=True)
class Cause:
    """One thing wrong in the first try: where, whether it has to be told, and what its message asks for."""

    why: str
    table: str
    rows: tuple[int, ...]
    told: bool
    mend: tuple[dict[str, Any], ...]


def causes() -> list[Cause]:
    """Return what is wrong in the first try."""
    return [
        Cause(**{**cause, "rows": tuple(cause["rows"]), "mend": tuple(cause["mend"])}) for cause in _expected()["causes"]
    ]


def most_messages() -> int:
    """Return how many messages are the most that a first try may bring."""
    return int(_expected()["most_messages"])


def _expected() -> Any:
    return json.loads((ORVALHEIRA / "first_try.json").read_text(encoding="utf-8"))


def first_try() -> Tables:
    """Return the tables as they were typed at first."""
    return _as_they_stand("first_try")


def once_right() -> Tables:
    """Return the same season in its maker's own names, once it is right."""
    return _as_they_stand("as_typed")


def _as_they_stand(folder: str) -> Tables:
    return read_tables(ORVALHEIRA / folder, AS_IT_STANDS)


def mended(tables: Tables) -> Tables:
    """Return the first try after each cause was mended as its message says. Rows are deleted last, so that numbers hold."""
    changed = copy.deepcopy(tables)
    gone: dict[str, set[int]] = {}
    for cause in causes():
        for step in cause.mend:
            if "delete_rows" in step:
                gone.setdefault(cause.table, set()).update(step["delete_rows"])
            elif "rename_column" in step:
                old, new = step["rename_column"]
                changed[cause.table] = [
                    {new if key == old else key: row[key] for key in row} for row in changed[cause.table]
                ]
            else:
                for number in step["rows"]:
                    changed[cause.table][number - 2].update(step["cells"])
    for table, numbers in gone.items():
        changed[table] = [row for at, row in enumerate(changed[table]) if at + 2 not in numbers]
    return changed
