"""Tracing: the cost of a tub as a tree that adds up on every level, down to the receipts."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

import costing
from costing.season.costed import Season
from costing.season.tracing import PARTS, Branch, lines, trace
from costing.shown.report import trace_report
from costing.tables.settings import COST_BASES

SAMPLE = Path(__file__).parents[1] / "sample"
RECEIPT = re.compile(
    r"(?P<day>\d{4}-\d{2}-\d{2}) (?P<named>.+): (?P<landed>-?[\d,.]+) landed for (?P<amount>-?[\d,.]+) (g|pieces)"
)


@cache
def season(basis: str) -> Season:
    """Return the sample season, costed on one basis."""
    records = costing.read_season(SAMPLE)
    return costing.cost(replace(records, season=records.season.model_copy(update={"cost_basis": basis})))


def products() -> list[str]:
    """Return the keys of all products of the sample."""
    return [row.product for row in season("latest").records.products]


def walk(branch: Branch) -> Iterator[Branch]:
    """Yield a branch and all below it."""
    yield branch
    for each in branch.branches:
        yield from walk(each)


def leaves(branch: Branch) -> list[Branch]:
    """Return the ends of the tree."""
    return [each for each in walk(branch) if not each.branches]


def part(tree: Branch, name: str) -> Branch:
    """Return one of the five parts of a tub's cost."""
    return next(each for each in tree.branches if each.label == name)


def under(tree: Branch, start: str) -> list[Branch]:
    """Return what stands right below every branch whose label starts so."""
    return [below for each in walk(tree) if each.label.startswith(start) for below in each.branches]


EVERY = [pytest.param(basis, product, id=f"{basis}-{product}") for basis in COST_BASES for product in products()]


@pytest.mark.parametrize(("basis", "product"), EVERY)
def test_every_branch_is_the_sum_of_its_branches(basis: str, product: str) -> None:
    tree = trace(season(basis), product)
    assert tree.amount == season(basis).row("products", product=product).total
    for branch in walk(tree):
        if branch.branches:
            together = math.fsum(each.amount for each in branch.branches)
            assert branch.amount == pytest.approx(together, rel=1e-9), branch.label


@pytest.mark.parametrize(("basis", "product"), EVERY)
def test_the_first_branches_are_the_parts_of_the_cost(basis: str, product: str) -> None:
    row = season(basis).row("products", product=product)
    parts = [(name, getattr(row, name)) for name in PARTS if getattr(row, name)]
    assert [(each.label, each.amount) for each in trace(season(basis), product).branches] == parts
    assert math.fsum(amount for _, amount in parts) == pytest.approx(row.total, rel=1e-12)


@pytest.mark.parametrize(("basis", "product"), EVERY)
def test_materials_and_packaging_end_at_receipts_or_at_the_makers_own_quote(basis: str, product: str) -> None:
    tree = trace(season(basis), product)
    bought = {
        (row.bought_on.isoformat(), " ".join(filter(None, (row.supplier, row.invoice))) or "no receipt named")
        for row in season(basis).records.purchases
    }
    ends = [leaf.label for name in ("materials", "packaging") for leaf in leaves(part(tree, name))]
    assert ends
    for label in ends:
        if basis == "quote" and label == "your own quote":
            continue
        found = RECEIPT.fullmatch(label)
        assert found, label
        assert (found["day"], found["named"]) in bought, label


@pytest.mark.parametrize("basis", COST_BASES)
def test_a_receipt_stands_there_with_what_it_landed_for(basis: str) -> None:
    rows = {
        (f"{row.landed:,.2f}", f"{row.amount:,.10g}")
        for row in season(basis).purchases.rows
        if row.item not in ("delivery", "discount")
    }
    found = [RECEIPT.fullmatch(leaf.label) for product in products() for leaf in leaves(trace(season(basis), product))]
    receipts = [each for each in found if each]
    assert len(receipts) > 100
    assert [each[0] for each in receipts if (each["landed"], each["amount"]) not in rows] == []


def test_latest_names_every_purchase_of_the_newest_day() -> None:
    labels = {each.label for each in under(trace(season("latest"), "Olive and lavender bar 120 g"), "Olive oil, ")}
    assert labels == {
        "2026-08-12 Pindle and Rook Wholesale 22871: 211.00 landed for 18,228 g",
        "2026-08-12 Pindle and Rook Wholesale 22871: 58.00 landed for 4,557 g",
    }


def test_average_names_every_purchase_in_the_window_and_takes_returns_off() -> None:
    receipts = under(trace(season("average"), "Olive and lavender bar 120 g"), "Shea butter, ")
    assert [each.label.partition(":")[0] for each in receipts] == [
        "2026-03-10 Brackmoss Supply BM-1257",
        "2026-03-19 Brackmoss Supply BM-C088",
        "2026-07-07 Brackmoss Supply BM-1339",
    ]
    assert [each.amount > 0 for each in receipts] == [True, False, True]


def test_average_names_a_free_sample_which_lowers_it() -> None:
    receipts = under(trace(season("average"), "Lavender sugar scrub 250 g"), "Apricot kernel oil, ")
    free = [each for each in receipts if each.label.startswith("2026-09-08 Wattlemere Ingredients W8466: 0.00 landed")]
    assert [each.amount for each in free] == [0]


def test_dearest_names_one_receipt_for_each_item() -> None:
    tree = trace(season("dearest"), "Lavender whipped soap 120 g")
    items = [each for each in walk(tree) if re.match(r"[\w ]+, [\d.]+ (g at [\d.]+ per g|at [\d.]+ each)", each.label)]
    assert len(items) > 20
    assert {len(each.branches) for each in items} == {1}
    (receipt, *_) = under(tree, "Olive oil, ")
    assert receipt.label == "2026-08-12 Pindle and Rook Wholesale 22871: 58.00 landed for 4,557 g"  # the small tin


def test_dearest_names_one_receipt_where_two_are_equally_dear() -> None:
    bought = {"item": "olive-oil", "size": 1, "unit": "kg", "paid": 8}
    settings = {"name": "n", "currency": "EUR", "priced_on": "2026-11-01", "cost_basis": "dearest"}
    tub = {"bought_on": "2026-08-03", "item": "jar", "size": 1, "unit": "piece", "paid": 1}
    product = {"product": "oil-100", "name": "Oil", "filled_with": "oil", "tub": "jar", "fill_grams": 100}
    records = costing.records_from(
        season=settings,
        purchases=[bought | {"bought_on": "2026-08-03"}, bought | {"bought_on": "2026-09-03"}, tub],
        formulas=[{"formula": "oil", "name": "Oil"}],
        lines=[{"formula": "oil", "step": "fill", "item": "olive-oil", "grams": 500}],
        tubs=[{"tub": "jar", "part": "jar"}],
        products=[product],
        channels=[{"channel": "stall", "margin_percent": 40}],
    )
    (receipt,) = under(trace(costing.cost(records), "oil-100"), "olive-oil, ")
    assert receipt.label == "2026-08-03 no receipt named: 8.00 landed for 1,000 g"
    assert receipt.amount == pytest.approx(0.8, rel=1e-12)


def test_quote_names_the_quote_where_there_is_one_and_receipts_elsewhere() -> None:
    tree = trace(season("quote"), "Lavender whipped soap 120 g")
    assert {each.label for each in under(tree, "Olive oil, ")} == {"your own quote"}
    assert {each.label for each in under(tree, "Small label, ")} == {"your own quote"}
    assert {each.label.partition(":")[0] for each in under(tree, "Glycerin, ")} == {
        "2026-09-08 Wattlemere Ingredients W8466"
    }


def test_a_purchase_without_supplier_and_invoice_says_so() -> None:
    (receipt, *_) = under(trace(season("latest"), "Lavender whipped soap 120 g"), "Water, ")
    assert receipt.label == "2026-07-31 no receipt named: 2.26 landed for 998,200 g"


def test_materials_run_through_all_formulas_that_a_scrub_is_made_from() -> None:
    branch = part(trace(season("latest"), "Lavender sugar scrub 250 g"), "materials")
    path = [
        "Lavender sugar scrub, ",
        "Lavender whipped soap, ",
        "Soap shreds, ",
        "Olive and lavender bar/trimmings, ",
        "Olive oil, ",
        "2026-08-12 ",
    ]
    for start in path:
        branch = next(each for each in branch.branches if each.label.startswith(start))
    assert branch.branches == ()


def test_work_names_the_steps_and_the_filling_of_the_tub_itself() -> None:
    work = part(trace(season("latest"), "Lavender whipped soap 120 g"), "work")
    assert work.branches[-1].label == "filling and packing, 2.5 min"
    assert work.branches[-1].amount == pytest.approx(2.5 / 60 * 28, rel=1e-12)
    assert {"step melt", "step whip", "step grate", "step cure"} <= {each.label.partition(",")[0] for each in leaves(work)}


def test_power_names_watts_and_hours() -> None:
    power = part(trace(season("latest"), "Lavender whipped soap 120 g"), "power")
    assert "step melt, 1200 W for 1.2 h in the batch" in {each.label for each in leaves(power)}


def test_overheads_name_amount_and_how_they_are_shared() -> None:
    overheads = part(trace(season("latest"), "Lavender whipped soap 120 g"), "overheads")
    labels = [each.label for each in overheads.branches]
    assert "Share of the rent, 900.00 shared by grams" in labels
    assert len(labels) == len([row for row in season("latest").records.overheads if not row.channel])


@pytest.mark.parametrize(
    ("word", "told"),
    [
        (
            "Lavender whipped soap 12 g",
            'there is no product "Lavender whipped soap 12 g"; did you mean "Lavender whipped soap 120 g"?',
        ),
        (
            "Pink clay sugar scrub",
            'there is no product "Pink clay sugar scrub"; did you mean "Pink clay sugar scrub 250 g"?',
        ),
    ],
)
def test_an_unknown_product_is_refused_with_the_nearest_one(word: str, told: str) -> None:
    with pytest.raises(costing.Refusal) as caught:
        trace(season("latest"), word)
    assert str(caught.value) == told


def test_a_product_like_no_other_is_refused_with_those_there_are() -> None:
    with pytest.raises(costing.Refusal) as caught:
        trace(season("latest"), "zzz")
    assert str(caught.value).startswith('there is no product "zzz"; known here: Everyday bar 110 g, ')
    assert str(caught.value).endswith(" and 2 more")


def test_lines_indent_each_level_under_what_it_adds_up_to() -> None:
    tree = Branch("tub", 3.0, (Branch("work", 1.0), Branch("materials", 2.0, (Branch("oil", 2.0),))))
    assert list(lines(tree)) == [("tub", 3.0), ("  work", 1.0), ("  materials", 2.0), ("    oil", 2.0)]


def test_the_report_holds_every_branch_with_its_amount() -> None:
    tree = trace(season("latest"), "Lavender whipped soap 120 g")
    shown = trace_report(tree).splitlines()
    assert [line.split() for line in shown[1:]] == [[*label.split(), f"{amount:.4f}"] for label, amount in lines(tree)]
