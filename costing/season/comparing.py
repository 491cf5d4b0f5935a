"""Season against season: what changed in items, products and prices, and what each change did to the cost of one.

Last season's records are replaced by this season's in a stated order, and what one costs is worked out after each step.
The effect of a step is the difference that it makes, so the effects of all steps add up to the whole difference.

Overheads come last and whole: the part of one now less that then. What goes before is materials, packaging, work and
power, which hang on nothing but prices, formulas, rates and tubs. So a product that is gone needs no costing anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Any

from costing.engine.calculated import CalculatedTable
from costing.errors import Fault, Faults
from costing.season.costed import Season
from costing.tables.buying.purchases import Purchase
from costing.tables.selling.products import Product
from costing.tables.whole.two_seasons import (
    EFFECTS,
    ITEMS_SINCE,
    ONLY_ONCE,
    PER_KG,
    PER_PIECE,
    PRICES_SINCE,
    PRODUCTS_SINCE,
    ItemSince,
    OnlyOnce,
    PriceSince,
    ProductSince,
)
from costing.tables.written import Rows, SeasonRecords

NEW, GONE = "new", "gone"
DIRECT = ("materials", "packaging", "work", "power", "unsold")


@dataclass(frozen=True)
class Comparison:
    """Two costed seasons, and the tables of what changed from one to the other."""

    old: Season
    new: Season
    products: CalculatedTable[Any]
    items: CalculatedTable[Any]
    prices: CalculatedTable[Any]
    only: CalculatedTable[Any]

    @property
    def tables(self) -> tuple[CalculatedTable[Any], ...]:
        """The four tables, in the order in which they are shown."""
        return self.products, self.prices, self.items, self.only


def compare(old: Season, new: Season) -> Comparison:
    """Return what changed from one costed season to another.

    Raises
    ------
    Faults
        When the two cannot be compared: other currencies, or an item counted in grams in one and in pieces in the other.

    """
    faults = list(_faults(old, new))
    if faults:
        raise Faults(faults)
    comparison = Comparison(
        old,
        new,
        CalculatedTable(PRODUCTS_SINCE, list(_products(old, new)), new),
        CalculatedTable(ITEMS_SINCE, list(_items(old, new)), new),
        CalculatedTable(PRICES_SINCE, list(_prices(old, new)), new),
        CalculatedTable(ONLY_ONCE, list(_only_once(old, new)), new),
    )
    for filled in comparison.tables:
        filled.finish()
    return comparison


def _faults(old: Season, new: Season) -> Iterator[Fault]:
    then, now = old.records.season.currency, new.records.season.currency
    if then != now:
        yield Fault("season, currency", f"{then} in the old season, {now} in the new one", "compare seasons of one currency")
    before = _priced_items(old)
    for item, row in _priced_items(new).items():
        if item in before and before[item].counted_in != row.counted_in:
            words = {"g": "by weight", "piece": "by the piece"}
            what = f"{words[before[item].counted_in]} in the old season, {words[row.counted_in]} in the new one"
            yield Fault(f"items, {item}", what, "give it another key in one of the two")


# -- what one costs --


def _products(old: Season, new: Season) -> Iterator[ProductSince]:
    then, now = _by(old.products, "product"), _by(new.products, "product")
    both = [product for product in now if product in then]
    states = [_direct(old, both), *_between(old, new, both), _direct(new, both)]
    for product in both:
        steps = [after[product] - before[product] for before, after in pairwise(states)]
        effects = [*steps, now[product].overheads - then[product].overheads]
        yield ProductSince.model_construct(
            product=product, then=then[product].total, **dict(zip(EFFECTS, effects, strict=True))
        )


def _between(old: Season, new: Season, both: list[str]) -> Iterator[dict[str, float]]:
    """Yield what one costs without overheads after each step but the last, whose result is the new season's own."""
    prices = _prices_of_items(old) | _prices_of_items(new)
    before, after = old.records, new.records
    old_products = {row.product: row for row in before.products}
    products = {row.product: row for row in after.products}
    yield _direct(_priced(before, prices, [old_products[product] for product in both]), both)
    filled = [products[product].model_copy(update={"tub": old_products[product].tub}) for product in both]
    making = {name: getattr(after, name) for name in ("formulas", "steps", "lines", "outputs")}
    yield _direct(_priced(before, prices, filled, making), both)
    rates = {key: getattr(after.season, key) for key in ("hourly_rate", "power_price")}
    settings = before.season.model_copy(update=rates)
    yield _direct(_priced(before, prices, filled, making | {"season": settings}), both)


def _direct(season: Season, products: list[str]) -> dict[str, float]:
    """Return what one of each product costs, overheads left out."""
    season.products.work_out(DIRECT[-1])
    rows = {row.product: row for row in season.products.rows}
    return {product: float(sum(getattr(rows[product], part) for part in DIRECT)) for product in products}


def _prices_of_items(season: Season) -> dict[str, tuple[float, str]]:
    """Return for each item what a gram or piece counts at, and the unit."""
    return {item: (row.price, row.counted_in) for item, row in _priced_items(season).items()}


def _priced(
    base: SeasonRecords,
    prices: Mapping[str, tuple[float, str]],
    products: list[Product],
    replaced: Mapping[str, Any] | None = None,
) -> Season:
    """Return a season of mixed records whose items count at given prices.

    Each is bought once, a gram or piece for its price, and averaged over that: which gives the price back to the last bit.
    """
    held = {name: getattr(base, name) for name in ("season", "formulas", "steps", "lines", "outputs", "tubs")}
    held |= replaced or {}
    made = {row.formula for row in held["formulas"]}
    named = {line.item for line in held["lines"] if line.item.partition("/")[0] not in made}
    named |= {row.part for row in held["tubs"]}
    settings = held["season"].model_copy(update={"cost_basis": "average", "reclaims_tax": "no"})
    bought = tuple(
        Purchase.model_construct(bought_on=settings.priced_on, item=item, size=Decimal(1), unit=unit, paid=Decimal(price))
        for item, (price, unit) in prices.items()
        if item in named
    )
    held |= {"season": settings, "purchases": Rows(bought), "products": Rows(tuple(products))}
    return Season(SeasonRecords(**held), {})


# -- items and prices --


def _items(old: Season, new: Season) -> Iterator[ItemSince]:
    before = _priced_items(old)
    for item in _priced_items(new):
        if item in before:
            per, price = _shown_price(before[item])
            yield ItemSince.model_construct(item=item, per=per, then=price)


def _prices(old: Season, new: Season) -> Iterator[PriceSince]:
    before = _by(old.prices, "product", "channel")
    for key in _by(new.prices, "product", "channel"):
        if key in before:
            row = before[key]
            yield PriceSince.model_construct(product=row.product, channel=row.channel, then=row.used, margin_then=row.margin)


def _only_once(old: Season, new: Season) -> Iterator[OnlyOnce]:
    for season, other, status in ((new, old, NEW), (old, new, GONE)):
        products = _by(other.products, "product")
        for product, row in _by(season.products, "product").items():
            if product not in products:
                yield _once("product", product, status, "one", row.total)
        prices = _by(other.prices, "product", "channel")
        for (product, channel), row in _by(season.prices, "product", "channel").items():
            if (product, channel) not in prices and product in products:
                yield _once("price", f"{product}/{channel}", status, "one", row.used)
        items = _priced_items(other)
        for item, row in _priced_items(season).items():
            if item not in items:
                yield _once("item", item, status, *_shown_price(row))


def _once(what: str, key: str, status: str, per: str, amount: float) -> OnlyOnce:
    return OnlyOnce.model_construct(what=what, key=key, status=status, per=per, amount=amount)


def _shown_price(row: Any) -> tuple[str, float]:
    return (PER_PIECE, row.per_piece) if row.counted_in == "piece" else (PER_KG, row.per_kg)


def _priced_items(season: Season) -> dict[str, Any]:
    """Return the rows of the items that have a price, or are used for nothing paid."""
    return {row.item: row for row in season.items.rows if row.price or row.used_in}


def _by(filled: CalculatedTable[Any], *columns: str) -> dict[Any, Any]:
    """Return a table's rows by one column, or by several together."""
    if len(columns) == 1:
        return {getattr(row, columns[0]): row for row in filled.rows}
    return {tuple(getattr(row, column) for column in columns): row for row in filled.rows}
