"""Doubts about figures outside what small makers use, and about percentages written as parts of one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from costing.errors import Doubt
from costing.fields.catalogue import usual_ranges
from costing.fields.numerals import plainly
from costing.season.costed import Season
from costing.season.doubts.places import numbered

NAMED_BY = {
    "formulas": ("formula",), "steps": ("formula", "step"), "products": ("product",), "channels": ("channel",),
    "tubs": ("tub", "part"), "items": ("item",), "overheads": ("overhead",),
}  # fmt: skip
Named = tuple[str, Decimal, int]  # where a figure stands, the figure, and the number of its row


def range_doubts(season: Season) -> Iterator[Doubt]:
    """Yield figures outside the ranges of use, and parts of one among percentages."""
    yield from _ranges(season)
    yield from _parts_of_one(season)


def _ranges(season: Season) -> Iterator[Doubt]:
    """Yield what lies outside the ranges of catalogues/usual_ranges.csv."""
    for usual in usual_ranges():
        for row, number in numbered(getattr(season.records, usual.table)):
            value = getattr(row, usual.column)
            if value and not usual.low <= value <= usual.high:
                named = ", ".join(str(getattr(row, column)) for column in NAMED_BY[usual.table])
                few = f"{plainly(usual.low)} to {plainly(usual.high)} {usual.unit}"
                what = f"{usual.column} {plainly(value)}, where small makers write {few}"
                yield Doubt(f"{usual.table}, {named}", what, usual.meant, row=number)


def _parts_of_one(season: Season) -> Iterator[Doubt]:
    """Yield percentages under 1 where others of their column are all above: 0.4 for 40."""
    outputs = [(f"outputs, {row.formula}, {row.output}", row.percent, at) for row, at in numbered(season.records.outputs)]
    yield from _small_ones("percent", outputs)
    products = [(f"products, {row.product}", row.unsold_percent, at) for row, at in numbered(season.records.products)]
    yield from _small_ones("unsold_percent", products)
    for column in ("margin_percent", "sales_tax_percent", "fee_percent", "shop_margin_percent"):
        rows = numbered(season.records.channels)
        yield from _small_ones(column, [(f"channels, {row.channel}", getattr(row, column), at) for row, at in rows])


def _small_ones(column: str, named: Iterable[Named]) -> Iterator[Doubt]:
    written = [each for each in named if each[1]]
    small = [each for each in written if each[1] < 1]
    if len(small) * 2 <= len(written):
        for where, value, number in small:
            what = f"{column} {plainly(value)} is less than one in a hundred"
            yield Doubt(where, what, f"did you mean {plainly(value * 100)}?", row=number)
