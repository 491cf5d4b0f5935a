"""Cells as people type them: what each means for a column of each shape, and what is said of those that are unclear."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

import pytest

from costing.fields.numerals import Unreadable
from costing.fields.quantities import amount, parted
from costing.fields.types import day_number
from costing.workbook.read.typed_cells import FIRST_DAY, LAST_DAY, Unclear, typed_value

YES, NO = True, False
SHAPES = ("text", "key", "choice", "number", "percent", "date")
GENERAL, PERCENT, DATE = "General", "0.0#%", "yyyy-mm-dd"
NUMBER_WANTED = "write a number, and set the cell's format to number"
TEXT_WANTED = "write a text, with ' before it"


@pytest.mark.parametrize("shape", SHAPES)
def test_blank_cell_means_nothing(shape: str) -> None:
    assert typed_value(None, GENERAL, shape) is None


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("text", ["", " ", "kaolin", "=1+1", "1,234", "40 %", "\u00a012,50 €", "2026-11-01", "TRUE", "#A12"])
def test_text_is_left_to_the_reader_of_its_column(text: str, shape: str) -> None:
    """A text means the same in a sheet as in a CSV file, and is read by the same code."""
    assert typed_value(text, GENERAL, shape) == text


@pytest.mark.parametrize(
    ("value", "number_format", "shape", "means"),
    [
        # numbers in columns of numbers: as they are, whatever the cell's format
        (12, GENERAL, "number", Decimal(12)),
        (12.5, GENERAL, "number", Decimal("12.5")),
        (0.1, "#,##0.00", "number", Decimal("0.1")),
        (-115.0, "#,##0.00", "number", Decimal("-115.0")),
        # but for one shown as a rate: the column's reader then says where rates belong
        (0.23, PERCENT, "number", "23 %"),
        # and one shown with a sign of money, which is held against the row's currency
        (138.5, "[$£-809]#,##0.00", "number", "138.5 £"),
        (138.5, "#,##0.00 [$€-407]", "number", "138.5 €"),
        (12, '#,##0.00\\ "kr"', "number", "12 kr"),
        (12, '"$"#,##0.00', "number", Decimal(12)),
        (12, '0.0" kg"', "number", Decimal(12)),
        (0, PERCENT, "number", Decimal(0)),
        (1e-05, GENERAL, "number", Decimal("0.00001")),
        (0, GENERAL, "number", Decimal(0)),
        # percentages: shown as 40 %, or holding 40
        (0.4, PERCENT, "percent", Decimal(40)),
        (0.4, "0%", "percent", Decimal(40)),
        (0.0934, "0.00%;-0.00%", "percent", Decimal("9.34")),
        (0.07, PERCENT, "percent", Decimal(7)),
        (0.005, PERCENT, "percent", Decimal("0.5")),
        (1, PERCENT, "percent", Decimal(100)),
        (0, PERCENT, "percent", Decimal(0)),
        (1.5, "0%", "percent", Decimal("150.0")),
        (40, PERCENT, "percent", Decimal(4000)),
        (-0.05, PERCENT, "percent", Decimal(-5)),
        (40, GENERAL, "percent", Decimal(40)),
        (1.5, GENERAL, "percent", Decimal("1.5")),
        (0, GENERAL, "percent", Decimal(0)),
        (-5, GENERAL, "percent", Decimal(-5)),
        (40, '0.0" %"', "percent", Decimal(40)),
        (40, "0.0\\%", "percent", Decimal(40)),
        # dates: as a date, a date with a time, or the number that sheets keep
        (date(2026, 11, 1), DATE, "date", date(2026, 11, 1)),
        (datetime(2026, 11, 1), DATE, "date", date(2026, 11, 1)),
        (datetime(2026, 11, 1, 13, 30), "yyyy-mm-dd hh:mm", "date", date(2026, 11, 1)),
        (46327, GENERAL, "date", date(2026, 11, 1)),
        (46327.0, "0.00", "date", date(2026, 11, 1)),
        (FIRST_DAY, GENERAL, "date", date(1970, 1, 1)),
        (LAST_DAY, GENERAL, "date", date(2199, 12, 31)),
        # numbers and dates where a text belongs: as they are shown
        (20518, GENERAL, "text", "20518"),
        (20518.0, GENERAL, "text", "20518"),
        (12.50, GENERAL, "text", "12.5"),
        (100.0, GENERAL, "text", "100"),
        (1e-05, GENERAL, "text", "0.00001"),
        (330, GENERAL, "key", "330"),
        (1, GENERAL, "choice", "1"),
        (datetime(2026, 11, 1), DATE, "text", "2026-11-01"),
        (date(2026, 11, 1), DATE, "text", "2026-11-01"),
        # true and false are yes and no where words are chosen
        (YES, GENERAL, "choice", "yes"),
        (NO, GENERAL, "choice", "no"),
    ],
)
def test_cell_that_can_mean_one_thing(value: Any, number_format: str, shape: str, means: Any) -> None:
    found = typed_value(value, number_format, shape)
    assert found == means
    assert type(found) is type(means)


@pytest.mark.parametrize(
    ("value", "number_format", "shape", "told"),
    [
        (0.4, GENERAL, "percent", Unclear("0.4 can be 0.4 % or 40 %", "write 0.4 % or 40 %, with the sign")),
        (1, GENERAL, "percent", Unclear("1 can be 1 % or 100 %", "write 1 % or 100 %, with the sign")),
        (0.125, "0.000", "percent", Unclear("0.125 can be 0.125 % or 12.5 %", "write 0.125 % or 12.5 %, with the sign")),
        # a percent sign that only stands beside the number multiplies nothing
        (0.9, '0.0" %"', "percent", Unclear("0.9 can be 0.9 % or 90 %", "write 0.9 % or 90 %, with the sign")),
        (0.9, "0.0\\%", "percent", Unclear("0.9 can be 0.9 % or 90 %", "write 0.9 % or 90 %, with the sign")),
        (datetime(2026, 1, 2), DATE, "number", Unclear("2026-01-02 is a date", NUMBER_WANTED)),
        (date(2026, 1, 2), DATE, "percent", Unclear("2026-01-02 is a date", NUMBER_WANTED)),
        (datetime(2026, 1, 2), DATE, "key", Unclear("2026-01-02 is a date", TEXT_WANTED)),
        (datetime(2026, 1, 2), DATE, "choice", Unclear("2026-01-02 is a date", TEXT_WANTED)),
        (2026, GENERAL, "date", Unclear("2026 is no date", "write it like 2026-11-01")),
        (46327.5, GENERAL, "date", Unclear("46327.5 is no date", "write it like 2026-11-01")),
        (FIRST_DAY - 1, GENERAL, "date", Unclear("25568 is no date", "write it like 2026-11-01")),
        (LAST_DAY + 1, GENERAL, "date", Unclear("109575 is no date", "write it like 2026-11-01")),
        (-1, GENERAL, "date", Unclear("-1 is no date", "write it like 2026-11-01")),
        *(
            (
                time(12, 30),
                "hh:mm",
                shape,
                Unclear("12:30:00 is a time of day", "write a plain number, or hours and minutes as 1 h 30 min"),
            )
            for shape in SHAPES
            if shape != "number"
        ),
        *((YES, GENERAL, shape, Unclear("TRUE", "write a figure or a text")) for shape in SHAPES if shape != "choice"),
        *((NO, GENERAL, shape, Unclear("FALSE", "write a figure or a text")) for shape in SHAPES if shape != "choice"),
    ],
)
def test_cell_that_means_nothing_sure_is_told_with_what_to_write(
    value: Any, number_format: str, shape: str, told: Unclear
) -> None:
    assert typed_value(value, number_format, shape) == told


@pytest.mark.parametrize("written", ["9.34", "0.01", "0.07", "33.3333", "12.345678", "100", "0.1", "57.29"])
def test_percentage_comes_back_as_it_was_written(written: str) -> None:
    """A fraction in binary, as a cell keeps it, is as many hundredths in decimals."""
    assert typed_value(float(Decimal(written) / 100), PERCENT, "percent") == Decimal(written)


def test_bounds_of_dates_are_those_of_the_reader() -> None:
    assert (day_number(date(1970, 1, 1)), day_number(date(2199, 12, 31))) == (FIRST_DAY, LAST_DAY)


@pytest.mark.parametrize(("value", "number_format", "means"), [
    (time(1, 30), "h:mm", "1 h 30 min"),
    (time(0, 45), "h:mm", "45 min"),
    (time(0, 0), "h:mm", "0 min"),
    (timedelta(hours=36), "[h]:mm", "36 h"),
    (timedelta(minutes=90, seconds=20), "[h]:mm:ss", "1 h 30 min 20 s"),
])  # fmt: skip
def test_a_time_that_a_spreadsheet_made_of_1_30_is_hours_and_minutes(
    value: time | timedelta, number_format: str, means: str
) -> None:
    assert typed_value(value, number_format, "number") == means


@pytest.mark.parametrize(("shape", "number_format"), [("number", "h:mm AM/PM"), ("percent", "h:mm"), ("date", "h:mm")])
def test_a_time_of_day_is_told(shape: str, number_format: str) -> None:
    """One before or after noon is no duration, and where no number belongs none is meant."""
    assert isinstance(typed_value(time(1, 30), number_format, shape), Unclear)


@pytest.mark.parametrize(
    ("text", "minutes", "hours"), [("1:30", 90, 1.5), ("0:45", 45, 0.75), ("2:15:30", 135.5, 2.2583333)]
)
def test_a_time_is_converted_in_columns_of_minutes_and_hours(text: str, minutes: float, hours: float) -> None:
    assert float(amount(parted(text), ("minute",), decimal_comma=False)) == minutes
    assert float(amount(parted(text), ("hour",), decimal_comma=False)) == pytest.approx(hours)


@pytest.mark.parametrize(("text", "unit", "told"), [
    ("1:75", "minute", "no time of hours and minutes"), ("90:00", "minute", "no time of hours and minutes"),
    ("1:30", "gram", "of another kind than this column, which holds grams"),
])  # fmt: skip
def test_what_no_clock_shows_or_no_time_belongs_in_is_told(text: str, unit: str, told: str) -> None:
    with pytest.raises(Unreadable, match=told):
        amount(parted(text), (unit,), decimal_comma=False)
