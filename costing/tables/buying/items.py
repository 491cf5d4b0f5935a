"""Items: everything bought, with the price that a gram or piece of it counts at."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    count_where,
    either,
    join,
    largest_at,
    largest_where,
    or_one,
    pick,
    ratio,
    read_as,
    root,
    round_up,
    sum_where,
)
from costing.engine.table import Sheet, Table
from costing.fields.catalogue import Ingredient, ingredient_named, ingredients
from costing.fields.types import ChoiceField, IngredientField, Key, NumberField, PercentField, Record, Text, given
from costing.fields.views import Number, OptionalNumber, Words
from costing.tables import equations, row_remarks
from costing.tables.order_of_making import formula_of
from costing.tables.row_remarks import Tests
from costing.tables.sources import Source
from costing.tables.usual_values import says_unusual

if TYPE_CHECKING:
    from costing.tables.book import Book
    from costing.tables.buying.purchases import PurchaseRow

KINDS = (
    "oil", "lye", "water", "fatty-acid", "humectant", "surfactant", "preservative", "exfoliant", "clay", "colour",
    "antioxidant", "fragrance", "base", "packaging", "additive",
)  # fmt: skip


class Item(Record):
    """Something bought."""

    item: Key = given("Item", "What it is called in purchases, formulas and tubs.")
    name: Text = given("Name", "A longer name; blank where there is none.", default="")
    kind: Words = given("Kind", "What sort of thing it is.", ChoiceField((*KINDS, "")), default="")
    label_name: Text = given("Label name", "Its name in ingredient lists (INCI).", default="")
    density: OptionalNumber = given(
        "Density",
        "What a millilitre weighs; needed only if it is bought by volume.",
        NumberField("gram/millilitre", above=0),
        default=None,
    )
    on_hand: Number = given(
        "On hand", "Grams or pieces in stock.", NumberField("", least=0, also=("gram",)), default=Decimal(0)
    )
    quote: OptionalNumber = given(
        "Quote",
        "Your own price, per kg or per piece, for the cost basis quote.",
        NumberField("money/quoted", above=0),
        default=None,
    )
    highest_percent: OptionalNumber = given(
        "Highest share", "The share of a formula above which you get a caution.", PercentField(), default=None
    )
    same_as: Words = given(
        "Same as",
        "An ingredient of the packaged list that this is, under another name: its kind, density, label name, limit and lye "
        "hold for it. Names that the list knows, as costing names tells, need none.",
        IngredientField(),
        default="",
    )
    source: Text = given("Source", "Where density and highest share are from.", default="")
    note: Text = given("Note", "Anything worth remembering.", default="")


UNUSED = "Bought, used nowhere"
OLD_PRICE, AT_LATEST, AT_NOTHING = "old price", "at its latest price", "at nothing"
LYE, WATER, PRESERVATIVE, BASE = "lye", "water", "preservative", "base"
TAKES_UP_LYE = ("oil", "fatty-acid", "")  # kinds, as far as a kind tells: a thing of no kind may
SODA, POTASH = "sodium-hydroxide", "potassium-hydroxide"


_WRONG = ("wrong_cells", "wrong_words", "wrong_names", "wrong_keys", "wrong_zeros")


def _names(row: ItemRow, _: Book) -> Tests:
    yield from row_remarks.left_empty(row, Item)
    yield from row_remarks.twice(row, "item")
    yield both(row.as_formula > 0, row.item != ""), "Also a formula"


def _keys(row: ItemRow, _: Book) -> Tests:
    yield from row_remarks.badly_named(row)
    yield row.price < 0, "A price below zero"
    yield both(row.counted_in == "piece", row.by_weight > 0), "By piece and by weight"


def _zeros(row: ItemRow, _: Book) -> Tests:
    yield from row_remarks.zeros(row, "density", "quote")


def _doubts(row: ItemRow, _: Book) -> Tests:
    yield row.unused == 1, UNUSED


def _quotes(row: ItemRow, season: Book) -> Tests:
    far, quoted, latest = season.settings.far_quote, row.quoted, row.latest
    yield both(quoted > 0, latest > 0, either(quoted > latest * far, quoted * far < latest)), "Quote unlike its price"


class ItemRow(Item, Rules):
    """What a gram or piece of an item costs."""

    @worked("Found as", "text")
    def found_as(self, _: Book) -> str:
        """The same key, under a heading that is none itself: where it is looked for, the heading counts as a row."""
        return choose(self.item == "", NOTHING, self.item)

    @worked("Known as", "text")
    def known_as(self, _: Book) -> str:
        """Under which key the packaged lists have it, if they do."""
        return _listed_as(self.same_as, self.found_as)

    @worked("Used in", decimals=0)
    def used_in(self, season: Book) -> float:
        """How many formula lines and tub parts use it."""
        return count_where(season.making.what, self.item, season.making.row, "line") + count_where(
            season.tubs.part, self.item
        )

    @worked("Counted in", "text")
    def counted_in(self, season: Book) -> str:
        """g, or piece for what is bought or used by the piece."""
        mine = season.purchases
        by_piece = sum_where(mine.by_piece, mine.item, self.item) + count_where(season.tubs.part, self.item)
        return pick(1 + choose(self.item == "", 0, 1) + choose(by_piece > 0, 1, 0), NOTHING, "g", "piece")

    @worked("Has a price", decimals=0)
    def has_price(self, season: Book) -> float:
        """1 where any came in by the day priced on, be it free, or where your quote is the cost basis."""
        came_in = sum_where(season.purchases.came_in, season.purchases.item, self.item) > 0
        quoted = both(season.settings.cost_basis == "quote", self.quote > 0)
        return choose(either(came_in, quoted), 1, 0)

    @worked("Last bought on", "day", shape="date")
    def latest_day(self, season: Book) -> float:
        """The newest day on which it was paid for."""
        return largest_where(season.purchases.priced_day, season.purchases.item, self.item)

    @worked("Came in on that day", "each")
    def latest_amount(self, season: Book) -> float:
        """Grams or pieces that were paid for on the newest day."""
        mine = season.purchases
        return sum_where(mine.priced_amount, mine.item, self.item, mine.priced_day, self.latest_day)

    @worked("Latest", "money/each", decimals=5)
    def latest(self, season: Book) -> float:
        """Per gram or piece on the newest day it was bought on."""
        mine = season.purchases
        return ratio(sum_where(mine.landed, mine.item, self.item, mine.priced_day, self.latest_day), self.latest_amount)

    @worked("Came in within the window", "each")
    def window_amount(self, season: Book) -> float:
        """Grams or pieces bought in the days that average and dearest look at, returns taken off."""
        mine = season.purchases
        return sum_where(mine.amount, mine.item, self.item, mine.in_window, 1)

    @worked("Average", "money/each", decimals=5)
    def average(self, season: Book) -> float:
        """Per gram or piece over all purchases in the window, returns taken off."""
        mine = season.purchases
        return ratio(sum_where(mine.landed, mine.item, self.item, mine.in_window, 1), self.window_amount)

    @worked("Dearest", "money/each", decimals=5)
    def dearest(self, season: Book) -> float:
        """Per gram or piece of the dearest single purchase in the window."""
        return largest_where(season.purchases.window_price, season.purchases.item, self.item)

    @worked("Quoted", "money/each", decimals=5)
    def quoted(self, _: Book) -> float:
        """Your quote per gram or piece."""
        by_piece = read_as(self.quote, "money/each")
        return choose(self.counted_in == "piece", by_piece, by_piece / 1000)

    @worked("Lacks the basis", decimals=0)
    def lacks(self, season: Book) -> float:
        """1 where there is nothing to average, no dearest purchase or no quote, though the settings ask for it."""
        wanted = season.settings.cost_basis
        nothing = either(
            both(wanted == "average", self.window_amount <= 0),
            both(wanted == "dearest", self.dearest == 0),
            both(wanted == "quote", self.quoted == 0),
        )
        return choose(both(self.item != "", nothing), 1, 0)

    @worked("Basis used", "text")
    def basis(self, season: Book) -> str:
        """The season's cost basis, or latest where the item lacks it."""
        place = 1 + choose(self.item == "", 0, 1) + self.lacks
        return pick(place, NOTHING, season.settings.cost_basis, "latest")

    @worked("Price per gram or piece", "money/each", decimals=5)
    def price(self, _: Book) -> float:
        """What it counts at, on the basis used."""
        return (
            choose(self.basis == "latest", self.latest, 0)
            + choose(self.basis == "average", self.average, 0)
            + choose(self.basis == "dearest", self.dearest, 0)
            + choose(self.basis == "quote", self.quoted, 0)
        )

    @worked("Cost per gram", "money/gram", decimals=5)
    def per_gram(self, _: Book) -> float:
        """What a gram counts at in formulas."""
        return choose(self.counted_in == "g", read_as(self.price, "money/gram"), 0)

    @worked("Cost per kg", "money/kilogram")
    def per_kg(self, _: Book) -> float:
        """The same per kilogram, as suppliers write it."""
        return self.per_gram * equations.GRAMS_PER_KILOGRAM

    @worked("Cost per piece", "money/piece", decimals=4)
    def per_piece(self, _: Book) -> float:
        """What a piece counts at in tubs."""
        return choose(self.counted_in == "piece", read_as(self.price, "money/piece"), 0)

    @worked("Age of price", "day", decimals=0)
    def age(self, season: Book) -> float:
        """Days since it was last paid for, on the day priced on."""
        return choose(self.latest_day > 0, season.settings.priced_on - self.latest_day, 0)

    @worked("Of it bought base", decimals=0)
    def base_share(self, _: Book) -> float:
        """1 for a bought base, whose weight is followed into every tub."""
        return choose(self.kind == BASE, 1, 0)

    @worked("Highest share, or all", shape="percent")
    def highest_share(self, _: Book) -> float:
        """The share of a formula above which you get a caution; all of it where that is blank."""
        return or_one(self.highest_percent, self.item)

    @worked("Counts as lye", decimals=4)
    def lye(self, season: Book) -> float:
        """Grams of sodium hydroxide that a gram of a lye stands for, taken as pure."""
        return choose(self.kind == LYE, 1, 0) * choose(self.known_as == POTASH, season.settings.naoh_for_koh, 1)

    @worked("Takes up lye, low", decimals=4)
    def takes_low(self, season: Book) -> float:
        """Grams of sodium hydroxide that a gram takes up, at the low end of the range that Lye lists."""
        return sum_where(season.taking.takes_low, season.taking.item, self.known_as)

    @worked("Takes up lye, high", decimals=4)
    def takes_high(self, season: Book) -> float:
        """The same at the high end."""
        return sum_where(season.taking.takes_high, season.taking.item, self.known_as)

    @worked("Lye not known", decimals=0)
    def lye_unknown(self, season: Book) -> float:
        """1 for an oil, a fatty acid or a thing of no kind that the list on Lye lacks, and for a lye of unsure strength."""
        may_react = either(*(self.kind == kind for kind in (*TAKES_UP_LYE, LYE)))
        listed = count_where(season.taking.item, self.known_as) > 0
        return choose(both(self.item != "", may_react), 1, 0) * choose(either(listed, self.known_as == SODA), 0, 1)

    @worked("Water in it", shape="percent", decimals=0)
    def water_share(self, season: Book) -> float:
        """How much of it is water, as Keeping lists it; all of a thing of the kind water that is not listed there."""
        keepers = season.keepers
        listed = count_where(keepers.item, self.known_as) > 0
        unlisted = choose(both(self.kind == WATER, self.item != ""), 1, 0)
        return choose(listed, sum_where(keepers.free_water, keepers.item, self.known_as), unlisted)

    @worked("Least working share", shape="percent", decimals=2)
    def least_share(self, season: Book) -> float:
        """Of a preservative, as Keeping lists it; 0 where it is not known."""
        return sum_where(season.keepers.least, season.keepers.item, self.known_as)

    @worked("Idle in soap", decimals=0)
    def idle_in_soap(self, season: Book) -> float:
        """1 for a preservative that Keeping lists as not working at the pH of soap."""
        return sum_where(season.keepers.idle, season.keepers.item, self.known_as)

    @worked("Dissolves in a gram of water", decimals=3)
    def dissolves(self, season: Book) -> float:
        """Grams of sugar or salt, as Keeping lists them."""
        return sum_where(season.keepers.dissolves, season.keepers.item, self.known_as)

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so when the price of something in use is old."""
        old = both(self.used_in > 0, self.age > season.settings.stale_days, self.basis != "quote")
        return choose(old, OLD_PRICE, NOTHING)

    @worked("Look at its basis", "text", role=REMARK)
    def basis_remark(self, _: Book) -> str:
        """Says so when something in use lacks the cost basis and counts at its latest price, or, water apart, at nothing."""
        lacks = both(self.used_in > 0, self.lacks == 1)
        free = both(self.used_in > 0, self.lacks == 0, self.price <= 0, self.kind != WATER)
        return pick(1 + choose(lacks, 1, 0) + choose(free, 2, 0), NOTHING, AT_LATEST, AT_NOTHING)

    @worked("Purchases with a price", decimals=0)
    def purchases_seen(self, season: Book) -> float:
        """How many times it was paid for by the day priced on."""
        return sum_where(season.purchases.price_counts, season.purchases.item, self.item)

    @worked("Middle price, upper", "money/each", decimals=5)
    def middle_high(self, season: Book) -> float:
        """Of all it cost per gram or piece, purchase by purchase, the middle one; the upper of the middle two."""
        return _price_at(self, season, round_up(self.purchases_seen / 2, 0))

    @worked("Middle price, lower", "money/each", decimals=5)
    def middle_low(self, season: Book) -> float:
        """The same; the lower of the middle two."""
        return _price_at(self, season, round_up((self.purchases_seen + 1) / 2, 0))

    @worked("Usual price", "money/each", decimals=5)
    def usual(self, _: Book) -> float:
        """What a gram or piece usually cost: the median of all its purchases, as ratios."""
        return root(self.middle_high * self.middle_low)

    @worked("Rows by weight", decimals=0)
    def by_weight(self, season: Book) -> float:
        """How many purchases of it are by weight or volume, and formula lines with it."""
        mine = season.purchases
        return sum_where(mine.by_weight, mine.item, self.item) + count_where(
            season.making.what, self.item, season.making.row, "line"
        )

    @worked("Formulas of its name", decimals=0)
    def as_formula(self, season: Book) -> float:
        """How many rows on Formulas have the name of this bought thing: none, if all is well."""
        return count_where(season.making.formula, self.item)

    name_flaws = row_remarks.name_flaws("item")
    used_row = row_remarks.used_row(Item)
    wrong_cells = row_remarks.wrong_cells(Item)
    wrong_words = row_remarks.wrong_words(Item)
    wrong_names = row_remarks.says("Wrong names", "Names that are empty or stand there twice.", _names)
    wrong_keys = row_remarks.says("Wrong keys", "Names that a sheet takes for something else.", _keys)
    wrong_zeros = row_remarks.says("Wrong zeros", "Zeros where there must be more.", _zeros)

    @worked("Used nowhere", decimals=0)
    def unused(self, _: Book) -> float:
        """1 for what was paid for, is not on hand, and stands in no formula or tub."""
        return choose(both(self.used_in == 0, self.latest_day > 0, self.on_hand == 0), 1, 0)

    @worked("On Seen", decimals=0)
    def looked_at(self, season: Book) -> float:
        """Above 0 if it was looked at: itself, or as a thing used nowhere its newest purchase."""
        mine = season.purchases
        newest = choose(self.unused == 1, count_where(mine.item, self.item, mine.looked_day, self.latest_day), 0)
        return row_remarks.on_seen(season, join("items, ", self.item)) + newest

    doubt = row_remarks.says("Look at its use", "What was bought and is used nowhere.", _doubts)
    doubt_of_quote = row_remarks.says("Look at its quote", "A quote far from what it last cost.", _quotes)
    unusual_density = says_unusual("items", "density", "density")
    to_look_at = row_remarks.to_look_at("doubt", "doubt_of_quote", "unusual_density", seen=True)
    to_mend = row_remarks.to_mend(*_WRONG)
    remarks = row_remarks.remarks(
        *_WRONG, looks=("remark", "basis_remark"), doubts=("doubt", "doubt_of_quote", "unusual_density")
    )


def _price_at(row: ItemRow, season: Book, rank: float) -> float:
    mine = season.purchases
    return choose(row.purchases_seen > 0, largest_at(mine.price_seen, mine.item, row.item, rank), 0)


def sets_price(purchase: PurchaseRow, item: ItemRow) -> bool:
    """Whether a purchase is one of those whose landed cost and amount make up the price that its item counts at."""
    if purchase.item != item.item:
        return False
    on_basis = {
        "latest": purchase.priced_day > 0 and purchase.priced_day == item.latest_day,
        "average": purchase.in_window == 1,
        "dearest": purchase.window_price > 0 and purchase.window_price == item.dearest,
    }
    return on_basis.get(item.basis, False)


def item_rows(source: Source) -> list[Item]:
    """Return every item that the season names, with the catalogue's figures where the maker wrote none."""
    records = source.records
    own = {row.item: row for row in records.items}
    made = {row.formula for row in records.formulas}
    named = dict.fromkeys(row.item for row in records.purchases if row.is_goods)
    named.update(dict.fromkeys(line.item for line in records.lines if formula_of(line.item) not in made))
    named.update(dict.fromkeys(row.part for row in records.tubs))
    named.update(dict.fromkeys(own))
    return [_item(key, own.get(key)) for key in named]


def known_under(item: Item) -> str:
    """Return under which key the packaged lists have an item, if they do."""
    return _listed_as(item.same_as, item.item)


def _listed_as(same_as: str, name: str) -> str:
    return choose(same_as == "", name, same_as)


def packaged_item(key: str, same_as: str = "") -> Item:
    """Return an item as it stands on Items where the maker wrote nothing about it, or only what it is the same as."""
    return _with_facts(key, ingredient_of(key, same_as), {})


def ingredient_of(key: str, same_as: str = "") -> Ingredient | None:
    """Return the packaged ingredient that an item is: the one that its row names, else the one that it is called."""
    return ingredients().get(same_as) or ingredient_named(key)


def _item(key: str, own: Item | None) -> Item:
    written = {column: getattr(own, column) for column in own.model_fields_set} if own else {}
    return _with_facts(key, ingredient_of(key, written.get("same_as", "")), written)


def _with_facts(key: str, ingredient: Ingredient | None, written: dict[str, Any]) -> Item:
    known: dict[str, Any] = {}
    if ingredient:
        called = ingredient_named(key)
        known = {
            "same_as": called.item if called and called.item != key else "",
            "kind": ingredient.kind,
            "label_name": ingredient.label_name,
            "density": ingredient.density,
            "highest_percent": ingredient.highest_percent,
            "source": "; ".join(filter(None, (ingredient.density_source, ingredient.highest_source))),
            "note": ingredient.note,
        }
    defaults = {column: info.default for column, info in Item.model_fields.items() if not info.is_required()}
    return Item.model_construct(**(defaults | known | written | {"item": key}))


ITEMS = Table(
    "items",
    Sheet("Items", everyday=True),
    "Items",
    "Everything bought and used, with what a gram or piece of it counts at. Percentages are of a formula's batch.",
    ItemRow,
    rows=item_rows,
    results=("latest_day", "per_kg", "per_piece"),
    aside=("same_as", "source"),
    seldom=("name", "quote", "highest_percent"),
)
