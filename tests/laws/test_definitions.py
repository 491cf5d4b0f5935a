"""Laws of definitions: what a column, figure or equation says of itself is so."""

from __future__ import annotations

import inspect
import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest

import costing
from costing.engine.declared import WORKED
from costing.engine.expressions import Factor, Here
from costing.engine.spelling import measure
from costing.engine.table import Column, Entry, Table
from costing.engine.unit_rules import as_unit
from costing.fields.units import registry
from costing.tables import equations
from costing.tables.book import BOOK
from costing.tables.whole.at_a_glance import glance_table
from costing.tables.whole.two_seasons import SINCE_TABLES
from costing.workbook.write.layout import heading_of

# What each equation is called with, in the order of its arguments.
ARGUMENTS = {
    "aim_for_each": ("gram", "gram", "gram", "", ""),
    "aim_for_mean": ("gram", "gram", "", ""),
    "borne_by_sold": ("money", ""),
    "break_even_units": ("", "money", "money"),
    "came_in": ("day", "day", ""),
    "contents": ("", "", "gram", "millilitre", "gram/millilitre"),
    "energy_cost": ("watt", "hour", "money/kilowatt_hour"),
    "goods_paid": ("money", "money", "", ""),
    "hourly_pay": ("money", "minute"),
    "kept_of_net": ("", "", ""),
    "kept_of_rise": ("money", "", ""),
    "lost_or_won": ("money", "money"),
    "lost_part": ("gram", "gram", ""),
    "lye_taken_up": ("", ""),
    "made_for_one": ("",),
    "mean_needed": ("gram", "", "gram"),
    "missing_part": ("money", "money"),
    "nothing_kept": ("", ""),
    "off_a_hundred": ("", "", ""),
    "on_hand_of_lot": ("each", "each", "each"),
    "overhead_cost": ("money", "hour", "money/hour"),
    "overhead_of_one": ("money", "money/gram", "gram", "money/minute", "minute"),
    "overhead_time_of_one": ("minute", "minute/gram", "gram", "", "minute"),
    "part_of_cost": ("money", "each", "each"),
    "per_hundred_grams": ("money", "gram"),
    "per_kilogram": ("money", "gram"),
    "price_for": ("money", "", ""),
    "price_point": ("", "money", "money", ""),
    "price_steps": ("money", "money", "money", ""),
    "selling_fees": ("money", "", "", "money"),
    "share_in_proportion": ("money", "money", "money"),
    "share_of_joint_cost": ("money", "money", "", "", "money"),
    "sold_on_part": ("", ""),
    "spread": ("gram**2", ""),
    "superfat": ("", ""),
    "tax_within": ("money", "money", ""),
    "to_the_coin": ("money", ""),
    "tolerable_shortfall": ("gram", "", "gram", ""),
    "unit_price": ("money", "money", ""),
    "up_to_the_coin": ("money", "", ""),
    "value_at": ("gram", "money/kilogram"),
    "wage": ("minute", "money/hour"),
    "weight_after": ("gram", "gram", ""),
    "weight_used": ("gram", ""),
}


@dataclass(eq=False)
class Quantity:
    """A place in a sheet of which only the unit counts."""

    unit: str
    key: str = "quantity"
    heading: str = "Quantity"
    name: str = "quantity"
    sheet: str = "Sheet"
    may_be_blank: bool = False


def _tables() -> list[Table[Any]]:
    channels = costing.records_from(
        season={"name": "Two channels", "currency": "EUR", "priced_on": "2026-11-01"},
        purchases=[{"bought_on": "2026-10-01", "item": "water", "size": "1", "unit": "kg", "paid": "1"}],
        formulas=[{"formula": "wash", "name": "Wash"}],
        lines=[{"formula": "wash", "step": "mix", "item": "water", "grams": "1"}],
        products=[{"product": "wash", "name": "Wash", "filled_with": "wash", "tub": "jar", "fill_grams": "1"}],
        channels=[{"channel": "stall", "margin_percent": "30"}, {"channel": "post", "margin_percent": "30"}],
    ).channels.records
    return [*BOOK.tables(), glance_table(channels), *SINCE_TABLES]


def _parts() -> Iterator[Column | Entry]:
    for table in _tables():
        yield from table.columns.values()
    for figures in BOOK.lists():
        yield from figures.entries.values()


def _worked() -> list[Column | Entry]:
    return [part for part in _parts() if part.rule is not None]


def _equations() -> list[Callable[..., Any]]:
    found = inspect.getmembers(equations, inspect.isfunction)
    return [equation for _, equation in found if equation.__module__ == equations.__name__]


def _named(part: Any) -> str:
    return str(getattr(part, "name", "") or part.__name__)


@pytest.mark.parametrize("part", _worked(), ids=_named)
def test_a_worked_figure_has_the_unit_it_declares(part: Column | Entry) -> None:
    """The unit that follows from a rule is the one in the heading."""
    assert as_unit(measure(part.expression)) == as_unit(part.unit)


def test_all_tables_and_figures_are_looked_at() -> None:
    """These laws see every table of the book, the first sheet's too, and every list of figures."""
    sheets = Counter(part.sheet for part in _worked())
    assert set(sheets) == {
        "At a glance", "Contents", "Keeping", "In a tub", "Price shock", "What moves it", "Since last season",
        "Purchases", "Items", "Formulas", "Tubs", "Products", "Channels", "Prices", "Own or bought",
        "Overheads", "Checks", "Weighings", "Fill", "Batches", "Batch lines", "Make and buy", "From plan to pot", "Made",
        "Lye", "Stock", "Price ladder", "Break-even", "Shelf cards", "Seen", "Weigh out", "Decide", "Look-ups",
        "Wholesale list",
    }  # fmt: skip
    assert sum(sheets.values()) > 150


@pytest.mark.parametrize("part", list(_parts()), ids=_named)
def test_a_figure_is_explained_in_a_sentence_or_two(part: Column | Entry) -> None:
    """What the maker reads about a column or figure starts like a sentence, ends like one, and is short."""
    assert re.fullmatch(r"(?:[A-Z0-9]|yes |formula |g, |units: )[^\n]+[.…]", part.note), part.note
    longest = 2 if part.kind == WORKED else 3
    assert len(re.findall(r"\.(?: |$)", part.note)) <= longest, part.note


@pytest.mark.parametrize("table", _tables(), ids=lambda table: table.key)
def test_headings_are_unique_in_their_table(table: Table[Any]) -> None:
    """No two columns of a table have the same heading, in whatever case, with its unit or without."""
    for headings in ([column.heading for column in table.columns.values()], _with_units(table)):
        assert [heading for heading, times in Counter(map(str.lower, headings)).items() if times > 1] == []


def _with_units(table: Table[Any]) -> list[str]:
    return [heading_of(column, "EUR") for column in table.columns.values()]


def test_names_are_unique_in_the_book() -> None:
    """No column or figure has the name of another, in whatever case."""
    names = Counter(part.name.lower() for part in _parts())
    assert [name for name, times in names.items() if times > 1] == []


@pytest.mark.parametrize("equation", _equations(), ids=_named)
def test_an_equation_gives_the_unit_in_its_docstring(equation: Callable[..., Any]) -> None:
    """The first sentence of an equation ends with the unit in brackets that follows from those of its arguments."""
    first = (inspect.getdoc(equation) or "").split("\n\n")[0]
    said = re.search(r"\. \[([^\[\]]+)\]$", first)
    assert said, first
    arguments = [Here(Quantity(unit)) for unit in ARGUMENTS[equation.__name__]]
    assert as_unit(measure(equation(*arguments))) == as_unit("" if said[1] == "1" else said[1])


def test_every_equation_is_measured() -> None:
    """The table of arguments above names every equation and no other."""
    assert sorted(ARGUMENTS) == sorted(equation.__name__ for equation in _equations())


def _conversions() -> list[tuple[str, Factor]]:
    """Return the factors of the equations that lead from one unit to another of the same kind."""
    factors = [(name, value) for name, value in vars(equations).items() if isinstance(value, Factor)]
    return [(name, factor) for name, factor in factors if registry().Quantity(1.0, factor.unit).dimensionless]


@pytest.mark.parametrize(("name", "factor"), _conversions(), ids=lambda part: part if isinstance(part, str) else "")
def test_a_factor_between_units_is_the_one_of_their_definitions(name: str, factor: Factor) -> None:
    """60 minutes an hour, 1000 grams a kilogram, 1000 watts over an hour a kilowatt-hour: as catalogues/units.txt has it."""
    assert registry().Quantity(float(factor), factor.unit).to("").magnitude == pytest.approx(1, rel=1e-15), name


def test_every_factor_between_units_is_looked_at() -> None:
    """Time, weight and energy."""
    assert [name for name, _ in _conversions()] == ["MINUTES_PER_HOUR", "WATT_HOURS_PER_KWH", "GRAMS_PER_KILOGRAM"]
