"""The cost of one tub as a tree: parts → formula → what it is made from → item → the purchases that set its price."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from costing.errors import Refusal, did_you_mean
from costing.fields.names import sign
from costing.fields.types import day_of
from costing.season.costed import Season
from costing.tables import equations
from costing.tables.buying.items import ItemRow, sets_price
from costing.tables.buying.purchases import PURCHASES
from costing.tables.making.moving_cards import MAKING
from costing.tables.making.recipe_cards import CardRow
from costing.tables.selling.overheads import OVERHEADS, OverheadRow
from costing.tables.selling.prices import PRICES, PriceRow
from costing.tables.selling.products import PRODUCTS, ProductRow
from costing.tables.selling.tubs import TUBS, TubRow

MADE = ("materials", "packaging", "work", "power")  # what one costs that is made; those unsold cost the same
PARTS = (*MADE, "unsold", "overheads")


DEEPEST = 30  # levels that are indented; those below tell their number instead


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


def trace_channels(season: Season, product: str) -> list[Branch]:
    """Return what comes on top of a product's cost in each channel that has overheads of its own, as trees."""
    rows = [row for row in season[PRICES].rows if sign(row.product) == sign(product) and row.channel_overheads]
    return [Branch(f"sold at {row.channel}, on top", row.channel_overheads, tuple(_of_channel(season, row))) for row in rows]


def _of_channel(season: Season, row: PriceRow) -> Iterator[Branch]:
    for each in season[OVERHEADS].rows:
        if sign(each.channel) == sign(row.channel):
            amount = equations.overhead_of_one(each.per_unit, each.per_gram, row.fill, each.per_minute, row.hands_on)
            yield from _present(_overhead(season, each, amount))


def _part(season: Season, row: ProductRow, part: str) -> Branch:
    if part == "packaging":
        branches = tuple(_tub_part(season, each) for each in season[TUBS].rows if each.tub == row.tub)
    elif part == "overheads":
        branches = tuple(_overheads(season, row))
    elif part == "unsold":
        branches = tuple(_unsold(row))
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


@dataclass
class _Twig:
    """A branch that still grows. made: what it is of, if that is made from other things."""

    label: str
    amount: float
    made: str = ""
    grams: float = 0.0
    grown: list[_Twig] = field(default_factory=list)


class _Cards:
    """The recipe cards, to be looked up by what is made and by formula."""

    def __init__(self, season: Season) -> None:
        self.season = season
        self.made = {row.made: row for row in reversed(season[MAKING].rows) if row.row in ("yield", "output")}
        self.rows: dict[str, list[CardRow]] = defaultdict(list)
        for row in season[MAKING].rows:
            if row.row in ("line", "step"):
                self.rows[row.formula].append(row)

    def twig(self, made: str, grams: float, part: str) -> _Twig:
        """Return one part of the cost of some grams of a made thing, not yet grown."""
        return _Twig(f"{made}, {grams:.1f} g", grams * getattr(self.made[made], f"gram_{part}"), made, grams)

    def grow(self, twig: _Twig, part: str) -> None:
        """Add what a made thing is made from."""
        what = self.made[twig.made]
        scale = twig.grams * what.bears / what.yields if what.yields else 0.0
        found = (self._of_row(row, scale, part) for row in self.rows[what.formula])
        twig.grown = [each for each in found if each is not None and each.amount]

    def _of_row(self, row: CardRow, scale: float, part: str) -> _Twig | None:
        grams = scale * row.added
        if row.row == "step":
            how = f"{scale * row.minutes:.2f} min" if part == "work" else f"{row.watts:g} W for {row.hours:g} h in the batch"
            return _Twig(f"step {row.step}, {how}", scale * getattr(row, part))
        if row.what in self.made:
            return self.twig(row.what, grams, part)
        if part != "materials":
            return None
        item = self.season.row("items", item=row.what)
        twig = _Twig(f"{row.what}, {grams:.2f} g at {item.per_gram:.4g} per g", grams * item.per_gram)
        twig.grown = [_Twig(each.label, each.amount) for each in _purchases(self.season, item, grams)]
        return twig


def _made(season: Season, made: str, grams: float, part: str) -> Branch:
    """Return one part of the cost of some grams of a made thing. What comes up again in it is told once, and counted.

    It grows in a loop, since formulas may be nested deeper than Python calls functions.
    """
    cards = _Cards(season)
    top = cards.twig(made, grams, part)
    waiting, told = [top], [top]
    times: Counter[str] = Counter()
    while waiting:
        twig = waiting.pop()
        if not twig.made:
            told += twig.grown
            continue
        times[twig.made] += 1
        if times[twig.made] > 1:
            twig.label += f", time {times[twig.made]}: made as above"
            continue
        cards.grow(twig, part)
        told += twig.grown
        waiting += reversed(twig.grown)
    branches: dict[int, Branch] = {}
    for twig in reversed(told):  # what a branch has grown was told after it
        branches[id(twig)] = Branch(twig.label, twig.amount, tuple(branches[id(each)] for each in twig.grown))
    return branches[id(top)]


def _tub_part(season: Season, row: TubRow) -> Branch:
    item = season.row("items", item=row.part)
    label = f"{row.part}, {row.count:g} at {item.per_piece:.4g} each"
    return Branch(label, row.cost, tuple(_purchases(season, item, row.count)))


def _unsold(row: ProductRow) -> Iterator[Branch]:
    """Yield what each one sold bears of those unsold, in the parts of what one made costs."""
    scale = row.made_for_one - 1
    for part in MADE:
        label = f"{part} of {scale:.4f} unsold for each one sold: {row.unsold_percent:.4%} of those made"
        yield from _present(Branch(label, getattr(row, part) * scale))


def _overheads(season: Season, row: ProductRow) -> Iterator[Branch]:
    """Yield each overhead that all channels carry, in what is paid for it and the maker's own hours."""
    for each in season[OVERHEADS].rows:
        if each.for_all:
            amount = equations.overhead_of_one(each.per_unit, each.per_gram, row.fill_grams, each.per_minute, row.hands_on)
            yield from _present(_overhead(season, each, amount))


def _overhead(season: Season, each: OverheadRow, amount: float) -> Branch:
    where = f" among what {each.channel} sells" if each.channel else ""
    label = f"{each.overhead}, {each.cost:,.2f} shared by {each.shared_by}{where}"
    worked = amount * each.hours * season.settings.hourly_rate / each.cost if each.cost else 0.0
    if not worked:
        return Branch(label, amount)
    hours = Branch(f"{each.hours:g} h of your own at {season.settings.hourly_rate:,.2f}", worked)
    return Branch(label, amount, (*_present(Branch(f"{each.amount:,.2f} paid", amount - worked)), hours))


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


def lines(branch: Branch) -> Iterator[tuple[str, float]]:
    """Yield the tree as indented labels with their amounts, from the top down."""
    waiting = [(branch, 0)]
    while waiting:
        each, depth = waiting.pop()
        level = f"level {depth}: " if depth > DEEPEST else ""
        yield "  " * min(depth, DEEPEST) + level + each.label, each.amount
        waiting += [(below, depth + 1) for below in reversed(each.branches)]
