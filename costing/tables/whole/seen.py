"""Seen: doubts that the maker has looked at and found right; they are not told again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import NOTHING, choose, text_until, tidy, without
from costing.engine.table import Table
from costing.fields.types import Record, Text, given

if TYPE_CHECKING:
    from costing.tables.book import Book


NO_PLACE = "  "  # of a free row; one blank stands for the name of rows that have none, and would find it


class Seen(Record):
    """One row of records that was doubted, and is right."""

    where: Text = given(
        "Where",
        "A doubt as it was told, or what it begins with, up to its colon: purchases, Shea butter of 2026-07-07, B1.",
    )
    note: Text = given("Note", "Why it is right.", default="")


class SeenRow(Seen, Rules):
    """Which row a doubt was about, whatever was written down of it."""

    @worked("Told of", "text")
    def told_of(self, _: Book) -> str:
        """What stands under Where, without the word that a doubt begins with."""
        return choose(self.where == "", NOTHING, without(self.where, "doubt: "))

    @worked("Before its number", "text")
    def before(self, _: Book) -> str:
        """The text up to its row's number; the whole of it where there is none."""
        return text_until(self.told_of, ", row ")

    @worked("Before its colon", "text")
    def named(self, _: Book) -> str:
        """The text up to its row's number, or else up to its first colon."""
        return choose(self.before == self.told_of, text_until(self.told_of, ": "), self.before)

    @worked("Place", "text")
    def place(self, _: Book) -> str:
        """Which row that is: that text, without spaces around it."""
        return choose(self.where == "", NO_PLACE, tidy(self.named))


SEEN = Table(
    "seen",
    "Seen",
    "Looked at, and right",
    "Doubts that you have looked at: each is quiet as long as it stands here.",
    SeenRow,
)
