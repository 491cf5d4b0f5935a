"""The tables of a season's records: which model each row has, which columns make its key, which must be there."""

from __future__ import annotations

from dataclasses import dataclass

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


@dataclass(frozen=True)
class RecordTable:
    """One table of records."""

    name: str
    model: type[Record]
    key: tuple[str, ...]
    about: str
    required: bool = False


RECORD_TABLES = (
    RecordTable("season", Settings, (), "What holds for the whole season: one row for each setting.", required=True),
    RecordTable("purchases", Purchase, (), "What you bought: one row for each row of a receipt.", required=True),
    RecordTable("items", Item, ("item",), "What you add to, or correct in, the packaged list of ingredients."),
    RecordTable("formulas", Formula, ("formula",), "Everything you make: bars, shreds, soft soap, scrubs.", required=True),
    RecordTable("steps", Step, ("formula", "step"), "The steps of each formula, in the order in which they are done."),
    RecordTable("lines", Line, (), "What goes into each formula, step by step, in percent or grams.", required=True),
    RecordTable("outputs", Output, ("formula", "output"), "Where a formula yields several things: bars and trimmings."),
    RecordTable("tubs", Tub, ("tub", "part"), "The parts of each package, bought by the piece."),
    RecordTable("products", Product, ("product",), "What you sell: a formula in a tub.", required=True),
    RecordTable("channels", Channel, ("channel",), "Where you sell, what that takes, and the margin wanted.", required=True),
    RecordTable("prices", Price, ("product", "channel"), "What is planned where, and your own prices."),
    RecordTable("overheads", Overhead, ("overhead",), "The season's costs that no single tub causes."),
    RecordTable("alternatives", Alternative, ("product",), "Which product of your own a bought-base one would replace."),
    RecordTable("weighings", Weighing, (), "Filled tubs put on the scales, one row for each."),
    RecordTable("batches", Batch, ("batch",), "Batches that were made: what came out, and how long it took."),
    RecordTable("batch_lines", BatchLine, (), "What really went into each batch."),
    RecordTable("made", Made, ("what",), "What was made and is not yet used or sold: the plan uses it first."),
    RecordTable("seen", Seen, ("where",), "Doubts that you have looked at and found right; they are not told again."),
)

TABLES_BY_NAME = {table.name: table for table in RECORD_TABLES}
