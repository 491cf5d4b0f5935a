"""Seen: doubts that the maker has looked at and found right; they are not told again."""

from __future__ import annotations

from costing.engine.declared import Rules
from costing.engine.table import Table
from costing.fields.types import Record, Text, given


class Seen(Record):
    """One row of records that was doubted, and is right."""

    where: Text = given(
        "Where",
        "A doubt as it was told, or what it begins with, up to its colon: purchases, Shea butter of 2026-07-07, B1.",
    )
    note: Text = given("Note", "Why it is right.", default="")


class SeenRow(Seen, Rules):
    """Nothing is worked out of it."""


SEEN = Table(
    "seen",
    "Seen",
    "Looked at, and right",
    "Doubts that you have looked at: each is quiet as long as it stands here.",
    SeenRow,
)
