"""Everyday words of eight languages that a cell may hold: yes and no, units, months, spoons and cups; and signs of money."""

from __future__ import annotations

from collections import defaultdict
from functools import cache

from costing.fields.catalogue import catalogue_rows


def plain_word(text: str) -> str:
    """Return a word as it is compared: in one case, without the full stop of an abbreviation.

    >>> plain_word(" Szt. "), plain_word("Stück")
    ('szt', 'stück')
    """
    return text.strip().rstrip(".").casefold()


@cache
def words(subject: str) -> dict[str, str]:
    """Return what each word of a subject means: of answer, truth, month, unit, vessel or receipt.

    >>> words("answer")["sim"], words("month")["fev"], words("unit")["stück"]
    ('yes', '2', 'piece')
    """
    return {plain_word(row["word"]): row["means"] for row in catalogue_rows("words.csv") if row["subject"] == subject}


@cache
def money_signs() -> dict[str, tuple[str, ...]]:
    """Return the currencies that each sign of money can mean, the signs in lower case."""
    found: dict[str, list[str]] = defaultdict(list)
    for row in catalogue_rows("currency_signs.csv"):
        found[row["sign"].lower()] += row["currencies"].split()
    return {sign: tuple(codes) for sign, codes in found.items()}
