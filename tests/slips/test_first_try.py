"""A first try in Portuguese: few messages, each mended by doing what it says, and then the right prices."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.slips.bench import Seen, rows_told, seen, spoken_of
from tests.slips.first_try import AS_IT_STANDS, causes, first_try, mended, most_messages, once_right
from tests.slips.tables import Tables, write_tables


def _looked_at(tables: Tables, folder: Path) -> Seen:
    return seen(write_tables(tables, folder, AS_IT_STANDS))


def _asking(look: Seen) -> list[str]:
    """Return the lines that ask for something: faults, and doubts; a caution may stay."""
    return [line for line in look.lines if not line.startswith(("caution", "noticed"))]


def test_what_is_to_be_mended_is_there() -> None:
    """Each cause names rows that stand in the first try, and mending them changes them."""
    typed = first_try()
    for cause in causes():
        assert all(2 <= row <= len(typed[cause.table]) + 1 for row in cause.rows), cause.why
    assert mended(typed) != typed


def test_mended_it_says_what_the_good_season_says() -> None:
    """Beside units, signs and percent marks in its cells, the mended first try differs in nothing from the good season.

    Taxes are left out: the one has them in money, the other as rates.
    """
    one, other = (_bare(tables) for tables in (mended(first_try()), once_right()))
    assert one == other


_GIVEN_OTHERWISE = ("tax", "tax_percent", "size", "unit", "batch_grams", "watts", "hours", "on_hand")


def _bare(tables: Tables) -> dict[str, list[dict[str, str]]]:
    return {
        name: [{key: _plain(key, cell) for key, cell in row.items() if key not in _GIVEN_OTHERWISE} for row in rows]
        for name, rows in tables.items()
    }


def _plain(column: str, cell: str) -> str:
    text = (
        re.sub(r"\s*(€|£|%|\bg\b|\bmin\b)$|^£", "", cell.strip().lower())
        if re.match(r"£?-?\d", cell)
        else cell.strip().lower()
    )
    text = re.sub(r"(?<=\d)\.(?=\d{3},)", "", text)
    return re.sub(r",0+$", "", text)


def test_the_good_season_is_read_as_its_maker_writes(tmp_path: Path) -> None:
    """The season in its own names, with day-first dates and decimal commas, costs the same as under plain keys, quietly."""
    look = _looked_at(once_right(), tmp_path / "pedra-murta")
    assert look.prices is not None, look.lines[:5]
    assert len(_asking(look)) <= 2


def test_the_first_try_brings_a_dozen_messages_at_most(tmp_path: Path) -> None:
    """Every cause that moves a price is told with its rows, in at most a dozen messages."""
    asking = _asking(_looked_at(first_try(), tmp_path / "pedra-murta"))
    for cause in causes():
        if cause.told:
            named = [line for line in asking if spoken_of(cause.table, line) and set(cause.rows) & rows_told(line)]
            assert named, cause.why
    assert len(asking) <= most_messages()


def test_heeding_the_messages_gives_the_right_prices(tmp_path: Path) -> None:
    """After each message is heeded, no fault is left, and every price is that of the good season.

    Floors may differ by a tenth of a percent: receipts round their tax to the cent, rates do not.
    """
    right = _looked_at(once_right(), tmp_path / "right")
    now = _looked_at(mended(first_try()), tmp_path / "mended")
    assert right.prices
    assert now.prices
    assert {key: price for key, (price, _) in now.prices.items()} == {key: price for key, (price, _) in right.prices.items()}
    assert [floor for _, floor in now.prices.values()] == pytest.approx(
        [floor for _, floor in right.prices.values()], rel=1e-3
    )
