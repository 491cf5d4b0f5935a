"""Which sheets a workbook has: in sight those of every day and those asked for, out of sight what their formulas need."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from costing.engine.declared import WORKED
from costing.engine.expressions import Applied, Place, fold
from costing.engine.operations import formulas_gone
from costing.errors import Refusal, did_you_mean
from costing.tables.book import BOOK
from costing.workbook.write.layout import RECORD_KEYS, Block, Page, TableBlock, key_of, parts_of


@dataclass(frozen=True)
class Asked:
    """The sheets asked for beside those of every day: some, by their titles in small letters, or every one there is."""

    titles: frozenset[str] = frozenset()
    every: bool = False

    def has(self, title: str) -> bool:
        """Whether a sheet is among them."""
        return self.every or title.lower() in self.titles

    def also(self, titles: Iterable[str]) -> Asked:
        """Return these and some more."""
        return Asked(self.titles | {title.lower() for title in titles}, self.every)


NOTHING_ASKED = Asked()


def asked_for(names: Sequence[str], *, every: bool = False) -> Asked:
    """Return the sheets of some names, or all: their titles, or what their tables are called in a season's folder.

    Raises
    ------
    Refusal
        When there is no such sheet, saying which is near.

    """
    known = {_plain(part.key): part.sheet for part in BOOK.tables() if part.key in RECORD_KEYS}
    known |= {_plain(part.sheet): part.sheet for part in BOOK.parts.values()}
    for name in names:
        if _plain(name) not in known:
            raise Refusal(f'there is no sheet "{name}"; {did_you_mean(_plain(name), known)}')
    return Asked(every=every).also(known[_plain(name)] for name in names)


def _plain(name: str) -> str:
    return "-".join(re.split(r"[\s_-]+", name.strip().lower()))


@dataclass(frozen=True)
class Chosen:
    """The pages of a workbook, and the blocks of those that it does without."""

    in_sight: list[Page]
    hidden: list[Page]
    left_out: list[Page]
    blocks_left_out: list[Block]


def chosen(pages: Sequence[Page], asked: Asked) -> Chosen:
    """Return which pages are in sight, which out of sight with only the blocks that are needed, and which are left out.

    Records are never left out; a block of records without any is, unless a formula looks there.
    """
    in_sight = [page for page in pages if page.everyday or asked.has(page.sheet)]
    others = [page for page in pages if page not in in_sight]
    needed = _needed(pages, in_sight)
    found = Chosen(in_sight, [], [], [block for page in others for block in page.blocks if key_of(block) not in needed])
    for page in others:
        blocks = [block for block in page.blocks if key_of(block) in needed]
        if blocks:
            page.blocks, page.hidden = [_bared(block) for block in blocks], True
        (found.hidden if blocks else found.left_out).append(page)
    return found


def _bared(block: Block) -> Block:
    """Take the spare rows from a table in which nobody types."""
    if isinstance(block, TableBlock) and key_of(block) not in RECORD_KEYS:
        block.bare = True
    return block


def _needed(pages: Sequence[Page], in_sight: Sequence[Page]) -> set[str]:
    """Return the keys of the blocks in sight, of those that hold records, and of all that their formulas look at."""
    blocks = {key_of(block): block for page in pages for block in page.blocks}
    open_ones = [key_of(block) for page in in_sight for block in page.blocks]
    open_ones += [key for key, block in blocks.items() if key in RECORD_KEYS and holds_rows(block)]
    needed: set[str] = set()
    while open_ones:
        key = open_ones.pop()
        if key not in needed and key in blocks:
            needed.add(key)
            open_ones.extend(_looked_at(blocks[key]))
    return needed


def holds_rows(block: Block) -> bool:
    """Whether a block is a table with rows in it."""
    return isinstance(block, TableBlock) and len(block.filled.rows) > 0


def _looked_at(block: Block) -> Iterator[str]:
    """Yield the keys of the tables and lists of figures that a block's formulas and drop-downs look at."""
    for part in parts_of(block):
        yield part.refers.partition(".")[0]
        if part.kind == WORKED:
            yield from fold(part.expression, lambda leaf: {_owner(leaf.place)}, lambda _: set(), _of_all)


def _of_all(applied: Applied, parts: Sequence[set[str]]) -> set[str]:
    """Gather what operands look at. Whether formulas are gone from a sheet is only asked where it is there."""
    return set() if applied.operation is formulas_gone else set().union(*parts)


def _owner(place: Place) -> str:
    owner = getattr(place, "table", None) or getattr(place, "figures", None)
    return str(owner.key) if owner else ""
