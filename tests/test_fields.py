"""What one cell may hold: texts, names, keys, numbers, days and words, at the edges of what is accepted."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

import pytest
from pydantic_core import PydanticCustomError

from costing.fields.types import ChoiceField, DayField, KeyField, NumberField, PercentField, TextField


def read(field: Any, value: object) -> Any:
    """Return what a field makes of a value."""
    return field.read(value, type("Context", (), {"context": None, "field_name": "column"}))


def refused(field: Any, value: object) -> str:
    """Return what a field says of a value that it refuses."""
    with pytest.raises(PydanticCustomError) as caught:
        read(field, value)
    return caught.value.message()


@pytest.mark.parametrize("day", [date(1970, 1, 1), date(2199, 12, 31)])
def test_the_first_and_the_last_day_are_days_of_this_trade(day: date) -> None:
    """Spreadsheets and people write them as texts, dates, or dates with a time."""
    for value in (day.isoformat(), day, datetime(day.year, day.month, day.day, 23, 59)):  # sheets know no zones
        assert read(DayField(), value) == day


@pytest.mark.parametrize("day", ["1969-12-31", "2200-01-01"])
def test_a_day_before_or_after_is_refused(day: str) -> None:
    assert refused(DayField(), day) == f"{day} is no day of this trade; check the year"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("3/4/2026", '"3/4/2026" can be 2026-04-03 or 2026-03-04; write 2026-04-03 or 2026-03-04'),
        ("25.12.2026", '"25.12.2026" is not a date as year-month-day; write 2026-12-25'),
        ("4-4-2026", '"4-4-2026" is not a date as year-month-day; write 2026-04-04'),
        ("32/13/2026", '"32/13/2026" is not a date as year-month-day; write it like 2026-11-01'),
    ],
)
def test_a_day_written_otherwise_is_told_with_its_readings(text: str, told: str) -> None:
    assert refused(DayField(), text) == told


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("  a bar  ", "a bar"),
        ("a\u00a0bar", "a bar"),
        ("two\r\nlines", "two\nlines"),
        ("two\nlines", "two\nlines"),
        ("a\ttab", "a\ttab"),
        ("e\u0301", "\u00e9"),
        ("a" * 2000, "a" * 2000),
    ],
)
def test_a_text_is_kept_but_for_blanks_at_its_ends(typed: str, text: str) -> None:
    """Line ends and accents are written in one way, whatever program they come from."""
    assert read(TextField(), typed) == text


def test_a_text_too_long_or_of_control_characters_is_refused() -> None:
    assert refused(TextField(), "a" * 2001) == "2001 characters are more than a cell should hold; shorten it to 2000"
    assert refused(TextField(), "a\x07b") == "'a\\x07b' holds a control character; type the text again"


def test_a_name_is_one_line_without_wildcards() -> None:
    """Sheets compare names, and take * ? ~ to stand for any letters; in free text they do no harm."""
    assert read(TextField(name=True), "Fern  \n hollow") == "Fern hollow"
    for wildcard in "*?~":
        assert "holds one of * ? ~" in refused(TextField(name=True), f"Fern{wildcard}")
        assert read(TextField(), f"Fern{wildcard}") == f"Fern{wildcard}"


def test_a_key_is_read_in_lower_case_and_told_how_to_be_written() -> None:
    assert read(KeyField(), " Shea-Butter ") == "shea-butter"
    assert read(KeyField(path=True), "Bar/Ends") == "bar/ends"
    assert refused(KeyField(), "Shea  butter!") == (
        '"Shea butter!" is not a key; write it with letters, digits and hyphens only, as in "shea-butter"'
    )
    assert refused(KeyField(), "bar/ends").endswith('as in "bar-ends"')
    assert refused(KeyField(), "k" * 61) == f'"{"k" * 20}…" is a key of more than 60 letters; shorten it'
    assert (
        refused(KeyField(path=True), f"base/{'k' * 61}")
        == '"base/kkkkkkkkkkkkkkk…" is a key of more than 60 letters; shorten it'
    )
    assert read(KeyField(path=True), f"{'k' * 60}/{'k' * 60}") == f"{'k' * 60}/{'k' * 60}"
    assert refused(KeyField(), "!!") == '"!!" is not a key; write it with letters, digits and hyphens only'


@pytest.mark.parametrize("text", ["12", "1-2", "1e5", "true", "FALSE"])
def test_a_key_that_sheets_take_for_a_number_is_refused(text: str) -> None:
    assert "would be taken for a number" in refused(KeyField(), text)


@pytest.mark.parametrize(
    ("field", "inside", "outside"),
    [
        (NumberField(above=0), "0.001", "0"),
        (NumberField(least=0), "0", "-0.001"),
        (NumberField(most=5), "5", "5.001"),
        (PercentField(), "100", "100.01"),
        (PercentField(), "0", "-0.01"),
    ],
)
def test_a_bound_is_held_to_the_hair(field: NumberField, inside: str, outside: str) -> None:
    assert float(read(field, inside)) == float(inside)
    assert f"{outside} is " in refused(field, outside)


def test_a_truth_is_no_number_and_nothing_stays_nothing() -> None:
    assert refused(NumberField(), True)  # noqa: FBT003 == '"True" is not a number; write digits'
    assert read(NumberField(), None) is None


@pytest.mark.parametrize(("typed", "word"), [("yes", "yes"), ("Y", "yes"), ("TRUE", "yes"), ("n", "no"), ("False", "no")])
def test_yes_and_no_may_be_written_shorter(typed: str, word: str) -> None:
    assert read(ChoiceField(("yes", "no")), typed) == word


def test_a_word_is_one_of_its_list_in_whatever_case() -> None:
    field = ChoiceField(("weight", "sales", ""))
    assert (read(field, " Weight "), read(field, "")) == ("weight", "")
    assert refused(field, "wieght") == '"wieght" is not one of weight, sales; did you mean "weight"?'
    assert refused(field, "zzz") == '"zzz" is not one of weight, sales; write one of these'
    assert refused(field, "y") == '"y" is not one of weight, sales; write one of these'
