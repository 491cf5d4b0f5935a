"""What is wrong with a row of records, said in words in the row itself, by tests that a sheet makes too.

Reading tells the same of what was typed into files. In the workbook a row is told at once, and a check counts it. What is
wrong with the cells follows from the record's own fields; what its names lead to, each table tests.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from costing.engine.declared import TOLD, Worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_same,
    either,
    equal,
    filled_in,
    flaws_of_name,
    found_in,
    highest_in,
    is_unlisted,
    join,
    lowest_in,
    texts_in,
    tidy,
)
from costing.fields.types import DayField, NumberField, PercentField, Record

Tests = Iterator[tuple[bool, str]]  # what holds of a row that is wrong, and the words for it


def says(heading: str, note: str, tests: Callable[[Any, Any], Tests]) -> Worked[str]:
    """Return a column that says of each test that holds what it found."""

    def said(row: Any, season: Any) -> str:
        return join(*(choose(test, f"{words}. ", "") for test, words in tests(row, season)), NOTHING)

    return Worked(said, heading, "text", note, "text")


def used_row(model: type[Record]) -> Worked[float]:
    """Return a column that is 1 where anything is typed in a row."""
    return Worked(
        lambda row, _: choose(filled_in(*_cells(row, model)) > 0, 1, 0),
        "Row in use", "", "1 where anything is typed in the row.", decimals=0,
    )  # fmt: skip


def wrong_cells(model: type[Record]) -> Worked[str]:
    """Return a column that says which sort of cell cannot be right by itself."""
    note = "Texts where numbers belong, numbers below zero or over 100 %."
    return says("Wrong cells", note, lambda row, _: _of_cells(row, model))


def wrong_words(model: type[Record]) -> Worked[str]:
    """Return a column that says which word is not in its list."""
    return says("Wrong words", "Words that are not in their list.", lambda row, _: _of_words(row, model))


def name_flaws(key: str) -> Worked[float]:
    """Return a column that counts what a spreadsheet would stumble over in a name."""
    note = "Above 0 where the name holds a blank too many or one of * ? ~, begins with < > or =, or is a number."
    return Worked(lambda row, _: flaws_of_name(getattr(row, key)), "Flaws of name", "", note, decimals=0)


def to_mend(*wrong: str) -> Worked[float]:
    """Return a column that is 1 where any of some columns says that something is wrong.

    The first is asked first: where it holds, the others may have come to errors, as a text for a number does.
    """

    def found(row: Any, _: Any) -> float:
        others = [getattr(row, key) != NOTHING for key in wrong[1:]]
        wrong_too = choose(either(*others) if len(others) > 1 else others[0], 1, 0)
        return choose(getattr(row, wrong[0]) != NOTHING, 1, wrong_too)

    return Worked(found, "To mend", "", "1 where something is wrong with the row.", decimals=0)


def looked_at(table: str = "", *keys: str) -> Worked[float]:
    """Return a column that is above 0 where Seen names the row, by its table and keys, or by ``seen_as``."""

    def place(row: Any, season: Any) -> float:
        first, *others = keys or ("seen_as",)
        named = [part for key in others for part in (", ", getattr(row, key))]
        return on_seen(season, join(f"{table}, ", getattr(row, first), *named) if table else row.seen_as)

    return Worked(place, "On Seen", "", "Above 0 where Seen names it: it was looked at.", decimals=0)


def on_seen(season: Any, named: str) -> float:
    """Return a number above 0 where Seen names something, by its place alone or by all that was told of it."""
    return found_in(season.seen.where, season.seen.place, named)


def to_look_at(*doubts: str, seen: bool = False) -> Worked[float]:
    """Return a column that is 1 where a row looks like a slip, and is not looked at already."""

    def slip(row: Any, _: Any) -> float:
        found = [getattr(row, key) != NOTHING for key in doubts]
        slip = either(*found) if len(found) > 1 else found[0]
        return choose(both(slip, row.looked_at == 0) if seen else slip, 1, 0)

    note = "1 where the row looks like a slip, right as it may be."
    return Worked(slip, "Looks like a slip", "", note, decimals=0)


def remarks(*wrong: str, looks: Sequence[str] = (), doubts: Sequence[str] = ()) -> Worked[str]:
    """Return the column in sight: what is wrong, or else what deserves a look."""

    def told(row: Any, _: Any) -> str:
        first, found = getattr(row, wrong[0]), join(*(getattr(row, key) for key in wrong[1:]))
        look = join(NOTHING, *(getattr(row, key) for key in looks))
        if doubts:
            look = join(look, choose(row.to_look_at == 1, join(NOTHING, *(getattr(row, key) for key in doubts)), NOTHING))
        return tidy(choose(first != NOTHING, first, choose(row.to_mend == 1, found, look)))

    return Worked(told, "Remarks", "text", "What is wrong with the row, or what deserves a look.", "text", role=TOLD)


def _cells(row: Any, model: type[Record], *sorts: type, but: Sequence[str] = ()) -> list[Any]:
    fields = model.model_fields.items()
    return [
        getattr(row, key) for key, info in fields if key not in but and (not sorts or isinstance(info.metadata[0], sorts))
    ]


def _of_cells(row: Any, model: type[Record]) -> Tests:
    numbers = _cells(row, model, NumberField, DayField)
    if numbers:
        yield texts_in(*numbers) > 0, "Text for a number"
    bounded = [key for key, info in model.model_fields.items() if _bounded(info.metadata[0])]
    if bounded:
        yield lowest_in(*(getattr(row, key) for key in bounded)) < 0, "Below zero"
    if percents := _cells(row, model, PercentField):
        yield highest_in(*percents) > 1, "Over 100 %"


def _of_words(row: Any, model: type[Record]) -> Tests:
    for key, info in model.model_fields.items():
        if choices := getattr(info.metadata[0], "choices", ()):
            listed = f"  {' '.join(word for word in choices if word)} "
            yield is_unlisted(getattr(row, key), listed), f"Unknown {str(info.title).lower()}"


def _bounded(field: Any) -> bool:
    return isinstance(field, NumberField) and (field.least, field.above) != (None, None)


def left_empty(row: Any, model: type[Record]) -> Tests:
    """Yield whether a cell that must be filled in is empty in a row in use."""
    needed = {info.title: getattr(row, key) for key, info in model.model_fields.items() if info.is_required()}
    *first, last = (str(title).lower() if at else str(title) for at, title in enumerate(needed))
    named = f"{', '.join(first)} or {last}" if first else last
    empty = [equal(cell, "") for cell in needed.values()]
    yield both(row.used_row == 1, either(*empty) if len(empty) > 1 else empty[0]), f"{named} is empty"


def twice(row: Any, key: str) -> Tests:
    """Yield whether a row's key stands in a row above too."""
    mine = getattr(row, key)
    yield both(mine != "", count_same(getattr(row.through, key), mine) > 1), "Twice"


def zeros(row: Any, *keys: str) -> Tests:
    """Yield whether a cell that must be above zero is 0."""
    tests = [both(filled_in(getattr(row, key)) == 1, getattr(row, key) == 0) for key in keys]
    yield either(*tests) if len(tests) > 1 else tests[0], "0 is too little"


def badly_named(row: Any) -> Tests:
    """Yield whether a spreadsheet would take the row's name for something else, or not find it."""
    yield row.name_flaws > 0, "Blank or sign in name"
