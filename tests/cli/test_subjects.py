"""``costing show``: a short answer, one subject or more, all of them, and the same subjects as JSON."""

from __future__ import annotations

import json

import pytest

import costing
from costing.shown.subjects import SUBJECTS
from tests.cli.test_cli import SAMPLE, run, sample

NAMES = [subject.name for subject in SUBJECTS]
KEYS = {
    "plan": {"season", "totals"},
    "tubs": {"products", "in_tubs"},
    "prices": {"prices", "main_channel", "price_ladder", "break_even"},
    "alternatives": {"alternatives"},
    "formulas": {"formulas", "outputs"},
    "items": {"items"},
    "making": {"making", "left_over", "tubs_to_make", "ready_by", "made_stock"},
    "buying": {"buying", "orders", "cash_needed"},
    "stock": {"stock"},
    "scales": {"scales"},
    "lye": {"lye"},
    "keeping": {"keeping"},
    "cautions": {"cautions"},
}  # what other programs may ask of each: more may come, none may go


def told(*words: str) -> str:
    """Return what ``costing show`` says of the sample."""
    result = run("show", SAMPLE, *words)
    assert (result.exit_code, result.stderr) == (0, "")
    return result.stdout


def test_the_short_answer_is_one_screen_that_leads_on() -> None:
    """Every product with its cost, prices and what it leaves; the plan, own against bought, cautions, and all subjects."""
    shown, season = told(), sample()
    assert len(shown.splitlines()) < 50
    for row in season.glance.rows:
        (line,) = (line for line in shown.splitlines() if line.startswith(f"{row.product} "))
        assert f" {row.cost:,.2f} " in line
        assert all(f" {price.used:,.2f} " in line for price in season.prices.rows if price.product == row.product)
        planned = season.row("products", product=row.product).planned
        assert planned == 0 or f" {row.leaves:,.2f} " in line
    totals = season.totals
    assert f"brings {totals.revenue:,.2f} without tax and leaves {totals.profit:,.2f}," in shown
    assert (
        "\nOf 4 tubs, 2 cost less from your own base, 2 from a bought one. Each hour more of making earns 27 NZD.\n" in shown
    )
    assert (
        "\nChoosing the cheaper for each would save 118 NZD over the plan. Cheaper bought: Pink clay whipped soap 120 g,"
        in shown
    )
    assert [line.split()[0] for line in shown.splitlines()[-len(NAMES) :]] == NAMES


@pytest.mark.parametrize("subject", SUBJECTS, ids=NAMES)
def test_a_subject_alone_is_shown_under_the_season(subject: object) -> None:
    """Nothing but the season's name and the subject."""
    assert isinstance(subject, type(SUBJECTS[0]))
    head, *parts = told(subject.name).split("\n\n")
    assert head.startswith(sample().records.season.name)
    assert "\n\n".join(parts) == f"{subject.report(sample())}\n"
    assert len(parts[0].splitlines()) > 1


@pytest.mark.parametrize("subject", SUBJECTS, ids=NAMES)
def test_json_of_a_subject_has_its_keys_alone(subject: object) -> None:
    """The same figures as among all of them, under keys that stay."""
    assert isinstance(subject, type(SUBJECTS[0]))
    found = json.loads(told("--json", subject.name))
    assert set(found) >= KEYS.get(subject.name, set())
    whole = json.loads(told("--json", "--all"))
    assert found == {key: whole[key] for key in found}


def test_several_subjects_come_in_the_order_asked_and_all_in_their_own() -> None:
    shown = told("stock", "Prices", "stock")
    assert shown.index("What is in stock") < shown.index("What it should sell for")
    assert shown.count("What is in stock") == 1
    assert set(json.loads(told("--json", "stock", "prices"))) == {"stock"} | KEYS["prices"]
    everything = told("--all")
    assert all(text in everything for subject in SUBJECTS for text in subject.texts(sample()))


def test_json_without_a_subject_has_the_keys_it_always_had_and_all_has_every_subject_s() -> None:
    assert json.loads(told("--json")) == json.loads(json.dumps(costing.figures(sample())))
    assert json.loads(told("--json", "--all")) == json.loads(
        json.dumps(costing.figures(sample()) | costing.further_figures(sample()))
    )


@pytest.mark.parametrize("words", [("pricse",), ("stock", "pricse"), ("--json", "pricse")])
def test_a_misspelt_subject_is_refused_with_the_nearest(words: tuple[str, ...]) -> None:
    result = run("show", SAMPLE, *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == 'there is no subject "pricse"; did you mean "prices"?\n'
