"""The version of a workbook's layout is read: a later one is refused with what to do, all others are read."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.packaging.custom import StringProperty

import costing
from costing.exchange.starting import start_workbook
from costing.workbook.identity import SCHEMA_PROPERTY, SCHEMA_VERSION, TOOL_PROPERTY
from costing.workbook.read.opened_book import Book


def marked(book: Path, to: Path, **properties: str | None) -> Path:
    """Return a copy of a workbook with other properties of its own; None takes one away."""
    opened = load_workbook(book)
    kept = {each.name: str(each.value) for each in opened.custom_doc_props.props} | properties  # type: ignore[attr-defined]
    for name in opened.custom_doc_props.names:  # type: ignore[attr-defined]
        del opened.custom_doc_props[name]  # type: ignore[attr-defined]
    for name, value in kept.items():
        if value is not None:
            opened.custom_doc_props.append(StringProperty(name=name, value=value))  # type: ignore[attr-defined]
    opened.save(to)
    return to


def test_what_is_written_carries_the_version_and_is_read(lean_book: Path, tmp_path: Path) -> None:
    """Both kinds of workbook do: the exported one, and the one to fill in."""
    for path in (lean_book, start_workbook(tmp_path / "fresh.xlsx")):
        book = Book(path)
        assert book.property_of(SCHEMA_PROPERTY) == str(SCHEMA_VERSION)
        assert book.property_of(TOOL_PROPERTY).startswith("costing ")


def test_a_later_version_is_refused_with_what_to_do(lean_book: Path, tmp_path: Path) -> None:
    later = marked(lean_book, tmp_path / "later.xlsx", schema=str(SCHEMA_VERSION + 1), tool="costing 9.1\x85")
    with pytest.raises(costing.Refusal) as raised:
        costing.check(later)
    assert str(raised.value) == (
        f"{later}: was written by costing 9.1? in workbook schema {SCHEMA_VERSION + 1}, and this version reads up to "
        f"{SCHEMA_VERSION}; install that version or a later one, or export the season anew with this one"
    )
    with pytest.raises(costing.Refusal, match="this version reads up to"):
        costing.plan_carrying(later, tmp_path)


@pytest.mark.parametrize(
    "marks",
    [{"schema": "0"}, {"schema": None}, {"schema": "draft"}, {"schema": "7", "tool": None}],
    ids=["an older one", "none", "another program's", "another program's number"],
)
def test_others_are_read(lean_book: Path, tmp_path: Path, marks: dict[str, str | None]) -> None:
    """A property of that name may be another program's: only beside the mark of this one it is a version."""
    assert costing.check(marked(lean_book, tmp_path / "book.xlsx", **marks)).faults == ()
