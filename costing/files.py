"""Reading a season and writing its workbook: the two ends that touch files."""

from __future__ import annotations

from pathlib import Path

from costing.errors import Refusal
from costing.folders import read_folder
from costing.saving import write_atomically
from costing.schema import SeasonRecords
from costing.season import Season
from costing.workbook.book import workbook_bytes


def read_season(path: str | Path) -> SeasonRecords:
    """Return the records of a season kept in a folder of CSV files.

    Raises
    ------
    Faults
        With every fault found.
    Refusal
        When there is no such folder.

    """
    folder = Path(path)
    if not folder.is_dir():
        raise Refusal(f"{folder}: is no folder; name a season's folder")
    return read_folder(folder)


def export(season: Season, path: str | Path, *, replace: bool = False) -> None:
    """Write the pricing workbook of a costed season.

    Raises
    ------
    Refusal
        When the file is there already and ``replace`` is not given, or cannot be written.

    """
    write_atomically(Path(path), workbook_bytes(season), replace=replace)
