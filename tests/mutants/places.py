"""The places of a module where something could be wrong, and the module with one of them changed."""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.changes import variants

_TYPES = {"Annotated", "Callable", "Collection", "Iterable", "Iterator", "Literal", "Mapping", "Sequence", "dict", "list",
          "set", "tuple", "type", "frozenset"}  # fmt: skip
_NO_LOGIC = {"TypeVar", "cast", "NewType", "isinstance"}
SHOWN = 60  # letters beside a difference in a long statement


@dataclass(frozen=True)
class Mutant:
    """One change: where it is, what it makes of its statement, and the whole module with it."""

    path: Path
    line: int
    within: str  # the function or class, as Python qualifies names
    sort: str
    before: str
    after: str
    module: str

    def told(self) -> str:
        """Return place, sort, and the statement before and after."""
        inside = f" in {self.within}" if self.within else ""
        return f"{self.path.as_posix()}:{self.line}{inside}: {self.sort}\n  - {self.before}\n  + {self.after}"


@dataclass
class Spot:
    """A node of a syntax tree, with what it hangs on and the statement around it."""

    node: ast.AST
    parent: ast.AST
    name: str
    at: int | None  # in the parent's field, where that is a list
    statement: ast.stmt
    within: str

    def put(self, node: ast.AST) -> None:
        """Put another node there."""
        if self.node is self.statement and isinstance(node, ast.stmt):
            self.statement = node
        if self.at is None:
            setattr(self.parent, self.name, node)
        else:
            getattr(self.parent, self.name)[self.at] = node

    @property
    def line(self) -> int:
        """The line on which it stands."""
        return int(getattr(self.node, "lineno", self.statement.lineno))


def spots(tree: ast.Module) -> list[Spot]:
    """Return the places where a change can make a difference, in the order of the source."""
    found: list[Spot] = []
    for at, statement in enumerate(tree.body):
        _visit(Spot(statement, tree, "body", at, statement, ""), found)
    return [spot for spot in found if next(variants(spot.node), None)]


def spots_in(source: str) -> int:
    """Return how many places a module has."""
    return len(spots(ast.parse(source)))


def mutants_at(path: Path, source: str, number: int) -> list[Mutant]:
    """Return every change of one place of a module."""
    found: list[Mutant] = []
    which = 0
    while True:
        tree = ast.parse(source)  # a tree of its own for each change, since changing spoils it
        spot = spots(tree)[number]
        ways = list(variants(spot.node))
        if which == len(ways):
            return found
        sort, made = ways[which]
        before = _shown(spot.statement)
        spot.put(made)
        after = _shown(spot.statement)
        which += 1
        if before != after:
            within = spot.within.removesuffix(".<locals>")
            found.append(Mutant(path, spot.line, within, sort, *_parted(before, after), written(tree)))


def written(tree: ast.Module) -> str:
    """Return the source of a tree."""
    return ast.unparse(ast.fix_missing_locations(tree)) + "\n"


def _shown(statement: ast.stmt) -> str:
    """Return a statement on one line; of one with a body only its head."""
    if hasattr(statement, "body"):
        statement = copy.copy(statement)
        for name in ("body", "orelse", "handlers", "finalbody"):
            if hasattr(statement, name):
                setattr(statement, name, [ast.Pass()] if name == "body" else [])
    return " ".join(ast.unparse(ast.fix_missing_locations(statement)).split())


def _parted(before: str, after: str) -> tuple[str, str]:
    """Return both texts, with what is alike at the ends of long ones left out."""
    start = _alike(before, after)
    same_end = _alike(before[start:][::-1], after[start:][::-1])
    first = max(0, start - SHOWN)

    def part(text: str) -> str:
        last = len(text) - same_end + SHOWN
        return ("…" if first else "") + text[first:last] + ("…" if last < len(text) else "")

    return part(before), part(after)


def _alike(one: str, other: str) -> int:
    """Return how many letters two texts begin with together."""
    pairs = enumerate(zip(one, other, strict=False))
    return next((at for at, (letter, another) in pairs if letter != another), min(len(one), len(other)))


def _visit(spot: Spot, found: list[Spot]) -> None:
    node = spot.node
    if _says_nothing(node):
        return
    found.append(spot)
    for below in _below(spot):
        _visit(below, found)


def _says_nothing(node: ast.AST) -> bool:
    """Tell whether a node is for people or for the type checker."""
    if isinstance(node, ast.Import | ast.ImportFrom | ast.Assert | ast.Global | ast.Nonlocal):
        return True
    if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
        return True
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return True  # a docstring
    if isinstance(node, ast.Assign):
        return any(isinstance(target, ast.Name) and target.id == "__all__" for target in node.targets)
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in _NO_LOGIC


def _below(spot: Spot) -> Iterator[Spot]:
    """Yield what stands directly below a node and does something when the module runs."""
    for name in _fields(spot.node):
        value = getattr(spot.node, name)
        for at, each in enumerate(value) if isinstance(value, list) else [(None, value)]:
            if not isinstance(each, ast.AST) or (isinstance(spot.node, ast.JoinedStr) and isinstance(each, ast.Constant)):
                continue  # the words of a message among them
            statement = each if isinstance(each, ast.stmt) else spot.statement
            below = Spot(each, spot.node, name, at, statement, _inside(spot, name))
            if _holds_types(spot.node, name):
                yield from _calls(below)
            else:
                yield below


# Of these only some parts do something when the module runs.
_PARTS: dict[type[ast.AST], tuple[str, ...]] = {
    ast.FunctionDef: ("decorator_list", "args", "body"),
    ast.arguments: ("defaults", "kw_defaults"),
    ast.ClassDef: ("body",),
    ast.JoinedStr: ("values",),
    ast.FormattedValue: ("value",),
}


def _fields(node: ast.AST) -> tuple[str, ...]:
    return _PARTS.get(type(node), node._fields)


def _inside(spot: Spot, name: str) -> str:
    """Return the qualified name of what stands below a node; decorators and defaults belong to what is around."""
    if name != "body" or not isinstance(spot.node, ast.FunctionDef | ast.ClassDef):
        return spot.within
    locals_of = ".<locals>" if isinstance(spot.node, ast.FunctionDef) else ""
    return f"{spot.within}.{spot.node.name}{locals_of}".lstrip(".")


def _holds_types(node: ast.AST, name: str) -> bool:
    if isinstance(node, ast.AnnAssign):
        return name == "annotation"
    return (
        isinstance(node, ast.Subscript) and name == "slice" and isinstance(node.value, ast.Name) and node.value.id in _TYPES
    )


def _calls(spot: Spot) -> Iterator[Spot]:
    """Yield the calls in a type: bounds and units of a field."""
    if isinstance(spot.node, ast.Call):
        yield spot
        return
    for below in _below(spot):
        yield from _calls(below)
