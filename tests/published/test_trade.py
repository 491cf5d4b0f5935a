"""Habits of the trade that the engine must fit. All are common practice, no source, unless marked otherwise."""

from __future__ import annotations

from typing import Any

import pytest

import costing
from tests.published.closeness import exactly, printed
from tests.published.seasons import Row, bought, costed, line, product

OIL, CLAY, HONEY = bought("olive-oil", 8, size=1000), bought("kaolin", 20, size=1000), bought("honey", 30, size=1000)


def batch_cost(season: costing.Season, formula: str) -> float:
    return float(season.row("making", formula=formula, row="yield").batch_cost)


def test_hundred_grams_of_glycerin_read_about_eighty_on_a_beaker() -> None:
    """100 g of glycerin are 79.3 mL, about 80 on a beaker marked in tens of millilitres. Common practice, no source.

    The density of 1.2612 g/mL is VDI-PPDS at 20 °C; 79.3 is computed here, one decimal.
    """
    season = costed(purchases=[bought("glycerin", 1, size=100, unit="mL")])
    reading = 100 * 100 / season.row("purchases", item="glycerin").grams
    assert reading == printed(79.3, 1)
    assert round(reading, -1) == 80


@pytest.mark.parametrize("vessel", ["cup", "2 cups", "US cup", "tsp", "tbsp.", "teaspoons", "tablespoon", "spoon"])
def test_spoons_and_cups_are_refused(vessel: str) -> None:
    """A spoon or cup is no measure of weight, whatever its country. Common practice, no source."""
    with pytest.raises(costing.Faults) as told:
        costed(purchases=[bought("wares", 1, unit=vessel)])
    (fault,) = told.value.faults
    assert fault.where == "purchases, row 1, unit"
    assert (fault.what, fault.do) == (f'"{vessel}" is no measure of weight', "weigh it and write grams")


@pytest.mark.parametrize("measure", ["fl oz", "gallon", "pint"])
def test_volume_without_its_country_is_refused(measure: str) -> None:
    """US and imperial measures differ by 4 to 20 %, NIST Handbook 44 C-18, so the country must stand with them."""
    with pytest.raises(costing.Faults) as told:
        costed(purchases=[bought("water", 1, unit=measure)])
    (fault,) = told.value.faults
    assert fault.what == f'"{measure}" differs between countries'
    assert fault.do == f"write us {measure} or imperial {measure}"


def test_percentages_are_by_weight_even_of_what_is_bought_by_volume() -> None:
    """Half of a batch of 200 g is 100 g of glycerin at its cost per gram, not 100 mL. Common practice, no source.

    126.12 g, bought as 100 mL for 12.612, cost 0.10 a gram; 100 g of it cost 10.
    """
    season = costed(
        purchases=[bought("glycerin", 12.612, size=100, unit="mL"), bought("filler-oil", 0)],
        formulas=[{"formula": "mix", "name": "Mix", "batch_grams": 200}],
        lines=[{"formula": "mix", "step": "mix", "item": item, "percent": 50} for item in ("glycerin", "filler-oil")],
    )
    assert season.row("making", formula="mix", what="glycerin").added == exactly(100)
    assert batch_cost(season, "mix") == exactly(10)


def with_clay(**amount: float) -> float:
    """Return the cost of 1,500 g with clay in it, the rest being oil."""
    if "grams" in amount:
        rest: dict[str, float] = {"grams": 1500 - amount["grams"]}
    else:
        rest = {"percent": 100 - amount["percent"]}
    rows: list[Row] = [
        {"formula": "mix", "step": "mix", "item": "kaolin"} | amount,
        {"formula": "mix", "step": "mix", "item": "olive-oil"} | rest,
    ]
    formulas = [{"formula": "mix", "name": "Mix", "batch_grams": 1500}]
    return batch_cost(costed(purchases=[OIL, CLAY], formulas=formulas, lines=rows), "mix")


def test_addition_weighed_by_difference_is_a_percentage_of_the_batch() -> None:
    """A jug of 812 g before and 767 g after gave 45 g, 3 % of 1,500 g: grams and percent cost the same.

    Common practice, no source; 45 g at 0.020 and 1,455 g at 0.008 are 12.54, computed here.
    """
    poured = 812 - 767
    assert with_clay(grams=poured) == exactly(12.54)
    assert with_clay(percent=poured / 1500 * 100) == exactly(12.54)


def halves(**more: Any) -> costing.Season:
    """Return one base, halved, with 10 g of clay in one half and 15 g of honey in the other."""
    return costed(
        settings={"hourly_rate": 30},
        purchases=[OIL, CLAY, HONEY],
        lines=[
            line("base", "olive-oil", 1000),
            line("pink", "base", 500),
            line("pink", "kaolin", 10),
            line("gold", "base", 500),
            line("gold", "honey", 15),
        ],
        steps=[{"formula": "base", "step": "mix", "minutes": 20}],
        **more,
    )


def test_two_halves_of_one_batch_differ_by_what_was_added_to_them() -> None:
    """Each half bears half of the base; their costs differ exactly by clay of 0.20 and honey of 0.45.

    Common practice, no source; 8 of oil and 10 of work make 9 for each half, computed here.
    """
    season = halves()
    assert batch_cost(season, "pink") == exactly(9 + 0.20)
    assert batch_cost(season, "gold") == exactly(9 + 0.45)
    assert batch_cost(season, "gold") - batch_cost(season, "pink") == exactly(0.45 - 0.20)


def test_two_halves_together_cost_the_batch_and_both_additions() -> None:
    """Nothing is lost in halving: 18 of base, 0.20 and 0.45. Common practice, no source; computed here."""
    season = halves()
    assert batch_cost(season, "pink") + batch_cost(season, "gold") == exactly(batch_cost(season, "base") + 0.65)


def test_weight_lost_in_drying_and_in_the_pot_is_borne_by_what_is_left() -> None:
    """1,000 g at 0.008 that lose a tenth and then a twentieth leave 855 g for the same 8. Common practice, no source.

    Each loss is of what the step before left; 1,000 × 0.90 × 0.95 is computed here.
    """
    season = costed(
        purchases=[OIL],
        lines=[line("bar", "olive-oil", 1000)],
        steps=[
            {"formula": "bar", "step": "mix", "loss_percent": 10},
            {"formula": "bar", "step": "cure", "loss_percent": 5},
        ],
    )
    bar = costing.figures(season)["formulas"]["bar"]
    assert bar["output_grams"] == exactly(855)
    assert bar["per_gram"]["total"] == exactly(8 / 855)


def test_what_sticks_to_the_bag_while_filling_is_borne_by_the_tub() -> None:
    """A fill of 95 g with 5 % lost while filling takes 100 g, 0.80. Common practice, no source; computed here."""
    season = costed(
        purchases=[OIL],
        lines=[line("soap", "olive-oil", 1000)],
        products=[product("tub", "soap", 95, waste_percent=5)],
    )
    assert season.row("products", product="tub").total == exactly(0.80)
