"""The sheet "Since last season" worked out anew by LibreOffice, as written and after an edit."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import costing
from costing.tables.whole.two_seasons import EFFECTS, PRODUCTS_SINCE
from costing.workbook.write.layout import FIRST_BLOCK
from tests.seasons import SAMPLE, as_records, random_season, seeded
from tests.workbook.books import Book, typed_into
from tests.workbook.libreoffice import Difference, Recalculated, differences, recalculated

pytestmark = pytest.mark.slow

SHEET = "Since last season"


def _random(seed: int, **changes: str) -> costing.Season:
    tables = random_season(seeded(seed))
    tables["season"]["currency"] = "XPF"
    for row in tables["purchases"]:
        if row.get("currency"):
            row |= {"currency": "AUD", "rate": "68.2"}
    for name, column in changes.items():
        for row in (*tables[name], *tables["prices"], *tables["alternatives"]):
            row |= {key: f"{row[key]}-other" for key in (column, "bought") if key in row}
        called = {f"{row[column]}".removesuffix("-other") for row in tables[name]}
        for row in tables["made"]:
            row["what"] += "-other" if row["what"] in called else ""
    return costing.cost(as_records(tables))


@pytest.fixture(scope="module")
def books(sample_season: costing.Season, since_book: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Return where the workbooks were written: by name, and the sample's with dearer work typed into it.

    The sample's has every sheet, the others those of every day: other sheets do not know of last season.
    """
    folder = tmp_path_factory.mktemp("since")
    pairs = {
        "itself": (sample_season, sample_season),
        "random": (_random(3), _random(4)),
        "strangers": (_random(5), _random(6, products="product")),
    }
    compared = {name: costing.compare(old, new) for name, (old, new) in pairs.items()}
    assert [len(each.products.rows) > 0 for each in compared.values()] == [True, True, False]
    for name, comparison in compared.items():
        costing.export(comparison.new, folder / f"{name}.xlsx", since=comparison)
    since = costing.compare(costing.cost(costing.read_season(SAMPLE / "last-season")), sample_season)
    costing.export(sample_season, folder / "dear.xlsx", since=since)
    book = Book.at(folder / "dear.xlsx")
    rate = book.place("Settings", "Value", book.row("Settings", "Value", {"Key": "hourly_rate"}))
    typed_into(folder / "dear.xlsx", folder / "edited.xlsx", {("Settings", rate): 40})
    return {"sample": since_book} | {name: folder / f"{name}.xlsx" for name in (*pairs, "edited")}


@pytest.fixture(scope="module")
def anew(books: dict[str, Path]) -> dict[str, Recalculated]:
    """Return the workbooks as LibreOffice works them out."""
    return dict(zip(books, recalculated(*books.values()), strict=True))


@pytest.mark.parametrize("name", ["sample", "itself", "random", "strangers"])
def test_every_formula_recalculates_to_what_is_stored(
    name: str, books: dict[str, Path], anew: dict[str, Recalculated]
) -> None:
    """Nothing differs, whether the seasons are alike, have much in common, or no product at all."""
    count, found = differences(books[name], anew[name])
    assert found == list[Difference]()
    assert count > 5000
    assert SHEET in anew[name].cells


def _rows(book: Any) -> dict[str, dict[str, float]]:
    """Return the products' figures on the sheet, by key."""
    keys = list(PRODUCTS_SINCE.columns)
    found = {}
    for row in book[SHEET].iter_rows(min_row=FIRST_BLOCK + 1, max_col=len(keys), values_only=True):
        if row[0] is None:
            break
        found[row[0]] = dict(zip(keys, row, strict=True))
    return found


def test_an_edit_shows_as_one_and_leaves_what_was_kept(anew: dict[str, Recalculated]) -> None:
    """At 40 an hour in place of 28 the cost now follows; then and the effects stay; the rest is the edit's."""
    written, edited = (_rows(anew[name].with_only(SHEET)) for name in ("sample", "edited"))
    assert len(written) == len(edited) == 6
    for product, row in edited.items():
        kept = ("then", *EFFECTS)
        assert [row[key] for key in kept] == [written[product][key] for key in kept]
        assert row["edits"] > 0.5
        assert row["now"] == pytest.approx(sum(row[key] for key in (*kept, "edits")), rel=1e-6)
        assert written[product]["edits"] == 0
