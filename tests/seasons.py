"""Random seasons: whole and valid, with everything in them that records allow. The same seed gives the same season.

All prices, formulas and names in them are invented.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any, TypeVar

from hypothesis import strategies

from costing.records.parsing import records_from
from costing.tables.written import SeasonRecords

Row = dict[str, str]
Tables = dict[str, Any]  # rows by table; of ``season``, values by key
Choice = TypeVar("Choice")

SAMPLE = Path(__file__).parents[1] / "sample"
SEEDS = strategies.integers(0, 99_999)
BASES = ("latest", "average", "dearest", "quote")

# What is bought by weight or volume: about what a kilogram costs, and whether its density is known.
MATERIALS = {
    "olive-oil": (9.0, True), "coconut-oil": (8.0, True), "sunflower-oil": (5.0, True), "castor-oil": (11.0, True),
    "plum-oil": (24.0, True), "shea-butter": (14.0, False), "sodium-hydroxide": (7.0, False), "water": (0.02, True),
    "glycerin": (6.0, True), "stearic-acid": (5.5, False), "phenoxyethanol": (40.0, True), "lavender-oil": (90.0, True),
    "white-sugar": (2.0, False), "kaolin": (9.0, False), "whipped-base": (15.0, False), "cloud-base": (13.0, False),
    "rose-water": (8.0, True),
}  # fmt: skip
PIECES = {"jar-small": 0.8, "jar-large": 1.3, "lid": 0.25, "label": 0.15, "spoon": 0.3, "band": 0.12}
BY_WEIGHT = {"g": 1.0, "kg": 1000.0, "lb": 453.6, "oz": 28.35, "mg": 0.001}
BY_VOLUME = {
    "mL": 1.0, "L": 1000.0, "us gallon": 3785.0, "us quart": 946.0, "us pint": 473.0, "us fl oz": 29.6,
    "imperial gallon": 4546.0, "imperial quart": 1136.0, "imperial pint": 568.0, "imperial fl oz": 28.4,
}  # fmt: skip
SIZES = {
    "g": ("100", "250", "500"), "kg": ("1", "5", "12.5", "25"), "lb": ("1", "5", "10"), "oz": ("8", "16"),
    "mg": ("500000",), "mL": ("250", "500"), "L": ("1", "5", "20"),
}  # fmt: skip
HOME, ABROAD = ("NZD", "GBP", "EUR", "JPY"), ("AUD", "USD", "CHF")


def as_records(tables: Tables) -> SeasonRecords:
    """Return the records of a season's tables."""
    return records_from(**tables)


def seeded(seed: int) -> Random:
    """Return a source of chance that gives the same for the same seed."""
    return Random(seed)  # noqa: S311  # the same every time is what tests want


def random_season(random: Random, basis: str = "") -> Tables:
    """Return the tables of a season, priced on one basis or on any."""
    return _Maker(random, basis).tables()


@dataclass
class _Receipt:
    """What all rows of one receipt share."""

    bought_on: date
    supplier: str
    invoice: str
    currency: str
    rate: str
    taxed: bool

    def row(self, **cells: str) -> Row:
        shared = {"bought_on": self.bought_on.isoformat(), "supplier": self.supplier, "invoice": self.invoice}
        foreign = {"currency": self.currency, "rate": self.rate} if self.currency else {}
        by_rate = sum(map(ord, self.invoice)) % 2  # one receipt gives the tax in money, another its rate
        tax = {"tax_percent": "15"} if by_rate else {"tax": _money(float(cells["paid"]) * 3 / 23)}
        tax = tax if self.taxed else {}
        return shared | foreign | tax | cells


def _money(amount: float) -> str:
    return f"{amount:.2f}"


class _Maker:
    """Draws one season, table by table."""

    def __init__(self, random: Random, basis: str) -> None:
        self.random = random
        self.basis = basis or random.choice(BASES)
        self.priced_on = date(2026, 11, 1) - timedelta(days=random.randrange(300))
        self.currency = random.choice(HOME)
        self.average_days = random.choice((60, 180, 365))

    def tables(self) -> Tables:
        season = self._season()
        receipts = self._receipts()
        self.only_quoted = self.basis == "quote" and self._chance(0.5)
        tables: Tables = {"season": season, "purchases": self._purchases(receipts), "items": self._items()}
        tables |= self._formulas()
        tables |= self._products(tables["outputs"])
        tables["channels"] = self._channels()
        tables["prices"] = self._prices(tables["products"], tables["channels"])
        tables["overheads"] = self._overheads(tables["prices"])
        tables |= self._weighings(tables["products"]) | self._batches(tables["lines"])
        return tables | self._waiting(tables)

    # -- chance --

    def _chance(self, part: float) -> bool:
        return self.random.random() < part

    def _pick(self, choices: Sequence[Choice]) -> Choice:
        return self.random.choice(choices)

    def _between(self, low: float, high: float, decimals: int = 2) -> str:
        return f"{self.random.uniform(low, high):.{decimals}f}"

    def _shares(self, number: int) -> list[str]:
        """Return percentages that add up to 100, or miss it by the hundredth that is let pass."""
        cuts = sorted(self.random.sample(range(1, 10_000), number - 1))
        shares = [Decimal(b - a) / 100 for a, b in zip([0, *cuts], [*cuts, 10_000], strict=True)]
        if number > 1:
            shares[shares.index(max(shares))] += self._pick((Decimal(0), Decimal(0), Decimal("0.01"), Decimal("-0.01")))
        return [str(share) for share in shares]

    # -- what was bought --

    def _season(self) -> dict[str, str]:
        step, ending = self._pick((("0.50", "0"), ("0.05", "0"), ("1", "0.90"), ("0.25", "0.10"), ("2", "1.95"), ("3", "0")))
        return {
            "name": "A season drawn by lot",
            "currency": self.currency,
            "priced_on": self.priced_on.isoformat(),
            "cost_basis": self.basis,
            "average_days": str(self.average_days),
            "stale_days": self._pick(("30", "180")),
            "hourly_rate": self._pick(("0", "18", "28.40")),
            "power_price": self._pick(("0", "0.34")),
            "reclaims_tax": self._pick(("yes", "no")),
            "price_step": step,
            "price_ending": ending,
        }

    def _receipts(self) -> list[_Receipt]:
        """Return receipts of three suppliers, one of them abroad, on any day and on those that the rules draw lines at."""
        on_the_line = (0, -1, self.average_days, self.average_days - 1)
        receipts = []
        for supplier in ("Fernhollow Supply", "Quill & Daughters", "Saltmarsh Traders"):
            abroad = supplier == "Saltmarsh Traders"
            days = [self.random.randrange(20, 120), *(self.random.randrange(-40, 500) for _ in range(self._pick((1, 2, 3))))]
            for number, days_ago in enumerate([*days, self._pick(on_the_line)], start=1):
                receipts.append(
                    _Receipt(
                        self.priced_on - timedelta(days=days_ago),
                        supplier,
                        f"{supplier[0]}-{number}",
                        self._pick(ABROAD) if abroad else self._pick(("", self.currency)),
                        self._between(0.6, 1.9, 4) if abroad else "",
                        taxed=self._chance(0.4 if abroad else 0.8),
                    )
                )
        return receipts

    def _purchases(self, receipts: list[_Receipt]) -> list[Row]:
        rows: dict[int, list[Row]] = {at: [] for at in range(len(receipts))}
        in_time = [at for at, receipt in enumerate(receipts) if receipt.bought_on <= self.priced_on]
        for item in (*MATERIALS, *PIECES):
            if item == "rose-water" and self.only_quoted:
                continue
            for at in {self._pick(in_time), *(self._pick(list(rows)) for _ in range(self._pick((0, 1, 2))))}:
                rows[at] += [self._goods(receipts[at], item) for _ in range(2 if self._chance(0.15) else 1)]
                if self._chance(0.08):
                    rows[at].append(receipts[at].row(**self._pack(item), paid="0"))
        found = self._returns(receipts, rows)
        for at, goods in rows.items():
            found += goods + self._spread(receipts[at], goods)
        found.append({"bought_on": (self.priced_on - timedelta(days=9)).isoformat(), "item": "water",
                      "size": "1000", "unit": "L", "paid": "2.60"})  # fmt: skip
        self.random.shuffle(found)
        return found

    def _pack(self, item: str) -> Row:
        """Return an item with how it is packed: packs, size, unit. One pack may be left unwritten."""
        if item in PIECES:
            unit = self._pick(("piece", "dozen", "pcs"))
            size = "1" if unit == "dozen" else self._pick(("1", "50", "250"))
        else:
            unit = self._pick([*BY_WEIGHT, *BY_VOLUME] if MATERIALS[item][1] else list(BY_WEIGHT))
            size = self._pick(SIZES.get(unit, ("1", "2")))
        packs = self._pick(("1", "2", "3", "12"))
        return {"item": item, "size": size, "unit": unit} | ({} if packs == "1" else {"packs": packs})

    def _goods(self, receipt: _Receipt, item: str) -> Row:
        pack = self._pack(item)
        amount = float(pack.get("packs", "1")) * float(pack["size"])
        if item in PIECES:
            worth = amount * (12 if pack["unit"] == "dozen" else 1) * PIECES[item]
        else:
            worth = amount * (BY_WEIGHT | BY_VOLUME)[pack["unit"]] / 1000 * MATERIALS[item][0]
        return receipt.row(**pack, paid=_money(max(worth * self.random.uniform(0.7, 1.5), 0.05)))

    def _returns(self, receipts: list[_Receipt], rows: dict[int, list[Row]]) -> list[Row]:
        """Return a credit note for one pack of something that came in several, on its receipt."""
        several = [(at, row) for at, goods in rows.items() for row in goods if "packs" in row and row["paid"] != "0"]
        if not several or self._chance(0.3):
            return []
        at, row = self._pick(several)
        whole = float(row["packs"])
        sent_back = row | {
            "packs": "-1",
            "paid": _money(-float(row["paid"]) / whole),
            "bought_on": (receipts[at].bought_on + timedelta(days=3)).isoformat(),
        }
        return [sent_back | ({"tax": _money(float(sent_back["paid"]) * 3 / 23)} if "tax" in row else {})]

    def _spread(self, receipt: _Receipt, goods: list[Row]) -> list[Row]:
        worth = sum(float(row["paid"]) for row in goods)
        spread = []
        if worth and self._chance(0.6):
            later = receipt.bought_on + timedelta(days=self._pick((0, 0, 0, 14)))
            delivery = {"item": "delivery", "paid": _money(self.random.uniform(1, 60)), "bought_on": later.isoformat()}
            spread.append(receipt.row(**delivery))
        if worth and self._chance(0.35):
            spread.append(receipt.row(item="discount", paid=_money(worth * self.random.uniform(0.01, 0.2))))
        return spread

    def _items(self) -> list[Row]:
        own = [
            {"item": "plum-oil", "name": "Plum kernel oil", "kind": "oil", "density": self._between(0.88, 0.95, 3)},
            {"item": "rose-water", "kind": "water", "density": "0.998", "quote": self._between(5, 12)},
            {"item": "cloud-base", "kind": "base", "on_hand": "500"},
            {"item": "jar-small", "kind": "packaging", "quote": self._between(0.5, 1, 3)},
            {"item": "olive-oil", "quote": self._between(6, 12), "density": self._between(0.90, 0.92, 4)},
            {"item": "whipped-base", "quote": self._between(9, 16)},
            {"item": "lavender-oil", "highest_percent": "1.5"},
        ]
        return [row for row in own if row["item"] in ("plum-oil", "rose-water", "cloud-base") or self._chance(0.7)]

    # -- what is made --

    def _formulas(self) -> Tables:
        made = self._bars()
        made["shreds"] = self._pick((["plain-bar/trimmings", "plain-bar/bars"], ["plain-bar/bars"], ["plain-bar"]))
        made["whip"] = [
            "shreds",
            "water",
            "glycerin",
            "stearic-acid",
            "phenoxyethanol",
            *self._some(("rose-water", "kaolin")),
        ]
        made["scrub"] = ["whip", "white-sugar", *self._some(("plum-oil", "phenoxyethanol"))]
        base = self._pick(("whipped-base", "cloud-base"))
        made["whip-base"] = [base, *self._some(("lavender-oil", "kaolin", "glycerin"))]
        made["scrub-base"] = [self._pick((base, "whip-base")), "white-sugar", *self._some(("plum-oil", "lavender-oil"))]
        tables: Tables = {"formulas": [], "steps": [], "lines": []}
        for formula, items in made.items():
            self._formula(tables, formula, items)
        tables["outputs"] = self._outputs("plain-bar")
        if self._chance(0.5):
            tables["outputs"] += self._outputs("scrub")
        for name in ("formulas", "lines", "outputs"):
            self.random.shuffle(tables[name])
        return tables

    def _bars(self) -> dict[str, list[str]]:
        oils = ["olive-oil", "coconut-oil", *self._some(("sunflower-oil", "castor-oil", "shea-butter", "plum-oil"))]
        bars = {"plain-bar": ["sodium-hydroxide", "water", *oils]}
        if self._chance(0.5):
            bars["lavender-bar"] = ["sodium-hydroxide", "water", "olive-oil", "lavender-oil"]
        return bars

    def _some(self, choices: Sequence[str]) -> list[str]:
        return [choice for choice in choices if self._chance(0.6)]

    def _formula(self, tables: Tables, formula: str, items: list[str]) -> None:
        steps = self._pick((["mix"], ["melt", "whip"], ["lye", "blend", "cure"]))
        in_grams = self._chance(0.25)
        batch = {} if in_grams and self._chance(0.6) else {"batch_grams": self._between(800, 7000, 0)}
        tables["formulas"].append({"formula": formula, "name": formula.replace("-", " ").capitalize()} | batch)
        shares = self._shares(len(items))
        weights = [self._between(5, 2000, 1) for _ in items]
        if items[0] == "sodium-hydroxide":
            shares, weights = self._with_room_for_lye(shares), self._with_room_for_lye(weights)
        for item, percent, grams in zip(items, shares, weights, strict=True):
            amount = {"grams": grams} if in_grams else {"percent": percent}
            tables["lines"].append({"formula": formula, "step": self._pick(steps), "item": item} | amount)
        if not in_grams and self._chance(0.15):
            pinch = {"formula": formula, "step": steps[0], "item": "kaolin", "grams": "7.5"}
            tables["lines"].append(pinch)
        if self._chance(0.8):
            tables["steps"] += [{"formula": formula, "step": step} | self._effort() for step in steps]

    def _with_room_for_lye(self, amounts: list[str]) -> list[str]:
        """Return amounts of lye, water, olive oil … with as much lye as the olive oil may take up, or less."""
        both = Decimal(amounts[0]) + Decimal(amounts[2])
        lye = (both * Decimal(self._between(0.02, 0.12, 3))).quantize(Decimal("0.01")) or Decimal("0.01")
        return [str(lye), amounts[1], str(both - lye), *amounts[3:]]

    def _effort(self) -> Row:
        cells = {
            "minutes": self._between(1, 60, 1),
            "watts": self._between(50, 1500, 0),
            "hours": self._between(0.1, 20),
            "loss_percent": self._between(0, 15, 1),
        }
        return {column: cell for column, cell in cells.items() if self._chance(0.7)}

    def _outputs(self, formula: str) -> list[Row]:
        """Return two or three outputs: the rest is shared by weight or sales, and trimmings may be set or nothing."""
        names = ["bars", "trimmings", "crumbs"][: self._pick((2, 3))]
        way = self._pick(("weight", "sales"))
        ways = [way, self._pick((way, "set", "nothing")), self._pick((way, "nothing"))]
        rows = []
        for name, valued, percent in zip(names, ways, self._shares(len(names)), strict=False):
            worth = {"sales": self._between(4, 30), "set": self._between(0.05, 0.3)}.get(valued)
            row = {"formula": formula, "output": name, "percent": percent}
            written = {} if valued == "weight" and self._chance(0.5) else {"valued": valued}
            rows.append(row | written | ({"price_per_kg": worth} if worth else {}))
        return rows

    # -- what is sold --

    def _products(self, outputs: list[Row]) -> Tables:
        tubs = [
            {"tub": "paper", "part": "band"},
            *({"tub": "small", "part": part} for part in ("jar-small", "lid", "label")),
            *({"tub": "large", "part": part, "count": self._pick(("1", "2"))} for part in ("jar-large", "label", "spoon")),
        ]
        tables: Tables = {"tubs": tubs, "products": [self._product("bar", "plain-bar/bars", "paper")], "alternatives": []}
        sold = [("whip", "whip", "whip-base"), ("scrub", "scrub", "scrub-base")]
        if any(row["formula"] == "scrub" for row in outputs):
            sold[1] = ("scrub", "scrub/bars", "scrub-base")
        for name, own, bought in sold:
            for size in ("small", "large")[: self._pick((1, 2))]:
                product = self._product(f"{name}-{size}", own, size)
                twin = self._product(f"{name}-{size}-base", bought, size)
                twin |= {"fill_grams": product["fill_grams"]}
                tables["products"] += [product, twin]
                tables["alternatives"].append({"product": product["product"], "bought": twin["product"]})
        self.random.shuffle(tables["products"])
        return tables

    def _product(self, product: str, filled_with: str, tub: str) -> Row:
        cells = {
            "label_grams": self._between(40, 450, 0),
            "waste_percent": self._between(0, 6, 1),
            "unsold_percent": self._between(0, 25, 1),
        }
        written = {column: cell for column, cell in cells.items() if self._chance(0.6)}
        return {
            "product": product,
            "name": product.replace("-", " ").capitalize(),
            "filled_with": filled_with,
            "tub": tub,
            "fill_grams": self._between(40, 450, 0),
            "minutes": self._between(0.5, 5, 1),
        } | written

    def _channels(self) -> list[Row]:
        channels = []
        for channel in ("stall", "post", "shops")[: self._pick((1, 2, 3))]:
            cells = {
                "name": f"By {channel}",
                "sales_tax_percent": self._pick(("0", "7.7", "15", "20")),
                "shown_with_tax": self._pick(("yes", "no")),
                "fee_percent": self._between(0, 12, 1),
                "fee_each": self._between(0, 0.6),
                "parcel_each": self._between(0, 7),
                "sold_together": self._pick(("1", "2", "1.6")),
            }
            written = {column: cell for column, cell in cells.items() if self._chance(0.75)}
            channels.append({"channel": channel, "margin_percent": self._between(0, 60, 1)} | written)
        if len(channels) > 1 and self._chance(0.6):
            channels[-1] |= {"of_channel": channels[0]["channel"], "shop_margin_percent": self._between(5, 60, 1)}
        return channels

    def _prices(self, products: list[Row], channels: list[Row]) -> list[Row]:
        prices = []
        for product in products:
            for channel in self.random.sample(channels, self.random.randint(1, len(channels))):
                row = {"product": product["product"], "channel": channel["channel"], "planned": self._between(0, 200, 0)}
                prices.append(row | ({"price": self._between(1, 40)} if self._chance(0.25) else {}))
        prices[0]["planned"] = "60"
        return prices

    def _overheads(self, prices: list[Row]) -> list[Row]:
        sold = sorted({row["channel"] for row in prices if row["planned"] != "0"})
        rows = []
        for number, shared_by in enumerate(("units", "grams", "minutes", self._pick(("units", "minutes")))):
            costs = {"amount": self._between(0, 900), "hours": self._between(0, 60)}
            written = self._pick((["amount"], ["amount"], ["hours"], ["amount", "hours"]))
            row = {"overhead": f"{shared_by}-{number}", "shared_by": shared_by} | {key: costs[key] for key in written}
            rows.append(row | ({"channel": self._pick(sold)} if self._chance(0.35) else {}))
        return [row for row in rows if self._chance(0.85)]

    # -- what the scales say --

    def _weighings(self, products: list[Row]) -> Tables:
        rows = []
        for product in self.random.sample(products, self.random.randint(0, 3)):
            label = float(product.get("label_grams", product["fill_grams"]))
            for _ in range(self._pick((1, 2, 12, 31))):
                tare = self._pick(("", "38.5", "96"))
                gross = label * self.random.uniform(0.86, 1.12) + float(tare or 0)
                day = (self.priced_on - timedelta(days=self.random.randrange(60))).isoformat()
                row = {"product": product["product"], "weighed_on": day, "gross_grams": f"{gross:.1f}"}
                rows.append(row | ({"tare_grams": tare} if tare else {}))
        return {"weighings": rows}

    def _batches(self, lines: list[Row]) -> Tables:
        """Return batches of some formulas, each with what its lines say, more or less; some of them ruined."""
        tables: Tables = {"batches": [], "batch_lines": []}
        formulas = sorted({line["formula"] for line in lines})
        for number in range(self.random.randint(0, 4)):
            formula, batch = self._pick(formulas), f"made-{number}"
            day = (self.priced_on - timedelta(days=self.random.randrange(-20, 400))).isoformat()
            row = {"batch": batch, "formula": formula, "made_on": day}
            cells = {"grams_out": self._between(200, 4000, 0), "minutes": self._between(5, 90, 0)}
            tables["batches"].append(row | {column: cell for column, cell in cells.items() if self._chance(0.75)})
            for line in (line for line in lines if line["formula"] == formula):
                tables["batch_lines"].append({"batch": batch, "item": line["item"], "step": line["step"]} | self._poured())
        return tables

    def _poured(self) -> Row:
        grams = self.random.uniform(5, 900)
        if self._chance(0.5):
            return {"grams": f"{grams:.1f}"}
        after = self.random.uniform(0, 300)
        return {"before_grams": f"{after + grams:.1f}", "after_grams": f"{after:.1f}"}

    # -- what is made already, and how long it takes --

    def _waiting(self, tables: Tables) -> Tables:
        """Return the season with a day to be ready by, steps that wait, and what is made already; each but for a few."""
        ready_by = (self.priced_on + timedelta(days=self.random.randrange(90))).isoformat()
        steps = [step | ({"days": self._pick(("0.5", "1", "28"))} if self._chance(0.4) else {}) for step in tables["steps"]]
        outputs = [f"{row['formula']}/{row['output']}" for row in tables["outputs"]]
        made = [row["formula"] for row in tables["formulas"]] + outputs + [row["product"] for row in tables["products"]]
        there = self.random.sample(made, self.random.randint(0, 5))
        return {
            "season": tables["season"] | ({"ready_by": ready_by} if self._chance(0.7) else {}),
            "steps": steps,
            "made": [{"what": what, "on_hand": self._between(0, 900, 0)} for what in there],
        }


def sample_tables() -> Tables:
    """Return the tables of the sample season as texts, blank cells left out."""
    tables: Tables = {}
    for file in sorted(SAMPLE.glob("*.csv")):
        with file.open(encoding="utf-8", newline="") as lines:
            rows = [{column: cell for column, cell in row.items() if cell} for row in csv.DictReader(lines)]
        tables[file.stem] = {row["key"]: row["value"] for row in rows} if file.stem == "season" else rows
    return tables
