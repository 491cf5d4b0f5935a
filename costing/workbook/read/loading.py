"""Loading a workbook whose parts were looked through: those of its sheets only that are wanted."""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

from openpyxl.reader.excel import ExcelReader
from openpyxl.utils import get_column_letter

from costing.errors import Refusal
from costing.workbook.read.safe_opening import printable, shortly

MOST_REACHED = 500_000  # cells from a sheet's first to its last, which are passed one by one

Wanted = Callable[[Any, str], bool]  # the workbook, of which no sheet is there yet, and a sheet's title


class _Reader(ExcelReader):
    """openpyxl's reader, which passes the sheets by that are not wanted: they are most of a workbook."""

    def __init__(self, data: bytes, wanted: Wanted, *, results: bool) -> None:
        super().__init__(io.BytesIO(data), data_only=results, keep_links=False, keep_vba=False)
        self._wanted = wanted

    def read_worksheets(self) -> None:
        """Read the sheets that are wanted. Names are left out: they may lead to sheets that are not."""
        parser: Any = self.parser
        wanted = [each for each in parser.find_sheets() if self._wanted(self.wb, each[0].name)]
        for sheet, part in wanted:  # openpyxl passes over a sheet whose part is not there: it would read as one without rows
            if part.target not in self.valid_files:
                raise KeyError(f"its sheet {sheet.name} is not in the file")
        parser.find_sheets = lambda: iter(wanted)
        parser.assign_names = lambda: None
        super().read_worksheets()


def titles_in_sight(data: bytes) -> tuple[str, ...]:
    """Return the titles of the sheets of a workbook that loads well which are not hidden."""
    reader = _Reader(data, lambda *_: False, results=False)
    reader.read_manifest()
    reader.read_workbook()
    parser: Any = reader.parser
    return tuple(sheet.name for sheet, _ in parser.find_sheets() if sheet.state == "visible")


def load(path: Path, data: bytes, wanted: Wanted, *, results: bool) -> Any:
    """Return the workbook, with the stored results of its formulas or with the formulas themselves.

    Raises
    ------
    Refusal
        When its parts do not fit together, or a cell stands far from all others.

    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            reader = _Reader(data, wanted, results=results)
            reader.read()
        book: Any = reader.wb
        far = [sheet for sheet in book.worksheets if sheet.max_row * sheet.max_column > MOST_REACHED]
    except Exception as error:  # a damaged workbook makes openpyxl fail in any way there is
        cause = error.__cause__ or error  # openpyxl wraps what it met in words of its own
        what = f"{type(cause).__name__}: {shortly(cause)}"
        raise Refusal(f"{path}: cannot be read as a workbook ({what}); save it again as .xlsx") from None
    if far:
        last = f"{get_column_letter(far[0].max_column)}{far[0].max_row}"
        raise Refusal(
            f"{path}: sheet {printable(far[0].title)} reaches to {last}; delete what stands far below or right of the rest"
        )
    return book
