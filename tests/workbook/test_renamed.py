"""Names of any script and with everyday marks in them do in a spreadsheet's look-ups what they do here."""

from __future__ import annotations

from pathlib import Path

import costing
from tests.renamed import NAMED, SCRIPTS, renamed
from tests.seasons import Tables, as_records, sample_tables, seeded
from tests.workbook.libreoffice import differences, recalculated

MARKED = "Oil, 5 % (raw): A & B's + C. #3 №2"


def _with_marks(tables: Tables) -> Tables:
    """Return the sample with every mark that a name may hold in the name of one formula, item, tub and product each."""
    for old in ("Everyday bar", "Shea butter", "Bar wrap", "Everyday bar 110 g"):
        for name, rows in tables.items():
            for row in rows if name != "season" else ():
                for column in NAMED & set(row):
                    parts = [f"{old} {MARKED}" if part == old else part for part in row[column].split("/")]
                    row[column] = "/".join(parts)
    return tables


def test_a_renamed_season_recalculates_to_what_it_cost_before(tmp_path: Path) -> None:
    """LibreOffice works every formula of the workbook out to the same as here, in three scripts and with all marks."""
    seasons = {script: renamed(sample_tables(), script, seeded(2)) for script in SCRIPTS}
    seasons["marks"] = _with_marks(sample_tables())
    books = {}
    for name, tables in seasons.items():
        books[name] = tmp_path / f"{name}.xlsx"
        costing.export(costing.cost(as_records(tables)), books[name])
        read_back = costing.cost(costing.read_season(books[name]))
        before = costing.cost(as_records(tables))
        assert [row.total for row in read_back.products.rows] == [row.total for row in before.products.rows]
    for name, anew in zip(books, recalculated(*books.values()), strict=True):
        count, found = differences(books[name], anew)
        assert found == [], name
        assert count > 5000
