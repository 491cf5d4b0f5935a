"""Cautions: each appears when it should, word for word, and not a hair before."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

import costing
from costing.errors import Doubt

Tables = dict[str, Any]
Change = Callable[[Tables], object]

ASSESS = "see the supplier's document and the product's safety assessment, and local law"
CARE = "lye burns: goggles, gloves, fresh air, additions only when cool, and test the bar"
ANEW = "work the lye out anew before anyone makes it"
ASK = "leave more superfat, or ask the supplier for the oils' own values"
POTASH = "potassium-hydroxide counts as pure, but is often sold at about 90 %: reckon with what its pack says"
UNTOLD = "whether that is too much cannot be told"


def calm() -> Tables:
    """Return a season without a caution: bought base made up with preserved water, in two sizes."""
    day, season = "2026-08-03", {"name": "Calm", "currency": "EUR", "priced_on": "2026-11-01", "hourly_rate": "15"}
    bought = {"whipped-base": "15", "water": "1", "phenoxyethanol": "40", "lavender-oil": "90", "white-sugar": "2"}
    return {
        "season": season,
        "purchases": [
            *({"bought_on": day, "item": item, "size": "1", "unit": "kg", "paid": paid} for item, paid in bought.items()),
            {"bought_on": day, "item": "jar", "size": "1", "unit": "dozen", "paid": "12"},
        ],
        "items": [],
        "formulas": [{"formula": "whip", "name": "Whipped soap", "batch_grams": "1000"}],
        "lines": [
            {"formula": "whip", "step": "whip", "item": "whipped-base", "percent": "60"},
            {"formula": "whip", "step": "whip", "item": "water", "percent": "37.2"},
            {"formula": "whip", "step": "whip", "item": "phenoxyethanol", "percent": "0.8"},
            {"formula": "whip", "step": "whip", "item": "lavender-oil", "percent": "2"},
        ],
        "tubs": [{"tub": "jar", "part": "jar"}],
        "products": [
            {
                "product": "whip-60",
                "name": "Small",
                "filled_with": "whip",
                "tub": "jar",
                "fill_grams": "60",
                "minutes": "2",
            },
            {"product": "whip-120", "name": "Large", "filled_with": "whip", "tub": "jar", "fill_grams": "120"},
        ],
        "channels": [{"channel": "stall", "margin_percent": "35"}, {"channel": "post", "margin_percent": "35"}],
        "prices": [
            {"product": "whip-60", "channel": "stall", "planned": "10"},
            {"product": "whip-120", "channel": "stall", "planned": "10"},
        ],
    }


def cautions(*changes: Change) -> list[str]:
    """Return the cautions of the calm season with these changes."""
    tables = calm()
    for change in changes:
        change(tables)
    told = costing.cost(costing.records_from(**tables)).cautions
    return [str(caution) for caution in told if not isinstance(caution, Doubt)]


def cell(table: str, row: int, **cells: str) -> Change:
    """Change cells of a row, counted from 0."""
    return lambda tables: tables[table][row].update(cells)


def more(table: str, *rows: dict[str, str]) -> Change:
    """Add rows."""
    return lambda tables: tables[table].extend(rows)


def settings(**values: str) -> Change:
    """Change settings."""
    return lambda tables: tables["season"].update(values)


def formula(key: str, **grams: str) -> Change:
    """Add a formula in grams, its items as words with underscores; bought where the season has none of them yet."""

    def change(tables: Tables) -> None:
        tables["formulas"].append({"formula": key, "name": key})
        known = {row["item"] for row in tables["purchases"]} | {row["formula"] for row in tables["formulas"]}
        for word, amount in grams.items():
            item = word.replace("_", "-")
            tables["lines"].append({"formula": key, "step": "mix", "item": item, "grams": amount})
            if item not in known and "/" not in item:
                row = {"bought_on": "2026-08-03", "item": item, "size": "1", "unit": "kg", "paid": "9"}
                tables["purchases"].append(row)

    return change


def test_a_season_without_anything_to_check_has_no_caution() -> None:
    assert cautions() == []


def test_a_caution_stops_nothing() -> None:
    tables = calm()
    tables["season"]["hourly_rate"] = "0"
    season = costing.cost(costing.records_from(**tables))
    assert len([caution for caution in season.cautions if not isinstance(caution, Doubt)]) == 1
    assert season.row("products", product="whip-60").total > 0


@pytest.mark.parametrize(("stale_days", "old"), [("89", True), ("90", False), ("91", False)])
def test_a_price_older_than_the_stale_days_is_named(stale_days: str, *, old: bool) -> None:
    changes = (more("purchases", _again("2026-10-31")), settings(stale_days=stale_days))
    words = "last bought on 2026-08-03, 90 days before the day priced on; ask for today's price"
    items = ["whipped-base", "water", "phenoxyethanol", "jar"]
    assert cautions(*changes) == ([f"items, {item}: {words}" for item in items] if old else [])


def _again(day: str, item: str = "lavender-oil", paid: str = "90") -> dict[str, str]:
    return {"bought_on": day, "item": item, "size": "1", "unit": "kg", "paid": paid}


def test_an_old_price_of_something_unused_is_not_named() -> None:
    assert cautions(more("purchases", _again("2020-01-01", "coconut-oil"))) == []


def test_a_free_sample_does_not_make_an_old_price_new() -> None:
    found = cautions(settings(stale_days="89"), more("purchases", _again("2026-10-31", "water", paid="0")))
    words = "last bought on 2026-08-03, 90 days before the day priced on; ask for today's price"
    assert f"items, water: {words}" in found


def test_an_old_purchase_does_not_matter_where_the_own_quote_counts() -> None:
    quotes = [{"item": row["item"], "quote": "1"} for row in calm()["purchases"]]
    assert cautions(settings(stale_days="1", cost_basis="quote"), more("items", *quotes)) == []


@pytest.mark.parametrize(
    ("basis", "words"),
    [("average", "nothing bought in the days to average"), ("dearest", "no purchase in the days looked at")],
)
def test_an_item_not_bought_within_the_window_counts_at_its_latest_price(basis: str, words: str) -> None:
    found = cautions(settings(cost_basis=basis, average_days="90"), more("purchases", _again("2026-08-04")))
    told = f"{words}, so it counts at its latest price; check whether that price still holds"
    assert found == [f"items, {item}: {told}" for item in ("whipped-base", "water", "phenoxyethanol", "jar")]
    assert cautions(settings(cost_basis=basis, average_days="91")) == []


def test_an_item_without_quote_counts_at_its_latest_price() -> None:
    quotes = [{"item": row["item"], "quote": "1"} for row in calm()["purchases"] if row["item"] != "water"]
    told = "items, water: no quote, so it counts at its latest price; check whether that price still holds"
    assert cautions(settings(cost_basis="quote"), more("items", *quotes)) == [told]


def test_an_item_that_costs_nothing_is_named() -> None:
    told = "items, phenoxyethanol: counts at nothing; check its purchases, if it is not really free"
    assert cautions(cell("purchases", 2, paid="0")) == [told]
    assert cautions(cell("purchases", 2, paid="0.01")) == []
    assert cautions(cell("purchases", 1, paid="0")) == []  # water from the tap


def test_work_priced_at_nothing_is_named_where_there_is_work() -> None:
    told = "season, hourly_rate: your work is priced at nothing; write what an hour is to cost"
    assert cautions(settings(hourly_rate="0")) == [told]
    assert cautions(settings(hourly_rate="0"), cell("products", 0, minutes="0")) == []
    assert cautions(settings(hourly_rate="0.01")) == []


def test_a_label_above_the_fill_is_named() -> None:
    told = (
        "products, whip-120: label of 121 g above the fill of 120 g; fill more or label less; look up your law on contents"
    )
    assert cautions(cell("products", 1, label_grams="121")) == [told]
    assert cautions(cell("products", 1, label_grams="120")) == []
    assert cautions(cell("products", 1, label_grams="119")) == []


def test_an_own_price_under_the_floor_or_the_target_is_named() -> None:
    season = costing.cost(costing.records_from(**calm()))
    row = season.row("prices", product="whip-60")
    cents = round(row.floor, 2)
    under = cautions(cell("prices", 0, price=f"{cents - 0.02:.2f}"))
    assert under == [
        f"prices, whip-60, stall: own price {cents - 0.02:.2f} under the floor of {row.floor_shown:.2f}, "
        f"so it does not pay all its cost; each sale still brings {cents - 0.02 - row.cash_floor:.2f} towards your work and "
        "the overheads"
    ]
    lost = cautions(cell("prices", 0, price=f"{row.cash_floor - 0.02:.2f}"))
    assert lost[0] == (
        f"prices, whip-60, stall: own price {row.cash_floor - 0.02:.2f} under the cash floor of {row.cash_floor_shown:.2f}; "
        "each sale loses money: raise it or cut its cost"
    )
    between = cents + 0.05
    assert between < row.exact
    assert cautions(cell("prices", 0, price=f"{between:.2f}")) == [
        f"prices, whip-60, stall: own price {between:.2f} leaves {1 - row.floor / between:.1%}, under the 35.0% wanted; "
        f"the suggested price is {row.suggested:.2f}"
    ]
    assert cautions(cell("prices", 0, price=f"{row.exact + 0.01:.2f}")) == []


@pytest.mark.parametrize(
    ("small", "large", "told"),
    [
        (
            "6.00",
            "12.60",
            [
                "prices, whip-120, stall: 10.50 per 100 g, dearer than the next smaller size of 60 g at 10.00; "
                "customers expect the bigger tub to be the better buy"
            ],
        ),
        ("6.00", "12.00", []),
        ("6.00", "11.40", []),
    ],
)
def test_a_bigger_tub_dearer_per_100_g_than_a_smaller_one_is_named(small: str, large: str, told: list[str]) -> None:
    assert cautions(cell("prices", 0, price=small), cell("prices", 1, price=large)) == told


def test_sizes_are_compared_by_the_weight_on_the_label() -> None:
    prices = (cell("prices", 0, price="6.00"), cell("prices", 1, price="11.40"))
    assert cautions(*prices, cell("products", 1, label_grams="100")) == [
        "prices, whip-120, stall: 11.40 per 100 g, dearer than the next smaller size of 60 g at 10.00; "
        "customers expect the bigger tub to be the better buy"
    ]


def test_sizes_are_compared_in_whatever_order_they_are_listed() -> None:
    prices = (cell("prices", 0, price="6.00"), cell("prices", 1, price="12.60"))
    listed = cautions(*prices, lambda tables: tables["prices"].reverse())
    assert listed == cautions(*prices)
    assert len(listed) == 1


def test_sizes_are_not_compared_between_channels_or_fillings() -> None:
    dear = (cell("prices", 0, price="6.00"), cell("prices", 1, price="12.60"))
    assert cautions(*dear, cell("prices", 1, channel="post")) == []
    scrub = formula("scrub", whip="60", pumice="40")
    assert cautions(*dear, scrub, cell("products", 1, filled_with="scrub")) == []


@pytest.mark.parametrize(
    ("item", "percent", "told"),
    [
        ("phenoxyethanol", "1", []),
        ("phenoxyethanol", "1.01", ["1.01% of phenoxyethanol, above 1.00%"]),
        ("lavender-oil", "3", []),
        ("lavender-oil", "3.5", ["3.50% of lavender-oil, above 3.00%"]),
    ],
)
def test_a_share_above_the_highest_is_named(item: str, percent: str, told: list[str]) -> None:
    row, before = (2, 0.8) if item == "phenoxyethanol" else (3, 2)
    base = cell("lines", 0, percent=str(60 + before - float(percent)))
    rest = f"steam lost raises the share further: {ASSESS}"
    assert cautions(base, cell("lines", row, percent=percent)) == [f"formulas, whip: {each}; {rest}" for each in told]


def test_the_makers_own_highest_share_counts_before_the_packaged_one() -> None:
    rest = f"steam lost raises the share further: {ASSESS}"
    lower = more("items", {"item": "lavender-oil", "highest_percent": "1.5"})
    assert cautions(lower) == [f"formulas, whip: 2.00% of lavender-oil, above 1.50%; {rest}"]
    assert cautions(more("items", {"item": "lavender-oil", "highest_percent": "2"})) == []


def test_the_shares_of_one_item_on_several_lines_count_together() -> None:
    changes = (
        cell("lines", 0, percent="59.4"),
        more("lines", {"formula": "whip", "step": "late", "item": "phenoxyethanol", "percent": "0.6"}),
    )
    rest = f"steam lost raises the share further: {ASSESS}"
    assert cautions(*changes) == [f"formulas, whip: 1.40% of phenoxyethanol, above 1.00%; {rest}"]


def test_a_share_of_grams_is_taken_of_all_that_goes_in() -> None:
    assert cautions(formula("syrup", white_sugar="990", phenoxyethanol="10")) == []
    rest = f"steam lost raises the share further: {ASSESS}"
    found = cautions(formula("syrup", white_sugar="980", phenoxyethanol="20"))
    assert found == [f"formulas, syrup: 2.00% of phenoxyethanol, above 1.00%; {rest}"]


# 1000 g of olive oil take up 184 to 196 mg KOH a gram, which is 0.71289 times as much sodium hydroxide: 131.17 to 139.73 g.
# 1 % less than the careful end is 129.86 g.
@pytest.mark.parametrize(
    ("grams", "superfat", "do"),
    [
        ("129.8", "", ""),
        ("129.9", "1.0% to 7.0%", ASK),
        ("131.1", "0.1% to 6.2%", ASK),
        ("131.4", "-0.2% to 6.0%", ANEW),
        ("139.6", "-6.4% to 0.1%", ANEW),
    ],
)
def test_lye_near_what_oils_take_up_is_named(grams: str, superfat: str, do: str) -> None:
    found = cautions(formula("bar", olive_oil="1000", sodium_hydroxide=grams))
    told = f"{grams} g of lye (as sodium hydroxide), and oils that take up 131.2 to 139.7 g: {superfat} superfat"
    assert found == ([f"formulas, bar: {told}; {do}; {CARE}"] if do else [])


def test_lye_beyond_all_that_oils_take_up_is_a_fault() -> None:
    with pytest.raises(costing.Faults) as raised:
        cautions(formula("bar", olive_oil="1000", sodium_hydroxide="139.9"))
    told = f"in bar, 139.9 g of lye (as sodium hydroxide), and its oils take up 139.7 g at most; {ANEW}; {CARE}"
    assert [str(fault) for fault in raised.value.faults] == [f"lines, row 6, grams: {told}"]


@pytest.mark.parametrize("grams", ["182.2", "200", "500"])
def test_potassium_hydroxide_is_told_as_pure_and_never_a_fault(grams: str) -> None:
    found = cautions(formula("bar", olive_oil="1000", potassium_hydroxide=grams))
    lye = f"{float(grams) * 0.7128893:.1f} g of lye (as sodium hydroxide)"
    told = f"{lye}, and oils known to take up 131.2 to 139.7 g; {POTASH}; {UNTOLD}: {ANEW}; {CARE}"
    assert found == [f"formulas, bar: {told}"]
    assert cautions(formula("bar", olive_oil="1000", potassium_hydroxide="182.1")) == []


def test_both_lyes_of_a_formula_count_together() -> None:
    assert cautions(formula("bar", olive_oil="1000", sodium_hydroxide="100", potassium_hydroxide="40")) == []
    found = cautions(formula("bar", olive_oil="1000", sodium_hydroxide="100", potassium_hydroxide="50"))
    assert len(found) == 1
    assert found[0].startswith("formulas, bar: 135.6 g of lye (as sodium hydroxide), and oils known to take up 131.2")


def test_fatty_acids_take_up_lye() -> None:
    """1000 g of the lowest stearic acid take 138.3 g, 1 % less is 136.9 g."""
    assert cautions(formula("bar", stearic_acid="1000", sodium_hydroxide="136.8")) == []


@pytest.mark.parametrize("own", [{"item": "goose-fat", "kind": "oil"}, {"item": "goose-fat"}])
def test_with_an_unknown_oil_too_much_lye_cannot_be_told(own: dict[str, str]) -> None:
    found = cautions(more("items", own), formula("bar", goose_fat="900", olive_oil="100", sodium_hydroxide="100"))
    told = (
        "100.0 g of lye (as sodium hydroxide), and oils known to take up 13.1 to 14.0 g; without a known value: goose-fat; "
        f"{UNTOLD}: {ANEW}; {CARE}"
    )
    assert found == [f"formulas, bar: {told}"]


def test_with_enough_known_oils_an_unknown_one_is_not_named() -> None:
    unknown = more("items", {"item": "goose-fat", "kind": "oil"})
    assert cautions(unknown, formula("bar", goose_fat="100", olive_oil="1000", sodium_hydroxide="128")) == []


def test_what_takes_up_no_lye_is_known_to_take_up_none() -> None:
    with pytest.raises(costing.Faults, match=r"its oils take up 14\.0 g at most"):
        cautions(formula("bar", mineral_oil="900", olive_oil="100", glycerin="50", sodium_hydroxide="15"))


def test_lye_with_nothing_that_takes_it_up_is_named_and_goes_with_the_oils_it_meets() -> None:
    solution = formula("strong-lye", sodium_hydroxide="500", water="500")
    alone = (
        "formulas, strong-lye: 500.0 g of lye (as sodium hydroxide), and nothing that takes it up; nobody may take it for "
        f"soap: use it only as the lye of a formula, labelled and locked away; {CARE}"
    )
    oils = formula("oils", olive_oil="500", castor_oil="500")
    assert cautions(solution, oils) == [alone]
    # 1000 g take up 0.7128893 × (184 + 176) ÷ 2 = 128.3 to 0.7128893 × (196 + 187) ÷ 2 = 136.5 g.
    drying = more("steps", {"formula": "bar", "step": "mix", "loss_percent": "9"})
    steps = lambda tables: tables.setdefault("steps", [])  # noqa: E731  # a change like the others
    within = (solution, oils, formula("bar", oils="1000", strong_lye="250"), steps, drying)
    assert cautions(*within) == [alone]
    near = cautions(solution, oils, formula("bar", oils="1000", strong_lye="256"), steps, drying)
    assert [each.partition(" superfat")[0] for each in near[1:]] == [
        "formulas, bar: 128.0 g of lye (as sodium hydroxide), and oils that take up 128.3 to 136.5 g: 0.2% to 6.2%"
    ]
    with pytest.raises(costing.Faults, match=r"137\.0 g of lye.* its oils take up 136\.5 g at most"):
        cautions(solution, oils, formula("bar", oils="1000", strong_lye="274"))


def test_lye_added_to_the_trimmings_of_a_bar_counts_with_what_is_in_them() -> None:
    bar = formula("bar", olive_oil="1000", sodium_hydroxide="110")
    outputs = [
        {"formula": "bar", "output": "bars", "percent": "80"},
        {"formula": "bar", "output": "trimmings", "percent": "20"},
    ]
    parts = lambda tables: tables.update(outputs=outputs)  # noqa: E731  # a change like the others
    assert cautions(bar, parts, formula("again", **{"bar/trimmings": "111", "sodium_hydroxide": "1.8"})) == []
    found = cautions(bar, parts, formula("again", **{"bar/trimmings": "111", "sodium_hydroxide": "2.5"}))
    told = "13.5 g of lye (as sodium hydroxide), and oils that take up 13.1 to 14.0 g: -2.9% to 3.4% superfat"
    assert found == [f"formulas, again: {told}; {ANEW}; {CARE}"]


def test_a_share_is_followed_through_what_a_formula_is_made_from() -> None:
    """The whip holds 0.8 % phenoxyethanol; 60 % of it and 0.6 % more are 1.08 %, 50 % of it and 0.6 % are 1.00 %."""
    assert cautions(formula("scrub", whip="500", pumice="494", phenoxyethanol="6")) == []
    rest = f"steam lost raises the share further: {ASSESS}"
    found = cautions(formula("scrub", whip="600", pumice="394", phenoxyethanol="6"))
    assert found == [f"formulas, scrub: 1.08% of phenoxyethanol, above 1.00%; {rest}"]
    strong = cautions(
        formula("premix", phenoxyethanol="100", propylene_glycol="900"), formula("rub", premix="200", glycerin="800")
    )
    assert strong[1:] == [f"formulas, rub: 2.00% of phenoxyethanol, in what it is made from, above 1.00%; {rest}"]


def test_the_makers_own_limit_counts_for_an_acid_and_its_salts_together() -> None:
    """1.0 g of acid and 0.59 g of salt, which hold 0.5 g, are 1.5 % as acid: under 2.5 % and above 1.4 %."""
    mixed = formula("wash", benzoic_acid="1", sodium_benzoate="0.59", glycerin="98.41")
    assert cautions(mixed) == []
    own = more("items", {"item": "benzoic-acid", "highest_percent": "1.4"})
    rest = f"steam lost raises the share further: {ASSESS}"
    told = "1.50% of benzoic-acid and sodium-benzoate together, counted as benzoic-acid, above 1.40%"
    assert cautions(mixed, own) == [f"formulas, wash: {told}; {rest}"]


@pytest.mark.parametrize(("acid", "salt", "limit"), [("1.4", "1.18", "1.00"), ("0.9", "1.77", "0.90")])
def test_of_two_limits_of_the_makers_own_the_stricter_counts(acid: str, salt: str, limit: str) -> None:
    """1.18 g of the salt hold 1 g of acid (molar masses), so limits of 1.4 and 1.18 are 1 % as acid, 0.9 and 1.77 0.9 %."""
    mixed = formula("wash", benzoic_acid="0.7", sodium_benzoate="0.59", glycerin="98.71")
    own = [{"item": "benzoic-acid", "highest_percent": acid}, {"item": "sodium-benzoate", "highest_percent": salt}]
    rest = f"steam lost raises the share further: {ASSESS}"
    told = f"1.20% of benzoic-acid and sodium-benzoate together, counted as benzoic-acid, above {limit}%"
    assert cautions(mixed, more("items", *own)) == [f"formulas, wash: {told}; {rest}"]


def test_a_salt_without_its_acid_is_told_once() -> None:
    """3.54 g of the salt hold 3 g of acid: above 2.95 % of salt and above 2.5 % as acid, which is one and the same."""
    rest = f"steam lost raises the share further: {ASSESS}"
    found = cautions(formula("wash", sodium_benzoate="3.54", glycerin="96.46"))
    assert found == [f"formulas, wash: 3.54% of sodium-benzoate, above 2.95%; {rest}"]


def test_several_cautions_stand_beside_each_other() -> None:
    found = cautions(
        settings(hourly_rate="0", stale_days="1"),
        cell("products", 1, label_grams="125"),
        formula("tonic", water="90", glycerin="10"),
    )
    assert [line.partition(":")[0] for line in found] == [
        *(f"items, {item}" for item in ("whipped-base", "water", "phenoxyethanol", "lavender-oil", "jar", "glycerin")),
        "season, hourly_rate",
        "products, whip-120",
        "formulas, tonic",
    ]
