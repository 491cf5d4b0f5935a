"""What is a maker's own in a workbook that an export replaces: sheets, comments and widths of columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Own:
    """The sheets of a workbook as it was left: the maker's own, and by title those of the export, changed as they may be.

    in_sight: the titles of those that were in sight.
    """

    sheets: Sequence[Any] = ()
    exported: Mapping[str, Any] = field(default_factory=dict)
    in_sight: Sequence[str] = ()


NOTHING_OWN = Own()
