"""The costing equations as plain functions. Called with numbers they give numbers; called with cells, formulas.

Every docstring ends with the unit of what comes back, in brackets.
"""

from __future__ import annotations

from typing import Any

from costing.engine.expressions import Factor
from costing.engine.operations import larger, ratio, ratio_if, root, round_half, round_up, smaller

MINUTES_PER_HOUR = Factor(60, "minute/hour")
WATT_HOURS_PER_KWH = Factor(1000, "watt*hour/kilowatt_hour")
GRAMS_PER_KILOGRAM = Factor(1000, "gram/kilogram")
HUNDRED_GRAMS = Factor(100, "gram")


def goods_paid(paid: Any, tax: Any, reclaimed: Any, rate: Any) -> Any:
    """What the maker bears of a purchase: tax that is got back is no cost (IAS 2 paragraph 11). [money]"""
    return (paid - tax * reclaimed) * rate


def share_in_proportion(amount: Any, own: Any, all_together: Any) -> Any:
    """The part of an amount that falls to one row, in proportion to its goods. [money]"""
    return ratio(amount * own, all_together)


def contents(packs: Any, size: Any, grams_each: Any, millilitres_each: Any, density: Any) -> Any:
    """What a purchase weighs: volumes through the density. [gram]"""
    return packs * size * (grams_each + millilitres_each * density)


def weight_after(before: Any, added: Any, loss: Any) -> Any:
    """What a step leaves of what went in. [gram]"""
    return (before + added) * (1 - loss)


def wage(minutes: Any, hourly_rate: Any) -> Any:
    """What hands-on time costs. [money]"""
    return minutes / MINUTES_PER_HOUR * hourly_rate


def energy_cost(watts: Any, hours: Any, power_price: Any) -> Any:
    """What a powered step costs. [money]"""
    return watts * hours / WATT_HOURS_PER_KWH * power_price


def value_at(grams: Any, price_per_kg: Any) -> Any:
    """What a weight is worth at a price per kilogram. [money]"""
    return grams * price_per_kg / GRAMS_PER_KILOGRAM


def share_of_joint_cost(set_value: Any, all_set: Any, basis: Any, all_basis: Any, batch_cost: Any) -> Any:
    """The part of a batch's cost that one output bears: its set worth, or its share of the rest. [1]"""
    return ratio(set_value, batch_cost) + (1 - ratio(all_set, batch_cost)) * ratio(basis, all_basis)


def weight_used(fill_grams: Any, waste: Any) -> Any:
    """What filling one tub takes, with what is lost while filling. [gram]"""
    return fill_grams / (1 - waste)


def lye_taken_up(value: Any, naoh_for_koh: Any) -> Any:
    """Grams of sodium hydroxide that a gram takes up; its value is in mg of potassium hydroxide per g. [1]"""
    return value * naoh_for_koh / 1000


def superfat(lye: Any, taken_up: Any) -> Any:
    """The part of what oils and acids can take up that the lye leaves free. [1]"""
    return ratio_if(taken_up > 0, taken_up - lye, taken_up)


def kept_of_net(margin: Any, fee: Any, tax: Any) -> Any:
    """The part of a price without tax that is left for costs, after the margin and the fee. [1]

    The fee is taken of what the customer pays, tax included, so it bites 1 + tax times.
    """
    return 1 - margin - fee * (1 + tax)


def price_for(costs: Any, kept: Any, tax_in_price: Any) -> Any:
    """The price, as shown, at which the part kept pays all costs exactly; 0 where no price does. [money]

    net − fee × net × (1 + tax) − costs = margin × net, so net = costs ÷ kept.
    """
    return ratio_if(kept > 0, costs * tax_in_price, kept, 0)


def price_steps(price: Any, step: Any, ending: Any, decimals: Any) -> Any:
    """How many steps of the maker's grid a price lies above the ending. [1]"""
    return ratio(larger(round_half(price, decimals) - ending, 0), step)


def price_point(steps: Any, step: Any, ending: Any, decimals: Any) -> Any:
    """The next price up on the maker's grid; a hair of binary arithmetic lifts it no whole step. [money]"""
    return round_up(round_half(steps, decimals), 0) * step + ending


def selling_fees(net: Any, tax: Any, fee: Any, fee_each: Any) -> Any:
    """What the card or the market place takes of one sale. [money]"""
    return fee * net * (1 + tax) + fee_each


def hourly_pay(profit: Any, work: Any, minutes: Any) -> Any:
    """What an hour of hands-on work earns: the profit and the work already priced in. [money/hour]"""
    return ratio_if(minutes > 0, (profit + work) * MINUTES_PER_HOUR, minutes)


def per_hundred_grams(price: Any, grams: Any) -> Any:
    """The price of 100 g, by the weight on the label. [money]"""
    return ratio(price * HUNDRED_GRAMS, grams)


def spread(squares: Any, number: Any) -> Any:
    """How far the weighed lie from their mean: the sample standard deviation, 0 for fewer than two. [gram]"""
    return root(ratio_if(number > 1, squares, number - 1, 0))


def tolerable_shortfall(label: Any, percent: Any, grams: Any, decimals: Any) -> Any:
    """The tolerable negative error of a label: a part of it or fixed grams, up to the next tenth. [gram]

    Rounded to fine decimals first, so that a hair of binary arithmetic cannot lift it by a tenth.
    """
    return round_up(round_half(label * percent + grams, decimals), 1)


def mean_needed(label: Any, factor: Any, fill_spread: Any) -> Any:
    """The least mean that the reference test's mean test lets pass. [gram]"""
    return label - factor * fill_spread


def least_aim(label: Any, tolerable: Any, fill_spread: Any, short: Any, far_short: Any) -> Any:
    """The least fill to aim at so that the mean, the few short and the far short all keep their rule. [gram]"""
    return larger(label, label - tolerable + short * fill_spread, label - 2 * tolerable + far_short * fill_spread)


def lost_part(went_in: Any, came_out: Any, one: Any) -> Any:
    """The part of what went in that did not come out; ``one`` is 0 where nothing went in. [1]"""
    return one - ratio(came_out, went_in)


def per_kilogram(price: Any, grams: Any) -> Any:
    """The price of a kilogram, by the weight on the label. [money/kilogram]"""
    return ratio(price * GRAMS_PER_KILOGRAM, grams)


def unit_price(exact: Any, one: Any, decimals: Any) -> Any:
    """A price per kilogram or per 100 g as it is marked: rounded half up, one decimal more below one. [money]

    One decimal more below 1.00 is the rule of the Price Marking Order (Northern Ireland) 2004, article 13. That two
    decimals are enough from there on is from memory.
    """
    return round_half(exact, decimals + (exact < one) * 1)


def break_even_units(planned: Any, overheads: Any, contribution: Any) -> Any:
    """How many of one product pay all overheads together with the others, each sold in proportion to the plan. [1]

    0 where the plan leaves nothing towards the overheads.
    """
    return ratio_if(contribution > 0, planned * overheads, contribution, 0)


def on_hand_of_lot(on_hand: Any, later: Any, lot: Any) -> Any:
    """What is on hand of one lot, when what came in first is used first (IAS 2 paragraph 25). [each]"""
    return smaller(larger(on_hand - later, 0), lot)


def part_of_cost(cost: Any, left: Any, lot: Any) -> Any:
    """What the part of a lot that is left cost. [money]"""
    return ratio(cost * left, lot)
