"""A number may bring the unit that its column has anyway: 1480 g, 25 min, 40 %."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

import costing
from costing.records.schema import RECORD_TABLES
from tests.published.seasons import DAY, bought, costed, line, product

WRITTEN = {"gram": ("1480 g", "1480G", "1,480.5 g"), "minute": ("25 min", "25MIN", "25"), "percent": ("40 %", "40%", "40")}
READ = {"gram": (1480, 1480, 1480.5), "minute": (25, 25, 25), "percent": (40, 40, 40)}


def _measured() -> Iterator[tuple[str, str, str]]:
    """Yield each column of records that holds grams, minutes or percentages."""
    for table in RECORD_TABLES:
        for key, info in table.model.model_fields.items():
            field = info.metadata[0]
            sort = "percent" if field.shape == "percent" else field.unit
            if sort in WRITTEN:
                yield table.name, key, sort


@pytest.mark.parametrize(("table", "column", "sort"), list(_measured()))
def test_a_number_with_the_unit_of_its_column_is_that_number(table: str, column: str, sort: str) -> None:
    """Whatever its capitals, with a blank before it or without."""
    model = next(each.model for each in RECORD_TABLES if each.name == table)
    read = model.model_fields[column].metadata[0].read
    context = type("Context", (), {"context": None, "field_name": column})
    assert [float(read(text, context)) for text in WRITTEN[sort]] == list(READ[sort])


def test_all_sorts_of_columns_are_looked_at() -> None:
    """Grams, minutes and percentages stand in several tables, among them what a batch weighed."""
    columns = list(_measured())
    assert ("batches", "grams_out", "gram") in columns
    assert {sort for _, _, sort in columns} == set(WRITTEN)
    assert len(columns) > 15


def test_what_a_batch_weighed_may_bring_its_unit() -> None:
    """1480 g came out of 1600 g put in: 7.5 % were lost."""
    season = costed(
        purchases=[bought("stuff", 1)],
        lines=[line("mix", "stuff", 1600)],
        products=[product("tub", "mix", 100)],
        batches=[{"batch": "first", "formula": "mix", "made_on": DAY, "grams_out": "1480 g", "minutes": "25 min"}],
        batch_lines=[{"batch": "first", "item": "stuff", "step": "mix", "grams": "1600 g"}],
    )
    row = season.row("batches", batch="first")
    assert (row.grams_out, row.minutes) == (1480, 25)
    assert row.loss == pytest.approx(0.075)


def test_another_unit_is_told() -> None:
    """Nothing is turned into grams behind the maker's back."""
    with pytest.raises(costing.Faults) as caught:
        costed(lines=[{"formula": "mix", "step": "mix", "item": "filler", "grams": "1.6 kg"}])
    told = 'lines, row 1, grams: "1.6 kg" is not a number; write it in grams, without the unit'
    assert [str(fault) for fault in caught.value.faults] == [told]
