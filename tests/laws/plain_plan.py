"""A deliberately plain planner: exact fractions and dictionaries, from what is sold back to what is bought.

It shares nothing with the package but the records it is given.
"""

from __future__ import annotations

import math
from collections import defaultdict
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from tests.laws.plain import GRAMS, MILLILITRES, PIECES

Number = Fraction


def part(percent: Any) -> Number:
    return Fraction(percent or 0) / 100


def whole(number: Number) -> int:
    """Return a number rounded up, a hair of the seventh decimal let pass."""
    return math.ceil(Fraction(math.floor(number * 10**6 + Fraction(1, 2)), 10**6))


class Plan:
    """What to make, when, what is left over, and what to buy."""

    def __init__(self, records: Any, density: dict[str, Number]) -> None:
        self.records, self.density = records, density
        self.formulas = [row.formula for row in records.formulas]
        self.there = {row.what: Fraction(row.on_hand) for row in records.made}
        self.lines = {formula: self._lines(formula) for formula in self.formulas}
        self.yields = {formula: self._yield(formula) for formula in self.formulas}
        self.outputs = {
            formula: {f"{formula}/{row.output}": part(row.percent) for row in records.outputs if row.formula == formula}
            for formula in self.formulas
        }
        self.exact: dict[str, Number] = {}
        self.batches: dict[str, int] = {}
        self.left: dict[str, Number] = {}
        self.waits: dict[str, Number] = {}
        self.start_by: dict[str, date | None] = {}
        self._fill()
        for formula in self._last_made_first():
            self._make(formula)
        self.needs = self._needs()

    def _lines(self, formula: str) -> list[tuple[str, str, Number]]:
        batch = next(row.batch_grams for row in self.records.formulas if row.formula == formula)
        return [
            (row.step, row.item, Fraction(row.grams) if row.grams is not None else part(row.percent) * Fraction(batch))
            for row in self.records.lines
            if row.formula == formula
        ]

    def _steps(self, formula: str) -> list[Any]:
        return [row for row in self.records.steps if row.formula == formula]

    def _yield(self, formula: str) -> Number:
        losses = {row.step: part(row.loss_percent) for row in self._steps(formula)}
        losses = losses or dict.fromkeys((step for step, _, _ in self.lines[formula]), Fraction(0))
        weight = Fraction(0)
        for step, loss in losses.items():
            weight += sum((grams for at, _, grams in self.lines[formula] if at == step), Fraction(0))
            weight *= 1 - loss
        return weight

    def _fill(self) -> None:
        """Tubs = planned − on hand, whole; filling takes fill ÷ (1 − waste)."""
        self.tubs: dict[str, int] = {}
        self.asked: dict[str, Number] = defaultdict(Fraction)
        for row in self.records.products:
            planned = sum(
                (Fraction(price.planned) for price in self.records.prices if price.product == row.product), Fraction(0)
            )
            made = planned / (1 - part(row.unsold_percent))
            self.tubs[row.product] = max(0, whole(made - self.there.get(row.product, Fraction(0))))
            used = Fraction(row.fill_grams) / (1 - part(row.waste_percent))
            self.asked[row.filled_with] += self.tubs[row.product] * used

    def _last_made_first(self) -> list[str]:
        """Return the formulas so that each comes after all that take it."""
        order: list[str] = []

        def visit(formula: str) -> None:
            if formula not in order:
                for taker in self._takers(formula):
                    visit(taker)
                order.append(formula)

        for formula in self.formulas:
            visit(formula)
        return order

    def _takers(self, formula: str) -> list[str]:
        return [each for each in self.formulas if any(item.partition("/")[0] == formula for _, item, _ in self.lines[each])]

    def _make(self, formula: str) -> None:
        asked, there = self.asked[formula], self.there.get(formula, Fraction(0))
        made = self.outputs[formula] or {formula: Fraction(1)}
        demand = {}
        for thing, share in made.items():
            own = self.asked[thing] if thing != formula else 0
            on_hand = self.there.get(thing, Fraction(0)) if thing != formula else 0
            demand[thing] = max(Fraction(0), own + share * asked - on_hand - share * there)
        yielded = {thing: share * self.yields[formula] for thing, share in made.items()}
        exact = max((demand[thing] / yielded[thing] for thing in made if yielded[thing]), default=Fraction(0))
        batches = whole(exact)
        self.exact[formula], self.batches[formula] = exact, batches
        self.left |= {thing: batches * yielded[thing] - demand[thing] for thing in made}
        self.left[formula] = batches * self.yields[formula] - sum(demand.values(), Fraction(0))
        for _, item, grams in self.lines[formula]:
            self.asked[item] += batches * grams
        self._when(formula)

    def _when(self, formula: str) -> None:
        own = sum((Fraction(row.days) for row in self._steps(formula)), Fraction(0))
        after = max((self.waits[taker] for taker in self._takers(formula) if self.batches[taker]), default=Fraction(0))
        self.waits[formula] = own + after
        ready = self.records.season.ready_by or self.records.season.priced_on
        days = timedelta(days=whole(self.waits[formula]))
        self.start_by[formula] = ready - days if self.batches[formula] else None

    def minutes(self, formula: str) -> Number:
        """Return the hands-on minutes that a formula's batches take."""
        return self.batches[formula] * sum((Fraction(row.minutes) for row in self._steps(formula)), Fraction(0))

    # -- what to buy --

    def _needs(self) -> dict[str, Number]:
        needs: dict[str, Number] = defaultdict(Fraction)
        needs |= {item: grams for item, grams in self.asked.items() if item.partition("/")[0] not in self.formulas}
        for row in self.records.products:
            for each in self.records.tubs:
                if each.tub == row.tub:
                    needs[each.part] += self.tubs[row.product] * Fraction(each.count)
        return needs

    def to_buy(self, item: str) -> tuple[Number | None, int | None, Number]:
        """Return pack, packs and money for an item: its cheapest purchase of the newest day, else the quote."""
        own = next((row for row in self.records.items if row.item == item), None)
        short = max(Fraction(0), self.needs[item] - Fraction(own.on_hand if own else 0))
        counted = [row for row in self.records.purchases if row.bought_on <= self.records.season.priced_on]
        paid = [row for row in counted if row.item == item and row.packs > 0 and row.paid > 0]
        if not paid:
            by_piece = any(row.part == item for row in self.records.tubs)
            quote = Fraction(own.quote if own and own.quote else 0)
            return None, None, short * quote / (1 if by_piece else 1000)
        newest = max(row.bought_on for row in paid)
        chosen = max(
            (row for row in paid if row.bought_on == newest), key=lambda row: self._amount(row) / self._landed(row, counted)
        )
        amount = self._amount(chosen)
        one = amount / Fraction(chosen.packs)
        pack = amount if chosen.unit in PIECES and one == 1 else one
        packs = whole(short / pack)
        return pack, packs, packs * pack * self._landed(chosen, counted, with_tax=True) / amount

    def _amount(self, row: Any) -> Number:
        units = Fraction(row.packs) * Fraction(row.size)
        if row.unit in MILLILITRES:
            return units * Fraction(MILLILITRES[row.unit]) * self.density[row.item]
        return units * Fraction((GRAMS | PIECES)[row.unit])

    def _tax(self, row: Any) -> Number:
        rate = part(row.tax_percent)
        got_back = self.records.season.reclaims_tax == "yes"
        return (Fraction(row.tax) + Fraction(row.paid) * rate / (1 + rate)) * Fraction(row.rate) if got_back else Fraction(0)

    def _landed(self, row: Any, counted: list[Any], *, with_tax: bool = False) -> Number:
        """Return what a purchase cost with its share of delivery and discount; with the tax that is got back, if wanted."""

        def borne(each: Any) -> Number:
            return Fraction(each.paid) * Fraction(each.rate) - self._tax(each)

        receipt = [each for each in counted if (each.supplier, each.invoice) == (row.supplier, row.invoice)]
        goods = sum((borne(each) for each in receipt if each.item not in ("delivery", "discount")), Fraction(0))
        shared = Fraction(0)
        for each in receipt:
            if each.item in ("delivery", "discount"):
                amount = borne(each) + (self._tax(each) if with_tax else 0)
                shared += amount if each.item == "delivery" else -amount
        own = borne(row) + (self._tax(row) if with_tax else 0)
        return own + (shared * borne(row) / goods if goods else 0)
