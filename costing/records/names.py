"""The names of a season: each thing is called as it was called first, however it is spelled later."""

from __future__ import annotations

from costing.fields.names import sign
from costing.tables.buying.purchases import DELIVERY, DISCOUNT

# What a column of names names, where that is not what the column is called.
_NAMES_A = {
    "formula": "item",
    "filled_with": "item",
    "part": "item",
    "bought": "product",
    "main_channel": "channel",
    "of_channel": "channel",
}


class Names:
    """The names met so far in one season's tables, and how each was spelled first.

    Words with a meaning of their own are spelled as they are there; a thing is called as the maker wrote it.
    """

    def __init__(self) -> None:
        self._first: dict[tuple[str, str], str] = {("item", sign(name)): name for name in (DELIVERY, DISCOUNT)}

    def spelling(self, column: str, name: str) -> str:
        """Return how a name of some column was spelled first; a formula and its output each on its own."""
        kind = self._kind(column, name)
        first, joined, output = name.partition("/")
        spelled = self._first.setdefault((kind, sign(first)), first)
        return f"{spelled}/{self._first.setdefault(('output', sign(output)), output)}" if joined else spelled

    def _kind(self, column: str, name: str) -> str:
        """Return what a column of names names; what was made may be an item or a product, whichever was met before."""
        if column == "what":
            return "product" if ("product", sign(name)) in self._first else "item"
        return _NAMES_A.get(column, column)
