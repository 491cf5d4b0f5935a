"""The changes: each takes one place in a syntax tree and says in which ways it could be wrong.

Places are numbered as the tree is walked, and so do not hang on any name or line.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable, Iterator
from decimal import Decimal, InvalidOperation
from typing import Any

Variant = tuple[str, ast.AST]  # what sort of change it is, and what to put there
Changer = Callable[[ast.AST], Iterator[Variant]]

_OTHER_ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Div, ast.Mod: ast.Mult,
    ast.BitOr: ast.BitAnd, ast.BitAnd: ast.BitOr,
}  # fmt: skip
# Each comparison with one that differs where both sides are equal, and with its opposite.
_OTHER_COMPARISONS: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.LtE), ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.In: (ast.NotIn,), ast.NotIn: (ast.In,),
    ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
}  # fmt: skip
_TWINS = {
    "both": "either", "larger": "smaller", "min": "max", "any": "all", "round_up": "round_half", "add": "discard",
    "sum_where": "largest_where", "largest_until": "largest_below"
}  # fmt: skip
TWINS = _TWINS | {other: one for one, other in _TWINS.items()}
_ORDERLESS = {"both", "either", "larger", "smaller", "min", "max"}  # swapping what stands in them changes nothing
_UNWRAPPED = {"abs", "sorted", "reversed", "round_half", "round_up", "ratio", "read_as"}
_UNWRAPPED_METHODS = {"lower", "upper", "strip", "rstrip", "casefold", "normalize", "copy", "removesuffix"}
PROSE = 4  # words; longer texts, and sentences, are messages and notes, which are for people


def variants(node: ast.AST) -> Iterator[Variant]:
    """Yield the ways in which one place could be wrong."""
    changer = _CHANGERS.get(type(node))
    if changer:
        yield from changer(node)


def _like(node: ast.AST, **fields: object) -> ast.AST:
    """Return the node with some of its fields put in anew."""
    other = copy.copy(node)
    for name, value in fields.items():
        setattr(other, name, value)
    return other


def _arithmetic(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.BinOp)
    if other := _OTHER_ARITHMETIC.get(type(node.op)):
        yield "another operation", _like(node, op=other())
    yield "left part alone", node.left
    if isinstance(node.op, ast.Sub | ast.Div):
        yield "sides swapped", _like(node, left=node.right, right=node.left)


def _comparison(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.Compare)
    for at, operator in enumerate(node.ops):
        for other in _OTHER_COMPARISONS[type(operator)]:
            yield "another comparison", _like(node, ops=[*node.ops[:at], other(), *node.ops[at + 1 :]])


def _and_or(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.BoolOp)
    yield "and for or", _like(node, op=ast.Or() if isinstance(node.op, ast.And) else ast.And())
    for at in range(len(node.values)):
        rest = _without(node.values, at)
        yield "a condition left out", _like(node, values=rest) if len(rest) > 1 else rest[0]


def _sign(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.UnaryOp)
    yield ("not left out" if isinstance(node.op, ast.Not) else "sign left out"), node.operand


def _either_or(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.IfExp)
    yield "always the first", node.body
    yield "always the other", node.orelse


def _guard(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.If)
    yield "never taken", _like(node, test=ast.Constant(value=False))
    yield "always taken", _like(node, test=ast.Constant(value=True))


def _filter(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.comprehension)
    for at in range(len(node.ifs)):
        yield "a filter left out", _like(node, ifs=_without(node.ifs, at))


def _constant(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.Constant)
    value = node.value
    if isinstance(value, bool):
        yield "the other truth", ast.Constant(value=not value)
    elif isinstance(value, int) and abs(value) >= 1000:
        yield "twice as many", ast.Constant(value=value * 2)
        yield "half as many", ast.Constant(value=value // 2)
    elif isinstance(value, int):
        yield "one more", ast.Constant(value=value + 1)
        yield "one less", ast.Constant(value=value - 1)
    elif isinstance(value, float):
        yield "a tenth more", ast.Constant(value=value * 1.1 or 0.1)
    elif isinstance(value, str) and len(value.split()) < PROSE and not value.endswith("."):
        yield "another text", ast.Constant(value=_other_text(value))


def _other_text(text: str) -> str:
    try:
        return str(Decimal(text) * 2 + 1)
    except InvalidOperation:
        return f"{text} other" if text.strip() else "other"


def _call(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.Call)
    name = _name(node.func)
    if other := TWINS.get(name):
        yield "its twin", _like(node, func=_renamed(node.func, other))
    if not any(isinstance(argument, ast.Starred) for argument in node.args):
        yield from _arguments(node, name)
    for at, keyword in enumerate(node.keywords):
        if keyword.arg:
            yield "an option left out", _like(node, keywords=_without(node.keywords, at))
    if isinstance(node.func, ast.Attribute) and name in _UNWRAPPED_METHODS:
        yield "not called", node.func.value


def _arguments(node: ast.Call, name: str) -> Iterator[Variant]:
    if name in _ORDERLESS:
        for at in range(len(node.args) if len(node.args) > 1 else 0):
            rest = _without(node.args, at)
            yield "an argument left out", _like(node, args=rest) if len(rest) > 1 else rest[0]
        return
    for at in range(len(node.args) - 1):
        first, second = node.args[at : at + 2]
        if ast.dump(first) != ast.dump(second):
            yield "arguments swapped", _like(node, args=[*node.args[:at], second, first, *node.args[at + 2 :]])
    if isinstance(node.func, ast.Name) and name in _UNWRAPPED and node.args:
        yield "not called", node.args[0]


def _name(function: ast.expr) -> str:
    return str(getattr(function, "id", "") or getattr(function, "attr", ""))


def _without(nodes: list[Any], at: int) -> list[Any]:
    return [node for position, node in enumerate(nodes) if position != at]


def _renamed(function: ast.expr, name: str) -> ast.AST:
    return _like(function, id=name) if isinstance(function, ast.Name) else _like(function, attr=name)


def _listed(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.List | ast.Tuple | ast.Set)
    if len(node.elts) > 1 and isinstance(getattr(node, "ctx", ast.Load()), ast.Load):
        for at in range(len(node.elts)):
            yield "one left out", _like(node, elts=_without(node.elts, at))


def _mapped(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.Dict)
    if len(node.keys) > 1:
        for at in range(len(node.keys)):
            yield "one left out", _like(node, keys=_without(node.keys, at), values=_without(node.values, at))


def _done(node: ast.AST) -> Iterator[Variant]:
    """A statement for its effect: a call, or something yielded."""
    assert isinstance(node, ast.Expr)
    if isinstance(node.value, ast.Call):
        yield "not done", ast.Pass()
    elif isinstance(node.value, ast.Yield | ast.YieldFrom):
        yield "not told", ast.Expr(value=ast.YieldFrom(value=ast.Tuple(elts=[], ctx=ast.Load())))


def _added_to(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.AugAssign)
    if other := _OTHER_ARITHMETIC.get(type(node.op)):
        yield "another operation", _like(node, op=other())
    yield "put instead of added", ast.Assign(targets=[node.target], value=node.value, lineno=node.lineno)
    yield "not done", ast.Pass()


def _raised(_: ast.AST) -> Iterator[Variant]:
    yield "not raised", ast.Pass()


def _next_one(_: ast.AST) -> Iterator[Variant]:
    yield "not left", ast.Pass()
    yield "loop ended", ast.Break()


def _ended(_: ast.AST) -> Iterator[Variant]:
    yield "loop not ended", ast.Continue()


def _returned(node: ast.AST) -> Iterator[Variant]:
    assert isinstance(node, ast.Return)
    if node.value is None:
        yield "not left", ast.Pass()


_CHANGERS: dict[type[ast.AST], Changer] = {
    ast.BinOp: _arithmetic, ast.Compare: _comparison, ast.BoolOp: _and_or, ast.UnaryOp: _sign, ast.IfExp: _either_or,
    ast.If: _guard, ast.comprehension: _filter, ast.Constant: _constant, ast.Call: _call, ast.List: _listed,
    ast.Tuple: _listed, ast.Set: _listed, ast.Dict: _mapped, ast.Expr: _done, ast.AugAssign: _added_to,
    ast.Raise: _raised, ast.Continue: _next_one, ast.Break: _ended, ast.Return: _returned,
}  # fmt: skip
