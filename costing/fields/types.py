"""The parts that records are made of: frozen models, and field types that say what was found and what to write."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Annotated, Any, Protocol, TypeAlias

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler
from pydantic.fields import FieldInfo
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from costing.errors import suggestion
from costing.fields.catalogue import ingredient_named, known_names
from costing.fields.names import LONGEST_NAME, MARKS, forbidden, spelled, taken_for, without_forbidden
from costing.fields.numerals import Unreadable, plainly
from costing.fields.quantities import amount, parted
from costing.fields.views import DayWritten, Following, Number, Words
from costing.fields.words import plain_word, words
from costing.fields.written_days import DayOrder, readings_of_day

_EPOCH = date(1899, 12, 30)


def day_number(day: date) -> int:
    """Return the serial number under which spreadsheets keep a date. [day]

    >>> day_number(date(2026, 11, 1))
    46327
    """
    return (day - _EPOCH).days


def day_of(number: float) -> date:
    """Return the date that a spreadsheet keeps as a serial number."""
    return date.fromordinal(_EPOCH.toordinal() + int(number))


class Record(BaseModel):
    """One row that the maker wrote, checked and frozen."""

    model_config = ConfigDict(frozen=True, extra="forbid", ignored_types=(Following,))


def given(  # noqa: PLR0913  # one name for each thing that a column can say
    heading: str,
    note: str,
    field: FieldType | None = None,
    *,
    default: Any = ...,
    refers: str = "",
    decimals: int | None = None,
) -> Any:
    """Describe a given column: its heading, what it means, and how it is read where its annotation does not say so.

    refers: the key column it refers to; decimals: those of a figure that the program writes itself.
    """
    info: FieldInfo = Field(
        default, title=heading, description=note, json_schema_extra={"refers": refers, "decimals": decimals}
    )
    if field is not None:
        info.metadata.append(field)
    return info


class FieldType(Protocol):
    """What a column needs to know of its field: how to read it, and how a sheet shows it."""

    @property
    def unit(self) -> str:
        """The unit of its values; text for texts."""

    @property
    def shape(self) -> str:
        """How a sheet shows it: number, percent, date, text, key or choice."""

    def read(self, value: Any, info: core_schema.ValidationInfo) -> Any:
        """Return the value a text stands for."""

    def cell(self, value: Any) -> float | str | None:
        """Return the value as a sheet keeps it."""


class _Reader:
    """Lets a field type stand inside ``Annotated`` and read through its own ``read``."""

    def __get_pydantic_core_schema__(self, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self.read)

    def read(self, value: Any, info: core_schema.ValidationInfo) -> Any:
        raise NotImplementedError


def fault(what: str, do: str, column: str = "") -> PydanticCustomError:
    """Return the error that carries a fault's words through validation, and its column where a row as a whole has it."""
    return PydanticCustomError("fault", "{what}; {do}", {"what": what, "do": do, "column": column})


def _clean(value: Any) -> str:
    text = unicodedata.normalize("NFC", str(value)).replace("\u00a0", " ").replace("\r\n", "\n").strip()
    if len(text) > 2000:
        raise fault(f"{len(text)} characters are more than a cell should hold", "shorten it to 2000")
    if any(unicodedata.category(letter) == "Cc" and letter not in "\n\t" for letter in text):
        raise fault(f"{text!a} holds a control character", "type the text again")
    if bad := next((letter for letter in text if _is_no_letter(letter)), ""):
        raise fault(f"{text!a} holds {bad!a}, which no workbook can carry", "type the text again")
    return text


def _is_no_letter(letter: str) -> bool:
    """Whether a code stands for no character: half of one, or one that Unicode keeps free for good."""
    code = ord(letter)
    return 0xD800 <= code <= 0xDFFF or 0xFDD0 <= code <= 0xFDEF or code & 0xFFFE == 0xFFFE


@dataclass(frozen=True)
class TextField(_Reader):
    """Free text. ``name`` marks texts that sheets compare, in which wildcards would mislead."""

    name: bool = False
    unit: str = "text"
    shape: str = "text"

    def read(self, value: Any, info: core_schema.ValidationInfo) -> str:
        """Return the text without blanks at its ends."""
        text = _clean(value)
        if self.name:
            text = " ".join(text.split())
        if self.name and re.search(r"[*?~]", text):
            raise fault(f'"{text}" holds one of * ? ~', "leave it out: spreadsheets take it to mean any letters")
        return text

    def cell(self, value: str) -> str:
        """Return the text."""
        return value


@dataclass(frozen=True)
class KeyField(_Reader):
    """An everyday name by which a thing is known; with ``path``, also ``formula/output``.

    Where the reader of a season has a list of the names met so far, the spelling that was written first is returned.
    """

    path: bool = False
    unit: str = "text"
    shape: str = "key"

    def read(self, value: Any, info: core_schema.ValidationInfo) -> str:
        """Return the name."""
        parts = _clean(value).split("/") if self.path else [_clean(value)]
        parts = [spelled(part) for part in parts]
        if len(parts) > 2:
            raise fault(f'"{_short("/".join(parts))}" holds / more than once', "write formula/output")
        for part in parts:
            self._check(part)
        name = "/".join(parts)
        if len(parts) > 1 and (taken := taken_for(name)):
            raise fault(f'"{name}" would be taken for {taken} by spreadsheets', "call the output otherwise")
        met: Met | None = info.context.get("names") if info.context else None
        return met.spelling(str(info.field_name), name) if met else name

    def _check(self, name: str) -> None:
        """Raise what is wrong with a name, with what to write instead."""
        shown = f'"{_short(name)}"'
        if bad := forbidden(name):
            self._refuse_letters(name, bad)
        if not any(letter.isalnum() for letter in name):
            raise fault(f"{shown} is no name" if name else "a name beside / is empty", "write at least a letter")
        if name[0] in "+-":
            raise fault(f"{shown} begins with {name[0]}", "begin it with a letter: spreadsheets take it for a formula")
        if taken := taken_for(name):
            raise fault(f"{shown} would be taken for {taken} by spreadsheets", "put a word with it that says what it is")
        if len(name) > LONGEST_NAME:
            raise fault(f"{shown} is a name of {len(name)} letters", f"shorten it to {LONGEST_NAME} or fewer")

    def _refuse_letters(self, name: str, bad: Sequence[str]) -> None:
        rest = without_forbidden(name)
        do = f'write "{_short(rest)}"' if any(letter.isalnum() for letter in rest) else "write letters, digits and blanks"
        why = "joins a formula and its output" if bad == ["/"] else f"may not stand in a name; besides letters, {MARKS} may"
        raise fault(f'"{_short(name)}" holds {" ".join(bad[:5])}, which {why}', do)

    def cell(self, value: str) -> str:
        """Return the name."""
        return value


class Met(Protocol):
    """The names of a season met so far."""

    def spelling(self, column: str, name: str) -> str:
        """Return how a name of some column was spelled first."""


def _short(text: str) -> str:
    return text if len(text) <= LONGEST_NAME else f"{text[:20]}…"


@dataclass(frozen=True)
class NumberField(_Reader):
    """A number within bounds, kept with the decimals as written; a unit of its kind beside it is converted.

    also: further units that it may bring; instead: what to do with a rate written here.
    """

    unit: str = ""
    least: int | None = None
    above: int | None = None
    most: int | None = None
    shape: str = "number"
    also: tuple[str, ...] = ()
    instead: str = ""

    def read(self, value: Any, info: core_schema.ValidationInfo) -> Decimal | None:
        """Return the number that the text means."""
        if value is None:
            return None
        number = self._number(value, info)
        shown = plainly(value) if isinstance(value, Decimal) else f"{value}".strip()
        if self.above is not None and number <= self.above:
            raise fault(f"{shown} is not above {self.above}", f"write a number above {self.above}")
        if self.least is not None and number < self.least:
            raise fault(f"{shown} is below {self.least}", f"write {self.least} or more")
        if self.most is not None and number > self.most:
            raise fault(f"{shown} is above {self.most}", f"write {self.most} or less")
        return number

    def _number(self, value: Any, info: core_schema.ValidationInfo) -> Decimal:
        if isinstance(value, bool):
            raise fault(f'"{value}" is not a number', "write digits")
        if isinstance(value, int | float | Decimal):
            value = str(value)
        quantity = parted(_clean(value))
        context = info.context or {}
        try:
            number = amount(quantity, self.units, decimal_comma=bool(context.get("decimal_comma")))
        except Unreadable as error:
            raise fault(error.what, self.instead if quantity.mark == "%" and self.instead else error.do) from None
        if quantity.mark and "marked" in context:
            context["marked"].append((str(info.field_name), quantity))
        return number

    @property
    def units(self) -> tuple[str, ...]:
        """The units that a figure may bring with it."""
        return (self.unit, *self.also)

    def cell(self, value: Decimal | None) -> float | None:
        """Return the number in binary, as sheets keep it."""
        return None if value is None else float(value)


@dataclass(frozen=True)
class PercentField(NumberField):
    """A percentage as people write it: 40 or 40 % is forty in a hundred."""

    least: int | None = 0
    most: int | None = 100
    shape: str = "percent"

    @property
    def units(self) -> tuple[str, ...]:
        """A percent sign alone."""
        return ("percent",)

    def cell(self, value: Decimal | None) -> float | None:
        """Return the fraction that a cell shown as a percentage holds."""
        return None if value is None else float(value / 100)


@dataclass(frozen=True)
class DayField(_Reader):
    """A date in the one spelling that cannot be misread: year-month-day."""

    unit: str = "day"
    shape: str = "date"

    def read(self, value: Any, info: core_schema.ValidationInfo) -> date:
        """Return the date."""
        if isinstance(value, datetime):
            value = value.date()
        order = (info.context or {}).get("day_orders", {}).get(info.field_name)
        day: date = value if isinstance(value, date) else _read_day(_clean(value), order)
        if not date(1970, 1, 1) <= day <= date(2199, 12, 31):
            raise fault(f"{day.isoformat()} is no day of this trade", "check the year")
        return day

    def cell(self, value: date) -> int:
        """Return the serial number."""
        return day_number(value)


def _read_day(text: str, order: DayOrder | None) -> date:
    readings = readings_of_day(text)
    if not readings:
        raise fault(f'"{text}" is not a date as year-month-day', "write it like 2026-11-01")
    if len(readings) == 1:
        return next(iter(readings.values()))
    if order in readings:
        return readings[order]
    both = " or ".join(day.isoformat() for day in readings.values())
    if order == "contradicted":
        raise fault(
            f'"{text}" can be {both}, and other dates of this column are day-first and month-first', "write year-month-day"
        )
    raise fault(f'"{text}" can be {both}', f"write {both}")


@dataclass(frozen=True)
class ChoiceField(_Reader):
    """One word of a short list."""

    choices: tuple[str, ...]
    unit: str = "text"
    shape: str = "choice"

    def read(self, value: Any, info: core_schema.ValidationInfo) -> str:
        """Return the word as the list has it."""
        text = _clean(value).lower()
        word = words("answer").get(plain_word(text), text) if "yes" in self.choices else text
        for choice in self.choices:
            if choice.lower() == word:
                return choice
        listed = [choice for choice in self.choices if choice]
        meant = suggestion(text, listed)
        raise fault(f'"{text}" is not one of {", ".join(listed)}', str(meant) if meant.nearest else "write one of these")

    def cell(self, value: str) -> str:
        """Return the word."""
        return value


@dataclass(frozen=True)
class IngredientField(_Reader):
    """An ingredient of the packaged list, by any of its names; blank for none."""

    unit: str = "text"
    shape: str = "text"

    def read(self, value: Any, info: core_schema.ValidationInfo) -> str:
        """Return the key that it has in the packaged list."""
        text = _clean(value)
        found = ingredient_named(text)
        if text and not found:
            meant = suggestion(text, known_names())
            do = f"{meant} Otherwise leave" if meant.nearest else "leave"
            raise fault(f'"{text}" is not in the packaged list', f"{do} it blank; costing names lists what is in it")
        return found.item if found else ""

    def cell(self, value: str) -> str:
        """Return the key."""
        return value


if TYPE_CHECKING:
    Text: TypeAlias = Words
    Name: TypeAlias = Words
    Key: TypeAlias = Words
    Reference: TypeAlias = Words
    YesNo: TypeAlias = Words
    Day: TypeAlias = DayWritten
    Grams: TypeAlias = Number
    Money: TypeAlias = Number
    Minutes: TypeAlias = Number
    Count: TypeAlias = Number
else:
    Text = Annotated[str, TextField()]
    Name = Annotated[str, TextField(name=True)]
    Key = Annotated[str, KeyField()]
    Reference = Annotated[str, KeyField(path=True)]
    Day = Annotated[date, DayField()]
    YesNo = Annotated[str, ChoiceField(("yes", "no"))]
    Grams = Annotated[Decimal, NumberField("gram", above=0)]
    Money = Annotated[Decimal, NumberField("money", least=0)]
    Minutes = Annotated[Decimal, NumberField("minute", least=0)]
    Count = Annotated[Decimal, NumberField("", least=0)]
