"""What failed once: whole seasons with the one change each that brought the failure, and how it ends now."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from tests.hostile.sources import Grids, exported, grids, packed, written

Change = Callable[[Grids], object]


@dataclass(frozen=True)
class Once:
    """A change of a season's tables, or of its workbook's parts, that once brought a failure."""

    about: str
    ends: str
    tables: Change | None = None
    files: Mapping[str, bytes] | None = None
    part: str = ""
    old: bytes = b""
    new: bytes = b""
    source: int = 0

    def write(self, place: Path) -> Path:
        """Write the season and return its path."""
        if self.part:
            return self._workbook(place)
        changed = grids(self.source)
        if self.tables:
            self.tables(changed)
        folder = place / "season"
        folder.mkdir()
        files = {f"{name}.csv": written(grid, ",") for name, grid in changed.items()} | dict(self.files or {})
        for name, data in files.items():
            (folder / name).write_bytes(data)
        return folder

    def _workbook(self, place: Path) -> Path:
        parts = dict(exported(self.source))
        assert self.old in parts[self.part]
        parts[self.part] = parts[self.part].replace(self.old, self.new, 1)
        path = place / "season.xlsx"
        path.write_bytes(packed(parts))
        return path


def _all(name: str, column: str, text: str) -> Change:
    """Return a change that puts a text under a heading in every row."""

    def change(tables: Grids) -> None:
        at = tables[name][0].index(column)
        for cells in tables[name][1:]:
            cells[at] = text

    return change


def _without(name: str, key: str) -> Change:
    """Return a change that takes the rows out that begin with a key."""
    return lambda tables: tables.update({name: [cells for cells in tables[name] if cells[0] != key]})


def _heading(name: str, column: str, text: str) -> Change:
    return lambda tables: tables[name][0].__setitem__(tables[name][0].index(column), text)


def _set_dearly(tables: Grids) -> None:
    """Set the first output of a formula at a price that no batch can be worth."""
    valued, price = (tables["outputs"][0].index(column) for column in ("valued", "price_per_kg"))
    first, *others = [cells for cells in tables["outputs"] if cells[0] == "plain-bar"]
    first[valued], first[price] = "set", "999999999999"
    for cells in others:
        cells[valued] = "weight"


def _together(*changes: Change) -> Change:
    return lambda tables: [change(tables) for change in changes]


CORPUS = (
    Once("an output whose formula is gone, used by another formula", "faults", _without("formulas", "plain-bar")),
    Once("a density so small that a price has more digits than can be rounded", "faults", _all("items", "density", "1e-99")),
    Once(
        "numbers that pass one by one, and come to far too much together",
        "faults",
        _together(_all("products", "fill_grams", "999999999999"), _all("steps", "loss_percent", "99"),
                  _all("items", "density", "1e-9"), _all("items", "quote", "999999999999"),
                  _all("purchases", "size", "1e-9")),
    ),
    Once("a set price that makes the batches after it cost less than nothing", "faults", _set_dearly),
    Once("a heading with a control character", "faults", _heading("steps", "minutes", "minu\x0bes")),
    Once("a heading with the letters that colour a terminal", "faults", _heading("tubs", "count", "\x1b[31mcount")),
    Once("a heading of thousands of letters", "faults", _heading("formulas", "name", "ã" * 5000)),
)  # fmt: skip
