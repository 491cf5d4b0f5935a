"""Items: everything bought, with the price that a gram or piece of it counts at."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_where,
    either,
    largest_where,
    pick,
    ratio,
    read_as,
    sum_where,
)
from costing.engine.table import Table
from costing.fields.types import ChoiceField, Count, Key, NumberField, PercentField, Record, Text, given
from costing.tables import equations

KINDS = (
    "oil", "lye", "water", "fatty-acid", "humectant", "surfactant", "preservative", "exfoliant", "clay", "colour",
    "antioxidant", "fragrance", "base", "packaging", "additive",
)  # fmt: skip


class Item(Record):
    """Something bought."""

    item: Key = given("Item", "The key under which purchases, formulas and tubs name it.")
    name: Text = given("Name", "Its name in full.", default="")
    kind: Annotated[str, ChoiceField((*KINDS, ""))] = given("Kind", "What sort of thing it is.", default="")
    label_name: Text = given("Label name", "Its name in ingredient lists (INCI).", default="")
    density: Annotated[Decimal | None, NumberField("gram/millilitre", above=0)] = given(
        "Density", "What a millilitre weighs; needed only if it is bought by volume.", default=None
    )
    on_hand: Count = given("On hand", "Grams or pieces in stock.", default=Decimal(0))
    quote: Annotated[Decimal | None, NumberField("money/quoted", above=0)] = given(
        "Quote", "Your own price, per kg or per piece, for the cost basis quote.", default=None
    )
    highest_percent: Annotated[Decimal | None, PercentField()] = given(
        "Highest share", "The share of a formula above which you get a caution.", default=None
    )
    source: Text = given("Source", "Where density and highest share are from.", default="")
    note: Text = given("Note", "Anything worth remembering.", default="")


OLD_PRICE = "old price"
SODA, POTASH = "sodium-hydroxide", "potassium-hydroxide"

ITEMS = Table(
    "items",
    "Items",
    "Items",
    "Everything bought and used, with what a gram or piece of it counts at. Percentages are of a formula's batch.",
    Item,
)


@ITEMS.works_out("Used in", decimals=0)
def used_in(row: Any, season: Any) -> Any:
    """How many formula lines and tub parts use it."""
    return count_where(season.making.what, row.item, season.making.row, "line") + count_where(season.tubs.part, row.item)


@ITEMS.works_out("Counted in", "text")
def counted_in(row: Any, season: Any) -> Any:
    """g, or piece for what is bought or used by the piece."""
    mine = season.purchases
    by_piece = (
        count_where(mine.item, row.item, mine.unit, "piece")
        + count_where(mine.item, row.item, mine.unit, "dozen")
        + count_where(season.tubs.part, row.item)
    )
    return pick(1 + choose(row.item == "", 0, 1) + choose(by_piece > 0, 1, 0), NOTHING, "g", "piece")


@ITEMS.works_out("Last bought on", "day", shape="date")
def latest_day(row: Any, season: Any) -> Any:
    """The newest day on which it was paid for."""
    return largest_where(season.purchases.priced_day, season.purchases.item, row.item)


@ITEMS.works_out("Came in on that day", "each")
def latest_amount(row: Any, season: Any) -> Any:
    """Grams or pieces that were paid for on the newest day."""
    mine = season.purchases
    return sum_where(mine.priced_amount, mine.item, row.item, mine.priced_day, row.latest_day)


@ITEMS.works_out("Latest", "money/each", decimals=5)
def latest(row: Any, season: Any) -> Any:
    """Per gram or piece on the newest day it was bought on."""
    mine = season.purchases
    return ratio(sum_where(mine.landed, mine.item, row.item, mine.priced_day, row.latest_day), row.latest_amount)


@ITEMS.works_out("Came in within the window", "each")
def window_amount(row: Any, season: Any) -> Any:
    """Grams or pieces bought in the days that average and dearest look at, returns taken off."""
    mine = season.purchases
    return sum_where(mine.amount, mine.item, row.item, mine.in_window, 1)


@ITEMS.works_out("Average", "money/each", decimals=5)
def average(row: Any, season: Any) -> Any:
    """Per gram or piece over all purchases in the window, returns taken off."""
    mine = season.purchases
    return ratio(sum_where(mine.landed, mine.item, row.item, mine.in_window, 1), row.window_amount)


@ITEMS.works_out("Dearest", "money/each", decimals=5)
def dearest(row: Any, season: Any) -> Any:
    """Per gram or piece of the dearest single purchase in the window."""
    return largest_where(season.purchases.window_price, season.purchases.item, row.item)


@ITEMS.works_out("Quoted", "money/each", decimals=5)
def quoted(row: Any, _: Any) -> Any:
    """Your quote per gram or piece."""
    by_piece = read_as(row.quote, "money/each")
    return choose(row.counted_in == "piece", by_piece, by_piece / 1000)


@ITEMS.works_out("Lacks the basis", decimals=0)
def lacks(row: Any, season: Any) -> Any:
    """1 where there is nothing to average, no dearest purchase or no quote, though the settings ask for it."""
    wanted = season.settings.cost_basis
    nothing = either(
        both(wanted == "average", row.window_amount <= 0),
        both(wanted == "dearest", row.dearest == 0),
        both(wanted == "quote", row.quoted == 0),
    )
    return choose(both(row.item != "", nothing), 1, 0)


@ITEMS.works_out("Basis used", "text")
def basis(row: Any, season: Any) -> Any:
    """The season's cost basis, or latest where the item lacks it."""
    place = 1 + choose(row.item == "", 0, 1) + row.lacks
    return pick(place, NOTHING, season.settings.cost_basis, "latest")


@ITEMS.works_out("Price per gram or piece", "money/each", decimals=5)
def price(row: Any, _: Any) -> Any:
    """What it counts at, on the basis used."""
    return (
        choose(row.basis == "latest", row.latest, 0)
        + choose(row.basis == "average", row.average, 0)
        + choose(row.basis == "dearest", row.dearest, 0)
        + choose(row.basis == "quote", row.quoted, 0)
    )


@ITEMS.works_out("Cost per gram", "money/gram", decimals=5)
def per_gram(row: Any, _: Any) -> Any:
    """What a gram counts at in formulas."""
    return choose(row.counted_in == "g", read_as(row.price, "money/gram"), 0)


@ITEMS.works_out("Cost per kg", "money/kilogram")
def per_kg(row: Any, _: Any) -> Any:
    """The same per kilogram, as suppliers write it."""
    return row.per_gram * equations.GRAMS_PER_KILOGRAM


@ITEMS.works_out("Cost per piece", "money/piece", decimals=4)
def per_piece(row: Any, _: Any) -> Any:
    """What a piece counts at in tubs."""
    return choose(row.counted_in == "piece", read_as(row.price, "money/piece"), 0)


@ITEMS.works_out("Age of price", "day", decimals=0)
def age(row: Any, season: Any) -> Any:
    """Days since it was last paid for, on the day priced on."""
    return choose(row.latest_day > 0, season.settings.priced_on - row.latest_day, 0)


@ITEMS.works_out("Of it bought base", decimals=0)
def base_share(row: Any, _: Any) -> Any:
    """1 for a bought base, whose weight is followed into every tub."""
    return choose(row.kind == "base", 1, 0)


@ITEMS.works_out("Counts as lye", decimals=4)
def lye(row: Any, season: Any) -> Any:
    """Grams of sodium hydroxide that a gram of a lye stands for, taken as pure."""
    return choose(row.kind == "lye", 1, 0) * choose(row.item == POTASH, season.settings.naoh_for_koh, 1)


@ITEMS.works_out("Lye not known", decimals=0)
def lye_unknown(row: Any, season: Any) -> Any:
    """1 for an oil, a fatty acid or a thing of no kind that the list on Lye lacks, and for a lye of unsure strength."""
    may_react = either(row.kind == "oil", row.kind == "fatty-acid", row.kind == "lye", row.kind == "")
    listed = count_where(season.taking.item, row.item) > 0
    return choose(both(row.item != "", may_react), 1, 0) * choose(either(listed, row.item == SODA), 0, 1)


@ITEMS.works_out("Look at", "text")
def remark(row: Any, season: Any) -> Any:
    """Says so when the price of something in use is old."""
    old = both(row.used_in > 0, row.age > season.settings.stale_days, row.basis != "quote")
    return choose(old, OLD_PRICE, NOTHING)
