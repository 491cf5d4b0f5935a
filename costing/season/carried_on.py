"""What of a season still holds in the next one, and what was done in it and stays behind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from costing.records.schema import TABLES_BY_NAME
from costing.season.comparable import Cells, normal_tables
from costing.season.costed import Season

LEFT_BEHIND = ("weighings", "batches", "batch_lines")  # what was done in a season
OF_ONE_SEASON = ("ready_by",)  # settings that are days within it
_MONEY_DECIMALS = 9  # of a suggested price: more than any price step has, and fewer than binary arithmetic blurs
Tables = Mapping[str, list[Cells]]


@dataclass(frozen=True)
class NextSeason:
    """A season made from another.

    kept: the number of rows that were taken along, by table; left: of those that stayed behind; priced: prices that are
    now the maker's own, since they were used as suggested; to_count: rows that say what was on hand, by table.
    """

    path: Path
    season: Season
    kept: Mapping[str, int]
    left: Mapping[str, int]
    priced: int
    to_count: Mapping[str, int]


def first_day_after(season: Season) -> date:
    """Return the first day of the season after one: the day after its prices were worked out."""
    return season.records.season.priced_on + timedelta(days=1)


def carried_on(season: Season, priced_on: date) -> dict[str, list[Cells]]:
    """Return the tables of the next season in their normal form: prices as they were used, and nothing that was done."""
    before = normal_tables(season.records)
    days = {"began_on": first_day_after(season).isoformat(), "priced_on": priced_on.isoformat()}
    settings = {key: text for key, text in before["season"][0].items() if key not in OF_ONE_SEASON}
    used = {(row.product, row.channel): _written_price(row.used) for row in season.prices.rows}
    prices: list[Cells] = [{"price": used[row["product"], row["channel"]]} | dict(row) for row in before["prices"]]
    seen = [row for row in before["seen"] if row["where"].partition(",")[0].strip() not in LEFT_BEHIND]
    wanted = before | {name: [] for name in LEFT_BEHIND} | {"prices": prices, "seen": seen}
    wanted["season"] = [settings | days]
    return wanted


def _written_price(used: float) -> str:
    """Return a price as a record writes it."""
    return f"{used:.{_MONEY_DECIMALS}f}".rstrip("0").rstrip(".")


def gone_on(path: Path, season: Season, before: Tables, wanted: Tables) -> NextSeason:
    """Return what became of a season: ``season`` is the next one, made of the wanted tables."""
    own = sum("price" in row for row in before["prices"])
    return NextSeason(
        path,
        season,
        kept={name: len(rows) for name, rows in wanted.items() if rows and name != "season"},
        left={name: len(before[name]) - len(wanted[name]) for name in (*LEFT_BEHIND, "seen") if before[name]},
        priced=len(before["prices"]) - own,
        to_count={
            name: sum("on_hand" in row for row in rows)
            for name, rows in wanted.items()
            if "on_hand" in TABLES_BY_NAME[name].model.model_fields
        },
    )
