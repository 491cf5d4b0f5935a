"""Rules are checked before they run: a misspelt column is a type error, and a circle raises and names its columns."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import costing
from costing.engine.calculated import CalculatedFigures, CalculatedTable, Circular
from costing.engine.declared import Figures, Rules, worked
from costing.engine.table import FigureList, Table
from costing.fields.types import Key, Record, given

RULE = """
from costing.engine.operations import sum_where
from costing.engine.declared import worked
from costing.tables.book import Book
from costing.tables.selling.products import ProductRow


class Tried(ProductRow):
    @worked("Tried", "money")
    def tried(self, season: Book) -> float:
        return {rule}
"""

CHECKED = {
    "self.materials + season.settings.hourly_rate": "",
    "self.materiels": '"Tried" has no attribute "materiels"',
    "season.settings.hourly_rat": 'has no attribute "hourly_rat"',
    "sum_where(season.items.per_gramm, season.items.item, self.tub)": 'has no attribute "per_gramm"',
    "season.itemz.per_gram": '"Book" has no attribute "itemz"',
    "season.items.per_gram": 'Incompatible return value type (got "Cells[float]", expected "float")',
    "sum_where(self.materials, season.items.item, self.tub)": 'incompatible type "float"; expected "Cells[float]"',
    "self.name": 'Incompatible return value type (got "str", expected "float")',
}


@pytest.mark.slow
def test_a_misspelt_column_is_an_error_of_the_type_checker(tmp_path: Path) -> None:
    """What mypy --strict says of rules with one slip each, and that it says nothing of the one without."""
    for at, rule in enumerate(CHECKED):
        (tmp_path / f"rule_{at}.py").write_text(RULE.format(rule=rule), encoding="utf-8")
    files = [str(tmp_path / f"rule_{at}.py") for at in range(len(CHECKED))]
    command = [sys.executable, "-m", "mypy", "--config-file", "pyproject.toml", *files]
    said = subprocess.run(command, capture_output=True, text=True, check=False).stdout.splitlines()
    for at, (rule, expected) in enumerate(CHECKED.items()):
        mine = [line for line in said if f"rule_{at}.py" in line and ": error:" in line]
        assert bool(mine) == bool(expected), (rule, mine)
        assert any(expected in line for line in mine) or not expected, (rule, mine)


class Thing(Record):
    """A record of these tests."""

    key: Key = given("Key", "Its key.")


class RoundRow(Thing, Rules):
    """Two columns that need each other, over the whole column."""

    @worked("One")
    def one(self, season: Turning) -> float:
        """What the other is."""
        return season.round.other.total()  # type: ignore[attr-defined, no-any-return]  # worked out only, never traced

    @worked("Other")
    def other(self, season: Turning) -> float:
        """What the first is."""
        return season.round.one.total()  # type: ignore[attr-defined, no-any-return]  # worked out only, never traced


class RoundFigures(Figures):
    """Two figures that need each other."""

    @worked("Hen")
    def hen(self, _: object) -> float:
        """From the egg."""
        return self.egg

    @worked("Egg")
    def egg(self, _: object) -> float:
        """From the hen."""
        return self.hen + 1


class Turning:
    """A season of one table."""

    round: type[RoundRow]


ROUND = Table("round", "Round", "Round", "Columns that need each other.", RoundRow)


@pytest.mark.parametrize("first", ["one", "other"])
def test_columns_that_need_each_other_raise_and_are_named(first: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whichever is asked for first, no number comes out."""
    monkeypatch.setitem(ROUND.__dict__, "groups", [[column] for column in ROUND.ruled])
    season = Turning()
    table = CalculatedTable(ROUND, [Thing(key="a"), Thing(key="b")], season)
    season.round = table  # type: ignore[assignment]  # as a costed season holds its tables
    with pytest.raises(Circular, match=r"round_one needs round_other needs round_one"):
        table.work_out(first)


def test_figures_that_need_each_other_raise_and_are_named() -> None:
    """The same for single figures."""
    figures = CalculatedFigures(FigureList("pair", "Pair", "pair_", RoundFigures), None, None)
    with pytest.raises(Circular, match="pair_hen needs pair_egg needs pair_hen"):
        _ = figures.hen


SOURCES = sorted(Path(costing.__file__).parent.rglob("*.py"))


def _parameters() -> Iterator[ast.arg]:
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef):
                spread = (each for each in (node.args.vararg, node.args.kwarg) if each)
                named = (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs, *spread)
                yield from (each for each in named if each.arg not in ("self", "cls"))


def test_any_stands_in_fewer_than_one_parameter_in_ten() -> None:
    """Counted where the name is anywhere in an annotation, so that ``Table[Any]`` counts as well."""
    parameters = list(_parameters())
    loose = [
        each for each in parameters
        if each.annotation and any(isinstance(part, ast.Name) and part.id == "Any" for part in ast.walk(each.annotation))
    ]  # fmt: skip
    assert len(parameters) > 1000
    assert len(loose) < len(parameters) / 10


def test_no_logic_reads_a_heading() -> None:
    """No heading is compared with a text or taken apart by one: words are for people, columns have keys and roles."""
    apart = {"startswith", "endswith", "removesuffix", "removeprefix", "partition"}
    found = []
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            looked_at = [node.left, *node.comparators] if isinstance(node, ast.Compare) else []
            if isinstance(node, ast.Attribute) and node.attr in apart:
                looked_at = [node.value]
            if any(isinstance(each, ast.Attribute) and each.attr == "heading" for each in looked_at):
                found.append(f"{path.name}:{getattr(node, 'lineno', 0)}")
    assert found == []
