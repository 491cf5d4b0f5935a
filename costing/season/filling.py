"""What each table of a season is filled from: its records, packaged rows, or rows that follow from other records."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from costing.engine.table import FigureList, Table
from costing.fields.types import Record
from costing.records.schema import SeasonRecords
from costing.season.further_rows import (
    buying_rows,
    content_rows,
    driver_rows,
    even_rows,
    fill_rows,
    in_tub_rows,
    ladder_rows,
    ranked_rows,
    shelf_rows,
    shocked_rows,
    stock_rows,
)
from costing.season.lye_safety import lye_rows
from costing.season.price_rows import glance_rows, item_rows, making_rows
from costing.tables.buying.items import ITEMS
from costing.tables.buying.purchase_units import UNITS, unit_records
from costing.tables.buying.purchases import PURCHASES
from costing.tables.buying.stock import STOCK, STOCK_TOTALS
from costing.tables.deciding.contents import CONTENTS
from costing.tables.deciding.cost_drivers import DRIVERS, MOVES, RANKED, Dials
from costing.tables.deciding.price_shock import SHOCK, SHOCKED, Shock
from costing.tables.deciding.shopping_list import BUYING, CASH
from costing.tables.deciding.tub_contents import IN_TUBS
from costing.tables.making.lye_balance import LYE, TAKING, taking_records
from costing.tables.making.recipe_cards import MAKING, MakingRow
from costing.tables.scales.batch_lines import BATCH_LINES
from costing.tables.scales.batches import BATCHES
from costing.tables.scales.fills import FILLS
from costing.tables.scales.tolerances import MEAN_FACTORS, TOLERANCES, mean_factor_records, tolerance_records
from costing.tables.scales.weighings import WEIGHINGS
from costing.tables.selling.break_even import EVEN
from costing.tables.selling.channels import CHANNELS
from costing.tables.selling.overheads import OVERHEADS
from costing.tables.selling.own_or_bought import ALTERNATIVES
from costing.tables.selling.price_ladder import LADDER
from costing.tables.selling.prices import PRICES
from costing.tables.selling.products import PRODUCTS
from costing.tables.selling.shelf_cards import SHELF
from costing.tables.selling.tubs import TUBS
from costing.tables.settings import SETTINGS
from costing.tables.whole.at_a_glance import glance_table
from costing.tables.whole.checks import CHECKS, LOOKS
from costing.tables.whole.totals import TOTALS

AS_WRITTEN = (
    PURCHASES, TUBS, PRODUCTS, CHANNELS, PRICES, ALTERNATIVES, OVERHEADS, WEIGHINGS, BATCHES, BATCH_LINES,
)  # fmt: skip
WORKED_FIGURES = (TOTALS, CHECKS, LOOKS, STOCK_TOTALS, CASH)


@dataclass(frozen=True)
class Looked:
    """What the sheets What moves it and Price shock look at; None for the first product, and the bought base."""

    dials: Dials | None = None
    shock: Shock | None = None


def tables_of(records: SeasonRecords) -> Iterator[tuple[Table, Sequence[Record]]]:
    """Yield every table with the rows it is filled from."""
    items, cards = item_rows(records), making_rows(records)
    for table in AS_WRITTEN:
        yield table, getattr(records, table.key).records
    yield ITEMS, items
    yield MAKING, cards
    yield from _packaged()
    yield from _followed(records, cards)
    yield LYE, lye_rows(cards, items)
    yield STOCK, stock_rows(items)
    ladder = ladder_rows(records)
    yield LADDER, ladder
    yield EVEN, even_rows(records)
    yield SHELF, shelf_rows(records, ladder)
    yield FILLS, fill_rows(records)
    yield glance_table(records.channels.records), glance_rows(records)


def _packaged() -> Iterator[tuple[Table, Sequence[Record]]]:
    """Yield the tables that come with the program."""
    yield UNITS, unit_records()
    yield TAKING, taking_records()
    yield TOLERANCES, tolerance_records()
    yield MEAN_FACTORS, mean_factor_records()


def _followed(records: SeasonRecords, cards: list[MakingRow]) -> Iterator[tuple[Table, Sequence[Record]]]:
    """Yield the tables that follow every bought item into the tubs."""
    contents = content_rows(cards)
    in_tubs = in_tub_rows(records, contents)
    to_buy = buying_rows(in_tubs)
    drivers = driver_rows(to_buy)
    yield CONTENTS, contents
    yield IN_TUBS, in_tubs
    yield BUYING, to_buy
    yield DRIVERS, drivers
    yield RANKED, ranked_rows(drivers)
    yield SHOCKED, shocked_rows(records)


def figures_of(records: SeasonRecords, items: Sequence[Any], looked: Looked) -> Iterator[tuple[FigureList, Record | None]]:
    """Yield every list of figures with the record that its given ones are from; ``items`` are those of the table."""
    yield SETTINGS, records.season
    for figures in WORKED_FIGURES:
        yield figures, None
    yield MOVES, looked.dials or _first_dials(records)
    yield SHOCK, looked.shock or _first_shock(items)


def _first_dials(records: SeasonRecords) -> Dials:
    """Return the first product, moved a tenth up and down."""
    product = next((row.product for row in records.products), "")
    return Dials.model_construct(product=product, change=Decimal(10))


def _first_shock(items: Sequence[Any]) -> Shock:
    """Return a bought base, or the first item, a quarter dearer."""
    bases = [row.item for row in items if row.kind == "base"]
    named = [*bases, *(row.item for row in items), ""]
    return Shock.model_construct(item=named[0], change=Decimal(25))
