"""Laws of what things cost: nothing paid is lost on the way, and nothing is counted twice."""

from __future__ import annotations

from collections import defaultdict
from copy import deepcopy
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given

import costing
from tests.laws import plain
from tests.laws.alike import by_key, unlike
from tests.seasons import BASES, SEEDS, Tables, as_records, random_season, seeded

pytestmark = pytest.mark.slow

SIGN = {"delivery": 1, "discount": -1}


def _costed(tables: Tables) -> costing.Season:
    return costing.cost(as_records(tables))


@pytest.mark.parametrize("basis", BASES)
@given(seed=SEEDS)
def test_everything_is_as_a_plain_calculator_has_it(basis: str, seed: int) -> None:
    """Items, formulas, outputs, products, prices, comparisons and totals follow the rules, on every cost basis."""
    records = as_records(random_season(seeded(seed), basis))
    _assert_as_plain(costing.cost(records))


def test_the_sample_is_as_a_plain_calculator_has_it(sample_season: costing.Season) -> None:
    """So do those of the sample, which was written by hand."""
    _assert_as_plain(sample_season)


def _assert_as_plain(season: costing.Season) -> None:
    """Hold a season against the plain calculator, which knows of no batches: ruined ones come off the profit."""
    ours, theirs = costing.figures(season), plain.figures(season.records)
    ruined = sum(row.cost for row in season.batches.rows if not row.grams_out)
    theirs["totals"] |= {"profit": theirs["totals"]["profit"] - ruined, "cost": theirs["totals"]["cost"] + ruined}
    assert list(unlike({part: ours[part] for part in theirs}, theirs)) == []


@given(seed=SEEDS)
def test_landed_cost_is_conserved(seed: int) -> None:
    """Over each receipt, and over all, landed costs are goods with delivery less discount, up to the day priced on."""
    season = _costed(random_season(seeded(seed)))
    reclaims = season.records.season.reclaims_tax == "yes"
    borne: dict[tuple[str, str], Decimal] = defaultdict(Decimal)
    landed: dict[tuple[str, str], float] = defaultdict(float)
    for record, row in zip(season.records.purchases, season.purchases.rows, strict=True):
        receipt = (record.supplier, record.invoice)
        paid = record.paid - (record.tax_in_money if reclaims else 0)
        counts = record.bought_on <= season.records.season.priced_on
        borne[receipt] += paid * record.rate * SIGN.get(record.item, 1) * counts
        landed[receipt] += row.landed
    assert len(borne) > 3
    for receipt, amount in borne.items():
        assert landed[receipt] == pytest.approx(float(amount), rel=1e-9), receipt
    assert sum(landed.values()) == pytest.approx(float(sum(borne.values())), rel=1e-9)


def _doubled(tables: Tables, formula: str) -> Tables:
    """Return the season with one formula made in batches twice as large, with twice the time."""
    twice = deepcopy(tables)
    for table, columns in (("formulas", ["batch_grams"]), ("lines", ["grams"]), ("steps", ["minutes", "hours"])):
        for row in twice[table]:
            if row["formula"] == formula:
                row |= {column: str(Decimal(row[column]) * 2) for column in columns if column in row}
    return twice


@given(seed=SEEDS)
def test_doubling_a_batch_leaves_the_cost_of_a_gram(seed: int) -> None:
    """Twice the batch in twice the time yields twice as much, of which a gram costs what it did."""
    random = seeded(seed)
    tables = random_season(random)
    formula = random.choice(tables["formulas"])["formula"]
    once, twice = (costing.figures(_costed(each)) for each in (tables, _doubled(tables, formula)))
    single, double = once["formulas"][formula], twice["formulas"][formula]
    assert double["output_grams"] == pytest.approx(2 * single["output_grams"], rel=1e-12)
    for figures in (once, twice):
        del figures["cautions"], figures["formulas"][formula]["batch_grams"], figures["formulas"][formula]["output_grams"]
        for output in figures["outputs"].values():
            del output["grams"]
    assert list(unlike(once, twice)) == []


def _dearer(tables: Tables, season: costing.Season) -> tuple[Tables, str]:
    """Return the season with a purchase that sets a price made dearer by a quarter, and the item it is of.

    Delivery and discount go by the worth of goods: where one thing on a receipt gets dearer, it takes delivery off its
    neighbours, and they get cheaper. So it is the whole receipt that gets dearer.
    """
    newest = {row.item: row.latest_day for row in season.items.rows if row.used_in}
    setting = [
        record
        for record, row in zip(season.records.purchases, season.purchases.rows, strict=True)
        if row.priced_day and row.priced_day == newest.get(record.item)
    ]
    chosen = max(setting, key=lambda record: (record.paid, record.item))
    dearer = deepcopy(tables)
    for row in dearer["purchases"]:
        receipt = (row.get("supplier", ""), row.get("invoice", ""))
        if receipt == (chosen.supplier, chosen.invoice) and row["item"] not in SIGN:
            row |= {column: str(Decimal(row[column]) * Decimal("1.25")) for column in ("paid", "tax") if column in row}
    return dearer, chosen.item


@given(seed=SEEDS)
def test_a_dearer_receipt_makes_no_tub_cheaper(seed: int) -> None:
    """Where the goods of a receipt get dearer alike, their items do, and no tub gets cheaper before overheads.

    Overheads shared by minutes are left out: an output of a set worth bears less of a dearer batch, and of its minutes.
    """
    tables = random_season(seeded(seed), "latest")
    before = _costed(tables)
    dearer, item = _dearer(tables, before)
    after = _costed(dearer)
    assert after.row("items", item=item).latest > before.row("items", item=item).latest * 1.000001
    for old, new in zip(before.products.rows, after.products.rows, strict=True):
        assert new.total - new.overheads >= (old.total - old.overheads) * (1 - 1e-12), old.product


def test_a_dearer_row_takes_delivery_off_its_neighbours() -> None:
    """Delivery goes by the worth of goods: of 10 for goods of 10 and 10, the second bears 5, and 2.50 beside one of 30."""
    shares = [_share_of_second(paid) for paid in ("10", "30")]
    assert shares == [5.0, 2.5]


def _share_of_second(paid_for_first: str) -> float:
    tables = random_season(seeded(1))
    receipt = {"bought_on": tables["season"]["priced_on"], "supplier": "Fernhollow Supply", "invoice": "F-99"}
    pack = {"size": "1", "unit": "kg"}
    tables["purchases"] += [
        receipt | pack | {"item": "olive-oil", "paid": paid_for_first},
        receipt | pack | {"item": "kaolin", "paid": "10"},
        receipt | {"item": "delivery", "paid": "10"},
    ]
    return float(_costed(tables).purchases.rows[-2].share)


@given(seed=SEEDS)
def test_outputs_bear_the_whole_batch(seed: int) -> None:
    """The outputs of a formula together bear its materials, work, power and minutes: all of it, once."""
    figures = costing.figures(_costed(random_season(seeded(seed))))
    by_formula: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for made, output in figures["outputs"].items():
        by_formula[made.partition("/")[0]].append(output)
    assert by_formula
    for formula, outputs in by_formula.items():
        whole = figures["formulas"][formula]
        for part, gram in whole["per_gram"].items():
            borne = sum(output["grams"] * output["per_gram"][part] for output in outputs)
            assert borne == pytest.approx(whole["output_grams"] * gram, rel=1e-9), (formula, part)


@given(seed=SEEDS)
def test_minutes_go_with_the_cost(seed: int) -> None:
    """An output carries the part of the minutes that it bears of the cost."""
    season = _costed(random_season(seeded(seed)))
    wholes = {row.formula: row for row in season.making.rows if row.row == "yield"}
    outputs = [row for row in season.making.rows if row.row == "output"]
    assert outputs
    for row in outputs:
        whole = wholes[row.formula]
        minutes, cost = (getattr(row, key) * row.yields for key in ("gram_minutes", "per_gram"))
        assert minutes * whole.per_gram == pytest.approx(cost * whole.gram_minutes, rel=1e-9), row.made


@given(seed=SEEDS)
def test_planned_tubs_carry_all_overheads(seed: int) -> None:
    """What a channel sells carries its own overheads and their hours, all of them, once; all tubs carry the others."""
    season = _costed(random_season(seeded(seed)))
    rate = season.records.season.hourly_rate
    tubs = {row.product: row for row in season.products.rows}
    for channel in ("", *(row.channel for row in season.records.channels)):
        rows = [row for row in season.records.overheads if row.channel == channel]
        sold = [row for row in season.prices.rows if channel in ("", row.channel)]
        cost = sum(row.planned * (row.channel_overheads if channel else tubs[row.product].overheads) for row in sold)
        time = sum(row.planned * (row.channel_time if channel else tubs[row.product].overhead_time) for row in sold)
        assert cost == pytest.approx(float(sum(row.amount + row.hours * rate for row in rows)), rel=1e-9), channel
        assert time == pytest.approx(60 * float(sum(row.hours for row in rows)), rel=1e-9), channel


@given(seed=SEEDS)
def test_the_checks_of_the_workbook_pass(seed: int) -> None:
    """On the day of export no check of the workbook has anything to say."""
    checks = _costed(random_season(seeded(seed))).checks
    assert {key: getattr(checks, key) for key in checks.figures.entries} == dict.fromkeys(checks.figures.entries, "OK")


def _shuffled(tables: Tables, seed: int) -> Tables:
    """Return the season with the rows of every table but ``steps`` in another order."""
    other = {name: rows if name in ("season", "steps") else list(rows) for name, rows in tables.items()}
    random = seeded(seed + 1)
    for name, rows in other.items():
        if name not in ("season", "steps"):
            random.shuffle(rows)
            if rows == tables[name]:
                rows.reverse()
    return other


@given(seed=SEEDS)
def test_the_order_of_rows_does_not_matter(seed: int) -> None:
    """Rows of all tables but the steps can stand in any order: every figure and caution stays what it is.

    But for one word: of several things that stop a formula alike, the first on its card is named.
    """
    tables = random_season(seeded(seed))
    other = _shuffled(tables, seed)
    assert all(tables[name] != other[name] or len(tables[name]) < 2 for name in ("purchases", "lines", "products", "prices"))
    seasons = (_costed(each) for each in (tables, other))
    one, two = (by_key(costing.figures(season) | costing.further_figures(season)) for season in seasons)
    assert [told for told in unlike(one, two) if ".stopped_by: " not in told] == []


@given(seed=SEEDS)
def test_a_season_costed_twice_is_the_same(seed: int) -> None:
    """Costing leaves its records as they are, and gives the same to the last digit."""
    tables = random_season(seeded(seed))
    records, again = as_records(tables), as_records(tables)
    assert costing.figures(costing.cost(records)) == costing.figures(costing.cost(records))
    assert records == again
