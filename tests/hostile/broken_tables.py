"""What can go wrong with tables: cells, columns and rows that are odd, missing, doubled, swapped or name each other."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from random import Random

from tests.hostile.odd import ODD_DAYS, ODD_NUMBERS, ODD_TEXTS
from tests.hostile.sources import Grid, Grids


def _table(random: Random, tables: Grids) -> tuple[str, Grid]:
    name = random.choice([name for name, grid in tables.items() if len(grid) > 1 and all(grid)] or ["season"])
    return name, tables.setdefault(name, [["key", "value"], ["name", "x"]])


def _cell(random: Random, grid: Grid) -> tuple[int, int]:
    row = random.randrange(1, len(grid)) if len(grid) > 1 else 0
    return row, random.randrange(len(grid[row]) or 1)


def _put(grid: Grid, row: int, column: int, text: str) -> None:
    grid[row].extend([""] * (column + 1 - len(grid[row])))
    grid[row][column] = text


def _odd_cell(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    row, column = _cell(random, grid)
    text = random.choice(random.choice((ODD_NUMBERS, ODD_NUMBERS, ODD_TEXTS, ODD_DAYS)))
    _put(grid, row, column, text)
    return f"{name} {row},{column} = {text[:40]!r}"


def _odd_number(random: Random, tables: Grids) -> str:
    """Put an odd number where there is a number."""
    name, grid = _table(random, tables)
    places = [(r, c) for r, cells in enumerate(grid) for c, cell in enumerate(cells) if re.fullmatch(r"-?\d+(\.\d+)?", cell)]
    row, column = random.choice(places or [(0, 0)])
    text = random.choice(ODD_NUMBERS[:19])
    _put(grid, row, column, text)
    return f"{name} {row},{column} = {text[:40]!r}"


def _extreme_numbers(random: Random, tables: Grids) -> str:
    """Put the largest or the smallest that is let pass into all numbers of a column, or of some columns."""
    name, grid = _table(random, tables)
    numeric = [c for c, cell in enumerate(grid[1] if len(grid) > 1 else []) if re.fullmatch(r"-?\d+(\.\d+)?", cell)]
    columns = random.sample(numeric, random.randint(1, len(numeric))) if numeric else []
    for column in columns:
        text = random.choice(("999999999999", "1e-9", "0.000000001", "0", "99", "100", "-999999999999", "1"))
        for cells in grid[1:]:
            if random.random() < 0.9:
                cells[column : column + 1] = [text]
    return f"{name} columns {columns} extreme"


def _odd_column(random: Random, tables: Grids) -> str:
    """Put the same odd text into all of a column."""
    name, grid = _table(random, tables)
    column, text = _cell(random, grid)[1], random.choice((*ODD_NUMBERS, *ODD_TEXTS[:20]))
    for row in range(1, len(grid)):
        _put(grid, row, column, text)
    return f"{name} column {column} = {text[:40]!r}"


def _swap_cells(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    other_name, other = random.choice(((name, grid), _table(random, tables)))
    (row, column), (row2, column2) = _cell(random, grid), _cell(random, other)
    one, two = grid[row][column : column + 1] or [""], other[row2][column2 : column2 + 1] or [""]
    _put(grid, row, column, two[0])
    _put(other, row2, column2, one[0])
    return f"{name} {row},{column} and {other_name} {row2},{column2} swapped"


def _swap_columns(random: Random, tables: Grids) -> str:
    """Swap what stands under two headings."""
    name, grid = _table(random, tables)
    one, two = _cell(random, grid)[1], _cell(random, grid)[1]
    for cells in grid[1:]:
        cells.extend([""] * (max(one, two) + 1 - len(cells)))
        cells[one], cells[two] = cells[two], cells[one]
    return f"{name} columns {one} and {two} swapped"


def _drop_column(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    column = _cell(random, grid)[1]
    for cells in grid:
        del cells[column : column + 1]
    return f"{name} column {column} dropped"


def _double_column(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    column = _cell(random, grid)[1]
    for cells in grid:
        cells.insert(random.choice((0, column, len(cells))), (cells[column : column + 1] or [""])[0])
    return f"{name} column {column} doubled"


def _rename_column(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    column = random.randrange(len(grid[0]) or 1)
    heading = (grid[0][column : column + 1] or [""])[0]
    known = [cell for other in tables.values() for cell in (other or [[]])[0]]
    text = random.choice(
        (heading.upper(), heading[:-1], heading + "s", "", random.choice(known or [""]), random.choice(ODD_TEXTS))
    )
    _put(grid, 0, column, text)
    return f"{name} heading {heading} = {text[:40]!r}"


def _lose_headings(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    del grid[0]
    return f"{name} without headings"


def _shuffle_rows(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    rows = grid[1:] if random.random() < 0.5 else grid[:]
    random.shuffle(rows)
    grid[len(grid) - len(rows) :] = rows
    return f"{name} rows shuffled"


def _drop_rows(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    at = random.randrange(1, len(grid)) if len(grid) > 1 else 0
    count = random.choice((1, 1, 2, len(grid)))
    del grid[at : at + count]
    return f"{name} {count} rows from {at} dropped"


def _double_rows(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    at = _cell(random, grid)[0]
    times = random.choice((1, 1, 300))
    grid[at:at] = [list(grid[at]) for _ in range(times)]
    return f"{name} row {at} {times} times more"


def _ragged_row(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    at = _cell(random, grid)[0]
    grid[at] = random.choice((grid[at][:1], [*grid[at], "", ""], [*grid[at], "more"], [""] * 300, ["x"] * 300))
    return f"{name} row {at} has {len(grid[at])} cells"


def _foreign_key(random: Random, tables: Grids) -> str:
    """Put a key of one table where another table's stands: this makes circles and names that lead nowhere."""
    name, grid = _table(random, tables)
    keys = [cells[0] for other in tables.values() for cells in other[1:] if cells]
    outputs = [f"{cells[0]}/{cells[1]}" for cells in tables.get("outputs", [])[1:] if len(cells) > 1]
    row, column = _cell(random, grid)
    if "item" in grid[0] and random.random() < 0.5:
        column = grid[0].index("item")
    text = random.choice(keys + outputs + ["x"])
    _put(grid, row, column, text)
    return f"{name} {row},{column} = key {text!r}"


def _circle(random: Random, tables: Grids) -> str:
    """Let a formula's line take a formula."""
    lines = tables.get("lines", [])
    if len(lines) < 2 or "item" not in lines[0]:
        return "no lines to make a circle of"
    formulas = sorted({cells[0] for cells in lines[1:] if cells})
    row, text = random.randrange(1, len(lines)), random.choice(formulas or ["x"])
    _put(lines, row, lines[0].index("item"), text)
    return f"line {row} takes {text}"


def _both_amounts(random: Random, tables: Grids) -> str:
    lines = tables.get("lines", [])
    if len(lines) < 2 or not {"percent", "grams"} <= set(lines[0]):
        return "no lines to give both amounts"
    row, text = random.randrange(1, len(lines)), random.choice(("", "5", "0", "1e-99"))
    for column in ("percent", "grams"):
        _put(lines, row, lines[0].index(column), text)
    return f"line {row} has {text!r} percent and grams"


def _drop_table(random: Random, tables: Grids) -> str:
    name, _ = _table(random, tables)
    del tables[name]
    return f"{name} dropped"


def _empty_table(random: Random, tables: Grids) -> str:
    name, grid = _table(random, tables)
    del grid[random.choice((0, 1)) :]
    return f"{name} emptied"


def _swap_tables(random: Random, tables: Grids) -> str:
    one, two = _table(random, tables)[0], _table(random, tables)[0]
    tables[one], tables[two] = tables[two], tables[one]
    return f"{one} and {two} swapped"


def _setting(random: Random, tables: Grids) -> str:
    grid = tables.setdefault("season", [["key", "value"]])
    keys = [cells[0] for cells in grid[1:] if cells] or ["name"]
    key, text = random.choice((*keys, "nane", "", "1")), random.choice((*ODD_NUMBERS, *ODD_TEXTS, *ODD_DAYS))
    at = random.choice((keys.index(key) + 1 if key in keys else len(grid), len(grid)))
    grid[at : at + 1] = [[key, text]]
    return f"season {key} = {text[:40]!r}"


GRID_CHANGES: Sequence[Callable[[Random, Grids], str]] = (
    _odd_cell, _odd_cell, _extreme_numbers, _extreme_numbers, _odd_number, _odd_number, _odd_number, _odd_column,
    _swap_cells, _swap_columns, _drop_column, _double_column, _rename_column, _lose_headings, _shuffle_rows, _drop_rows,
    _double_rows, _ragged_row, _foreign_key, _foreign_key, _circle, _both_amounts, _drop_table, _empty_table,
    _swap_tables, _setting, _setting,
)  # fmt: skip
