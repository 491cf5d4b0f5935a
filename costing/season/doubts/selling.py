"""Doubts about channels and prices: own prices, taxes, parcels and fees, and how many are planned."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal

from costing.errors import Doubt
from costing.fields.numerals import plainly
from costing.season.costed import Season
from costing.season.doubts.places import numbered
from costing.season.robust import Crowd, is_far, standing_out, usual
from costing.tables.selling.prices import PRICES, Price
from costing.tables.settings import MOST_FEE, OWN_PRICE, ROUND_FEE

OWN = OWN_PRICE  # times the suggested price (this and the others: common practice, no source)
FEE, ROUND = (
    100 * MOST_FEE,
    ROUND_FEE,
)  # percent that a payment or a marketplace takes at most; a shop that sells for makers takes round ones
UNLIKE = 4.5  # times the margin or sales tax of other channels, or so many times less
PARCEL = 4.0  # times what the things in it cost
AT_LEAST = 2.5  # times the usual planned number, for any doubt of it
PLANNED, BEYOND = 3.7, 2.0  # times the usual planned number, and times the next largest
FEW = 8.0  # times fewer than usual, which is what a month or a market day sells
NEARLY = Decimal("0.011")  # a coin, within which a price with tax is on the maker's own steps


def selling_doubts(season: Season) -> Iterator[Doubt]:
    """Yield figures of channels and prices that look like a slip."""
    yield from _own_prices(season)
    yield from _taxed_prices(season)
    yield from _untaxed_channels(season)
    yield from _dear_parcels(season)
    yield from _fees(season)
    yield from _unlike_channels(season)
    yield from _planned(season)


def _own_prices(season: Season) -> Iterator[Doubt]:
    """Yield own prices far from the suggested one."""
    for row, (record, number) in zip(season[PRICES].rows, numbered(season.records.prices), strict=True):
        price, suggested = float(row.price), float(row.suggested)
        if price > 0 < suggested and is_far(price, [suggested], never_under=OWN, always_over=OWN):
            what = f"own price {price:.2f} is {price / suggested:.2f} times the suggested one"
            where = f"prices, {record.product}, {record.channel}"
            yield Doubt(where, what, "look at the decimal point, and for what it is the price", row=number)


def _taxed_prices(season: Season) -> Iterator[Doubt]:
    """Yield own prices off the maker's price steps that are on them with a channel's tax added, or taken off.

    Shops that sell on are left aside: what they pay is on no steps.
    """
    channels = season.records.channels
    taxes = sorted({1 + row.sales_tax_percent / 100 for row in channels if row.sales_tax_percent})
    shops = {row.channel for row in channels if row.of_channel}
    prices = [(row, number) for row, number in numbered(season.records.prices) if row.channel not in shops]
    own = [(row, row.price, number) for row, number in prices if row.price]
    off = [(row, price, number) for row, price, number in own if not _on_steps(price, season)]
    meant = [_with_tax_right(price, taxes, season) for _, price, _ in off]
    if meant.count(None) * 2 >= len(own):
        return  # then the steps are for suggested prices only
    for (row, price, number), right in zip(off, meant, strict=True):
        if right:
            said, other = right
            what = f"own price {price:.2f} is not on your price steps, and looks like {other:.2f} {said}"
            yield Doubt(f"prices, {row.product}, {row.channel}", what, f"did you mean {other:.2f}?", row=number)


def _with_tax_right(price: Decimal, taxes: list[Decimal], season: Season) -> tuple[str, Decimal] | None:
    """Return how a price is off its tax, and what it was meant to be, where that is on the maker's price steps."""
    for tax in taxes:
        for said, other in (("without tax", price * tax), ("with the tax added twice", price / tax)):
            if _on_steps(other, season):
                return said, other
    return None


def _on_steps(price: Decimal, season: Season) -> bool:
    settings = season.records.season
    beyond = (price - settings.price_ending) % settings.price_step
    return min(beyond, settings.price_step - beyond) < NEARLY


# --- channels --------------------------------------------------------------------------------------------------------


def _untaxed_channels(season: Season) -> Iterator[Doubt]:
    """Yield channels without sales tax where those that have one have the same."""
    rows = list(numbered(season.records.channels))
    rates = {row.sales_tax_percent for row, _ in rows if row.sales_tax_percent}
    for row, number in rows if len(rates) == 1 else ():
        if not row.sales_tax_percent:
            rate = plainly(next(iter(rates)))
            what = f"no sales tax, and other channels have {rate} %"
            yield Doubt(f"channels, {row.channel}", what, f"did you mean {rate}?", row=number)


def _dear_parcels(season: Season) -> Iterator[Doubt]:
    """Yield parcels and fees on each sale that are many times what is sold costs: written in cents, say."""
    costs: dict[str, list[float]] = defaultdict(list)
    for row in season[PRICES].rows:
        costs[row.channel].append(row.cost)
    for channel, number in numbered(season.records.channels):
        sold = [cost for cost in costs[channel.channel] if cost > 0]
        for column in ("parcel_each", "fee_each"):
            each = float(getattr(channel, column))
            if sold and each > PARCEL * usual(sold):
                what = f"{column} {each:g}, where what is sold there costs about {usual(sold):.2f}"
                yield Doubt(f"channels, {channel.channel}", what, f"did you mean {each / 100:g}?", row=number)


def _fees(season: Season) -> Iterator[Doubt]:
    """Yield fees for payment that are like a shop's commission: beside a fee on each sale, or no round figure."""
    for row, number in numbered(season.records.channels):
        is_commission = not row.fee_each and row.fee_percent % ROUND == 0
        if row.fee_percent > FEE and not is_commission:
            what = f"fee_percent {plainly(row.fee_percent)}, where taking a payment or an order costs {FEE:g} % at most"
            yield Doubt(f"channels, {row.channel}", what, f"did you mean {plainly(row.fee_percent / 10)}?", row=number)


def _unlike_channels(season: Season) -> Iterator[Doubt]:
    """Yield margins and sales taxes many times above or below those of all other channels."""
    rows = list(numbered(season.records.channels))
    for column in ("margin_percent", "sales_tax_percent"):
        filled = [(row, number) for row, number in rows if getattr(row, column)]
        crowd = Crowd([float(getattr(row, column)) for row, _ in filled])
        for row, number in filled if len(filled) > 2 else ():
            percent = float(getattr(row, column))
            if percent >= 1 and crowd.is_far(percent, never_under=UNLIKE, always_over=UNLIKE):
                what = f"{column} {percent:g}, {crowd.times_the_usual(percent):.1f} times that of other channels"
                yield Doubt(f"channels, {row.channel}", what, "look at the decimal point", row=number)


def _planned(season: Season) -> Iterator[Doubt]:
    """Yield planned numbers well beyond all others, or beyond or below all others of their product and channel."""
    rows = [(row, at) for row, at in numbered(season.records.prices) if row.planned]
    numbers = [float(row.planned) for row, _ in rows]
    least = standing_out(numbers, times=PLANNED, beyond=BEYOND, others=3)
    large = standing_out(numbers, times=AT_LEAST, beyond=1.3, others=3)
    few = usual(numbers) / FEW if len(numbers) > 3 else 0.0
    every = [each for each, _ in rows]
    for (row, number), planned in zip(rows, numbers, strict=True):
        alone = large and planned >= large[0] and _is_alone(row, every)
        where, what = (
            f"prices, {row.product}, {row.channel}",
            f"{planned:g} planned, where about {usual(numbers):.0f} is usual",
        )
        if (least and planned >= least[0]) or alone:
            yield Doubt(where, what, f"did you mean {planned / 10:.0f}?", row=number)
        elif planned < few and _is_alone(row, every, below=True):
            yield Doubt(where, what, "is it for the whole season?", row=number)


def _is_alone(row: Price, rows: list[Price], *, below: bool = False) -> bool:
    """Whether a planned number is far above, or below, those of its product elsewhere and those beside it in its channel."""
    planned = float(row.planned)
    elsewhere = [float(each.planned) for each in rows if each.product == row.product and each is not row]
    beside = [float(each.planned) for each in rows if each.channel == row.channel and each is not row]
    times = [usual(others) / planned if below else planned / usual(others) for others in (elsewhere, beside) if others]
    return bool(elsewhere) and all(each >= PLANNED for each in times)
