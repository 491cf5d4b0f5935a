"""Blank keys in formulas: asked for once, before anything is looked up, rather than left to the spreadsheet program.

Programs differ in what they take a blank criterion for: 0, nothing, or a mistake. Here a blank key matches nothing. The
question stands as far out in a formula as what it leads to is known, so that ``2*IF(A6="",0,SUMIFS(…,A6))`` becomes
``IF(A6="",0,2*SUMIFS(…,A6))``; a free row is then done with one comparison.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from costing.engine.expressions import Applied, Figure, Here, Operation
from costing.engine.operations import CALL, both, choose, either, equal, multiply, unequal

Write = Callable[[Operation, Sequence["Part"]], "Part"]

OPEN = object()  # what it comes to where a key is blank depends on other cells


@dataclass(frozen=True)
class Part:
    """A part of a formula.

    rank: how tightly its text binds; keys: the cells that must be filled for the text to hold; blank: what the part comes
    to where one of them is not (a constant comes to itself); apart: its text with the questions further in; if_so, if_not:
    the cells that are filled where the part, a test, holds or fails.
    """

    text: str
    rank: int = CALL
    keys: tuple[str, ...] = ()
    blank: Any = OPEN
    apart: str = ""
    if_so: frozenset[str] = frozenset()
    if_not: frozenset[str] = frozenset()

    def asked(self) -> Part:
        """Return the part with the question about its keys in front."""
        if not self.keys:
            return self
        if self.blank is OPEN or isinstance(self.blank, bool):
            return Part(self.apart, self.rank)
        tests = ",".join(f'{key}=""' for key in self.keys)
        test = f"OR({tests})" if len(self.keys) > 1 else tests
        return Part(f"IF({test},{constant(self.blank)},{self.text})")


def constant(value: Any) -> str:
    """Return a constant as a formula has it."""
    if isinstance(value, str):
        return '"' + value.replace('"', '""') + '"'
    number = float(value)
    return str(int(number)) if number.is_integer() else repr(number)


def combined(applied: Applied, parts: Sequence[Part], write: Write) -> Part:
    """Return an operation over parts, its question about blank keys as far out as it goes."""
    operation = applied.operation
    if operation.matched:
        matched = range(len(parts))[operation.matched]
        typed = [at for at in matched if _may_be_blank(applied.operands[at])]
        keys = _once(parts[at].text for at in typed)
        criteria = [_as_it_stands(part) if at in typed else part.asked() for at, part in enumerate(parts)]
        return replace(write(operation, criteria), keys=keys, blank=0 if keys else OPEN)
    if operation is choose:
        parts = _answered(parts)
    asked = write(operation, [part.asked() for part in parts])
    guarded = [part for part in parts if part.keys]
    nothing = operation is multiply and all(part.blank == 0 for part in guarded)
    if guarded and (nothing or all(part.keys == guarded[0].keys for part in guarded)):
        keys = _once(key for part in guarded for key in part.keys)
        return replace(write(operation, parts), keys=keys, blank=_where_blank(operation, parts), apart=asked.text)
    if_so, if_not = _tells(operation, parts)
    return replace(asked, if_so=if_so, if_not=if_not)


def _as_it_stands(key: Part) -> Part:
    """Return a criterion that a typed name meets alone: without the sign, a name like >a would be taken for all above a."""
    return Part(f'"="&{key.text}')


def _once(keys: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(keys))


def _tells(operation: Operation, parts: Sequence[Part]) -> tuple[frozenset[str], frozenset[str]]:
    """Return which cells are filled where a test holds, and which where it fails."""
    nothing: frozenset[str] = frozenset()
    if operation in (equal, unequal) and parts[1].blank == "":
        cell = frozenset([parts[0].text])
        return (nothing, cell) if operation is equal else (cell, nothing)
    if operation is both:
        return nothing.union(*(part.if_so for part in parts)), nothing
    if operation is either:
        return nothing, nothing.union(*(part.if_not for part in parts))
    return nothing, nothing


def _may_be_blank(operand: Any) -> bool:
    return isinstance(operand, Here | Figure) and operand.place.may_be_blank


def _answered(parts: Sequence[Part]) -> list[Part]:
    """Return the parts of a choice, its two sides without the questions that its test answers."""
    test, then, otherwise = parts
    return [test, _without(then, test.if_so), _without(otherwise, test.if_not)]


def _without(part: Part, filled: frozenset[str]) -> Part:
    """Return a part without the questions about cells that are filled."""
    keys = tuple(key for key in part.keys if key not in filled)
    if part.keys and not keys:
        return Part(part.text, part.rank)
    return part if part.blank is OPEN else replace(part, keys=keys)


def _where_blank(operation: Operation, parts: Sequence[Part]) -> Any:
    """Return what an operation comes to where the keys that its parts share are not all filled."""
    known = [part.blank for part in parts]
    if operation is choose:
        return OPEN if known[0] is OPEN else known[1] if known[0] else known[2]
    if operation is multiply and 0 in [part.blank for part in parts if part.keys]:
        return 0
    try:
        return OPEN if OPEN in known else operation.work_out(*known)
    except ZeroDivisionError:
        return OPEN
