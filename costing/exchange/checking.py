"""Checking a season: its faults, or else its costs and cautions; nothing is raised for what is in the records."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from costing.errors import Caution, Fault, Faults
from costing.exchange.season_files import open_season
from costing.season.costed import Season
from costing.season.working_out import cost


@dataclass(frozen=True)
class Checked:
    """What there is to say of a season; it is costed only where it has no faults.

    how: how each table was read, in one line each; notices: what was read in a way that deserves saying.
    """

    season: Season | None
    faults: tuple[Fault, ...]
    how: tuple[str, ...]
    notices: tuple[str, ...]

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What to look at though it stops nothing; none are known while there are faults."""
        return self.season.cautions if self.season else ()


def check(path: str | Path) -> Checked:
    """Return every fault and caution of a season kept in a folder of CSV files or in a workbook.

    Raises
    ------
    Refusal
        When there is no such season, or it is not fit to be opened.

    """
    source = open_season(path)
    told = tuple(source.how), tuple(source.notices)
    try:
        return Checked(cost(source.records()), (), *told)
    except Faults as error:
        return Checked(None, error.faults, *told)
