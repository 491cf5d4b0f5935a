"""The closed table of operations: each one's spelling in a sheet, its numbers, its units and its words.

Numbers follow what spreadsheets do: texts compare without regard to case, a blank key matches nothing, rounding is
half away from zero on fifteen digits. Each row of this table is held against a spreadsheet program by a test.
"""

from __future__ import annotations

import math
import operator
import re
from collections.abc import Callable
from decimal import ROUND_DOWN, ROUND_HALF_UP, ROUND_UP, Decimal
from typing import Any, cast

from costing.engine.expressions import Node, Operation, teach_arithmetic
from costing.engine.ranges import (
    at_rank,
    count_between,
    largest_matching,
    largest_matching_below,
    largest_matching_until,
    match_first,
    match_step,
    matching,
    outside_bounds,
    position_of_first,
    squares_matching,
    sum_later,
    sum_matching,
    value_in_row,
)
from costing.engine.signatures import (
    AtStep,
    Choosing,
    Combining,
    Comparing,
    Counting,
    CountingBetween,
    CountingCells,
    CountingFormulas,
    FindingIn,
    Joining,
    LargestUpTo,
    LargestWhere,
    LookingUp,
    Picking,
    Positioning,
    Summing,
    SummingAfter,
    SummingWhere,
    Telling,
    Testing,
    TestingBounds,
    TestingCell,
    TestingListed,
    TestingWord,
    Texting,
    ValueAt,
    WritingDay,
)
from costing.engine.unit_rules import (
    ANY,
    NUMBER,
    TEXT,
    divided,
    no_unit_change,
    one_unit,
    plain,
    same_then,
    square_root,
    times,
)
from costing.fields.types import day_of

NOTHING = " "  # what a text formula comes to when there is nothing to say: a result of no text at all cannot be kept
COMPARISON, JOINING, SUM, PRODUCT, CALL = 0, 1, 2, 3, 9


def _infix(words: str) -> Any:
    return lambda *texts: words.join(texts)


def _comparable(value: Any) -> Any:
    return value.lower() if isinstance(value, str) else value


add = Operation("+", operator.add, one_unit, _infix(" + "), SUM)
subtract = Operation("-", operator.sub, one_unit, _infix(" − "), SUM)
multiply = Operation("*", operator.mul, times, _infix(" × "), PRODUCT)
divide = Operation("/", operator.truediv, divided, _infix(" ÷ "), PRODUCT)
join: Joining = Operation("&", lambda *texts: "".join(texts), lambda *_: TEXT, _infix(" followed by "), JOINING)
sentence: Telling = Operation(
    "CONCATENATE",
    lambda *parts: "".join(part if isinstance(part, str) else f"{part + 0:.0f}" for part in parts),
    lambda *_: TEXT,
    _infix(" "),
    CALL,
)

_equal = Operation("=", lambda a, b: _comparable(a) == _comparable(b), same_then(NUMBER), _infix(" is "), COMPARISON)
_unequal = Operation("<>", lambda a, b: _comparable(a) != _comparable(b), same_then(NUMBER), _infix(" is not "), COMPARISON)
equal: Comparing = _equal
unequal: Comparing = _unequal
less = Operation("<", operator.lt, same_then(NUMBER), _infix(" is below "), COMPARISON)
at_most = Operation("<=", operator.le, same_then(NUMBER), _infix(" is at most "), COMPARISON)
more = Operation(">", operator.gt, same_then(NUMBER), _infix(" is above "), COMPARISON)
at_least = Operation(">=", operator.ge, same_then(NUMBER), _infix(" is at least "), COMPARISON)

teach_arithmetic(
    add=add,
    subtract=subtract,
    multiply=multiply,
    divide=divide,
    equal=_equal,
    unequal=_unequal,
    less=less,
    at_most=at_most,
    more=more,
    at_least=at_least,
)

either: Testing = Operation("OR", lambda *tests: any(tests), plain, lambda *texts: " or ".join(texts), CALL)
both: Testing = Operation("AND", lambda *tests: all(tests), plain, lambda *texts: " and ".join(texts), CALL)
choose: Choosing = Operation(
    "IF",
    lambda test, then, otherwise: then if test else otherwise,
    lambda _, then, otherwise: one_unit(then, otherwise),
    lambda test, then, otherwise: f"if {test}: {then}, else {otherwise}",
    CALL,
)

pick: Picking = Operation(
    "CHOOSE",
    lambda position, *texts: texts[int(position) - 1],
    lambda _, *texts: one_unit(*texts),
    lambda position, *texts: f"number {position} of {', '.join(texts)}",
    CALL,
)

total: Summing = Operation("SUM", lambda values: values.total(), no_unit_change, lambda values: f"the sum of {values}", CALL)
counted: Counting = Operation(
    "COUNTA",
    lambda values: values.filled(),
    lambda _: NUMBER,
    lambda values: f"the number of {values}",
    SUM,
    "COUNTA({0})-1",
)
first_day: Summing = Operation(
    "MIN", lambda values: values.first_day(), no_unit_change, lambda values: f"the first of {values}", CALL
)
highest_of: Summing = Operation(
    "MAX", lambda values: values.highest(), no_unit_change, lambda values: f"the highest of {values}", CALL
)
days_up_to: Counting = Operation(
    "COUNTIFS",
    lambda values, limit: values.days_up_to(limit),
    same_then(NUMBER),
    lambda values, limit: f"the number of {values} up to {limit}",
    CALL,
    'COUNTIFS({0},"<="&{1})',
)
counted_rows: Counting = Operation(
    "COUNTA",
    lambda values: values.filled(),
    lambda _: NUMBER,
    lambda values: f"the number of {values} in its rows",
    CALL,
    body=True,
)
left_blank: Counting = Operation(
    "SUMPRODUCT",
    lambda keys, values: keys.filled() - values.filled(),
    lambda *_: NUMBER,
    lambda keys, values: f"the number of {keys} without {values}",
    CALL,
    'SUMPRODUCT(({0}<>"")*ISBLANK({1}))',
)
count_larger: Counting = Operation(
    "SUMPRODUCT",
    lambda values, value: values.larger_than(value),
    same_then(NUMBER),
    lambda values, value: f"the number of {values} above {value}",
    CALL,
    "SUMPRODUCT(({0}>{1})*1)",
    body=True,
)
count_same: Counting = Operation(
    "SUMPRODUCT",
    lambda values, value: len(matching((values, value))),
    same_then(NUMBER),
    lambda values, value: f"the number of {values} equal to {value}",
    CALL,
    "SUMPRODUCT(({0}={1})*1)",
)
count_both_same: Counting = Operation(
    "SUMPRODUCT",
    lambda one, first, other, second: len(matching((one, first, other, second))),
    lambda *_: NUMBER,
    lambda one, first, other, second: f"the number of rows with {one} equal to {first} and {other} to {second}",
    CALL,
    "SUMPRODUCT(({0}={1})*({2}={3}))",
)
is_missing: TestingListed = Operation(
    "MATCH",
    lambda keys, key: key != "" and not matching((keys, key)),
    lambda *_: NUMBER,
    lambda keys, key: f"{keys} lacks {key}",
    CALL,
    'AND({1}<>"",ISERROR(MATCH({1},{0},0)))',
    body=True,
)
is_outside: TestingBounds = Operation(
    "COUNTIFS",
    outside_bounds,
    lambda *_: NUMBER,
    lambda names, name, lows, highs, value: f"{value} lies outside {lows} and {highs} where {names} is {name}",
    COMPARISON,
    'COUNTIFS({0},{1},{2},"<="&{4},{3},">="&{4})=0',
)
count_within: CountingBetween = Operation(
    "COUNTIFS",
    count_between,
    lambda _keys, _key, values, low, high: same_then(NUMBER)(values, low, high),
    lambda keys, key, values, low, high: f"the number of {values} from {low} to {high} where {keys} is {key}",
    CALL,
    'COUNTIFS({0},{1},{2},">="&{3},{2},"<="&{4})',
    matched=slice(1, 2),
)
typed_below: Counting = Operation(
    "COUNTA",
    lambda _: 0.0,
    lambda _: NUMBER,
    lambda keys: f"cells filled in below the rows of {keys}",
    CALL,
    "COUNTA({0}_below)",
)
typed_over: Counting = Operation(
    "SUMPRODUCT",
    lambda _: 0.0,
    lambda _: NUMBER,
    lambda first: f"cells without a formula from {first} on to the right",
    CALL,
    "SUMPRODUCT(1-_xlfn.ISFORMULA({0}_worked))",
)
formulas_gone: CountingFormulas = Operation(
    "MAX",
    lambda _: 0.0,
    lambda _: NUMBER,
    lambda place: f"formulas fewer than were exported on the sheet of {place}",
    CALL,
    "MAX(0,{0}_formulas-SUMPRODUCT(_xlfn.ISFORMULA({0}_sheet)*1))",
)
larger: Combining = Operation("MAX", max, one_unit, lambda *texts: f"the larger of {' and '.join(texts)}", CALL)
smaller: Combining = Operation("MIN", min, one_unit, lambda *texts: f"the smaller of {' and '.join(texts)}", CALL)
root: Combining = Operation("SQRT", math.sqrt, square_root, lambda text: f"the square root of {text}", CALL)
power: Combining = Operation("POWER", math.pow, plain, lambda number, exponent: f"{number} to the power of {exponent}", CALL)
size_of: Combining = Operation("ABS", abs, no_unit_change, lambda text: f"the size of {text}", CALL)


filled_in: CountingCells = Operation(
    "COUNTA",
    lambda *cells: float(sum(cell != "" for cell in cells)),
    lambda *_: NUMBER,
    lambda *cells: f"how many of {_listed(cells)} are filled in",
    CALL,
    "COUNTA({areas})",
)
texts_in: CountingCells = Operation(
    "COUNTA",
    lambda *cells: float(sum(isinstance(cell, str) and cell != "" for cell in cells)),
    lambda *_: NUMBER,
    lambda *cells: f"how many of {_listed(cells)} hold a text",
    SUM,
    "COUNTA({areas})-COUNT({areas})",
)
lowest_in: CountingCells = Operation(
    "MIN",
    lambda *cells: min(_numbers_in(cells), default=0.0),
    lambda *_: NUMBER,
    lambda *cells: f"the lowest of {_listed(cells)}",
    CALL,
    "MIN({areas})",
)
highest_in: CountingCells = Operation(
    "MAX",
    lambda *cells: max(_numbers_in(cells), default=0.0),
    lambda *_: NUMBER,
    lambda *cells: f"the highest of {_listed(cells)}",
    CALL,
    "MAX({areas})",
)
is_number: TestingCell = Operation(
    "ISNUMBER", lambda cell: not isinstance(cell, str), lambda _: NUMBER, lambda cell: f"{cell} is a number", CALL
)
flaws_of_name: CountingCells = Operation(
    "TRIM",
    lambda text: float((_tidied(text) != text) + (not isinstance(text, str)) + (str(text)[:1] in ("<", ">", "="))),
    lambda _: NUMBER,
    lambda text: f"how many of these hold of {text}: a blank too many or * ? ~, a number, < > or = in front",
    SUM,
    '(TRIM(SUBSTITUTE(SUBSTITUTE(SUBSTITUTE({0},"*",""),"?",""),"~",""))<>{0})'
    '+ISNUMBER({0})+ISNUMBER(FIND(LEFT({0}&"x"),"<>="))',
)
tidy: Joining = Operation(
    "TRIM",
    lambda text: " ".join(text.split()) or NOTHING,
    lambda _: TEXT,
    lambda text: text,
    CALL,
)
text_until: Texting = Operation(
    "LEFT",
    lambda text, part: text.split(part, 1)[0],
    lambda *_: TEXT,
    lambda text, part: f"{text} up to {part}",
    CALL,
    "LEFT({0},FIND({1},{0}&{1})-1)",
)
without: Texting = Operation(
    "SUBSTITUTE",
    lambda text, part: text.replace(part, ""),
    lambda *_: TEXT,
    lambda text, part: f"{text} without {part}",
    CALL,
    'SUBSTITUTE({0},{1},"")',
)
written_day: WritingDay = Operation(
    "YEAR",
    lambda day: day_of(day).isoformat(),
    lambda _: TEXT,
    lambda day: f"{day} as it is written",
    JOINING,
    'YEAR({0})&"-"&RIGHT(100+MONTH({0}),2)&"-"&RIGHT(100+DAY({0}),2)',
)
is_unlisted: TestingWord = Operation(
    "FIND",
    lambda text, words: f" {str(text).lower()} " not in words,
    lambda *_: NUMBER,
    lambda text, words: f"{text} is none of {words}",
    CALL,
    'ISERROR(FIND(" "&LOWER({0})&" ",{1}))',
)


def _numbers_in(cells: tuple[Any, ...]) -> list[float]:
    """Return the numbers among some cells: blanks and texts are passed over."""
    return [cell for cell in cells if cell != "" and not isinstance(cell, str)]


def _tidied(text: object) -> str:
    return " ".join(part for part in re.sub(r"[*?~]", "", str(text)).split(" ") if part)


def _listed(cells: tuple[str, ...]) -> str:
    return ", ".join(cells)


def _where(pairs: tuple[str, ...]) -> str:
    return " and ".join(f"{keys} is {key}" for keys, key in zip(pairs[::2], pairs[1::2], strict=True))


sum_where: SummingWhere = Operation(
    "SUMIFS",
    sum_matching,
    lambda values, *_: values,
    lambda values, *pairs: f"the sum of {values} where {_where(pairs)}",
    CALL,
    matched=slice(2, None, 2),
)
count_where: Counting = Operation(
    "COUNTIFS",
    lambda *pairs: len(matching(pairs)),
    lambda *_: NUMBER,
    lambda *pairs: f"the number of rows where {_where(pairs)}",
    CALL,
    matched=slice(1, None, 2),
)
look_up: LookingUp = Operation(
    "INDEX",
    match_first,
    lambda values, *_: values,
    lambda values, keys, key: f"{values} where {keys} is {key}",
    CALL,
    'IF(ISNUMBER(MATCH({2},{1},0)),INDEX({0},MATCH({2},{1},0))," ")',
)
position_of: Positioning = Operation(
    "MATCH",
    position_of_first,
    lambda *_: NUMBER,
    lambda keys, key: f"the place of {key} in {keys}, 0 where it is not there",
    CALL,
    'IF(AND({1}<>"",ISNUMBER(MATCH({1},{0},0))),MATCH({1},{0},0),0)',
)
value_at: ValueAt = Operation(
    "INDEX",
    value_in_row,
    lambda values, _: values,
    lambda values, position: f"{values} at place {position}",
    CALL,
    "CHOOSE(1+({1}>1),0,INDEX({0},{1}))",
)
found_in: FindingIn = Operation(
    "MATCH",
    lambda one, other, key: float(bool(position_of_first(one, key))) + bool(position_of_first(other, key)),
    lambda *_: NUMBER,
    lambda one, other, key: f"in how many of {one} and {other} {key} stands",
    SUM,
    "ISNUMBER(MATCH({2},{0},0))+ISNUMBER(MATCH({2},{1},0))",
)
largest_at: LargestUpTo = Operation(
    "SUMPRODUCT",
    at_rank,
    lambda values, *_: values,
    lambda values, keys, key, rank: f"number {rank} of {values} where {keys} is {key}, the largest first",
    CALL,
    "SUMPRODUCT(LARGE(({1}={2})*{0},{3}))",
    body=True,
)
largest_where: LargestWhere = Operation(
    "SUMPRODUCT",
    largest_matching,
    lambda values, *_: values,
    lambda values, keys, key: f"the largest of {values} where {keys} is {key}",
    CALL,
    "SUMPRODUCT(MAX(({1}={2})*{0}))",
    body=True,
)


squares_about: LargestUpTo = Operation(
    "SUMPRODUCT",
    squares_matching,
    lambda values, _keys, _key, middle: times(one_unit(values, middle), values),
    lambda values, keys, key, middle: (
        f"the sum of squared distances from {middle} of {values} above 0 where {keys} is {key}"
    ),
    CALL,
    "SUMPRODUCT(({1}={2})*({0}>0)*({0}-{3})*({0}-{3}))",
    body=True,
)


def _largest(work_out: Callable[..., float], sign: str, words: str) -> Operation:
    """Return the largest where a key matches, up to a limit in the unit of the values."""
    return Operation(
        "SUMPRODUCT",
        work_out,
        lambda values, _keys, _key, limit: one_unit(values, limit),
        lambda values, keys, key, limit: f"the largest of {values} {words} {limit} where {keys} is {key}",
        CALL,
        f"SUMPRODUCT(MAX(({{1}}={{2}})*({{0}}{sign}{{3}})*{{0}}))",
        body=True,
    )


largest_until: LargestUpTo = _largest(largest_matching_until, "<=", "not above")
largest_below: LargestUpTo = _largest(largest_matching_below, "<", "below")
at_step: AtStep = Operation(
    "INDEX",
    match_step,
    lambda values, *_: values,
    lambda values, steps, reached: f"{values} at the last of {steps} that {reached} reaches",
    CALL,
    "INDEX({0},MATCH({2},{1},1))",
    body=True,
)
sum_after: SummingAfter = Operation(
    "SUMIFS",
    sum_later,
    lambda values, *_: values,
    lambda values, keys, key, days, day: f"the sum of {values} where {keys} is {key} and {days} after {day}",
    CALL,
    'SUMIFS({0},{1},{2},{3},">"&{4})',
    matched=slice(2, 3),
)


def _fifteen_digits(number: float) -> Decimal:
    """Return the number as a sheet sees it: its first fifteen digits."""
    return Decimal(f"{number:.14e}")


def _round(number: float, digits: float) -> float:
    return float(_fifteen_digits(number).quantize(Decimal(1).scaleb(-int(digits)), ROUND_HALF_UP))


def _round_up(number: float, digits: float) -> float:
    return float(_fifteen_digits(number).quantize(Decimal(1).scaleb(-int(digits)), ROUND_UP))


round_half: Combining = Operation(
    "ROUND", _round, lambda value, _: value, lambda value, digits: f"{value} rounded to {digits} decimals", CALL
)
round_up: Combining = Operation(
    "ROUNDUP", _round_up, lambda value, _: value, lambda value, digits: f"{value} rounded up to {digits} decimals", CALL
)


def _round_down(number: float, digits: float) -> float:
    return float(_fifteen_digits(number).quantize(Decimal(1).scaleb(-int(digits)), ROUND_DOWN))


round_down: Combining = Operation(
    "ROUNDDOWN",
    _round_down,
    lambda value, _: value,
    lambda value, digits: f"{value} rounded down to {digits} decimals",
    CALL,
)


def ratio(over: float, under: float, otherwise: float = 0) -> float:
    """Return ``over ÷ under``, or what stands in for it where there is nothing to divide by."""
    if isinstance(over, Node) or isinstance(under, Node):
        return choose(under == 0, otherwise, over / under)
    return otherwise if under == 0 else over / under


def ratio_if(test: bool, over: float, under: float, otherwise: float | str = NOTHING) -> float:  # noqa: FBT001  # as IF has it
    """Return ``over ÷ under`` where the test holds, else nothing: for figures that have no value without it."""
    if isinstance(test, Node) or isinstance(over, Node) or isinstance(under, Node):
        return choose(test, over / under, cast("float", otherwise))
    return over / under if test else cast("float", otherwise)


def only_if(test: bool, figure: float) -> float:  # noqa: FBT001  # as IF has it
    """Return a figure where the test holds, else nothing: for figures that have no value without it."""
    return choose(test, figure, cast("float", NOTHING))


def is_blank(cell: object) -> bool:
    """Say whether nothing was written in a cell."""
    return equal(cell, "")


def or_one(cell: float, named: str, one: float = 1) -> float:
    """Return a figure, or one where it was left blank in a row that names something."""
    return cell + choose(both(unequal(named, ""), is_blank(cell)), one, 0)


def _relabelled(unit: str) -> Operation:
    return Operation("", lambda value: value, lambda _: unit, lambda text: text, CALL, "{0}")


def read_as(value: float, unit: str) -> float:
    """Return the same figure under another unit, where the trade counts either grams or pieces."""
    read: float = _relabelled(unit)(value)
    return read


__all__ = [
    "ANY",
    "NOTHING",
    "add",
    "at_least",
    "at_most",
    "at_step",
    "both",
    "choose",
    "count_both_same",
    "count_larger",
    "count_same",
    "count_where",
    "count_within",
    "counted",
    "counted_rows",
    "days_up_to",
    "divide",
    "either",
    "equal",
    "filled_in",
    "first_day",
    "flaws_of_name",
    "formulas_gone",
    "found_in",
    "highest_in",
    "highest_of",
    "is_blank",
    "is_missing",
    "is_number",
    "is_outside",
    "is_unlisted",
    "join",
    "larger",
    "largest_at",
    "largest_below",
    "largest_until",
    "largest_where",
    "left_blank",
    "less",
    "look_up",
    "lowest_in",
    "more",
    "multiply",
    "only_if",
    "or_one",
    "pick",
    "position_of",
    "power",
    "ratio",
    "ratio_if",
    "read_as",
    "root",
    "round_down",
    "round_half",
    "round_up",
    "size_of",
    "smaller",
    "squares_about",
    "subtract",
    "sum_after",
    "sum_where",
    "text_until",
    "texts_in",
    "tidy",
    "total",
    "typed_below",
    "typed_over",
    "unequal",
    "value_at",
    "without",
    "written_day",
]  # fmt: skip
