"""A deliberately plain calculator of the costing rules: exact fractions, dictionaries, one rule after the other.

It shares nothing with the package but the records it is given: units, look-ups and every equation are written again, in
the order in which the rules are told. What it returns has the keys of the package's figures.
"""

from __future__ import annotations

import csv
import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType
from typing import Any

Number = Fraction
Cost = dict[str, Fraction]  # materials, work, power and minutes, of a gram or of a batch
PARTS = ("materials", "work", "power", "minutes")
CATALOGUE = Path(__file__).parents[2] / "catalogues" / "ingredients.csv"

GRAMS = {"g": "1", "kg": "1000", "mg": "0.001", "oz": "28.349523125", "lb": "453.59237"}
MILLILITRES = {
    "mL": "1", "L": "1000",
    "us fl oz": "29.5735295625", "us pint": "473.176473", "us quart": "946.352946", "us gallon": "3785.411784",
    "imperial fl oz": "28.4130625", "imperial pint": "568.26125", "imperial quart": "1136.5225",
    "imperial gallon": "4546.09",
}  # fmt: skip
PIECES = {"piece": "1", "dozen": "12"}


def figures(records: Any) -> dict[str, Any]:
    """Return what a season works out to."""
    return Season(records).figures()


def _over(over: Number, under: Number) -> Number:
    return over / under if under else Fraction(0)


def _part(percent: Any) -> Number:
    return Fraction(percent) / 100


def _catalogue() -> dict[str, dict[str, str]]:
    """Return the packaged list by its keys and by every everyday name, as it is written there."""
    with CATALOGUE.open(encoding="utf-8", newline="") as file:
        listed = {row["item"]: row for row in csv.DictReader(file)}
    with CATALOGUE.with_name("names.csv").open(encoding="utf-8", newline="") as file:
        named = {row["name"]: listed[row["ingredient"]] for row in csv.DictReader(file)}
    return named | {row["name"]: row for row in listed.values()} | listed


class Season:
    """A season worked out, its items at ``other_prices`` where there are any."""

    def __init__(self, records: Any, other_prices: Mapping[str, Number] = MappingProxyType({})) -> None:
        self.records = records
        self.settings = records.season
        self.own = {row.item: row for row in records.items}
        self.known = _catalogue()
        self.hour = Fraction(self.settings.hourly_rate)
        self.kilowatt_hour = Fraction(self.settings.power_price)
        self._land()
        self._price_items()
        self.price |= other_prices
        self.gram: dict[str, Cost] = {}
        self.weight: dict[str, Number] = {}
        self.batch: dict[str, Number] = {}
        self.base: dict[str, tuple[Number, Number]] = {}
        for row in records.formulas:
            self._make(row.formula)
        self._fill()
        self._share_overheads()

    # -- from purchase to cost per gram --

    def _land(self) -> None:
        """Landed = goods + share of the receipt's delivery, less its discount, in proportion to goods.

        Purchases after the day priced on are left out.
        """
        self.bought: dict[str, list[tuple[date, Number, Number, bool]]] = defaultdict(list)
        receipts: dict[tuple[str, str], list[Any]] = defaultdict(list)
        for row in self.records.purchases:
            if row.bought_on <= self.settings.priced_on:
                receipts[row.supplier, row.invoice].append(row)
        for rows in receipts.values():
            goods = [row for row in rows if row.item not in ("delivery", "discount")]
            spread = sum(
                (self._borne(row) * (1 if row.item == "delivery" else -1) for row in rows if row not in goods), Number()
            )
            together = sum((self._borne(row) for row in goods), Number())
            for row in goods:
                landed = self._borne(row) + _over(spread * self._borne(row), together)
                sets_price = row.packs > 0 and row.paid > 0
                self.bought[row.item].append((self._came_in(row), landed, self._amount(row), sets_price))

    def _came_in(self, row: Any) -> date:
        """Return the day of a purchase; for a return, of the purchase on its receipt, else of the newest before it."""
        day: date = row.bought_on
        if row.packs > 0:
            return day
        others = [other for other in self.records.purchases if other.item == row.item and other.packs > 0]
        same = [other.bought_on for other in others if (other.supplier, other.invoice) == (row.supplier, row.invoice)]
        day = max(same or [other.bought_on for other in others if other.bought_on <= day])
        return day

    def _borne(self, row: Any) -> Number:
        rate = _part(row.tax_percent or 0)
        tax = (
            Fraction(row.tax) + Fraction(row.paid) * rate / (1 + rate)
            if self.settings.reclaims_tax == "yes"
            else Fraction(0)
        )
        return (Fraction(row.paid) - tax) * Fraction(row.rate)

    def _amount(self, row: Any) -> Number:
        units = Fraction(row.packs) * Fraction(row.size)
        if row.unit in MILLILITRES:
            return units * Fraction(MILLILITRES[row.unit]) * self._density(row.item)
        return units * Fraction((GRAMS | PIECES)[row.unit])

    def _density(self, item: str) -> Number:
        own = self.own[item].density if item in self.own else None
        return Fraction(own if own is not None else self.known[item]["density"])

    def _price_items(self) -> None:
        parts = {row.part for row in self.records.tubs}
        by_piece = {row.item for row in self.records.purchases if row.unit in PIECES} | parts
        formulas = {row.formula for row in self.records.formulas}
        put_in = {line.item for line in self.records.lines if line.item.partition("/")[0] not in formulas}
        self.price: dict[str, Number] = {}
        self.items: dict[str, dict[str, Any]] = {}
        for item in {*self.bought, *self.own, *parts, *put_in}:
            price, basis, newest = self._price(item, by_piece=item in by_piece)
            self.price[item] = price
            counted = "per_piece" if item in by_piece else "per_gram"
            self.items[item] = {counted: price, "basis": basis, "bought_on": newest.isoformat() if newest else None}

    def _price(self, item: str, *, by_piece: bool) -> tuple[Number, str, date | None]:
        """Return what a gram or piece counts at, on which basis, and the newest day it was paid for."""
        settings = self.settings
        bought = self.bought[item]
        begins = settings.priced_on - timedelta(days=int(settings.average_days))
        window = [row for row in bought if row[0] > begins]
        newest = max((row[0] for row in bought if row[3]), default=None)
        latest = _mean(row for row in bought if row[3] and row[0] == newest)
        wanted = settings.cost_basis
        if wanted == "average" and sum(row[2] for row in window) > 0:
            return _mean(window), wanted, newest
        dear = [landed / amount for _, landed, amount, sets_price in window if sets_price]
        if wanted == "dearest" and dear:
            return max(dear), wanted, newest
        quote = self.own[item].quote if item in self.own else None
        if wanted == "quote" and quote:
            return Fraction(quote) / (1 if by_piece else 1000), wanted, newest
        return latest, "latest", newest

    def _kind(self, item: str) -> str:
        own = self.own[item].kind if item in self.own else ""
        return str(own or self.known.get(item, {}).get("kind", ""))

    # -- from formula to cost per gram --

    def _make(self, formula: str) -> None:
        if formula in self.gram:
            return
        head = next(row for row in self.records.formulas if row.formula == formula)
        lines = [(line, self._grams(line, head)) for line in self.records.lines if line.formula == formula]
        whole = dict.fromkeys(PARTS, Fraction(0))
        base = [Fraction(0), Fraction(0)]
        for line, grams in lines:
            for part, each in self._gram_of(line.item).items():
                whole[part] += grams * each
            for at, each in enumerate(self._base_in_gram_of(line.item)):
                base[at] += grams * each
        weight = Fraction(0)
        for step in self._steps(formula, [line for line, _ in lines]):
            weight += sum(grams for line, grams in lines if line.step == step["step"])
            weight *= 1 - _part(step["loss_percent"])
            minutes = Fraction(step["minutes"])
            whole["minutes"] += minutes
            whole["work"] += minutes / 60 * self.hour
            whole["power"] += Fraction(step["watts"]) / 1000 * Fraction(step["hours"]) * self.kilowatt_hour
        self.batch[formula] = (
            Fraction(head.batch_grams) if head.batch_grams else sum((grams for _, grams in lines), Number())
        )
        self._yield(formula, weight, weight, whole, base)
        self._share(formula, weight, whole, base)

    def _grams(self, line: Any, head: Any) -> Number:
        if line.grams is not None:
            return Fraction(line.grams)
        return _part(line.percent) * Fraction(head.batch_grams)

    def _steps(self, formula: str, lines: list[Any]) -> list[dict[str, Any]]:
        columns = ("minutes", "watts", "hours", "loss_percent")
        written = [row for row in self.records.steps if row.formula == formula]
        if written:
            return [{"step": row.step} | {column: getattr(row, column) for column in columns} for row in written]
        return [{"step": name} | dict.fromkeys(columns, 0) for name in dict.fromkeys(line.step for line in lines)]

    def _gram_of(self, item: str) -> Cost:
        formula = item.partition("/")[0]
        if any(row.formula == formula for row in self.records.formulas):
            self._make(formula)
            return self.gram[item]
        return dict.fromkeys(PARTS, Fraction(0)) | {"materials": self.price[item]}

    def _base_in_gram_of(self, item: str) -> tuple[Number, Number]:
        """Return how much bought base is in a gram, and what that costs."""
        if item in self.base:
            return self.base[item]
        return (Fraction(1), self.price[item]) if self._kind(item) == "base" else (Fraction(0), Fraction(0))

    def _yield(self, made: str, grams: Number, shared_over: Number, whole: Cost, base: Iterable[Number]) -> None:
        self.weight[made] = grams
        self.gram[made] = {part: _over(cost, shared_over) for part, cost in whole.items()}
        grams_of_base, cost_of_base = (_over(each, shared_over) for each in base)
        self.base[made] = grams_of_base, cost_of_base

    def _share(self, formula: str, weight: Number, whole: Cost, base: Iterable[Number]) -> None:
        """Take out what is set or nothing, then share the rest by weight or sales value."""
        money = whole["materials"] + whole["work"] + whole["power"]
        outputs = [row for row in self.records.outputs if row.formula == formula]
        grams = {row.output: _part(row.percent) * weight for row in outputs}
        borne = {row.output: Fraction(0) for row in outputs}
        for row in outputs:
            if row.valued == "set":
                borne[row.output] = grams[row.output] * Fraction(row.price_per_kg) / 1000
        left = money - sum(borne.values())
        by = {row.output: grams[row.output] for row in outputs if row.valued == "weight"}
        by |= {row.output: grams[row.output] * Fraction(row.price_per_kg) for row in outputs if row.valued == "sales"}
        for output, driver in by.items():
            borne[output] = left * driver / sum(by.values())
        for output, cost in borne.items():
            part = _over(cost, money)
            shared = {name: part * each for name, each in whole.items()}
            self._yield(f"{formula}/{output}", grams[output], grams[output], shared, [part * each for each in base])

    # -- from tub to price --

    def _fill(self) -> None:
        self.cost: dict[str, Cost] = {}
        self.base_in: dict[str, tuple[Number, Number]] = {}
        for row in self.records.products:
            used = Fraction(row.fill_grams) / (1 - _part(row.waste_percent))
            cost = {part: used * each for part, each in self._gram_of(row.filled_with).items()}
            cost["minutes"] += Fraction(row.minutes)
            cost["work"] += Fraction(row.minutes) / 60 * self.hour
            parts = [part for part in self.records.tubs if part.tub == row.tub]
            cost["packaging"] = sum((Fraction(part.count) * self.price[part.part] for part in parts), Number())
            self.cost[row.product] = cost
            grams_of_base, cost_of_base = self._base_in_gram_of(row.filled_with)
            self.base_in[row.product] = used * grams_of_base, used * cost_of_base

    def _share_overheads(self) -> None:
        self.planned: dict[str, Number] = defaultdict(Fraction)
        for row in self.records.prices:
            self.planned[row.product] += Fraction(row.planned)
        drivers: dict[str, Callable[[Any], Number]] = {
            "units": lambda _: Fraction(1),
            "grams": lambda row: Fraction(row.fill_grams),
            "minutes": lambda row: self.cost[row.product]["minutes"],
        }
        rows = {row.product: row for row in self.records.products}
        self.made = {key: 1 / (1 - _part(row.unsold_percent)) for key, row in rows.items()}
        self.overheads: dict[tuple[str, str], Number] = defaultdict(Fraction)  # by product and channel; "" for all of them
        self.overhead_minutes: dict[tuple[str, str], Number] = defaultdict(Fraction)
        self.all_overheads = Fraction(0)
        for overhead in self.records.overheads:
            driver = drivers[overhead.shared_by]
            sales = [row for row in self.records.prices if overhead.channel in ("", row.channel)]
            whole = sum((Fraction(row.planned) * driver(rows[row.product]) for row in sales), Number())
            amount = Fraction(overhead.amount) + Fraction(overhead.hours) * self.hour
            self.all_overheads += amount
            for product, row in rows.items():
                part = _over(driver(row), whole)
                self.overheads[product, overhead.channel] += amount * part
                self.overhead_minutes[product, overhead.channel] += Fraction(overhead.hours) * 60 * part
        for product, cost in self.cost.items():
            made = sum((cost[part] for part in ("materials", "packaging", "work", "power")), Number())
            cost["unsold"] = made * (self.made[product] - 1)
            cost["overheads"] = self.overheads[product, ""]
            cost["total"] = made + cost["unsold"] + cost["overheads"]

    def _sold(self, row: Any) -> dict[str, Any]:
        channel = next(each for each in self.records.channels if each.channel == row.channel)
        product = next(each for each in self.records.products if each.product == row.product)
        cost = self.cost[row.product]
        tax, fee, margin = (_part(x) for x in (channel.sales_tax_percent, channel.fee_percent, channel.margin_percent))
        together = Fraction(channel.sold_together)
        fee_each, parcel = Fraction(channel.fee_each) / together, Fraction(channel.parcel_each) / together
        only_here = self.overheads[row.product, row.channel]
        whole = cost["total"] + only_here
        shown = 1 + tax if channel.shown_with_tax == "yes" else Fraction(1)
        costs = whole + parcel + fee_each
        suggested = self._price_point(costs / ((1 - margin) - fee * (1 + tax)) * shown)
        retail = next(
            (each for each in self.records.prices if (each.product, each.channel) == (row.product, channel.of_channel)), None
        )
        if retail is not None:
            asks = next(each for each in self.records.channels if each.channel == channel.of_channel)
            asked = 1 + (_part(asks.sales_tax_percent) if asks.shown_with_tax == "yes" else 0)
            keeps = 1 - _part(channel.shop_margin_percent)
            suggested = self._to_the_coin(self._sold(retail)["price"] / asked * keeps * shown)
        price = Fraction(row.price) if row.price else suggested
        net = price / shown
        fees = fee * net * (1 + tax) + fee_each
        profit = net - fees - parcel - whole
        cash = sum((cost[part] for part in ("materials", "packaging", "power")), Number()) * self.made[row.product]
        more = self.overhead_minutes[row.product, ""] + self.overhead_minutes[row.product, row.channel]
        minutes = cost["minutes"] * self.made[row.product] + more
        work = cost["work"] * self.made[row.product] + more / 60 * self.hour
        kept, all_costs = 1 - fee * (1 + tax), whole + parcel + fees
        return {
            "product": row.product, "channel": row.channel, "planned": Fraction(row.planned),
            "cost": whole, "channel_overheads": only_here,
            "suggested": suggested, "floor": costs / kept * shown,
            "cash_floor": (cash + parcel + fee_each) / kept * shown,
            "price": price, "net": net, "fees": fees, "contribution": net - fees - parcel - cash, "profit": profit,
            "margin": _over(profit, net), "markup": profit / all_costs if all_costs else None,
            "pay_per_hour": (profit + work) / (minutes / 60) if minutes else None,
            "per_100g": price * 100 / Fraction(product.label_grams or product.fill_grams),
        }  # fmt: skip

    def _to_the_coin(self, price: Number) -> Number:
        digits = {"JPY": 0}.get(self.settings.currency, 2)
        return Fraction(math.floor(price * 10**digits + Fraction(1, 2)), 10**digits)

    def _price_point(self, price: Number) -> Number:
        step, ending = Fraction(self.settings.price_step), Fraction(self.settings.price_ending)
        fine = Fraction(math.floor(price * 10**6 + Fraction(1, 2)), 10**6)
        return max(math.ceil((fine - ending) / step), 0) * step + ending

    # -- own or bought, and the season as a whole --

    def _compared(self, row: Any) -> dict[str, Any]:
        own, bought = self.cost[row.product], self.cost[row.bought]
        ours, theirs = (cost["total"] - cost["overheads"] for cost in (own, bought))
        saving = theirs - ours
        made = {product: self.made[product] for product in (row.product, row.bought)}
        extra = own["minutes"] * made[row.product] - bought["minutes"] * made[row.bought]
        cash_saving = saving - (bought["work"] * made[row.bought] - own["work"] * made[row.product])
        grams, worth = (each * made[row.bought] for each in self.base_in[row.bought])
        more = grams - self.base_in[row.product][0] * made[row.product]
        even = (worth / grams * more - saving) / (more / 1000) if more > 0 else Fraction(0)
        return {
            "product": row.product, "bought": row.bought,
            "saving": saving, "cash_saving": cash_saving, "saving_percent": saving / theirs if theirs else None,
            "season_saving": self.planned[row.product] * saving,
            "extra_minutes": extra,
            "pay_per_extra_hour": cash_saving / (extra / 60) if extra > 0 else None,
            "base_break_even_per_kg": even if even > 0 else None,
        }  # fmt: skip

    def _totals(self, prices: list[dict[str, Any]]) -> dict[str, Any]:
        revenue = sum(row["planned"] * row["net"] for row in prices)
        profit = sum(row["planned"] * row["profit"] for row in prices)
        left = sum(
            row["planned"] * (row["profit"] + row["channel_overheads"] + self.cost[row["product"]]["overheads"])
            for row in prices
        )
        overheads = self.all_overheads
        return {
            "revenue": revenue,
            "cost": revenue - profit,
            "profit": profit,
            "break_even_share": overheads / left if left > 0 else None,
        }

    def _per_gram(self, made: str) -> Cost:
        gram = {part: self.gram[made][part] for part in ("materials", "work", "power")}
        return gram | {"total": sum(gram.values(), Number())}

    def figures(self) -> dict[str, Any]:
        """Return all of it."""
        prices = [self._sold(row) for row in self.records.prices]
        formulas = {
            row.formula: {
                "batch_grams": self.batch[row.formula],
                "output_grams": self.weight[row.formula],
                "per_gram": self._per_gram(row.formula),
                "minutes_per_gram": self.gram[row.formula]["minutes"],
            }
            for row in self.records.formulas
        }
        products = {
            row.product: {
                "fill_grams": Fraction(row.fill_grams),
                "minutes": self.cost[row.product]["minutes"],
                "cost": {part: cost for part, cost in self.cost[row.product].items() if part != "minutes"},
            }
            for row in self.records.products
        }
        outputs = [made for made in self.weight if "/" in made]
        return {
            "items": self.items,
            "formulas": formulas,
            "outputs": {made: {"grams": self.weight[made], "per_gram": self._per_gram(made)} for made in outputs},
            "products": products,
            "prices": prices,
            "alternatives": [self._compared(row) for row in self.records.alternatives],
            "totals": self._totals(prices),
        }


def _mean(rows: Iterable[tuple[date, Number, Number, bool]]) -> Number:
    kept = list(rows)
    return _over(sum((row[1] for row in kept), Number()), sum((row[2] for row in kept), Number()))
