"""The next season, made from one that is over: what still holds is taken along, what was done in it stays behind."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from costing.errors import Fault, Faults, FileTrouble, Refusal
from costing.exchange.edited_files import TableEdit, edited_file
from costing.exchange.season_files import Source, export, folder_source, open_season
from costing.folder.left_over import clear_left_over
from costing.folder.one_step import new_folder
from costing.records.parsing import records_from
from costing.records.schema import RECORD_TABLES
from costing.season.carried_on import NextSeason, Tables, carried_on, first_day_after, gone_on
from costing.season.changes import changes_of
from costing.season.comparable import ORDER, digest, normal_tables
from costing.season.costed import Season
from costing.season.working_out import cost
from costing.tables.written import Rows, SeasonRecords


def next_season(old: str | Path, new: str | Path, priced_on: date) -> NextSeason:
    """Make a new season, a folder or a workbook by its name, from an old one of either kind, which stays as it is.

    Raises
    ------
    Faults
        When the old season cannot be costed, or the new one could not.
    Refusal
        When the day is not after the old season's, there is something already where the new one goes, or it cannot be
        written.

    """
    new = Path(new)
    _refuse_taken(new)
    source = open_season(old)
    season = cost(source.records())
    if priced_on < first_day_after(season):
        what = f"is priced on {season.records.season.priced_on.isoformat()}; name a later day than that for the next season"
        raise Refusal(f"{old}: {what}, not {priced_on.isoformat()}")
    wanted = carried_on(season, priced_on)
    made = _in_workbook(new, wanted) if new.suffix.lower() == ".xlsx" else _in_folder(new, source, season.records, wanted)
    return gone_on(new, made, normal_tables(season.records), wanted)


def _refuse_taken(new: Path) -> None:
    """Refuse a place where anything is: an empty folder alone may be there."""
    try:
        empty = new.is_dir() and new.suffix.lower() != ".xlsx" and not any(new.iterdir())
        taken = new.exists() and not empty
    except OSError as error:
        raise FileTrouble(f"{new}: cannot be looked at ({error.strerror}); name another place") from None
    if taken:
        raise Refusal(f"{new}: is there already; name a new folder, or a new workbook that ends in .xlsx")


# -- where it is written --


def _in_workbook(new: Path, wanted: Tables) -> Season:
    tables: dict[str, Any] = {
        name: [{column: text for column, text in row.items() if column != ORDER} for row in rows]
        for name, rows in wanted.items()
    }
    season = cost(records_from(**(tables | {"season": tables["season"][0]})))
    export(season, new)
    return season


def _in_folder(new: Path, source: Source, records: SeasonRecords, wanted: Tables) -> Season:
    """Write a folder in one step, its files spelled as those of the old one are."""
    files = dict(_files(source, records, wanted))
    after = folder_source(files).records()
    missed = [name for name, rows in normal_tables(after).items() if digest(rows) != digest(wanted[name])]
    if missed:
        do = "write it plainly, as costing start does, and run it again"
        raise Faults([Fault(f"{name}.csv", "would not say the same in the next season", do) for name in missed])
    season = cost(after)
    try:
        new.parent.mkdir(parents=True, exist_ok=True)
        clear_left_over(new.parent)
        made = new_folder(new, files)
    except OSError as error:
        raise FileTrouble(f"{new}: cannot be made ({error.strerror})") from None
    if not made:
        raise Refusal(f"{new}: is there already; name a new folder")
    return season


def _files(source: Source, records: SeasonRecords, wanted: Tables) -> Iterator[tuple[str, bytes]]:
    """Yield the files of the next season: those of a folder cell by cell, and anew what a workbook held."""
    before = normal_tables(records)
    there = {Path(file).stem.lower(): data for file, data in source.files.items()}
    for table in RECORD_TABLES:
        name, data = table.name, there.get(table.name)
        if data is None and not wanted[name]:
            continue
        rows: Rows[Any] = Rows() if data is None or name == "season" else getattr(records, name)
        changes = changes_of(name, before[name] if data is not None else [], wanted[name])
        anew = tuple(dict.fromkeys(row["formula"] for row in wanted[name])) if name == "steps" and data is None else ()
        if data is None and name == "steps" and not records.steps and source.files:
            continue  # steps that lines imply are implied by them again
        yield f"{name}.csv", edited_file(f"{name}.csv", data, TableEdit(name, changes, rows, wanted[name], anew))
