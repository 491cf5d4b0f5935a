"""Every formula of the workbook, worked out anew by LibreOffice, comes to the result that was stored beside it."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

import costing
from tests.seasons import BASES, as_records, random_season, seeded
from tests.workbook.books import part_of
from tests.workbook.libreoffice import Difference, differences, recalculated

pytestmark = pytest.mark.slow

NUMBER = 3  # random seasons


@pytest.fixture(scope="module")
def compared(default_book: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[int, list[Difference]]]:
    """Return, by book, how many formulas it has and which of them LibreOffice works out otherwise."""
    folder = tmp_path_factory.mktemp("recalculated")
    books = {"sample": default_book}
    for seed in range(NUMBER):
        name = f"season-{seed}"
        books[name] = folder / f"{name}.xlsx"
        tables = random_season(seeded(seed), BASES[seed % len(BASES)])
        costing.export(costing.cost(as_records(tables)), books[name], all_sheets=True)
    anew = dict(zip(books, recalculated(*books.values()), strict=True))
    found = {name: differences(path, anew[name]) for name, path in books.items()}
    corrupted = _corrupted(default_book, folder / "corrupted.xlsx")  # in its results only, which LibreOffice does not see
    return found | {"corrupted": differences(corrupted, anew["sample"])}


def _corrupted(source: Path, target: Path) -> Path:
    """Copy a book with one stored number on Products raised by three in 10⁸, and one stored text on Items replaced."""
    wrong: dict[str, tuple[bytes, Callable[[re.Match[bytes]], bytes]]] = {
        part_of(source, "Products"): (rb"(</f><v>)([1-9]\d*\.\d{4,})(</v>)", _raised),
        part_of(source, "Items"): (rb"(</f><v[^>]*>)piece(</v>)", lambda match: match[1] + b"dozen" + match[2]),
    }
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            data = old.read(part)
            if part.filename in wrong:
                pattern, replacement = wrong[part.filename]
                data, times = re.subn(pattern, replacement, data, count=1)
                assert times == 1
            new.writestr(part.filename, data)
    return target


def _raised(match: re.Match[bytes]) -> bytes:
    return match[1] + repr(float(match[2]) * (1 + 3e-8)).encode() + match[3]


def test_the_sample_recalculates_to_what_is_stored(compared: dict[str, tuple[int, list[Difference]]]) -> None:
    """No formula of the sample's workbook differs, and there are thousands of them. With every sheet: ``test_since``."""
    count, found = compared["sample"]
    assert found == []
    assert count > 5000


@pytest.mark.parametrize("seed", range(NUMBER))
def test_random_seasons_recalculate_to_what_is_stored(seed: int, compared: dict[str, tuple[int, list[Difference]]]) -> None:
    """Nor does any in the workbook of a random season, on any cost basis."""
    count, found = compared[f"season-{seed}"]
    assert found == []
    assert count > 5000


def test_a_wrong_result_is_found(compared: dict[str, tuple[int, list[Difference]]]) -> None:
    """A stored number off by three in 10⁸ and a wrong stored text are told, and nothing else."""
    count, found = compared["corrupted"]
    assert count == compared["sample"][0]
    assert sorted(difference.place.partition("!")[0] for difference in found) == ["Items", "Products"]
