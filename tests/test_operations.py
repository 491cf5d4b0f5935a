"""Each operation means in Python what its spelling means in a sheet: held against LibreOffice on random expressions."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

import pytest
from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName

from costing.engine import operations
from costing.engine.expressions import Above, Applied, Figure, Here, Leaf, Operation, Whole, fold
from costing.engine.ranges import Store, Values
from costing.engine.spelling import Address, spell
from tests.seasons import seeded
from tests.workbook.libreoffice import recalculated

op: Any = operations  # as a table of operations, not as the signatures that rules see

HEADING_ROW, ROWS, SPARE = 3, 20, 4
EACH_ROW = 85  # expressions beside each row
IN_A_WORKBOOK = (
    "typed_below",
    "typed_over",
    "formulas_gone",
)  # which only see what was typed there: tests/workbook/test_tells.py
WORDS = ("alfa", "Bravo", "charlie", 'say "delta"')


class Place:
    """A column of the sheet below, or a named figure."""

    def __init__(self, key: str, unit: str = "") -> None:
        self.key = key
        self.unit = unit
        self.heading = key.capitalize()
        self.name = f"data_{key}"
        self.sheet = "Data"
        self.may_be_blank = unit == "text" and key != "favourite"


WORD, TAG, REMARK, UNIQUE = (Place(key, "text") for key in ("word", "tag", "remark", "unique"))
GROUP, AMOUNT, PRICE, COUNT, GAP, LEVEL = (Place(key) for key in ("group", "amount", "price", "count", "gap", "level"))
COLUMNS = (WORD, TAG, REMARK, UNIQUE, GROUP, AMOUNT, PRICE, COUNT, GAP, LEVEL)
FIGURES = {
    Place("digits"): 2,
    Place("fine_digits"): 6,
    Place("rate"): 1.15,
    Place("step"): 0.5,
    Place("favourite", "text"): "alfa",
}
DIGITS, FINE, RATE, STEP, FAVOURITE = FIGURES
LETTERS = {place: get_column_letter(at) for at, place in enumerate(COLUMNS, start=1)}


def _address(place: Place) -> Address:
    return Address(LETTERS[place], HEADING_ROW)


# -- the sheet --


def _cells(random: Random) -> dict[Place, list[Any]]:
    """Return what stands in each column, None for a blank cell."""
    tags = [random.choice(("left", "right", None)) for _ in range(ROWS)]
    numbers: dict[Place, Callable[[], Any]] = {
        WORD: lambda: random.choice(WORDS),
        GROUP: lambda: random.randrange(1, 5),
        AMOUNT: lambda: _number(random),
        PRICE: lambda: round(random.uniform(0.01, 60), 2),
        COUNT: lambda: random.choice((0, 0, 1, 2, 12)),
        GAP: lambda: random.choice((None, _number(random))),
    }
    cells = {place: [draw() for _ in range(ROWS)] for place, draw in numbers.items()}
    cells[TAG] = tags
    cells[LEVEL] = [3 * at for at in range(ROWS)]
    cells[REMARK] = [random.choice(("seen", None)) if tag else None for tag in tags]
    cells[UNIQUE] = [f"row-{at}" for at in range(ROWS)]
    return cells


def _number(random: Random) -> float:
    """Return a number of either sign, often one that lies on the edge of being rounded up."""
    half = (random.randrange(-2000, 2000) + 0.5) / random.choice((1, 10, 100, 1000))
    return random.choice((half, round(random.uniform(-100, 100), 3), random.uniform(-1000, 1000)))


# -- working an expression out --


class OnTheEdge(Exception):
    """A comparison of figures that are equal but for the last bits, which every program settles in its own way."""


class Working:
    """Works an expression out by folding it: ranges as values, each operation by its own definition."""

    def __init__(self, cells: dict[Place, list[Any]], row: int) -> None:
        self.cells = cells
        self.row = row
        self.largest = 0.0  # figure on the way, by which what cancels out is judged
        self.stores: dict[Place, Store] = {}
        for place, values in cells.items():
            self.stores[place] = Store()
            self.stores[place].values = [self._filled(place, value) for value in values]

    @staticmethod
    def _filled(place: Place, value: Any) -> Any:
        return value if value is not None else "" if place.unit == "text" else 0.0

    def value(self, expression: Any) -> Any:
        """Return what an expression comes to."""
        return fold(expression, self._leaf, lambda constant: constant, self._combined)

    def _leaf(self, leaf: Leaf) -> Any:
        place: Any = leaf.place
        if isinstance(leaf, Figure):
            return FIGURES[place]
        if isinstance(leaf, Whole):
            return Values(self.stores[place])
        if isinstance(leaf, Above):
            return Values(self.stores[place], self.row + (1 if leaf.through else 0))
        return self.stores[place].values[self.row]

    def _combined(self, applied: Applied, operands: Sequence[Any]) -> Any:
        numbers = [each for each in operands if isinstance(each, int | float)]
        if applied.operation in COMPARISONS and len(numbers) == 2 and numbers[0] != numbers[1]:
            self._told_apart(*numbers)
        if applied.operation is op.divide and operands[1] == 0:
            return math.nan  # stands on the side of a choice that is not taken
        result = applied.operation.work_out(*operands)
        if isinstance(result, float) and math.isfinite(result):
            self.largest = max(self.largest, abs(result))
        return result

    def _told_apart(self, one: float, other: float) -> None:
        if abs(one - other) < 1e-9 * max(1.0, self.largest):
            raise OnTheEdge


COMPARISONS = (op.equal, op.unequal, op.less, op.at_most, op.more, op.at_least)


# -- random expressions --


class Drawing:
    """Draws expressions: a number, a text or a test, of some depth."""

    def __init__(self, random: Random) -> None:
        self.random = random

    def expression(self) -> Any:
        """Return an expression whose result a cell can show."""
        return self._one_of(self.number, self.number, self.number, self.text)(self.random.choice((1, 2, 3, 4)))

    def _one_of(self, *choices: Any) -> Any:
        return self.random.choice(choices)

    def number(self, depth: int) -> Any:
        """Return an expression that works out to a number."""
        if depth <= 0:
            return self._simple_number()
        draw = self._one_of(
            self._sum, self._sum, self._product, self._product, self._quotient, self._rounded, self._compared, self._chosen,
            self._where, self._where, self._counted, self._found,
        )  # fmt: skip
        return draw(depth - 1)

    def _simple_number(self) -> Any:
        place = self._one_of(AMOUNT, PRICE, COUNT, GAP)
        return self._one_of(
            Here(place), Here(place), Here(place), Figure(RATE), Figure(STEP), self._one_of(0, 1, 2, 60, 0.1, 1e-7)
        )

    def _sum(self, depth: int) -> Any:
        one, two, three = self.number(depth), self.number(depth), self._simple_number()
        shapes: list[Callable[[], Any]] = [
            lambda: op.add(one, two), lambda: op.subtract(one, two), lambda: op.subtract(one, op.subtract(two, three)),
            lambda: op.subtract(one, op.add(two, three)), lambda: op.subtract(op.subtract(one, two), three),
        ]  # fmt: skip
        return self._one_of(*shapes)()

    def _product(self, depth: int) -> Any:
        one, two, three = self.number(depth), self.number(depth), self._simple_number()
        summed = op.add(two, three)
        shapes: list[Callable[[], Any]] = [
            lambda: op.multiply(one, two),
            lambda: op.multiply(one, summed),
            lambda: op.multiply(op.subtract(two, three), one),
            lambda: op.multiply(op.read_as(summed, "each"), one),
            lambda: op.add(one, op.read_as(op.multiply(two, three), "each")),
        ]
        return self._one_of(*shapes)()

    def _quotient(self, depth: int) -> Any:
        one, two, price = self.number(depth), self.number(depth), Here(PRICE)
        shapes: list[Callable[[], Any]] = [
            lambda: op.ratio(one, two), lambda: op.ratio(one, Here(COUNT), self._simple_number()),
            lambda: op.divide(one, op.multiply(price, Figure(RATE))), lambda: op.divide(op.divide(one, price), Figure(RATE)),
            lambda: op.divide(one, op.divide(price, Figure(STEP))), lambda: op.multiply(one, op.divide(two, price)),
            lambda: op.ratio_if(op.more(two, 0), one, two, 0), lambda: op.divide(one, op.add(price, 1)),
        ]  # fmt: skip
        return self._one_of(*shapes)()

    def _rounded(self, depth: int) -> Any:
        one = self.number(depth)
        digits = self._one_of(Figure(DIGITS), Figure(FINE), 0, 1, 3)
        fine = op.round_half(one, Figure(FINE))
        ways = (op.round_half, op.round_half, lambda _, to: op.round_up(fine, to), self._rounded_up, self._rounded_down)
        return self._one_of(*ways)(one, digits)

    def _rounded_down(self, _: Any, digits: Any) -> Any:
        return op.round_down(Here(self._one_of(AMOUNT, GAP, PRICE)), digits)

    def _rounded_up(self, _: Any, digits: Any) -> Any:
        return op.round_up(Here(self._one_of(AMOUNT, GAP, PRICE)), digits)

    def _compared(self, depth: int) -> Any:
        one, two, three = self.number(depth), self.number(depth), self.number(0)
        one, two = op.add(one, 0), op.add(two, 0)  # a blank cell on its own is left out by MAX and MIN, not taken as 0
        return self._one_of(
            lambda: op.larger(one, two),
            lambda: op.smaller(one, two),
            lambda: op.size_of(op.subtract(one, three)),
            lambda: op.root(op.size_of(one)),
            lambda: op.power(Here(PRICE), self._one_of(Here(GROUP), Figure(STEP))),
        )()

    def _chosen(self, depth: int) -> Any:
        if self.random.random() < 0.3:
            position = op.add(1, op.add(op.choose(self.test(depth), 1, 0), op.choose(self.test(0), 1, 0)))
            return op.pick(position, self.number(depth), self.number(0), 7)
        return op.choose(self.test(depth), self.number(depth), self.number(depth))

    def _pairs(self, number: int) -> list[Any]:
        """Return ranges of keys with keys, all over the whole columns or all over the rows above."""
        reach = self._one_of("whole", "above", "through")
        pairs: list[Any] = [self._range(self._one_of(AMOUNT, PRICE, GAP), reach)]
        for _ in range(number):
            place, key = self._one_of(
                (WORD, Here(WORD)), (WORD, self._one_of("ALFA", "bravo", "none such")), (WORD, Figure(FAVOURITE)),
                (TAG, Here(TAG)), (TAG, op.join("le", "ft")), (GROUP, Here(GROUP)), (GROUP, op.subtract(Here(GROUP), 1)),
                (UNIQUE, op.join("row-", self._one_of("1", "12"))),
            )  # fmt: skip
            pairs += [self._range(place, reach), key]
        return pairs

    @staticmethod
    def _range(place: Place, reach: str) -> Any:
        return Whole(place) if reach == "whole" else Above(place, through=reach == "through")

    def _where(self, _: int) -> Any:
        pairs = self._pairs(self._one_of(1, 2))
        whole = Whole(self._one_of(AMOUNT, PRICE, GAP))
        return self._one_of(
            lambda: op.sum_where(*pairs),
            lambda: op.sum_where(*pairs),
            lambda: op.count_where(*pairs[1:]),
            lambda: op.largest_where(whole, Whole(WORD), self._one_of(Here(WORD), "ALFA", "none such")),
            lambda: op.largest_where(whole, Whole(GROUP), Here(GROUP)),
            lambda: op.largest_until(whole, Whole(GROUP), Here(GROUP), self._one_of(Here(PRICE), Here(COUNT), Here(AMOUNT))),
            lambda: op.largest_below(Whole(PRICE), Whole(WORD), Here(WORD), Here(PRICE)),
            lambda: op.largest_below(whole, Whole(GROUP), Here(GROUP), Figure(RATE)),
            lambda: op.sum_after(whole, Whole(WORD), Here(WORD), Whole(COUNT), op.subtract(Here(COUNT), 1)),
            lambda: op.count_within(
                Whole(WORD), Here(WORD), Whole(PRICE), op.multiply(Here(PRICE), 0.5), op.multiply(Here(PRICE), Figure(RATE))
            ),
            lambda: op.squares_about(whole, Whole(WORD), Here(WORD), self._one_of(Here(PRICE), Figure(RATE))),
            lambda: op.largest_at(Whole(PRICE), Whole(WORD), Here(WORD), self._one_of(1, 2, 7)),
            lambda: op.sum_after(whole, Whole(TAG), Here(TAG), Whole(GROUP), self._one_of(0, 2, Here(GROUP))),
        )()

    def _counted(self, _: int) -> Any:
        reach = self._one_of("whole", "above", "through")
        return self._one_of(
            lambda: op.total(self._range(self._one_of(AMOUNT, GAP, COUNT, WORD), reach)),
            lambda: op.counted(self._range(self._one_of(WORD, TAG), reach)),
            lambda: op.first_day(Whole(PRICE)),
            lambda: op.days_up_to(Whole(PRICE), self._one_of(Here(PRICE), Here(GROUP), 30)),
            lambda: op.highest_of(Whole(self._one_of(AMOUNT, PRICE))),
            lambda: op.counted_rows(Whole(self._one_of(WORD, TAG))),
            lambda: op.left_blank(Whole(TAG), Whole(REMARK)),
            lambda: op.count_same(*self._one_of((Whole(GROUP), Here(GROUP)), (Whole(WORD), Here(WORD)))),
            lambda: op.count_larger(Whole(self._one_of(AMOUNT, PRICE)), self._one_of(Here(PRICE), Here(COUNT), Here(GROUP))),
            lambda: op.subtract(ROWS, op.counted(Whole(TAG))),
            lambda: op.count_both_same(
                self._range(WORD, reach), Here(WORD), self._range(GROUP, reach), self._one_of(Here(GROUP), 2)
            ),
            lambda: op.filled_in(*self._cells()),
            lambda: op.texts_in(*self._cells()),
            lambda: op.lowest_in(Here(AMOUNT), Here(PRICE), Here(COUNT)),
            lambda: op.highest_in(Here(AMOUNT), Here(COUNT)),
            lambda: op.flaws_of_name(
                self._one_of(Here(WORD), Here(TAG), op.join(">", Here(WORD)), op.join(Here(TAG), " *"))
            ),
        )()

    def _cells(self) -> list[Here]:
        return [Here(place) for place in self._one_of((WORD, TAG, REMARK), (TAG, REMARK, AMOUNT, PRICE), (REMARK, COUNT))]

    def _found(self, _: int) -> Any:
        key = self._one_of(Here(UNIQUE), "ROW-3")
        keyed = self._one_of(WORD, TAG, UNIQUE), self._one_of("whole", "above", "through")
        sought = self._one_of(Here(keyed[0]), Here(keyed[0]), Here(WORD), "ROW-3", "none such")
        values = self._one_of(AMOUNT, PRICE, COUNT, GAP)
        return self._one_of(
            lambda: op.look_up(Whole(self._one_of(AMOUNT, PRICE, COUNT)), Whole(UNIQUE), key),
            lambda: op.position_of(self._range(*keyed), sought),
            lambda: op.found_in(self._range(*keyed), Whole(TAG), sought),
            lambda: op.value_at(self._range(values, keyed[1]), op.position_of(self._range(*keyed), sought)),
            lambda: op.at_step(Whole(AMOUNT), Whole(LEVEL), self._one_of(Here(PRICE), Here(GROUP), 57, 3)),
        )()

    def text(self, depth: int) -> Any:
        """Return an expression that works out to a text, and not to none at all."""
        if depth <= 0:
            return self._one_of(Here(WORD), Here(UNIQUE), Figure(FAVOURITE), *WORDS, op.NOTHING)
        one, two = self.text(depth - 1), self.text(depth - 1)
        return self._one_of(
            lambda: op.join("from ", one, ", ", Here(TAG)),
            lambda: op.join(one, op.join(two, "/")),
            lambda: op.sentence(one, " ", op.round_half(Here(AMOUNT), 0), ", ", Here(COUNT)),
            lambda: op.tidy(op.join("so ", one, "  ", Here(TAG), " ")),
            lambda: op.choose(self.test(depth - 1), one, two),
            lambda: op.join("so ", op.text_until(one, self._one_of("a", "l", two))),
            lambda: op.join("so ", op.without(one, self._one_of("a", "row", "none such"))),
            lambda: op.written_day(op.multiply(op.add(Here(LEVEL), 1), self._one_of(760, 2201, 45_123 / 58))),
            lambda: op.pick(op.add(1, op.choose(self.test(0), 1, 0)), one, two),
            lambda: op.look_up(Whole(WORD), Whole(UNIQUE), Here(UNIQUE)),
        )()

    def test(self, depth: int) -> Any:
        """Return an expression that holds or does not."""
        if depth > 1:
            return self._one_of(op.either, op.both)(*(self.test(depth - 2) for _ in range(self._one_of(2, 3))))
        comparison = self._one_of(*COMPARISONS)
        texts = (Here(self._one_of(WORD, TAG)), self._one_of("ALFA", "", "left", Figure(FAVOURITE), op.join(Here(TAG), "")))
        numbers = (self.number(depth), self._simple_number())
        bounds = (Whole(WORD), self._one_of("alfa", "none such"), Whole(LEVEL), Whole(PRICE), Here(GROUP))
        return self._one_of(
            lambda: comparison(*numbers),
            lambda: comparison(*numbers),
            lambda: self._one_of(op.equal, op.unequal)(*texts),
            lambda: op.is_number(Here(self._one_of(AMOUNT, WORD))),
            lambda: op.is_missing(Whole(self._one_of(TAG, UNIQUE)), Here(self._one_of(TAG, UNIQUE))),
            lambda: op.is_unlisted(Here(self._one_of(WORD, TAG)), self._one_of("  alfa bravo ", " left charlie ")),
            lambda: op.is_outside(*bounds),
        )()


@dataclass(frozen=True)
class Case:
    """An expression in one cell: what it is spelled as, and what it works out to here."""

    formula: str
    ours: Any
    largest: float
    uses: Counter[int]
    where: tuple[int, int]


def _cases(random: Random, cells: dict[Place, list[Any]]) -> Iterator[Case]:
    """Yield expressions for the cells beside each row."""
    drawing = Drawing(random)
    for row in range(ROWS):
        left = EACH_ROW
        while left:
            expression, working = drawing.expression(), Working(cells, row)
            try:
                ours = working.value(expression)
            except OnTheEdge:
                continue
            if not isinstance(expression, Applied) or (isinstance(ours, float) and not math.isfinite(ours)):
                continue
            sheet_row = HEADING_ROW + 1 + row
            formula = spell(expression, _address).at(sheet_row)
            if len(formula) > 2000:
                continue
            where = (sheet_row, len(COLUMNS) + left)
            yield Case(formula, ours, working.largest, Counter(_operations(expression)), where)
            left -= 1


def _operations(expression: Any) -> list[int]:
    """Return every operation of an expression, by its identity."""
    return fold(
        expression,
        lambda _: [],
        lambda _: [],
        lambda applied, parts: [id(applied.operation), *(each for part in parts for each in part)],
    )


def _written(path: Path, cells: dict[Place, list[Any]], cases: Sequence[Case]) -> None:
    book = Workbook()
    data, fixed = book.worksheets[0], book.create_sheet("Fixed")
    data.title = "Data"
    last = HEADING_ROW + ROWS + SPARE
    for place, letter in LETTERS.items():
        data[f"{letter}{HEADING_ROW}"] = place.heading
        for at, value in enumerate(cells[place], start=HEADING_ROW + 1):
            data[f"{letter}{at}"] = value
        for name, top in ((place.name, HEADING_ROW), (f"{place.name}_rows", HEADING_ROW + 1)):
            book.defined_names[name] = DefinedName(name, attr_text=f"Data!${letter}${top}:${letter}${last}")
    for at, (place, value) in enumerate(FIGURES.items(), start=1):
        fixed.cell(at, 1, value)
        book.defined_names[place.name] = DefinedName(place.name, attr_text=f"Fixed!$A${at}")
    for case in cases:
        data.cell(*case.where, f"={case.formula}")
    book.save(path)


def _same(case: Case, theirs: Any) -> bool:
    if isinstance(case.ours, int | float) and isinstance(theirs, int | float) and not isinstance(theirs, bool):
        allowed = 1e-9 * max(abs(case.ours), abs(theirs)) + 1e-13 * case.largest
        return abs(case.ours - theirs) <= allowed
    return isinstance(case.ours, str) and case.ours.strip() == str(theirs or "").strip()


def test_operations_mean_the_same_in_a_sheet(tmp_path: Path) -> None:
    """Over a thousand random expressions come to the same in Python and in LibreOffice."""
    random = seeded(20261101)
    cells = _cells(random)
    cases = list(_cases(random, cells))
    assert len({case.formula for case in cases}) > 1000
    path = tmp_path / "expressions.xlsx"
    _written(path, cells, cases)
    anew = recalculated(path)[0].book["Data"]
    unlike = [(case.formula, case.ours, anew.cell(*case.where).value) for case in cases]
    unlike = [each for each, case in zip(unlike, cases, strict=True) if not _same(case, each[2])]
    assert unlike == []
    used = sum((case.uses for case in cases), Counter())
    operations = {name: getattr(op, name) for name in op.__all__ if name not in IN_A_WORKBOOK}
    names = {name: each for name, each in operations.items() if isinstance(each, Operation)}
    assert {name: used[id(each)] for name, each in names.items() if used[id(each)] < 8} == {}
    assert len(names) > 25


# -- spelling --

A, B, C = Here(AMOUNT), Here(PRICE), Here(COUNT)


@pytest.mark.parametrize(
    ("expression", "formula"),
    [
        (A - (B - C), "F7-(G7-H7)"),
        (A - B - C, "F7-G7-H7"),
        (A + (B + C), "F7+(G7+H7)"),
        (A / (B * C), "F7/(G7*H7)"),
        (A / B * C, "F7/G7*H7"),
        ((A + B) * C, "(F7+G7)*H7"),
        (A * B + C, "F7*G7+H7"),
        (2 - A, "2-F7"),
        (0.5 * A, "0.5*F7"),
        (op.choose(A > B - C, A, 0), "IF(F7>G7-H7,F7,0)"),
        (op.read_as(A + B, "each") * C, "(F7+G7)*H7"),
        (op.counted(Whole(WORD)) * 2, "(COUNTA(data_word)-1)*2"),
        (
            op.sum_where(Above(AMOUNT, through=False), Above(WORD, through=False), Here(WORD)),
            'IF(A7="",0,SUMIFS(F$3:F6,A$3:A6,"="&A7))',
        ),
        (2 * op.count_where(Whole(WORD), Here(WORD)), 'IF(A7="",0,2*COUNTIFS(data_word,"="&A7))'),
        (
            op.ratio(op.sum_where(Whole(AMOUNT), Whole(WORD), Here(WORD)), op.count_where(Whole(WORD), Here(WORD))),
            'IF(A7="",0,IF(COUNTIFS(data_word,"="&A7)=0,0,SUMIFS(data_amount,data_word,"="&A7)/COUNTIFS(data_word,"="&A7)))',
        ),
        (A - op.count_where(Whole(WORD), Here(WORD)), 'F7-IF(A7="",0,COUNTIFS(data_word,"="&A7))'),
        (
            op.count_where(Whole(WORD), Here(WORD)) + op.count_where(Whole(TAG), Here(TAG)),
            'IF(A7="",0,COUNTIFS(data_word,"="&A7))+IF(B7="",0,COUNTIFS(data_tag,"="&B7))',
        ),
        (
            op.count_where(Whole(WORD), Here(WORD)) * op.count_where(Whole(TAG), Here(TAG)),
            'IF(OR(A7="",B7=""),0,COUNTIFS(data_word,"="&A7)*COUNTIFS(data_tag,"="&B7))',
        ),
        (
            op.choose(op.both(Here(WORD) != "", A > 0), op.count_where(Whole(WORD), Here(WORD)), 0),
            'IF(AND(A7<>"",F7>0),COUNTIFS(data_word,"="&A7),0)',
        ),
        (
            op.choose(Here(WORD) == "", "none", op.count_where(Whole(WORD), Here(WORD))),
            'IF(A7="","none",COUNTIFS(data_word,"="&A7))',
        ),
        (
            op.choose(op.count_where(Whole(WORD), Here(WORD)) > 0, "there", "not there"),
            'IF(A7="","not there",IF(COUNTIFS(data_word,"="&A7)>0,"there","not there"))',
        ),
        (
            op.count_where(Whole(WORD), Here(WORD), Whole(GROUP), Here(GROUP), Whole(TAG), Here(TAG)),
            'IF(OR(A7="",B7=""),0,COUNTIFS(data_word,"="&A7,data_group,E7,data_tag,"="&B7))',
        ),
        (
            op.sum_where(Whole(AMOUNT), Whole(GROUP), 1, Whole(WORD), Here(WORD), Whole(TAG), Here(TAG)),
            'IF(OR(A7="",B7=""),0,SUMIFS(data_amount,data_group,1,data_word,"="&A7,data_tag,"="&B7))',
        ),
        (
            op.count_within(Whole(WORD), Here(WORD), Whole(PRICE), A, B),
            'IF(A7="",0,COUNTIFS(data_word,"="&A7,data_price,">="&F7,data_price,"<="&G7))',
        ),
        (
            op.sum_after(Whole(AMOUNT), Whole(WORD), Here(WORD), Whole(COUNT), C),
            'IF(A7="",0,SUMIFS(data_amount,data_word,"="&A7,data_count,">"&H7))',
        ),
        (op.count_where(Whole(WORD), "a"), 'COUNTIFS(data_word,"a")'),
        (op.total(Above(AMOUNT, through=True)), "SUM(F$3:F7)"),
        (op.largest_where(Whole(AMOUNT), Whole(WORD), "a"), 'SUMPRODUCT(MAX((data_word_rows="a")*data_amount_rows))'),
        (
            op.value_at(Above(AMOUNT, through=False), op.position_of(Above(WORD, through=False), Here(WORD))),
            'CHOOSE(1+(IF(AND(A7<>"",ISNUMBER(MATCH(A7,A$3:A6,0))),MATCH(A7,A$3:A6,0),0)>1),0,'
            'INDEX(F$3:F6,IF(AND(A7<>"",ISNUMBER(MATCH(A7,A$3:A6,0))),MATCH(A7,A$3:A6,0),0)))',
        ),
        (
            op.look_up(Whole(AMOUNT), Whole(WORD), Here(WORD)),
            'IF(ISNUMBER(MATCH(A7,data_word,0)),INDEX(data_amount,MATCH(A7,data_word,0))," ")',
        ),
        (op.filled_in(Here(WORD), Here(TAG), Here(AMOUNT)), "COUNTA(A7:B7,F7)"),
        (1 + op.texts_in(Here(AMOUNT), Here(PRICE)), "1+(COUNTA(F7:G7)-COUNT(F7:G7))"),
        (Here(WORD) == 'say "delta"', 'A7="say ""delta"""'),
        (Figure(RATE) != 1, "data_rate<>1"),
    ],
)
def test_brackets_stand_only_where_they_matter(expression: Any, formula: str) -> None:
    """An expression is spelled as a maker would write it."""
    assert spell(expression, _address).at(7) == formula


def test_a_cell_is_neither_true_nor_false() -> None:
    """An equation that asks Python to decide on a cell is refused, since a sheet must decide."""
    with pytest.raises(TypeError, match=r"use choose\(\)"):
        bool(A > B)
