"""The costing equations as plain functions. Called with numbers they give numbers; called with cells, formulas.

Every docstring ends with the unit of what comes back, in brackets.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TypeVar

from costing.engine.expressions import Factor
from costing.engine.operations import both, larger, ratio, ratio_if, root, round_half, round_up, size_of, smaller

Amount = TypeVar("Amount", float, Decimal)

MINUTES_PER_HOUR = Factor(60, "minute/hour")
WATT_HOURS_PER_KWH = Factor(1000, "watt*hour/kilowatt_hour")
GRAMS_PER_KILOGRAM = Factor(1000, "gram/kilogram")
HUNDRED_GRAMS = Factor(100, "gram")


def goods_paid(paid: float, tax: float, reclaimed: float, rate: float) -> float:
    """What the maker bears of a purchase: tax that is got back is no cost (IAS 2 paragraph 11). [money]"""
    return (paid - tax * reclaimed) * rate


def tax_within(paid: Amount, tax: Amount, rate: Amount) -> Amount:
    """The tax in an amount paid: as it was written, or that of a rate which the amount includes. [money]"""
    return tax + paid * rate / (1 + rate)


def share_in_proportion(amount: float, own: float, all_together: float) -> float:
    """The part of an amount that falls to one row, in proportion to its goods. [money]"""
    return ratio(amount * own, all_together)


def contents(packs: float, size: float, grams_each: float, millilitres_each: float, density: float) -> float:
    """What a purchase weighs: volumes through the density. [gram]"""
    return packs * size * (grams_each + millilitres_each * density)


def weight_after(before: float, added: float, loss: float) -> float:
    """What a step leaves of what went in. [gram]"""
    return (before + added) * (1 - loss)


def wage(minutes: float, hourly_rate: float) -> float:
    """What hands-on time costs. [money]"""
    return minutes / MINUTES_PER_HOUR * hourly_rate


def energy_cost(watts: float, hours: float, power_price: float) -> float:
    """What a powered step costs. [money]"""
    return watts * hours / WATT_HOURS_PER_KWH * power_price


def off_a_hundred(together: float, slack: float, decimals: float) -> bool:
    """Whether percentages that are to add up to 100 miss it by more than the slack, a hair aside. [1]"""
    return size_of(round_half(together - 1, decimals)) > slack


def came_in(bought_on: float, priced_on: float, packs: float) -> bool:
    """Whether a purchase brought something in by the day priced on, paid for or free. [1]"""
    return both(bought_on <= priced_on, packs > 0)


def overhead_cost(amount: float, hours: float, hourly_rate: float) -> float:
    """What an overhead comes to: what is paid for it, and the maker's own hours. [money]"""
    return amount + hours * hourly_rate


def overhead_of_one(each: float, per_gram: float, grams: float, per_minute: float, minutes: float) -> float:
    """The part of the overheads that one tub carries: per unit, by grams, by minutes. [money]"""
    return each + grams * per_gram + minutes * per_minute


def overhead_time_of_one(each: float, per_gram: float, grams: float, per_minute: float, minutes: float) -> float:
    """The part of the overheads' own time that one tub carries, shared as their cost is. [minute]"""
    return each + grams * per_gram + minutes * per_minute


def made_for_one(unsold: float) -> float:
    """How many are made for each one that is sold. [1]"""
    return 1 / (1 - unsold)


def borne_by_sold(cost: float, made: float) -> float:
    """What each one sold bears of those that are not: the cost of all made for it, less its own. [money]"""
    return cost * (made - 1)


def value_at(grams: float, price_per_kg: float) -> float:
    """What a weight is worth at a price per kilogram. [money]"""
    return grams * price_per_kg / GRAMS_PER_KILOGRAM


def share_of_joint_cost(set_value: float, all_set: float, basis: float, all_basis: float, batch_cost: float) -> float:
    """The part of a batch's cost that one output bears: its set worth, or its share of the rest. [1]"""
    return ratio(set_value, batch_cost) + (1 - ratio(all_set, batch_cost)) * ratio(basis, all_basis)


def weight_used(fill_grams: float, waste: float) -> float:
    """What filling one tub takes, with what is lost while filling. [gram]"""
    return fill_grams / (1 - waste)


def lye_taken_up(value: float, naoh_for_koh: float) -> float:
    """Grams of sodium hydroxide that a gram takes up; its value is in mg of potassium hydroxide per g. [1]"""
    return value * naoh_for_koh / 1000


def superfat(lye: float, taken_up: float) -> float:
    """The part of what oils and acids can take up that the lye leaves free. [1]"""
    return ratio_if(taken_up > 0, taken_up - lye, taken_up)


def kept_of_net(margin: float, fee: float, tax: float) -> float:
    """The part of a price without tax that is left for costs, after the margin and the fee. [1]

    The fee is taken of what the customer pays, tax included, so it bites 1 + tax times.
    """
    return 1 - margin - fee * (1 + tax)


def nothing_kept(kept: float, decimals: float) -> bool:
    """Whether margin and fee together leave nothing to pay the costs from, a hair aside. [1]"""
    return round_half(kept, decimals) <= 0


def price_for(costs: float, kept: float, tax_in_price: float) -> float:
    """The price, as shown, at which the part kept pays all costs exactly; 0 where no price does. [money]

    net − fee × net × (1 + tax) − costs = margin × net, so net = costs ÷ kept.
    """
    return ratio_if(kept > 0, costs * tax_in_price, kept, 0)


def sold_on_part(shop_margin: float, tax_in_retail: float) -> float:
    """The price to a shop that sells on, without tax, for each money of the price that it asks. [1]"""
    return (1 - shop_margin) / (1 + tax_in_retail)


def to_the_coin(price: float, coins: float) -> float:
    """A price rounded half up to the smallest coin; ``coins`` of them make one of the currency. [money]"""
    return round_half(price * coins, 0) / coins


def up_to_the_coin(price: float, coins: float, decimals: float) -> float:
    """A price rounded up to the smallest coin; a hair of binary arithmetic lifts it by none. [money]"""
    return round_up(round_half(price * coins, decimals), 0) / coins


def price_steps(price: float, step: float, ending: float, decimals: float) -> float:
    """How many steps of the maker's grid a price lies above the ending. [1]"""
    return ratio(larger(round_half(price, decimals) - ending, 0), step)


def price_point(steps: float, step: float, ending: float, decimals: float) -> float:
    """The next price up on the maker's grid; a hair of binary arithmetic lifts it no whole step. [money]"""
    return round_up(round_half(steps, decimals), 0) * step + ending


def selling_fees(net: float, tax: float, fee: float, fee_each: float) -> float:
    """What the card or the market place takes of one sale. [money]"""
    return fee * net * (1 + tax) + fee_each


def hourly_pay(earned: float, minutes: float) -> float:
    """What an hour of hands-on work earns: the profit and the work already priced in, for instance. [money/hour]"""
    return ratio_if(minutes > 0, earned * MINUTES_PER_HOUR, minutes)


def per_hundred_grams(price: float, grams: float) -> float:
    """The price of 100 g, by the weight on the label. [money]"""
    return ratio(price * HUNDRED_GRAMS, grams)


def spread(squares: float, number: float) -> float:
    """How far figures, or weights, lie from their mean: the sample standard deviation, 0 for fewer than two. [gram]"""
    return root(ratio_if(number > 1, squares, number - 1, 0))


def tolerable_shortfall(label: float, percent: float, grams: float, decimals: float) -> float:
    """The tolerable negative error of a label: a part of it or fixed grams, up to the next tenth. [gram]

    Rounded to fine decimals first, so that a hair of binary arithmetic cannot lift it by a tenth.
    """
    return round_up(round_half(label * percent + grams, decimals), 1)


def mean_needed(label: float, factor: float, fill_spread: float) -> float:
    """The least mean that the reference test's mean test lets pass. [gram]"""
    return label - factor * fill_spread


def aim_for_mean(label: float, fill_spread: float, number: float, short: float) -> float:
    """The least fill to aim at so that of lots of this number only one in 40 has its mean under the label. [gram]

    An aim at the label itself would leave half of them under; a mean of n scatters by the spread over the root of n.
    """
    return label + short * ratio(fill_spread, root(number))


def aim_for_each(label: float, tolerable: float, fill_spread: float, short: float, far_short: float) -> float:
    """The least fill to aim at so that the few short and the far short keep their rules. [gram]"""
    return larger(label - tolerable + short * fill_spread, label - 2 * tolerable + far_short * fill_spread)


def lost_part(went_in: float, came_out: float, one: float) -> float:
    """The part of what went in that did not come out; ``one`` is 0 where nothing went in. [1]"""
    return one - ratio(came_out, went_in)


def per_kilogram(price: float, grams: float) -> float:
    """The price of a kilogram, by the weight on the label. [money/kilogram]"""
    return ratio(price * GRAMS_PER_KILOGRAM, grams)


def unit_price(exact: float, one: float, decimals: float) -> float:
    """A price per kilogram or per 100 g as it is marked: rounded half up, one decimal more below one. [money]

    One decimal more below 1.00 is the rule of the Price Marking Order (Northern Ireland) 2004, article 13. That two
    decimals are enough from there on is from memory.
    """
    return round_half(exact, decimals + (exact < one) * 1)


def lost_or_won(change: float, afterwards: float) -> float:
    """The part of sales that a change of what one brings makes up for, by what one then brings. [1]

    So many may be lost at a dearer price, or must be won at a cheaper one, for the same sum of contributions: q × c is
    q × (1 − part) × (c + change). Nothing where one would then bring nothing.
    """
    return ratio_if(afterwards > 0, change, afterwards)


def kept_of_rise(net: float, tax: float, fee: float) -> float:
    """What is kept of a price without tax, or of its rise, after the fee that goes with it. [money]"""
    return net * (1 - fee * (1 + tax))


def missing_part(missing: float, basis: float) -> float:
    """The part by which a basis must grow to bring what is missing; nothing where there is none to grow. [1]"""
    return ratio_if(basis > 0, missing, basis)


def break_even_units(planned: float, overheads: float, contribution: float) -> float:
    """How many of one product pay all overheads together with the others, each sold in proportion to the plan. [1]

    0 where the plan leaves nothing towards the overheads.
    """
    return ratio_if(contribution > 0, planned * overheads, contribution, 0)


def on_hand_of_lot(on_hand: float, later: float, lot: float) -> float:
    """What is on hand of one lot, when what came in first is used first (IAS 2 paragraph 25). [each]"""
    return smaller(larger(on_hand - later, 0), lot)


def part_of_cost(cost: float, left: float, lot: float) -> float:
    """What the part of a lot that is left cost. [money]"""
    return ratio(cost * left, lot)
