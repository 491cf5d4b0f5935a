"""Everything the maker wrote down for one season: the records of each table, with the places they were read from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from costing.fields.types import Record
from costing.tables.buying.items import Item
from costing.tables.buying.purchases import Purchase
from costing.tables.making.recipes import Formula, Line, Output, Step
from costing.tables.planning.made import Made
from costing.tables.scales.batch_lines import BatchLine
from costing.tables.scales.batches import Batch
from costing.tables.scales.weighings import Weighing
from costing.tables.selling.channels import Channel
from costing.tables.selling.overheads import Overhead
from costing.tables.selling.own_or_bought import Alternative
from costing.tables.selling.prices import Price
from costing.tables.selling.products import Product
from costing.tables.selling.tubs import Tub
from costing.tables.settings import Settings
from costing.tables.whole.seen import Seen

R = TypeVar("R", bound=Record)


@dataclass(frozen=True, repr=False)
class Rows(Generic[R]):
    """The records of one table, each with the place it was read from."""

    records: tuple[R, ...] = ()
    places: tuple[str, ...] = ()
    source: str = ""
    numbers: tuple[int, ...] = ()

    def __iter__(self) -> Iterator[R]:
        return iter(self.records)

    def __len__(self) -> int:
        return len(self.records)

    def __repr__(self) -> str:
        return f"<{len(self)} records{f' from {self.source}' if self.source else ''}>"

    def placed(self) -> Iterator[tuple[R, str]]:
        """Yield each record with its place, as ``purchases.csv, row 7``."""
        return zip(self.records, self.places, strict=True)


@dataclass(frozen=True)
class Origin:
    """The export that a workbook goes back to: by what it is known, and every table's rows as they were given to it.

    in_sight: the titles of the sheets that are in sight in the workbook.
    """

    export: str
    tables: Mapping[str, Sequence[Mapping[str, str]]]
    in_sight: Sequence[str] = ()


@dataclass(frozen=True, repr=False)
class SeasonRecords:
    """Everything the maker wrote down for one season."""

    season: Settings
    purchases: Rows[Purchase] = field(default_factory=Rows)
    items: Rows[Item] = field(default_factory=Rows)
    formulas: Rows[Formula] = field(default_factory=Rows)
    steps: Rows[Step] = field(default_factory=Rows)
    lines: Rows[Line] = field(default_factory=Rows)
    outputs: Rows[Output] = field(default_factory=Rows)
    tubs: Rows[Tub] = field(default_factory=Rows)
    products: Rows[Product] = field(default_factory=Rows)
    channels: Rows[Channel] = field(default_factory=Rows)
    prices: Rows[Price] = field(default_factory=Rows)
    overheads: Rows[Overhead] = field(default_factory=Rows)
    alternatives: Rows[Alternative] = field(default_factory=Rows)
    weighings: Rows[Weighing] = field(default_factory=Rows)
    batches: Rows[Batch] = field(default_factory=Rows)
    batch_lines: Rows[BatchLine] = field(default_factory=Rows)
    made: Rows[Made] = field(default_factory=Rows)
    seen: Rows[Seen] = field(default_factory=Rows)
    settings_at: Mapping[str, str] = field(default_factory=dict, compare=False)  # where each setting was written
    origin: Origin | None = field(default=None, compare=False)  # of records that were read from an exported workbook

    def __repr__(self) -> str:
        counts = f"{len(self.purchases)} purchases, {len(self.formulas)} formulas, {len(self.products)} products"
        return f"<{self.season.name!r}, priced on {self.season.priced_on}: {counts}>"

    def rows(self, table: str) -> Sequence[Record]:
        """Return the records of a table by its name."""
        found = getattr(self, table)
        return (found,) if isinstance(found, Settings) else found.records

    def setting_place(self, key: str) -> str:
        """Return where a setting stands, as ``season.csv, row 3, priced_on``."""
        return self.settings_at.get(key, f"season, {key}")
