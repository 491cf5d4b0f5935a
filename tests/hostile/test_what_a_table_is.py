"""A table is looked at before it is read: its size, and whether it is a file at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

import costing
from tests.hostile.measured import measured
from tests.hostile.small_season import small_tables, write_tables

needs_posix = pytest.mark.skipif(os.name != "posix", reason="needs devices and pipes")


@pytest.fixture
def table(tmp_path: Path) -> Path:
    """A small season's purchases, taken away."""
    table = write_tables(small_tables(), tmp_path / "season") / "purchases.csv"
    table.unlink()
    return table


@needs_posix
@pytest.mark.parametrize("kind", ["device", "pipe"])
def test_a_device_or_a_pipe_is_not_waited_for(kind: str, table: Path) -> None:
    if kind == "pipe":
        os.mkfifo(table)
    else:
        table.symlink_to("/dev/zero")
    with pytest.raises(costing.Refusal, match=r"purchases\.csv: is no ordinary file"):
        costing.read_season(table.parent)


def test_a_sparse_file_is_not_even_read(table: Path) -> None:
    """Ten gigabytes that take no room on disk, and all memory when they are read."""
    with table.open("wb") as file:
        file.truncate(10_000_000_000)
    found = measured(table.parent)
    assert "is of 10000 MB, and 5 MB is the limit" in found.told
    assert found.seconds < 5
    assert found.megabytes < 300


@pytest.mark.parametrize("line", ["\n", "2026-10-01,Quayside,1,Oil,1,kg,5\n"])
def test_as_much_as_a_table_may_hold_takes_no_more_than_a_table(line: str, table: Path) -> None:
    text = "bought_on,supplier,invoice,item,size,unit,paid\n"
    table.write_text(text + line * ((4_900_000 - len(text)) // len(line)), encoding="utf-8")
    found = measured(table.parent)
    assert "has more than 25000 rows, or 200000 with empty ones" in found.told
    assert found.seconds < 5
    assert found.megabytes < 300
