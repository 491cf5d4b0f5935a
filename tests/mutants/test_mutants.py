"""The mutation tester itself: what it changes, what it leaves alone, and that it tells killed from alive."""

from __future__ import annotations

import ast
from collections import Counter
from pathlib import Path

import pytest

from tests.mutants.__main__ import drawn
from tests.mutants.changes import TWINS
from tests.mutants.equivalents import known
from tests.mutants.places import Mutant, mutants_at, spots_in
from tests.mutants.scope import ROOT, modules

pytestmark = pytest.mark.slow

MODULE = Path("costing/some.py")


def changed(source: str) -> set[tuple[str, str]]:
    """Return what the changes of a module make of its statements: each with its sort."""
    found = [mutant for number in range(spots_in(source)) for mutant in mutants_at(MODULE, source, number)]
    return {(mutant.sort, mutant.after) for mutant in found}


@pytest.mark.parametrize(
    ("source", "sort", "after"),
    [
        ("x = a - b", "another operation", "x = a + b"),
        ("x = a - b", "sides swapped", "x = b - a"),
        ("x = a * b", "left part alone", "x = a"),
        ("x = a < b", "another comparison", "x = a <= b"),
        ("x = a and b", "and for or", "x = a or b"),
        ("x = a and b", "a condition left out", "x = b"),
        ("x = not a", "not left out", "x = a"),
        ("x = a if b else c", "always the other", "x = c"),
        ("if a:\n    b = c", "never taken", "if False: pass"),
        ("x = [a for a in b if a]", "a filter left out", "x = [a for a in b]"),
        ("x = 1", "one more", "x = 2"),
        ("x = 50000", "half as many", "x = 25000"),
        ("x = Decimal('0.01')", "another text", "x = Decimal('1.02')"),
        ("x = row.kind == 'lye'", "another text", "x = row.kind == 'lye other'"),
        ("x = choose(a, b, c)", "arguments swapped", "x = choose(a, c, b)"),
        ("x = both(a, b)", "its twin", "x = either(a, b)"),
        ("x = larger(a, 0)", "an argument left out", "x = a"),
        ("x = above(a, most=3)", "an option left out", "x = above(a)"),
        ("x = abs(a)", "not called", "x = a"),
        ("x = a.lower()", "not called", "x = a"),
        ("x = {a, b}", "one left out", "x = {b}"),
        ("x = {a: 1, b: 2}", "one left out", "x = {b: 2}"),
        ("found.append(a)", "not done", "pass"),
        ("def f():\n    yield a", "not told", "yield from ()"),
        ("x += a", "another operation", "x -= a"),
        ("raise a", "not raised", "pass"),
        ("for a in b:\n    continue", "not left", "pass"),
        ("x = f'{a - 1} g'", "another operation", "x = f'{a + 1} g'"),
        ("class A:\n    size: Annotated[Decimal, Number('g', above=0)] = given('Size', 'How much.')", "an option left out",
         "size: Annotated[Decimal, Number('g')] = given('Size', 'How much.')"),
    ],
)  # fmt: skip
def test_a_place_is_changed_in_the_ways_in_which_it_could_be_wrong(source: str, sort: str, after: str) -> None:
    assert (sort, after) in changed(source)


@pytest.mark.parametrize(
    "source",
    [
        '"""A docstring."""',
        "import a",
        "x: int | None",
        "def f(a: A | None = None) -> B | C:\n    return a",
        "__all__ = ['a', 'b']",
        "x = 'a note in a sentence, for people'",
        "x = f'{a} g'",
        "x = isinstance(a, int | float)",
    ],
)
def test_what_is_for_people_or_for_the_type_checker_is_left_alone(source: str) -> None:
    assert changed(source) == set()


def test_every_mutant_is_another_module_that_python_understands() -> None:
    """Of each of a hundred drawn, from all over the program."""
    mutants = list(drawn(100, 1))
    assert len({mutant.path for mutant in mutants}) > 20
    assert max(Counter(mutant.sort for mutant in mutants).values()) < 40
    for mutant in mutants:
        as_it_is = ast.dump(ast.parse((ROOT / mutant.path).read_text(encoding="utf-8")))
        assert ast.dump(ast.parse(mutant.module)) != as_it_is, mutant.told()


def test_the_same_seed_draws_the_same() -> None:
    assert list(drawn(5, 7, "tables/")) == list(drawn(5, 7, "tables/"))
    assert list(drawn(5, 7, "tables/")) != list(drawn(5, 8, "tables/"))


def test_the_operations_that_are_swapped_for_one_another_are_used() -> None:
    """A twin that the program does not use any more would be a change that is never made."""
    source = "".join((ROOT / path).read_text(encoding="utf-8") for path in modules())
    assert [name for name in sorted(TWINS) if f"{name}(" not in source and f"{TWINS[name]}(" not in source] == []


def test_a_listed_equivalent_is_known_by_its_text_wherever_it_stands() -> None:
    """Every entry of the list has a reason, and is found again in another module and line."""
    for entry in known():
        assert len(entry.why.split()) > 3
        moved = Mutant(Path("costing/elsewhere.py"), 999, entry.within, "any sort", entry.before, entry.after, "")
        assert entry.is_of(moved)
