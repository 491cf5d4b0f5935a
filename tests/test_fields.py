"""What one cell may hold: texts, names, keys, numbers, days and words, at the edges of what is accepted."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

import pytest
from pydantic_core import PydanticCustomError

from costing.fields.types import ChoiceField, DayField, KeyField, NumberField, PercentField, TextField
from costing.fields.written_days import order_of
from costing.tables.buying.purchases import UnitField


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
        ("03.04.2026", '"03.04.2026" can be 2026-04-03 or 2026-03-04; write 2026-04-03 or 2026-03-04'),
        ("4 foo 2026", '"4 foo 2026" is not a date as year-month-day; write it like 2026-11-01'),
        ("32/13/2026", '"32/13/2026" is not a date as year-month-day; write it like 2026-11-01'),
    ],
)
def test_a_day_written_otherwise_is_told_with_its_readings(text: str, told: str) -> None:
    assert refused(DayField(), text) == told


@pytest.mark.parametrize("text", [
    "2026-11-04", "2026/11/4", "2026.11.04", "4 Nov 2026", "4. November 2026", "4 de novembro de 2026", "Nov 4, 2026",
    "4 listopada 2026", "04-nov-2026",
])  # fmt: skip
def test_a_day_that_can_be_one_day_only_is_read(text: str) -> None:
    assert read(DayField(), text) == date(2026, 11, 4)


def test_a_day_beyond_the_twelfth_says_itself_what_comes_first() -> None:
    assert read(DayField(), "25.12.2026") == read(DayField(), "12/25/2026") == date(2026, 12, 25)
    assert read(DayField(), "4-4-2026") == date(2026, 4, 4)


@pytest.mark.parametrize(("others", "day"), [
    (["25/11/2025"], date(2025, 11, 4)), (["11/25/2025"], date(2025, 4, 11)),
    (["25.11.2025", "x", "2025-11-30"], date(2025, 11, 4)),
])  # fmt: skip
def test_an_unclear_day_is_read_as_the_clear_ones_of_its_column(others: list[str], day: date) -> None:
    order = order_of(["04/11/2025", *others])
    context = type("Context", (), {"context": {"day_orders": {"bought_on": order}}, "field_name": "bought_on"})
    assert DayField().read("04/11/2025", context) == day  # type: ignore[arg-type]  # all that a field looks at


def test_a_column_that_contradicts_itself_settles_nothing() -> None:
    context = type(
        "Context", (), {"context": {"day_orders": {"day": order_of(["25/11/2025", "11/25/2025"])}}, "field_name": "day"}
    )
    with pytest.raises(PydanticCustomError, match="other dates of this column are day-first and month-first"):
        DayField().read("04/11/2025", context)  # type: ignore[arg-type]  # all that a field looks at


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


@pytest.mark.parametrize("name", [
    "Shea butter", "Óleo de coco", "Jar 200 mL", "Ηλιέλαιο & μέλι", "シアバター", "मक्खन", "زبدة الشيا", "Масло №2",
    "maker's soap", "5 % lavender, (raw): best + new. #3", "2-Phenoxyethanol", "May", "March flowers", "Q1 2026", "k" * 60,
    "Set de 2 barras",
])  # fmt: skip
def test_a_name_is_everyday_words_of_any_script(name: str) -> None:
    """Up to 60 letters of any script, digits, blanks and everyday marks; it is kept as typed."""
    assert read(KeyField(), name) == name
    assert read(KeyField(path=True), f"{name}/ends") == f"{name}/ends"


def test_a_name_is_spelled_with_one_blank_and_in_one_unicode_form() -> None:
    assert read(KeyField(), " Shea\u00a0  Butter ") == "Shea Butter"
    assert read(KeyField(), "cafe\u0301\u200b") == "café"
    assert read(KeyField(path=True), " Bar / Ends ") == "Bar/Ends"


NOT_IN_NAMES = "which may not stand in a name; besides letters, - & ' ’ . , ( ) + % : # № may"


@pytest.mark.parametrize(("text", "told"), [
    ("Fern*", f'"Fern*" holds *, {NOT_IN_NAMES}; write "Fern"'),
    ("<5", f'"<5" holds <, {NOT_IN_NAMES}; write "5"'),
    ("!!", f'"!!" holds !, {NOT_IN_NAMES}; write letters, digits and blanks'),
    ("bar/ends", '"bar/ends" holds /, which joins a formula and its output; write "bar ends"'),
    ("k" * 61, f'"{"k" * 20}…" is a name of 61 letters; shorten it to 60 or fewer'),
    ("a\x07b", "'a\\x07b' holds a control character; type the text again"),
    ("+Oil", '"+Oil" begins with +; begin it with a letter: spreadsheets take it for a formula'),
    ("%", '"%" is no name; write at least a letter'),
])  # fmt: skip
def test_what_may_not_stand_in_a_name_is_told_with_what_to_write(text: str, told: str) -> None:
    assert refused(KeyField(), text) == told


@pytest.mark.parametrize("letter", '*?~<>="[]{}|\\_^;!@$½🧼')
def test_wildcards_operators_and_signs_are_refused_wherever_they_stand(letter: str) -> None:
    for text in (f"{letter}bar", f"ba{letter}r", f"bar{letter}"):
        assert f"holds {letter}, which may not stand in a name" in refused(KeyField(), text)


def test_a_formula_with_its_output_is_two_names() -> None:
    """Each of the two may have 60 letters, neither may be empty, and there is one stroke."""
    assert read(KeyField(path=True), f"{'k' * 60}/{'k' * 60}") == f"{'k' * 60}/{'k' * 60}"
    assert refused(KeyField(path=True), f"base/{'k' * 61}").startswith('"kkkkkkkkkkkkkkkkkkkk…" is a name of 61 letters')
    assert refused(KeyField(path=True), "bar/").startswith("a name beside / is empty")
    assert refused(KeyField(path=True), "a/b/c") == '"a/b/c" holds / more than once; write formula/output'


@pytest.mark.parametrize(("text", "taken"), [
    ("12", "a number or a date"), ("1-2", "a number or a date"), ("3/4", ""), ("50 %", "a number or a date"),
    ("(5)", "a number or a date"), ("１２", "a number or a date"), ("12:30", "a number or a date"),
    ("2026-11-01", "a number or a date"),
    ("1e5", "a number"), ("2e-1", "a number"), ("1.5E3", "a number"),
    ("true", "TRUE or FALSE"), ("FALSE", "TRUE or FALSE"), ("Wahr", "TRUE or FALSE"),
    ("Mar 5", "a date"), ("5 Mar", "a date"), ("5. Mai", "a date"), ("mar-26", "a date"), ("1 de março", "a date"),
    ("4 Nov 2025", "a date"), ("3月5日", "a date"), ("Set 2", "a date"), ("5 pm", "a time of day"),
    ("5 kr", "an amount of money"), ("EUR 12,50", "an amount of money"), ("#NV", "an error"),
])  # fmt: skip
def test_a_name_that_sheets_take_for_something_else_is_refused(text: str, taken: str) -> None:
    """In some language of theirs, spreadsheets would turn it into a number or a date, and no row would be found by it."""
    assert f"would be taken for {taken}" in refused(KeyField(), text) if taken else "holds /" in refused(KeyField(), text)


def test_an_output_named_so_that_the_whole_is_an_error_is_refused() -> None:
    assert "would be taken for an error" in refused(KeyField(path=True), "#N/A")


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
    assert (PercentField().cell(None), PercentField().cell(Decimal(25))) == (None, 0.25)


def test_a_measure_that_differs_between_countries_is_known_by_its_last_word() -> None:
    assert refused(UnitField(), "full gallons") == (
        '"full gallons" differs between countries; write us gallon or imperial gallon'
    )


@pytest.mark.parametrize(("typed", "word"), [
    ("yes", "yes"), ("Y", "yes"), ("TRUE", "yes"),
    ("n", "no"), ("False", "no"), ("sim", "yes"), ("Não", "no"), ("ja", "yes"), ("nein", "no"), ("oui", "yes"),
    ("non", "no"), ("sí", "yes"), ("Sì", "yes"), ("nee", "no"),
    ("tak", "yes"), ("nie", "no"),
])  # fmt: skip
def test_yes_and_no_may_be_written_shorter(typed: str, word: str) -> None:
    assert read(ChoiceField(("yes", "no")), typed) == word


def test_a_word_is_one_of_its_list_in_whatever_case() -> None:
    field = ChoiceField(("weight", "sales", ""))
    assert (read(field, " Weight "), read(field, "")) == ("weight", "")
    assert refused(field, "wieght") == '"wieght" is not one of weight, sales; did you mean "weight"?'
    assert refused(field, "zzz") == '"zzz" is not one of weight, sales; write one of these'
    assert refused(field, "y") == '"y" is not one of weight, sales; write one of these'
