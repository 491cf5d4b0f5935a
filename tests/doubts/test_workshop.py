"""Each doubt, told of a small workshop's season with one thing typed wrongly; typed rightly, it has none."""

from __future__ import annotations

import pytest

import costing
from tests.doubts.small import told
from tests.doubts.workshop import Change, added, doubted, left_out, typed, workshop

Cells = dict[str, str]


def test_the_workshop_typed_rightly_has_no_doubt() -> None:
    """What the tests below change is all that is wrong with it."""
    assert told(workshop()) == []


@pytest.mark.parametrize(("item", "cells", "place", "said"), [
    # What it usually costs: kaolin at 8.40 for a gram.
    ("kaolin", {"unit": "g"}, "kaolin of 2026-01-20, Halewick Trade 4410", "did you write g for kg?"),
    # Its row suggests it: two bottles at the price of one, packs left blank, pounds.
    ("Caustic soda", {"paid": "30.00", "tax": "5.00"}, "Caustic soda of 2026-01-20, Halewick Trade 4410", "size of one?"),
    ("Caustic soda", {"packs": ""}, "Caustic soda of 2026-01-20, Halewick Trade 4410", "how many packs were there?"),
    ("kaolin", {"unit": "lb"}, "kaolin of 2026-01-20, Halewick Trade 4410", "did you write lb for kg?"),
    # Other sizes: a jar of 300 mL for 0.18 where one of 100 mL costs 0.50, and one of 200 mL for 0.14.
    ("Jar 300 mL", {"paid": "13.20", "tax": "2.20"}, "Jar 300 mL of 2026-02-03, Tolbrook Glass TG-7", "the other sizes"),
    ("Jar 200 mL", {"paid": "20.16", "tax": "3.36"}, "Jar 200 mL of 2026-02-03, Tolbrook Glass TG-7", "the other sizes"),
    # How much was bought: half a litre of water, lids by the dozen, paper against what is on hand.
    ("water", {"unit": "mL"}, "water of 2026-03-02", "times all that was bought of it"),
    ("Small lid", {"unit": "dozen"}, "Small lid of 2026-02-03, Tolbrook Glass TG-7", "did you mean piece?"),
    ("Olive oil", {"unit": "kg"}, "Olive oil of 2026-06-09, Oddmere Oils O-181", "20 kg, where others are in L"),
    ("Lavender oil", {"size": "8.5", "unit": "oz"}, "Lavender oil of 2026-01-20, Halewick Trade 4410", "are 250 mL"),
    # Taxes and currencies.
    ("Round label", {"tax": ""}, "Round label of 2026-02-03, Tolbrook Glass TG-7", "no tax in 60 paid"),
    ("White sugar", {"currency": "", "rate": ""}, "White sugar of 2026-06-15, Quillon Mills Q58", "unlike the rest of"),
    ("Olive oil", {"currency": "USD", "rate": "0.79"}, "Olive oil of 2026-06-09, Oddmere Oils O-181", "unlike all else of"),
    ("White sugar", {"rate": "1.27"}, "White sugar of 2026-06-15, Quillon Mills Q58", "is it turned round?"),
    # A row of another day than its receipt, and something paid for taken for free.
    ("Round label", {"bought_on": "2026-03-02"}, "Round label of 2026-03-02, Tolbrook Glass TG-7", "are of 2026-02-03"),
    ("Olive oil", {"paid": "0", "tax": ""}, "Olive oil of 2026-06-09, Oddmere Oils O-181", "nothing paid for 18228"),
    # Parts of a sort: large lids at a fraction of small ones.
    ("Large lid", {"paid": "1.80", "tax": "0.30"}, "Large lid of 2026-02-03, Tolbrook Glass TG-7", "of its sort cost"),
    # Receipts: a delivery of another one, too dear, and a supplier spelled otherwise.
    ("delivery", {"paid": "90"}, "delivery of 2026-06-15, Quillon Mills Q58", "delivery of 90 for goods of 39"),
    ("Round label", {"supplier": "Tolbrok Glass"}, "Round label of 2026-02-03, Tolbrok Glass TG-7", '"Tolbrook Glass"?'),
])  # fmt: skip
def test_purchases(item: str, cells: Cells, place: str, said: str) -> None:
    found = [each for each in doubted(typed("purchases", cells, item=item)) if each.startswith(f"purchases, {place}: ")]
    assert any(said in each for each in found), found


def test_a_second_delivery_on_a_receipt_is_doubted() -> None:
    """A discount that was given the word of the row above it."""
    more = added("purchases", bought_on="2026-06-15", supplier="Quillon Mills", invoice="Q58", item="delivery", paid="4",
                 currency="USD", rate="0.79")  # fmt: skip
    assert len([each for each in doubted(more) if "of 2 deliveries" in each]) == 2


def test_a_receipt_whose_number_does_not_rise_with_the_days_is_doubted() -> None:
    """O-101, O-140 and O-166 in their order, and O-181 in the year before."""
    more = added("purchases", bought_on="2026-03-10", supplier="Oddmere Oils", invoice="O-140", item="Coconut oil",
                 packs="1", size="10", unit="kg", paid="67.20", tax="11.20")  # fmt: skip
    assert doubted(more) == []
    said = doubted(more, typed("purchases", {"bought_on": "2025-06-09"}, invoice="O-181"))
    assert "O-181 does not rise with the days" in _starting(said, "purchases, Olive oil of 2025-06-09, Oddmere Oils O-181")


@pytest.mark.parametrize(("item", "cells", "said"), [
    ("kaolin", {"on_hand": "60000"}, "many times what was ever bought"),
    ("Olive oil", {"quote": "0.011"}, "is it for a kilogram, or for a piece?"),
    ("Olive oil", {"density": "9.12"}, "is it in grams per millilitre, as 0.92?"),
    ("Lavender oil", {"density": "1.1"}, "has about 0.88"),
])  # fmt: skip
def test_items(item: str, cells: Cells, said: str) -> None:
    found = [each for each in doubted(typed("items", cells, item=item)) if each.startswith(f"items, {item}: ")]
    assert any(said in each for each in found), found


# --- what is made ----------------------------------------------------------------------------------------------------


def _line(formula: str, item: str, percent: str) -> Change:
    return typed("lines", {"percent": percent}, formula=formula, item=item)


def _starting(found: list[str], place: str) -> str:
    (one,) = [each for each in found if each.startswith(f"{place}: ")]
    return one


def test_two_shares_in_each_others_place_are_doubted() -> None:
    """59 % of a preservative and 0.4 % of cream."""
    swapped = _line("Lavender scrub", "Lavender cream", "0.4"), _line("Lavender scrub", "phenoxyethanol", "59")
    said = _starting(doubted(*swapped), "lines, Lavender scrub, phenoxyethanol")
    assert "59 % of phenoxyethanol, where 0.05 to 3 % of preservative are usual" in said


def test_lye_without_its_water_is_doubted_with_care() -> None:
    """The water of a bar left out, and its oil the more."""
    left = left_out("lines", formula="Plain bar", item="water"), _line("Plain bar", "Olive oil", "70.5")
    said = _starting(doubted(*left), "lines, Plain bar")
    assert "9.50% lye and 0.00% water, which does not dissolve it" in said
    assert "Do not make it before that is clear" in said


def test_hardly_any_lye_is_doubted() -> None:
    """A tenth of it, and olive oil the more."""
    little = _line("Plain bar", "Caustic soda", "0.95"), _line("Plain bar", "Olive oil", "58.55")
    assert any("of what takes it up as it is" in each for each in doubted(*little))


def test_what_every_formula_like_it_has_is_missed() -> None:
    """Cream without water, and the other cream has 36 %."""
    left = left_out("lines", formula="White cream", item="water"), _line("White cream", "Shreds", "72")
    assert "no water, and every formula like it" in _starting(doubted(*left), "lines, White cream")


def test_a_preservative_without_anything_watery_is_doubted() -> None:
    """The only cream left, and its water left out: there is no other like it."""
    alone = [left_out("lines", formula="White cream", item=item) for item in
             ("Shreds", "water", "glycerin", "Stearic acid", "phenoxyethanol", "kaolin")]  # fmt: skip
    alone += [added("lines", formula="White cream", step="melt", item="kaolin", percent="100")]
    left = left_out("lines", formula="Lavender cream", item="water"), _line("Lavender cream", "Shreds", "71")
    said = _starting(doubted(*alone, *left), "lines, Lavender cream")
    assert "a preservative, and nothing in it that holds water" in said


def test_more_trimmings_than_the_planned_bars_leave_are_doubted() -> None:
    """85 % trimmings and 15 % bars: the two in each other's place."""
    swapped = _line("Shreds", "Plain bar/bars", "15"), _line("Shreds", "Plain bar/trimmings", "85")
    said = _starting(doubted(*swapped), "lines, Shreds, Plain bar/trimmings")
    assert "times the Plain bar/trimmings that the planned tubs leave" in said


@pytest.mark.parametrize(("formula", "step", "cells", "said"), [
    ("Plain bar", "blend", {"minutes": "300"}, "300 hands-on minutes, where other such steps take about 20"),
    ("Plain bar", "blend", {"minutes": "3"}, "3 hands-on minutes, where other such steps take about 20; are these hours?"),
    ("Shreds", "dry", {"minutes": "60"}, "60 hands-on minutes, where other such steps take about 10"),
    ("White cream", "melt", {"loss_percent": "25"}, "25 % lost, where the same step loses about 2.5 % in Lavender cream"),
    ("Lavender scrub", "fold", {"loss_percent": "15"}, "15 % lost, where other steps lose about 1.5 %"),
    ("Shreds", "dry", {"loss_percent": "40"}, "holds 20% water at most; did you mean 4?"),
    ("White cream", "whip", {"hours": "30"}, "30 hours, where the same step runs about 0.5 in Lavender cream"),
    ("Shreds", "grate", {"hours": "24"}, "1.9 kWh for a kilogram; are the hours minutes?"),
    ("Shreds", "grate", {"hours": ""}, "200 W for no time"),
])  # fmt: skip
def test_steps(formula: str, step: str, cells: Cells, said: str) -> None:
    change = typed("steps", cells, formula=formula, step=step)
    found = [each for each in doubted(change) if each.startswith(f"steps, {formula}, {step}: ")]
    assert any(said in each for each in found), found


@pytest.mark.parametrize(("grams", "meant"), [("60000", "6000"), ("500", "5000")])
def test_a_batch_unlike_the_others_in_size_and_work_is_doubted(grams: str, meant: str) -> None:
    said = _starting(doubted(typed("formulas", {"batch_grams": grams}, formula="Plain bar")), "formulas, Plain bar")
    assert f"{grams} g in a batch" in said
    assert said.endswith(f"did you mean {meant}?")


def test_outputs_in_each_others_place_are_doubted() -> None:
    """91 % trimmings, though bars are what is sold."""
    swapped = [typed("outputs", {"percent": percent}, formula="Lavender bar", output=output)
               for output, percent in (("bars", "9"), ("trimmings", "91"))]  # fmt: skip
    worth = typed("outputs", {"price_per_kg": "0.4"}, formula="Lavender bar", output="trimmings")
    said = _starting(doubted(*swapped, worth), "outputs, Lavender bar, bars")
    assert "9 % of the yield, though it is what is sold" in said


def test_a_worth_for_a_gram_is_doubted() -> None:
    change = typed("outputs", {"price_per_kg": "0.004"}, formula="Lavender bar", output="trimmings")
    assert "0.004 per kg" in _starting(doubted(change), "outputs, Lavender bar, trimmings")


# --- tubs and products -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("tub", "lid"), [("Small", "Small lid"), ("Large", "Large lid")])
def test_a_jar_without_the_lid_that_others_have_is_doubted(tub: str, lid: str) -> None:
    """A lid is known by its word, whatever its size; labels of one size are none."""
    said = _starting(doubted(left_out("tubs", tub=tub, part=lid)), f"tubs, {tub}")
    assert "lid" in said
    assert said.endswith("and every other such tub has one; is it left out?")


def test_the_number_in_a_box_is_doubted() -> None:
    change = typed("tubs", {"count": "12"}, tub="Small", part="Small lid")
    assert "count 12, where small makers write" in _starting(doubted(change), "tubs, Small, Small lid")


@pytest.mark.parametrize(("product", "cells", "said"), [
    ("White cream 120 g", {"fill_grams": "211"}, "a fill of 211 g with 120 g on the label"),
    ("White cream 120 g", {"fill_grams": "61", "label_grams": "60"}, "60 g on the label, and 120 in its name"),
    ("White cream 120 g", {"tub": "Large"}, 'did you mean the tub "Medium"?'),
    ("Lavender cream 60 g", {"tub": "Medium"}, "61 g in Medium, whose other fills are about 121 g"),
    ("Plain bar 110 g", {"filled_with": "Lavender bar/bars"}, 'and named after Plain bar; did you mean "Plain bar"?'),
    ("White cream 120 g", {"filled_with": "Lavender cream"}, 'did you mean "White cream"?'),
    ("White cream 120 g", {"minutes": "40"}, "where small makers write 0.1 to 25 minutes"),
    ("White cream 120 g", {"minutes": "18"}, "minutes 18, where the other products have about 2"),
    ("White cream 120 g", {"minutes": ""}, "no minutes, and every other product has some"),
    ("White cream 120 g", {"waste_percent": "11"}, "waste_percent 11, where the other products have about 2"),
])  # fmt: skip
def test_products(product: str, cells: Cells, said: str) -> None:
    found = [
        each for each in doubted(typed("products", cells, product=product)) if each.startswith(f"products, {product}: ")
    ]
    assert any(said in each for each in found), found


def test_light_and_heavy_things_may_share_a_jar() -> None:
    """A salt scrub of 250 g in the jar that holds 120 g of cream: grams in a millilitre of its own are none of a slip."""
    heavy = added("products", product="Salt scrub 250 g", filled_with="Lavender scrub", tub="Medium", fill_grams="252",
                  label_grams="250", minutes="3", waste_percent="2")  # fmt: skip
    as_heavy = typed("products", {"product": "Lavender scrub 370 g", "fill_grams": "373", "label_grams": "370"},
                     product="Lavender scrub 240 g")  # fmt: skip
    renamed = [typed("prices", {"product": "Lavender scrub 370 g"}, product="Lavender scrub 240 g") for _ in range(2)]
    assert doubted(heavy, as_heavy, *renamed) == []


# --- what is sold ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("channel", "cells", "said"), [
    ("Market", {"sales_tax_percent": ""}, "no sales tax, and other channels have 20 %; did you mean 20?"),
    ("Market", {"sales_tax_percent": "2"}, "sales_tax_percent 2, 0.1 times that of other channels"),
    ("Market", {"margin_percent": "3.5"}, "margin_percent 3.5, 0.1 times that of other channels"),
    ("Market", {"margin_percent": "0.35"}, "did you mean 35?"),
    ("Market", {"fee_percent": "16"}, "did you mean 1.6?"),
    ("Post", {"fee_percent": "29"}, "did you mean 2.9?"),
    ("Post", {"parcel_each": "440"}, "did you mean 4.4?"),
])  # fmt: skip
def test_channels(channel: str, cells: Cells, said: str) -> None:
    found = [
        each for each in doubted(typed("channels", cells, channel=channel)) if each.startswith(f"channels, {channel}: ")
    ]
    assert any(said in each for each in found), found


def test_a_shop_that_sells_for_makers_may_keep_a_third() -> None:
    assert doubted(typed("channels", {"fee_percent": "35", "margin_percent": "15"}, channel="Shop")) == []


@pytest.mark.parametrize(("product", "channel", "cells", "said"), [
    ("Lavender bar 100 g", "Market", {"price": "6.67"}, "looks like 8.00 without tax; did you mean 8.00?"),
    ("Lavender bar 100 g", "Market", {"price": "9.60"}, "looks like 8.00 with the tax added twice"),
    ("Lavender bar 100 g", "Market", {"price": "800"}, "times the suggested one"),
    ("Lavender bar 100 g", "Market", {"planned": "1100"}, "did you mean 110?"),
    ("Lavender cream 120 g", "Post", {"planned": "200"}, "did you mean 20?"),
    ("Lavender cream 120 g", "Market", {"planned": "2"}, "is it for the whole season?"),
])  # fmt: skip
def test_prices(product: str, channel: str, cells: Cells, said: str) -> None:
    change = typed("prices", cells, product=product, channel=channel)
    assert said in _starting(doubted(change), f"prices, {product}, {channel}")


def test_a_maker_whose_prices_keep_to_no_steps_is_not_doubted() -> None:
    """6.67 and 7.95 where the steps are 0.50: they are for suggested prices only."""
    own = [typed("prices", {"price": price}, product=product) for product, price in
           (("Lavender bar 100 g", "6.67"), ("Plain bar 110 g", "7.95"))]  # fmt: skip
    assert doubted(*own) == []


@pytest.mark.parametrize(("overhead", "amount", "said"), [
    ("Rent", "54000", "did you mean 540?"),
    ("Gloves", "6000", "did you mean 60?"),
    ("Rent", "490", "is the sum of the others"),
    ("Rent", "90", "90 is less than rent usually comes to in a season"),
    ("Insurance", "18", "18 is less than insurance usually comes to in a season"),
])  # fmt: skip
def test_overheads(overhead: str, amount: str, said: str) -> None:
    """Amounts in cents, and 320 + 110 + 60 = 490, in whatever row the total stands."""
    assert said in _starting(doubted(typed("overheads", {"amount": amount}, overhead=overhead)), f"overheads, {overhead}")


def test_a_real_rent_is_not_doubted() -> None:
    """A workshop costs many times an insurance, and that is no slip."""
    assert doubted(typed("overheads", {"amount": "1500"}, overhead="Rent")) == []


@pytest.mark.parametrize(("overhead", "amount", "is_told"), [
    ("Rent of the room", "540", True), ("Old bill", "114.40", True),
    ("Fair", "320", False), ("Rent of a tent", "600", False),
])  # fmt: skip
def test_one_bill_under_two_names_is_doubted(overhead: str, amount: str, *, is_told: bool) -> None:
    """The same amount again, where a word of the name is the same too, or the amount no round one."""
    insured = typed("overheads", {"amount": "114.40"}, overhead="Insurance")
    found = doubted(insured, added("overheads", overhead=overhead, amount=amount, shared_by="units"))
    assert [each for each in found if "the same bill" in each and f"overheads, {overhead}" in each] == found
    assert bool(found) == is_told


def test_few_are_planned_where_few_are_sold() -> None:
    """Few of what is sold nowhere else are no slip: a shop takes a handful of each."""
    assert doubted(typed("prices", {"planned": "2"}, product="Lavender bar 100 g")) == []


@pytest.mark.parametrize(("cells", "place", "said"), [
    ({"hourly_rate": "0.20"}, "season, hourly_rate", "is it for an hour?"),
    ({"hourly_rate": "96"}, "season, hourly_rate", "is it for an hour?"),
    ({"power_price": "28"}, "season, power_price", "is it for a kWh, and not in cents?"),
    ({"power_price": "0"}, "season, power_price", "nothing, though steps draw power"),
    ({"price_step": "50"}, "season, price_step", "did you mean 0.5?"),
    ({"reclaims_tax": "no"}, "season, reclaims_tax", "Then write yes"),
    ({"currency": "JPY"}, "season, currency", "is it the currency of the receipts?"),
])  # fmt: skip
def test_settings(cells: Cells, place: str, said: str) -> None:
    assert said in _starting(doubted(typed("season", cells)), place)


def test_a_day_priced_on_before_all_purchases_is_told_first() -> None:
    """Everything that follows from it is of no use before it is mended."""
    with pytest.raises(costing.Faults) as raised:
        workshop(typed("season", {"priced_on": "2025-07-01"}))
    first = raised.value.faults[0]
    assert (first.where, first.do) == ("season, row 3, priced_on", "look at the year")
    assert first.what.startswith("21 of 21 purchases are later than 2025-07-01")


@pytest.mark.parametrize(("later", "said"), [(14, "season, priced_on"), (2, "purchases, Olive oil of 2026-08-01")])
def test_a_day_priced_on_amid_the_purchases_is_doubted_once(later: int, said: str) -> None:
    """Where many purchases lie after it, the day is doubted and not each of them; a stray one is doubted itself."""
    receipt = {"supplier": "Oddmere Oils", "item": "Olive oil", "size": "20", "unit": "L", "paid": "210.00", "tax": "35.00"}
    rows = [added("purchases", bought_on=f"2026-08-{day:02}", invoice=f"O-2{day}", **receipt) for day in range(1, later + 1)]
    found = [each for each in doubted(*rows) if "left out" in each]
    assert len(found) == (1 if later > 2 else later)
    assert found[0].startswith(said)
