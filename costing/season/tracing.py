"""The cost of one tub as a tree: parts → formula → what it is made from → item → the purchases that set its price."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from costing.errors import Refusal, did_you_mean
from costing.fields.names import sign
from costing.fields.types import day_of
from costing.season.costed import Season
from costing.tables import equations
from costing.tables.buying.items import ItemRow, sets_price
from costing.tables.buying.purchases import PURCHASES
from costing.tables.making.moving_cards import MAKING
from costing.tables.making.recipe_cards import CardRow
from costing.tables.selling.overheads import OVERHEADS
from costing.tables.selling.products import PRODUCTS, ProductRow
from costing.tables.selling.tubs import TUBS, TubRow

PARTS = ("materials", "packaging", "work", "power", "overheads")


@dataclass(frozen=True)
class Branch:
    """One figure of the tree and what it is made up of: the amounts of its branches add up to its own. [money]"""

    label: str
    amount: float
    branches: tuple[Branch, ...] = ()


def trace(season: Season, product: str) -> Branch:
    """Return the cost of one of a product as a tree.

    Raises
    ------
    Refusal
        When the season has no such product.

    """
    known = {sign(each.product): each.product for each in season[PRODUCTS].rows}
    if sign(product) not in known:
        raise Refusal(f'there is no product "{product}"; {did_you_mean(product, known.values())}')
    product = known[sign(product)]
    row = season.row("products", product=product)
    parts = [_part(season, row, part) for part in PARTS]
    return Branch(product, row.total, tuple(part for part in parts if part.amount))


def _part(season: Season, row: ProductRow, part: str) -> Branch:
    if part == "packaging":
        branches = tuple(_tub_part(season, each) for each in season[TUBS].rows if each.tub == row.tub)
    elif part == "overheads":
        branches = tuple(_overheads(season, row))
    else:
        branches = tuple(_filling(season, row, part))
    return Branch(part, getattr(row, part), branches)


def _filling(season: Season, row: ProductRow, part: str) -> Iterator[Branch]:
    yield from _present(_made(season, row.filled_with, row.used, part))
    if part == "work":
        own = equations.wage(row.minutes, season.settings.hourly_rate)
        yield from _present(Branch(f"filling and packing, {row.minutes:g} min", own))


def _present(branch: Branch) -> Iterator[Branch]:
    if branch.amount:
        yield branch


def _made(season: Season, made: str, grams: float, part: str) -> Branch:
    """Return one part of the cost of some grams of a made thing."""
    what = next(row for row in season[MAKING].rows if row.row in ("yield", "output") and row.made == made)
    scale = grams * what.bears / what.yields if what.yields else 0.0
    branches: list[Branch] = []
    for row in season[MAKING].rows:
        if row.formula == what.formula and row.row in ("line", "step"):
            branches += _of_row(season, row, scale, part)
    return Branch(f"{made}, {grams:.1f} g", grams * getattr(what, f"gram_{part}"), tuple(branches))


def _of_row(season: Season, row: CardRow, scale: float, part: str) -> Iterator[Branch]:
    grams = scale * row.added
    if row.row == "step":
        amount = scale * getattr(row, part)
        how = f"{scale * row.minutes:.2f} min" if part == "work" else f"{row.watts:g} W for {row.hours:g} h in the batch"
        yield from _present(Branch(f"step {row.step}, {how}", amount))
    elif _is_made(season, row.what):
        yield from _present(_made(season, row.what, grams, part))
    elif part == "materials":
        item = season.row("items", item=row.what)
        label = f"{row.what}, {grams:.2f} g at {item.per_gram:.4g} per g"
        yield from _present(Branch(label, grams * item.per_gram, tuple(_purchases(season, item, grams))))


def _is_made(season: Season, reference: str) -> bool:
    return any(row.made == reference and row.row in ("yield", "output") for row in season[MAKING].rows)


def _tub_part(season: Season, row: TubRow) -> Branch:
    item = season.row("items", item=row.part)
    label = f"{row.part}, {row.count:g} at {item.per_piece:.4g} each"
    return Branch(label, row.cost, tuple(_purchases(season, item, row.count)))


def _overheads(season: Season, row: ProductRow) -> Iterator[Branch]:
    for each in season[OVERHEADS].rows:
        amount = equations.overhead_of_one(each.per_unit, each.per_gram, row.fill_grams, each.per_minute, row.hands_on)
        label = f"{each.overhead}, {each.amount:,.2f} shared by {each.shared_by}"
        yield from _present(Branch(label, amount))


def _purchases(season: Season, item: ItemRow, amount: float) -> Iterator[Branch]:
    """Yield the purchases that set an item's price, each with its share of what the tub takes."""
    if item.basis == "quote":
        yield Branch("your own quote", amount * item.price)
        return
    rows = [row for row in season[PURCHASES].rows if sets_price(row, item)]
    if item.basis == "dearest":
        rows = rows[:1]  # one of several that are equally dear is enough
    together = sum(row.amount for row in rows)
    for row in rows:
        where = " ".join(filter(None, (row.supplier, row.invoice))) or "no receipt named"
        unit = "g" if item.counted_in == "g" else "pieces"
        label = f"{day_of(row.bought_on)} {where}: {row.landed:,.2f} landed for {row.amount:,.10g} {unit}"
        yield Branch(label, amount * row.landed / together)


def lines(branch: Branch, *, depth: int = 0) -> Iterator[tuple[str, float]]:
    """Yield the tree as indented labels with their amounts, from the top down."""
    yield "  " * depth + branch.label, branch.amount
    for each in branch.branches:
        yield from lines(each, depth=depth + 1)
