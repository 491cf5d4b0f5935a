"""A new season to fill in: a folder with every table and a page that explains every column, or a workbook."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from pathlib import Path

from costing.errors import FileTrouble, Refusal
from costing.folder.left_over import clear_left_over
from costing.folder.one_step import new_folder
from costing.folder.safe_writing import write_atomically
from costing.records.guide import guide
from costing.records.schema import RECORD_TABLES, RecordTable
from costing.workbook.write.blank import blank_workbook

GUIDE = "COLUMNS.txt"


def start_folder(folder: str | Path) -> list[Path]:
    """Make a season's folder to fill in, and return its files. One that was cut short is completed.

    Raises
    ------
    Refusal
        When the folder holds any of these files already, but for a start cut short; or when it cannot be made.

    """
    folder = Path(folder)
    files = {f"{table.name}.csv": _headings(table) for table in RECORD_TABLES} | {GUIDE: guide()}
    texts = {name: text.encode("utf-8") for name, text in files.items()}
    try:
        if not folder.parent.exists():
            folder.parent.mkdir(parents=True, exist_ok=True)
        clear_left_over(folder.parent)
        made = not folder.is_dir() and new_folder(folder, texts)
    except OSError as error:
        raise FileTrouble(f"{folder}: cannot be made ({error.strerror})") from None
    if not made:
        _fill(folder, texts)
    return [folder / name for name in files]


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put the files of a new season into a folder that is there already, beside whatever else it holds."""
    clear_left_over(folder)
    there = [name for name in files if (folder / name).exists()]
    if there and not _cut_short(folder, files, there):
        raise Refusal(f"{folder}: holds {', '.join(there)} already; name a new folder")
    for name in (name for name in files if name not in there):
        write_atomically(folder / name, files[name])


def _cut_short(folder: Path, files: Mapping[str, bytes], there: Sequence[str]) -> bool:
    """Whether what is there is part of a new season, with nothing filled in yet: a start that did not come to its end."""
    untouched = ((folder / name).read_bytes() == files[name] for name in there)
    return len(there) < len(files) and all(untouched)


def start_workbook(path: str | Path) -> Path:
    """Write a workbook to fill in, and return where.

    Raises
    ------
    Refusal
        When there is a file already, or it cannot be written.

    """
    path = Path(path)
    target = path if path.suffix.lower() == ".xlsx" else path.with_name(f"{path.name}.xlsx")
    if target.exists():
        raise Refusal(f"{target}: is there already; choose another name")
    write_atomically(target, blank_workbook())
    return target


def _headings(table: RecordTable) -> str:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    if table.name != "season":
        writer.writerow(table.model.model_fields)
        return text.getvalue()
    writer.writerow(("key", "value"))
    for key, info in table.model.model_fields.items():
        writer.writerow((key, "" if info.is_required() else info.default))
    return text.getvalue()
