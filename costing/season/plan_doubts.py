"""Doubts about what is made and sold: values outside what small makers use, percentages written as parts of one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from costing.errors import Doubt
from costing.fields.catalogue import usual_ranges
from costing.fields.numerals import plainly
from costing.season.robust import is_far, sums_the_rows, times_the_usual

if TYPE_CHECKING:
    from costing.season.costed import Season

Named = tuple[str, Decimal]  # where a figure stands, and the figure


def plan_doubts(season: Season) -> Iterator[Doubt]:
    """Yield every figure of formulas, tubs, channels and prices that looks like a slip."""
    yield from _ranges(season)
    yield from _parts_of_one(season)
    yield from _own_prices(season)
    yield from _overheads(season)


def _ranges(season: Season) -> Iterator[Doubt]:
    """Yield what lies outside the ranges of catalogues/usual_ranges.csv."""
    records = season.records
    for table, key, rows in (
        ("formulas", "formula", records.formulas), ("products", "product", records.products),
        ("channels", "channel", records.channels), ("steps", "formula", records.steps),
    ):  # fmt: skip
        for usual in usual_ranges():
            if usual.table != table:
                continue
            for row in rows:
                value = getattr(row, usual.column)
                if value and not usual.low <= value <= usual.high:
                    step = f", {row.step}" if hasattr(row, "step") else ""
                    few = f"{plainly(usual.low)} to {plainly(usual.high)} {usual.unit}"
                    what = f"{usual.column} {plainly(value)}, where small makers write {few}"
                    yield Doubt(f"{table}, {getattr(row, key)}{step}", what, usual.meant)


def _parts_of_one(season: Season) -> Iterator[Doubt]:
    """Yield percentages under 1 where others of their column are all above: 0.4 for 40."""
    records = season.records
    columns: list[tuple[str, list[Named]]] = [
        ("margin_percent", [(f"channels, {row.channel}", row.margin_percent) for row in records.channels]),
        ("sales_tax_percent", [(f"channels, {row.channel}", row.sales_tax_percent) for row in records.channels]),
        ("fee_percent", [(f"channels, {row.channel}", row.fee_percent) for row in records.channels]),
        ("percent", [(f"outputs, {row.formula}, {row.output}", row.percent) for row in records.outputs]),
    ]
    for column, named in columns:
        yield from _small_ones(column, named)


def _small_ones(column: str, named: Iterable[Named]) -> Iterator[Doubt]:
    written = [(where, value) for where, value in named if value]
    small = [(where, value) for where, value in written if value < 1]
    if small and len(small) * 2 <= len(written):
        for where, value in small:
            yield Doubt(
                where, f"{column} {plainly(value)} is less than one in a hundred", f"did you mean {plainly(value * 100)}?"
            )


def _own_prices(season: Season) -> Iterator[Doubt]:
    """Yield own prices far from what the same product sells for elsewhere, or from what it costs."""
    used: dict[str, list[tuple[str, float, bool]]] = defaultdict(list)
    for row in season.prices.rows:
        used[row.product].append((row.channel, float(row.used), bool(row.price)))
    suggested = {(row.product, row.channel): float(row.suggested) for row in season.prices.rows}
    for product, prices in used.items():
        for channel, price, own in prices:
            known = own and suggested[product, channel] > 0
            if known and is_far(price, [suggested[product, channel]], never_under=2.5, always_over=2.5):
                ratio = times_the_usual(price, [suggested[product, channel]])
                what = f"own price {price:.2f} is {ratio:.2f} times the suggested one"
                yield Doubt(f"prices, {product}, {channel}", what, "look at the decimal point, and for what it is the price")


def _overheads(season: Season) -> Iterator[Doubt]:
    """Yield an overhead that is the sum of those above it."""
    rows = list(season.records.overheads)
    for at, row in enumerate(rows):
        above = [other.amount for other in rows[:at]]
        if row.amount and sums_the_rows(row.amount, above, coin=Decimal("0.01")):
            yield Doubt(
                f"overheads, {row.overhead}", f"{plainly(row.amount)} is the sum of those above it", "take the total out"
            )
