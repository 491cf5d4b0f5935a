"""Reading an expression as a sheet formula: the text of a whole column's formula, with the row left open."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

from costing.engine.blank_keys import Part, combined, constant
from costing.engine.expressions import Above, Applied, Figure, Here, Leaf, Operation, Whole, fold
from costing.engine.operations import CALL

THIS_ROW, ROW_ABOVE = "\0", "\1"


@dataclass(frozen=True)
class Spelling:
    """A formula for every row of a column."""

    pattern: str

    def at(self, row: int) -> str:
        """Return the formula for one row, without the leading equals sign."""
        text = str(row).join(self.pattern.split(THIS_ROW))
        return str(row - 1).join(text.split(ROW_ABOVE)) if ROW_ABOVE in text else text


@dataclass(frozen=True)
class Address:
    """Where a column or figure stands: its letter and heading row on its own sheet, and its names in the book."""

    letter: str
    heading_row: int


Addresses = Callable[[Any], Address]


def spell(node: Any, addresses: Addresses) -> Spelling:
    """Return the formula of an expression, with brackets only where they matter."""

    def leaf(found: Leaf, *, body: bool = False) -> str:
        if isinstance(found, Figure):
            return found.place.name
        if isinstance(found, Whole):
            return f"{found.place.name}_rows" if body else found.place.name
        letter, top = addresses(found.place).letter, addresses(found.place).heading_row
        if isinstance(found, Here):
            return f"{letter}{THIS_ROW}"
        return f"{letter}${top}:{letter}{THIS_ROW if found.through else ROW_ABOVE}"

    def combine(applied: Applied, parts: Sequence[Part]) -> Part:
        if applied.operation.body:
            parts = [
                Part(leaf(operand, body=True)) if isinstance(operand, Whole) else part
                for operand, part in zip(applied.operands, parts, strict=True)
            ]
        return combined(applied, parts, _written)

    return Spelling(fold(node, lambda found: Part(leaf(found)), _constant, combine).asked().text)


def _constant(value: Any) -> Part:
    return Part(constant(value), blank=value)


def _written(operation: Operation, parts: Sequence[Part]) -> Part:
    texts = [part.text for part in parts]
    if operation.template == "{0}":
        return Part(texts[0], parts[0].rank)
    if operation.template:
        return Part(operation.template.format(*texts, areas=_areas(texts)), operation.binds)
    if operation.binds == CALL:
        return Part(f"{operation.sign}({','.join(texts)})")
    bracketed = [
        f"({part.text})" if part.rank < operation.binds + (1 if at else 0) else part.text for at, part in enumerate(parts)
    ]
    return Part(operation.sign.join(bracketed), operation.binds)


def _areas(texts: Sequence[str]) -> str:
    """Return cells of a row with those that stand side by side as one range."""
    areas: list[list[str]] = []
    for text in texts:
        beside = areas and text.endswith(THIS_ROW) and areas[-1][-1].endswith(THIS_ROW)
        if beside and column_number(text[:-1]) == column_number(areas[-1][-1][:-1]) + 1:
            areas[-1].append(text)
        else:
            areas.append([text])
    return ",".join(area[0] if len(area) == 1 else f"{area[0]}:{area[-1]}" for area in areas)


def column_number(letters: str) -> int:
    """Return which column some letters name.

    >>> column_number("A"), column_number("AB")
    (1, 28)
    """
    return reduce(lambda number, letter: 26 * number + ord(letter) - ord("A") + 1, letters, 0)


def measure(node: Any) -> Any:
    """Return the unit that an expression works out to.

    Raises
    ------
    costing.engine.unit_rules.UnitClash
        When figures of different units are added, compared or chosen between.

    """
    from costing.engine.unit_rules import ANY, NUMBER, TEXT  # noqa: PLC0415

    def constant(value: Any) -> Any:
        if isinstance(value, str):
            return TEXT if value.strip() else ANY
        return ANY if value == 0 else getattr(value, "unit", NUMBER)

    return fold(
        node,
        lambda found: found.place.unit,
        constant,
        lambda applied, measures: applied.operation.measure(*measures),
    )


def describe(node: Any) -> str:
    """Return an expression in words, with the headings that the sheets use."""

    def leaf(found: Leaf) -> str:
        if isinstance(found, Here | Figure):
            return found.place.heading
        if isinstance(found, Above):
            return f"{found.place.heading} above"
        return f"{found.place.heading} on {found.place.sheet}"

    def combine(applied: Applied, parts: Sequence[tuple[str, int]]) -> tuple[str, int]:
        binds = applied.operation.binds
        ranks = [rank for _, rank in parts]
        if applied.operation.template == "{0}":
            return parts[0]
        texts = [
            f"({text})" if binds < CALL and rank < binds + (1 if at else 0) else text
            for at, (text, rank) in enumerate(zip([text for text, _ in parts], ranks, strict=True))
        ]
        return applied.operation.words(*texts), min(binds, 0 if binds == CALL else binds)

    def constant(value: Any) -> tuple[str, int]:
        return ("nothing" if value == "" else f"“{value}”" if isinstance(value, str) else f"{value:g}"), CALL

    return fold(node, lambda found: (leaf(found), CALL), constant, combine)[0]
