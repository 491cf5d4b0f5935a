"""Doubts about outputs: a small part that is sold beside a large one that is not, odd worths, more taken than is left."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from costing.errors import Doubt
from costing.season.costed import Season
from costing.season.doubts.places import numbered
from costing.tables.making.moving_cards import MAKING
from costing.tables.making.recipes import Output
from costing.tables.order_of_making import formula_of, making_order
from costing.tables.selling.products import PRODUCTS

# All common practice, no source.
SMALL_MAIN, LARGE_REST = 40, 50  # percent of the yield
LEAST_WORTH, MOST_WORTH = 1 / 50, 20.0  # of an output, times what its formula costs
MORE_THAN_LEFT = 3.0  # times what the planned tubs leave of an output


def output_doubts(season: Season) -> Iterator[Doubt]:
    """Yield outputs, and lines that take them, which look like a slip."""
    yield from _small_outputs(season)
    yield from _worths(season)
    yield from _beyond_supply(season)


def _small_outputs(season: Season) -> Iterator[Doubt]:
    """Yield outputs that tubs are filled with and that are a small part of their yield, beside a large one in no tub."""
    filled = {row.filled_with for row in season.records.products}
    outputs: dict[str, list[tuple[Output, int]]] = defaultdict(list)
    for row, number in numbered(season.records.outputs):
        outputs[row.formula].append((row, number))
    for formula, rows in outputs.items():
        sold = [each for each in rows if f"{formula}/{each[0].output}" in filled]
        kept = [each for each in rows if f"{formula}/{each[0].output}" not in filled]
        if any(row.percent > LARGE_REST for row, _ in kept):
            for row, number in (each for each in sold if each[0].percent < SMALL_MAIN):
                what = f"{float(row.percent):g} % of the yield, though it is what is sold"
                do = "do two percentages stand in each other's place?"
                yield Doubt(f"outputs, {formula}, {row.output}", what, do, row=number)


def _worths(season: Season) -> Iterator[Doubt]:
    """Yield outputs of set worth far from what their formula costs: written for a gram, say."""
    cost = {row.formula: 1000 * row.per_gram for row in season[MAKING].rows if row.row == "yield"}
    for row, number in numbered(season.records.outputs):
        worth, made = float(row.price_per_kg or 0), cost.get(row.formula, 0.0)
        if row.valued == "set" and worth and made and not LEAST_WORTH <= worth / made <= MOST_WORTH:
            what = f"{worth:g} per kg, where a kilogram of {row.formula} costs {made:.2f}"
            yield Doubt(f"outputs, {row.formula}, {row.output}", what, "is it per kilogram?", row=number)


@dataclass
class _Plan:
    """What the planned tubs ask of everything made, going from what is filled to what it is made from."""

    asked: dict[str, float] = field(default_factory=lambda: defaultdict(float))  # of a formula or output [gram]
    takers: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))

    def of_outputs(self, shares: dict[str, float]) -> dict[str, float]:
        """Return how much a formula has to yield for what is asked of each of its outputs. [gram]"""
        return {output: self.asked[output] / share for output, share in shares.items() if share}

    def take(self, formula: str, grams: float, lines: dict[str, float]) -> None:
        """Ask for what so many grams of a formula are made from."""
        for item, share in lines.items():
            self.asked[item] += grams * share
            self.takers[item].append(formula)


def _beyond_supply(season: Season) -> Iterator[Doubt]:
    """Yield lines that take many times what the planned tubs leave of an output: two shares in each other's place, say."""
    outputs: dict[str, dict[str, float]] = defaultdict(dict)
    for row in season.records.outputs:
        outputs[row.formula][f"{row.formula}/{row.output}"] = float(row.percent) / 100
    plan, lines = _Plan(), _lines(season)
    for product in season[PRODUCTS].rows:
        plan.asked[product.filled_with] += product.planned * product.used
    sold = {made for made, grams in plan.asked.items() if grams}
    uses = {formula: [made for made in map(formula_of, taken) if made in lines] for formula, taken in lines.items()}
    for formula in reversed(making_order(uses)):
        yields = plan.of_outputs(outputs[formula])
        supply = max((yields[output] for output in sold & yields.keys()), default=0.0)
        for output in sorted(yields.keys() - sold) if supply else ():
            if yields[output] > MORE_THAN_LEFT * supply:
                what = f"takes {yields[output] / supply:.1f} times the {output} that the planned tubs leave"
                for taker in plan.takers[output]:
                    where = f"lines, {taker}, {output}"
                    yield Doubt(where, what, "do two shares stand in each other's place?")
        plan.take(formula, plan.asked[formula] + max(yields.values(), default=0.0), lines[formula])


def _lines(season: Season) -> dict[str, dict[str, float]]:
    """Return what a gram of each formula's yield is made from. [gram/gram]"""
    yielded = {row.formula: row.yields for row in season[MAKING].rows if row.row == "yield"}
    found: dict[str, dict[str, float]] = {formula: defaultdict(float) for formula in yielded}
    for row in season[MAKING].rows:
        if row.row == "line" and yielded[row.formula]:
            found[row.formula][row.what] += row.added / yielded[row.formula]
    return found
