"""The bench card: what to weigh in, step by step, in grams that the scale shows; what must be ready before; cautions."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings

import costing
from costing.cli import main
from costing.tables.deciding.weigh_out import COARSE, LYE_LINE, MADE_BEFORE, STEP_DONE
from tests.seasons import SEEDS, as_records, random_season, seeded
from tests.small_season import small_folder


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small season as a folder."""
    return small_folder(tmp_path_factory.mktemp("weigh") / "season")


@pytest.fixture(scope="module")
def records(small: Path) -> costing.SeasonRecords:
    """Its records."""
    return costing.read_season(small)


def run(*words: str | Path) -> Result:
    """Call the command line within this program."""
    return CliRunner().invoke(main, ["weigh", *(str(word) for word in words)], prog_name="costing")


def lines(card: costing.BenchCard) -> list[tuple[Any, ...]]:
    """Return what the card says, line by line."""
    return [
        (row.step, row.what, round(row.shown, 6), round(row.pot, 6), row.minutes, row.remark.strip()) for row in card.lines
    ]


# -- how much --


def test_a_card_goes_step_by_step_with_what_is_then_in_the_pot(records: costing.SeasonRecords) -> None:
    """A bar of 1000 g: 80 and 200 g for the lye, 720 g of oil; 0.8, 0.4 and 11 % are lost, by hand to 0.1 g."""
    card = costing.weigh_out(records, "bar")
    assert lines(card) == [
        ("lye", "sodium-hydroxide", 80, 80, 0, LYE_LINE),
        ("lye", "water", 200, 280, 0, ""),
        ("lye", STEP_DONE, 0, 280, 10, ""),
        ("blend", "castor-oil", 720, 1000, 0, ""),
        ("blend", STEP_DONE, 0, 992, 30, ""),
        ("cut", STEP_DONE, 0, 988, 25, ""),
        ("cure", STEP_DONE, 0, 879.3, 10, ""),
    ]
    assert card.batches == 1
    assert card.expected == pytest.approx(1000 * 0.992 * 0.996 * 0.89)


def test_batches_grams_and_fills_say_how_much(records: costing.SeasonRecords) -> None:
    """Half a batch; the grams that come out; 10 tubs of 61 g and 2 of 91 g with 3 % lost while filling them."""
    yields = (993 * 0.975 + 7) * 0.985  # the clay goes in after the first loss
    assert costing.weigh_out(records, "whip", batches=0.5).expected == pytest.approx(yields / 2)
    assert costing.weigh_out(records, "whip", grams=Decimal(500)).batches == pytest.approx(500 / yields)
    filled = costing.weigh_out(records, "whip", fills={"whip-60": 10, "whip-90": 2})
    assert filled.expected == pytest.approx((610 + 182) / 0.97)


def test_fills_of_an_output_take_the_batch_that_yields_it(records: costing.SeasonRecords) -> None:
    """50 bars of 100 g from a bar formula that yields 60 % of bars."""
    product = records.products.records[0].model_copy(
        update={"product": "bar-100", "filled_with": "bar/bars", "fill_grams": Decimal(100), "waste_percent": Decimal(0)}
    )
    more = replace(records, products=type(records.products)((*records.products.records, product), ("",) * 4))
    assert costing.weigh_out(more, "bar", fills={"bar-100": 50}).expected == pytest.approx(5000 / 0.6)


# -- rounding --


def test_rounded_grams_add_up_to_the_sum_that_is_told(small: Path, records: costing.SeasonRecords) -> None:
    """0.0137 batches by a scale of tenths: the sum is that of what is shown, and what rounding did is said."""
    card = costing.weigh_out(records, "whip", batches=0.0137)
    shown = [row.shown for row in card.lines]
    assert shown == [pytest.approx(each) for each in (8.2, 5.4, 0, 0.1, 0)]  # of 8.22, 5.3841 and 0.0959
    assert card.season.weigh.weighed == pytest.approx(13.7)
    assert card.season.weigh.rounding == pytest.approx(13.7 - 13.7, abs=1e-9)
    assert [row.remark for row in card.lines if row.remark == COARSE] == [COARSE]
    told = run(small, "scrub", "--batches", "0.01455").stdout
    assert "Together 14.5 g to weigh in" in told  # 8.73, 5.7909 and 0.0291 are 8.7, 5.8 and 0.0
    assert "Rounded to 0.1 g, that is 0.05 g less than the formula says." in told


def test_the_step_of_the_scale_is_a_setting(records: costing.SeasonRecords) -> None:
    """Whole grams, and half grams."""
    for step in (Decimal(1), Decimal("0.5")):
        other = replace(records, season=records.season.model_copy(update={"scale_step": step}))
        card = costing.weigh_out(other, "whip", batches=0.0137)
        assert all((row.shown / float(step)) % 1 == 0 for row in card.lines)
        assert card.season.weigh.weighed == pytest.approx({1: 13, 0.5: 13.5}[float(step)])


@pytest.mark.slow
@settings(max_examples=12, deadline=None, derandomize=True, database=None)
@given(seed=SEEDS)
def test_a_card_is_the_recipe_and_nothing_is_lost_but_by_its_steps(seed: int) -> None:
    """Each line is recipe times batches to half a step of the scale; what comes out is what went in, less each loss."""
    random = seeded(seed)
    records = as_records(random_season(random, "latest"))
    formula = random.choice(records.formulas.records).formula
    times = round(random.uniform(0.1, 9), 3)
    card = costing.weigh_out(records, formula, batches=times)
    step = float(records.season.scale_step)
    cards = [row for row in card.season.making.rows if row.formula == formula and row.row in ("line", "step")]
    assert [(row.step, row.what) for row in card.lines] == [
        (row.step, row.what if row.row == "line" else STEP_DONE) for row in cards
    ]
    exact, off, pot = 0.0, 0.0, 0.0
    for row, own in zip(card.lines, cards, strict=True):
        if own.row == "line":
            assert abs(row.shown - own.added * times) <= step / 2 + 1e-6
            exact, off, pot = exact + own.added * times, off + step / 2, pot + row.shown
        else:
            exact, off, pot = exact * (1 - own.percent), off * (1 - own.percent) + step / 2, pot * (1 - own.percent)
            assert abs(row.pot - pot) <= step / 2 + 1e-6
            pot = row.pot
        assert row.pot == pytest.approx(pot, abs=1e-6)
        assert abs(row.pot - exact) <= off + 1e-6
    assert card.expected == pytest.approx(exact, rel=1e-9)
    assert card.season.weigh.weighed == pytest.approx(sum(row.shown for row in card.lines))


# -- what must be ready before --


def test_what_must_be_ready_before_is_told_in_the_order_of_making(small: Path, records: costing.SeasonRecords) -> None:
    """For a scrub, 600 g of whipped soap; for that, trimmings, of which a bar's batch yields 40 %."""
    card = costing.weigh_out(records, "scrub")
    whip, bar = (993 * 0.975 + 7) * 0.985, 1000 * 0.992 * 0.996 * 0.89
    assert [(each.formula, dict(each.grams)) for each in card.ready] == [
        ("bar", {"bar/trimmings": pytest.approx(600 * 600 / whip)}), ("whip", {"whip": pytest.approx(600)}),
    ]  # fmt: skip
    assert [each.batches for each in card.ready] == [
        pytest.approx(600 * 600 / whip / (0.4 * bar)), pytest.approx(600 / whip),
    ]  # fmt: skip
    assert card.lines[0].remark == MADE_BEFORE
    assert costing.weigh_out(records, "bar").ready == ()
    told = run(small, "scrub").stdout
    assert told.index("Ready before, in this order") < told.index("bar/trimmings") < told.index("whip  ")


# -- cautions --


def test_cautions_of_the_formula_stand_on_it_lye_first(records: costing.SeasonRecords) -> None:
    """Lye and what is hot for the bar; water for the whipped soap; skin and who decides for all."""
    found = {formula: costing.weigh_out(records, formula).cautions for formula in ("bar", "whip")}
    assert found["bar"][0].startswith("Lye burns skin and eyes: goggles, gloves")
    assert "never water into lye" in found["bar"][0]
    assert any(each.startswith("Hot melts hold their heat") for each in found["bar"])
    assert not any(each.startswith("Lye burns") for each in found["whip"])
    assert any(each.startswith("It holds water and can spoil") for each in found["whip"])
    assert any("no preservative" in each for each in found["whip"])
    for cautions in found.values():
        assert "safety assessment and local law decide" in cautions[-1]


# -- what is refused --


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["barr"], 'there is no formula "barr"; did you mean "bar"?'),
        (["whip", "--fill", "whip-6=3"], 'there is no product "whip-6"; did you mean "whip-60"?'),
        (["whip", "--fill", "scrub-90=3"], "scrub-90: is filled with scrub, and not with whip; name that"),
        (["whip", "--batches", "0"], "whip: 0.0 is no amount above zero; name how much is wanted"),
        (["whip", "--grams", "-5"], "whip: -5.0 is no amount above zero; name how much is wanted"),
        (["whip", "--grams", "nan"], "whip: nan is no amount above zero; name how much is wanted"),
        (
            ["whip", "--batches", "1", "--grams", "5"],
            "whip: name batches, grams or products to fill, and only one of the three",
        ),
    ],
)
def test_what_cannot_be_weighed_is_refused(words: list[str], told: str, small: Path) -> None:
    result = run(small, *words)
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", f"{told}\n")


def test_a_filling_without_a_number_is_wrong_use(small: Path) -> None:
    result = run(small, "whip", "--fill", "whip-60")
    assert result.exit_code == 2
    assert "write it like" in result.stderr
