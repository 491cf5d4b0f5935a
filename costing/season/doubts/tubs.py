"""Doubts about tubs: a jar without the lid that every other jar has."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import combinations
from statistics import median

from costing.errors import Doubt
from costing.season.costed import Season
from costing.tables.selling.tubs import TUBS

Parts = Mapping[str, frozenset[str]]  # of each tub, or of each sort of part
SHORTEST_WORD = 3  # letters of a word that says what a part is
ALIKE = 3  # tubs of one sort, with which what all the others have is no chance
MOST_PARTS = 200  # that share a word; with more of them it says nothing


def tub_doubts(season: Season) -> Iterator[Doubt]:
    """Yield tubs without a sort of part that all others of their sort have. A tub is of the sort of its dearest part."""
    costs: dict[str, float] = {}
    found: dict[str, set[str]] = defaultdict(set)
    for row in season[TUBS].rows:
        costs[row.part] = row.per_piece
        found[row.tub].add(row.part)
    tubs = {tub: frozenset(parts) for tub, parts in found.items()}
    sorts = _sorts(tubs)
    sort_of = {part: sort for sort, parts in sorts.items() for part in parts}
    dear = {sort: (median(costs[part] for part in parts), sort) for sort, parts in sorts.items()}
    alike: dict[str, dict[str, frozenset[str]]] = defaultdict(dict)
    for tub, parts in tubs.items():
        alike[max((sort_of[part] for part in parts), key=lambda sort: dear[sort])][tub] = parts
    for group in alike.values():
        if len(group) >= ALIKE:
            yield from _lacking(group, sorts, sort_of)


def parts_in_sorts(season: Season) -> Iterator[frozenset[str]]:
    """Yield the parts of all tubs in sorts, each sort once."""
    tubs: dict[str, set[str]] = defaultdict(set)
    for row in season.records.tubs:
        tubs[row.tub].add(row.part)
    yield from _sorts({tub: frozenset(parts) for tub, parts in tubs.items()}).values()


def _lacking(tubs: Parts, sorts: Parts, sort_of: Mapping[str, str]) -> Iterator[Doubt]:
    having = Counter(sort for parts in tubs.values() for sort in {sort_of[part] for part in parts})
    for sort, number in having.items():
        if number == len(tubs) - 1:
            tub = next(tub for tub, parts in tubs.items() if sort not in {sort_of[part] for part in parts})
            if not _words_of(sorts[sort]) & {word for part in tubs[tub] for word in words(part)}:
                yield Doubt(f"tubs, {tub}", f"no {_named(sorts[sort])}, and every other such tub has one", "is it left out?")


def _named(parts: frozenset[str]) -> str:
    return " or ".join(f'"{part}"' for part in sorted(parts)[:2])


def _words_of(parts: frozenset[str]) -> frozenset[str]:
    """Return the words that say what sort of part they are: those that all of them have."""
    return frozenset.intersection(*map(words, parts))


def _sorts(tubs: Parts) -> dict[str, frozenset[str]]:
    """Return the parts in sorts: parts that share a word and are never in one tub together, as the lids of all jars."""
    together = {pair for parts in tubs.values() for pair in combinations(sorted(parts), 2)}
    by_word: dict[str, set[str]] = defaultdict(set)
    for part in frozenset().union(*tubs.values()):
        for word in words(part):
            by_word[word].add(part)
    sorts = {part: frozenset([part]) for part in frozenset().union(*tubs.values())}
    for alike in (by_word[word] for word in sorted(by_word) if len(by_word[word]) <= MOST_PARTS):
        if not any(pair in together for pair in combinations(sorted(alike), 2)):
            joined = frozenset().union(*(sorts[part] for part in alike))
            if _words_of(joined):
                sorts |= dict.fromkeys(joined, joined)
    return {min(sort): sort for sort in sorts.values()}


@cache
def words(name: str) -> frozenset[str]:
    """Return the words of a name, without figures and short ones."""
    return frozenset(word for word in re.split(r"[\W\d_]+", name.casefold()) if len(word) >= SHORTEST_WORD)
