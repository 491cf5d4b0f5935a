"""Cells that cannot be right by themselves, words that are in no list, and rows in use: told in every table of records."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

import pytest

from costing.engine.calculated import BLANK
from costing.engine.table import Column, Table
from costing.fields.types import NumberField, PercentField
from costing.tables.book import BOOK

WITH_REMARKS = [table for table in BOOK.tables() if "remarks" in table.columns]


def _row(table: Table[Any], **cells: Any) -> Any:
    """Return a row that holds some cells, and else blanks."""
    blank = {column.key: "" if column.holds_text else BLANK for column in table.given}
    return SimpleNamespace(**(blank | cells))


def _said(table: Table[Any], rule: str, **cells: Any) -> str:
    found: str = table.columns[rule].rule(_row(table, **cells), None)  # type: ignore[misc]  # it is worked
    return found.strip()


def _columns(rule: str) -> Iterator[tuple[Table[Any], Column]]:
    for table in WITH_REMARKS:
        yield from ((table, column) for column in table.given if rule in table.columns)


def _named(value: Any) -> str:
    return str(getattr(value, "key", value))


@pytest.mark.parametrize(("table", "column"), list(_columns("wrong_cells")), ids=_named)
def test_a_cell_that_cannot_be_right_is_told(table: Table[Any], column: Column) -> None:
    """A text for a number; less than nothing, where the field has a least; more than all of it, where it is a share."""
    field = column.field
    bounded = isinstance(field, NumberField) and (field.least, field.above) != (None, None)
    assert _said(table, "wrong_cells") == ""
    assert _said(table, "wrong_cells", **{column.key: "9 and a half"}) == ("" if column.holds_text else "Text for a number.")
    if column.holds_text:
        return
    assert _said(table, "wrong_cells", **{column.key: -0.01}) == ("Below zero." if bounded else "")
    assert _said(table, "wrong_cells", **{column.key: 1.01}) == ("Over 100 %." if isinstance(field, PercentField) else "")
    assert _said(table, "wrong_cells", **{column.key: 1.0}) == ""
    assert _said(table, "wrong_cells", **{column.key: 0.0}) == ""


@pytest.mark.parametrize(("table", "column"), list(_columns("wrong_words")), ids=_named)
def test_a_word_that_is_not_in_its_list_is_told(table: Table[Any], column: Column) -> None:
    """Each word of the list is right, in capitals too, and so is a blank where something else asks for it."""
    choices = [word for word in getattr(column.field, "choices", ()) if word]
    told = f"Unknown {column.heading.lower()}." if choices else ""
    assert _said(table, "wrong_words", **{column.key: "xyz"}) == told
    assert [_said(table, "wrong_words", **{column.key: word.upper()}) for word in choices] == [""] * len(choices)
    assert _said(table, "wrong_words") == ""


@pytest.mark.parametrize(("table", "column"), list(_columns("used_row")), ids=_named)
def test_a_row_is_in_use_where_anything_is_typed(table: Table[Any], column: Column) -> None:
    rule = table.columns["used_row"].rule
    assert rule is not None
    assert rule(_row(table), None) == 0
    assert rule(_row(table, **{column.key: "a" if column.holds_text else 0.0}), None) == 1
