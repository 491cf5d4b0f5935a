"""A number may bring its unit: that of its column, as 1480 g, 25 min, 40 %, or another of the same kind, as 1.5 kg."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from pydantic_core import PydanticCustomError

import costing
from costing.fields.types import NumberField
from costing.fields.units import spelled_unit
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


@pytest.mark.parametrize(("column", "unit", "typed", "means"), [
    ("grams", "gram", "3 kg", 3000), ("grams", "gram", "3 kgs", 3000),
    ("grams", "gram", "1,5 kg", 1500), ("grams", "gram", "2 lb", 907.18474),
    ("grams", "gram", "250 Gramm", 250), ("watts", "watt", "1,5 kW", 1500), ("minutes", "minute", "2 h", 120),
    ("minutes", "minute", "1,5 Std.", 90), ("hours", "hour", "18 min", 0.3), ("hours", "hour", "90 minutos", 1.5),
    ("minutes", "minute", "1 h 30 min", 90), ("minutes", "minute", "1 hora 15 minutos", 75),
    ("minutes", "minute", "1h30min", 90),
    ("grams", "gram", "1 kg 250 g", 1250), ("grams", "gram", "1 lb, 8 oz", 680.388555), ("grams", "gram", "½ kg", 500),
    ("grams", "gram", "1 1/2 kg", 1500), ("hours", "hour", "1½", 1.5), ("hours", "hour", "3/4 h", 0.75),
    ("count", "", "½", 0.5), ("minutes", "minute", "½ h 5 min", 35),
    ("days", "day", "2 weeks", 14), ("paid", "money", "1.621,00 €", 1621), ("paid", "money", "-£12.50", -12.5),
    ("rate", "money/hour", "12 €/h", 12), ("power", "money/kilowatt_hour", "0,22 €/kWh", 0.22),
    ("power", "money/kilowatt_hour", "0,22 €", 0.22), ("worth", "money/kilogram", "R$ 5", 5),
    ("density", "gram/millilitre", "0,92 g/mL", 0.92), ("density", "gram/millilitre", "0,92 kg/L", 0.92),
    ("count", "", "140 un", 140), ("count", "", "3 szt.", 3), ("count", "", "1 Dutzend", 12),
])  # fmt: skip
def test_a_figure_with_another_unit_of_its_kind_is_converted(column: str, unit: str, typed: str, means: float) -> None:
    """Conversions are those of SI and of NIST Handbook 44 (2014) appendix C for the pound, of which a figure is exact."""
    context = type("Context", (), {"context": None, "field_name": column})
    assert float(NumberField(unit).read(typed, context)) == means  # type: ignore[arg-type]  # all that a field looks at


@pytest.mark.parametrize(("unit", "typed", "told"), [
    ("minute", "3 kg", '"3 kg" is of another kind than this column, which holds minutes; write minutes'),
    ("gram", "500 mL", '"500 mL" is of another kind than this column, which holds grams; write grams'),
    ("gram", "12 €", '"12 €" is money, and this column holds grams; write grams'),
    ("money", "23 %", '"23 %" is a rate, and this column holds money; write money'),
    ("gram", "2 cups", '"2 cups" is no measure of weight; weigh it and write grams'),
    ("gram", "3 Esslöffel", '"3 Esslöffel" is no measure of weight; weigh it and write grams'),
    ("gram", "2 drops", '"2 drops" is not a number, and "drops" no unit known here; write grams, in digits'),
    ("money/kilogram", "5 €/h", '"5 €/h" is of another kind than this column, which holds money per kg; write money per kg'),
    ("minute", "1/24", '"1/24" is not a number, and "/24" no unit known here; write minutes, in digits'),
    ("minute", "30 min 1 h", '"30 min 1 h" is not a number, and "min 1 h" no unit known here; write minutes, in digits'),
    ("minute", "4/2", '"4/2" is not a number; write digits, with a point before the decimals'),
    ("", "100 g", '"100 g" is of another kind than this column, which holds plain figures; write plain figures'),
])  # fmt: skip
def test_another_kind_is_told_and_no_figure_is_taught(unit: str, typed: str, told: str) -> None:
    """What to write instead is said as a kind of measure, never as a figure that could be wrong."""
    context = type("Context", (), {"context": None, "field_name": "column"})
    with pytest.raises(PydanticCustomError) as caught:
        NumberField(unit).read(typed, context)  # type: ignore[arg-type]  # all that a field looks at
    assert caught.value.message() == told


SHEA: dict[str, Any] = {"packs": "2", "size": "", "unit": ""}


@pytest.mark.parametrize(("cells", "grams"), [
    ({"size": "25 kg"}, 50_000), ({"size": "1,5 kg", "unit": "g"}, 3000), ({"size": "500", "unit": "Gramm"}, 1000),
    ({"size": "2 lb", "unit": "kg"}, 1814.36948), ({"size": "½ kg"}, 1000), ({"size": "1 lb 8 oz"}, 1360.77711),
    ({"size": "1 kg 500 g", "unit": "g"}, 3000),
])  # fmt: skip
def test_a_size_may_bring_its_unit(cells: dict[str, Any], grams: float) -> None:
    """Alone it fills the unit in; beside a unit of the same kind it is converted."""
    season = costed(purchases=[dict(bought("stuff", 46)) | SHEA | cells])
    assert season.purchases.rows[0].grams == pytest.approx(grams, rel=1e-15)


def test_a_size_beside_a_unit_of_another_kind_is_told() -> None:
    with pytest.raises(costing.Faults) as caught:
        costed(purchases=[dict(bought("stuff", 46)) | SHEA | {"size": "5 kg", "unit": "L"}])
    told = 'size "5 kg" beside the unit L; write the size in that unit, or clear the unit'
    assert [str(fault) for fault in caught.value.faults] == [f"purchases, row 1, size: {told}"]


@pytest.mark.parametrize(("typed", "told"), [
    ("9,2 kg", ""), ("9200", ""), ("3 un", '"3 un" of stuff, which is bought by weight; write grams'),
])  # fmt: skip
def test_a_stock_is_counted_as_its_item_is_bought(typed: str, told: str) -> None:
    """Weight of what is bought by weight, pieces of what is bought by the piece; a plain figure is either."""
    if told:
        with pytest.raises(costing.Faults, match=told):
            costed(purchases=[bought("stuff", 46)], items=[{"item": "stuff", "on_hand": typed}])
    else:
        season = costed(purchases=[bought("stuff", 46)], items=[{"item": "stuff", "on_hand": typed}])
        assert season.row("items", item="stuff").on_hand == 9200
    jars = [bought("jar", 46, unit="piece")]
    with pytest.raises(costing.Faults, match='"2 kg" of jar, which is bought by the piece; write pieces'):
        costed(purchases=jars, items=[{"item": "jar", "on_hand": "2 kg"}])


@pytest.mark.parametrize(("word", "unit"), [
    ("Stück", "piece"), ("peça", "piece"), ("pièce", "piece"), ("szt.", "piece"), ("un", "piece"), ("pz", "piece"),
    ("stuks", "piece"), ("litros", "L"), ("Gramm", "g"), ("gramów", "g"), ("docena", "dozen"), ("Liter", "L"),
    ("quilo", "kg"),
])  # fmt: skip
def test_units_may_be_written_in_eight_languages(word: str, unit: str) -> None:
    assert spelled_unit(word) == unit
    assert spelled_unit(word.upper()) == unit


def test_a_unit_that_nothing_is_bought_in_is_none_of_purchases() -> None:
    assert spelled_unit("min") is None
    assert spelled_unit("kW") is None
