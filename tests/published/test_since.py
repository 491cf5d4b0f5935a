"""Percent changes between two seasons, and a change split into price, quantity and rate."""

from __future__ import annotations

from typing import Any

import pytest

import costing
from tests.published.closeness import exactly, printed
from tests.published.seasons import bought, costed, line, product


def selling(price: float, grams: float, minutes: float = 0, rate: float = 0, **more: Any) -> costing.Season:
    """Return a season with one product of some grams at a price and some minutes of work at a rate."""
    return costed(
        settings={"hourly_rate": rate},
        purchases=[bought("stuff", price * 1000, size=1000)],
        lines=[line("mix", "stuff", grams)],
        products=[product("ware", "mix", grams, minutes=minutes)],
        **more,
    )


@pytest.mark.parametrize(("then", "now", "percent"), [(90, 103.50, 15), (5.20, 9.90, 90.38), (480, 840, 75)])
def test_percent_change_of_an_item_s_price(then: float, now: float, percent: float) -> None:
    """What was added as a part of what was there, in percent.

    Contemporary Mathematics 6.2, where the three are mark-ups on cost; printed to two decimals at most.
    """
    comparison = costing.compare(selling(then, 1), selling(now, 1))
    (row,) = (row for row in comparison.items.rows if row.item == "stuff")
    assert (row.then, row.item_now) == (exactly(then * 1000), exactly(now * 1000))
    assert row.item_changed_part * 100 == printed(percent, 2)


def test_a_dearer_pound_and_fewer_of_them() -> None:
    """4 pounds at 5.25 and 2.75 hours at 11.00 become 3.5 at 6.00 and 2.5 hours at 12.50.

    Then: the standard cost card of Principles of Accounting 2, section 8.1 (21.00 and 30.25). Now: invented. Computed
    here: price 4 × 0.75; pounds −0.5 × 6.00 and hours −0.25 × 11.00; rate 2.5 × 1.50.
    """
    comparison = costing.compare(selling(5.25, 4, 165, 11), selling(6.00, 3.5, 150, 12.50))
    (row,) = comparison.products.rows
    assert row.then == exactly(21.00 + 30.25)
    assert (row.purchases, row.formulas, row.rates) == (exactly(3.00), exactly(-5.75), exactly(3.75))
    assert (row.packaging, row.overheads) == (0, 0)
    assert row.now == exactly(21.00 + 31.25)


def test_what_purchases_did_is_the_price_index_with_the_quantities_of_then() -> None:
    """Materials then × (Laspeyres' index − 1); what formulas did follows with the prices of now.

    The index Σ p₁q₀ ÷ Σ p₀q₀ is Laspeyres' of 1871, from memory; prices and quantities of Principles of Accounting 1,
    section 10.1 (150 and 225 units at 21 and 27; next 27 and 33). Computed here: 11 475 ÷ 9 225.
    """
    seasons = []
    for prices, grams in (((21, 27), (150, 225)), ((27, 33), (120, 180))):
        seasons.append(
            costed(
                purchases=[bought("one", prices[0]), bought("other", prices[1])],
                lines=[line("mix", "one", grams[0]), line("mix", "other", grams[1])],
                products=[product("ware", "mix", sum(grams))],
            )
        )
    (row,) = costing.compare(*seasons).products.rows
    index = 11_475 / 9_225
    assert row.then == exactly(9_225)
    assert row.purchases == exactly(row.then * (index - 1))
    assert row.formulas == exactly(27 * (120 - 150) + 33 * (180 - 225))


def test_the_price_of_then_at_the_costs_of_now() -> None:
    """A stall sells at 25 what costs 15 and a commission of 0.50: 9.50 is left. Dearer by 2, 7.50, 30 % of the price.

    25, 15, 0.50 and 9.50: Principles of Accounting 2, sections 3.1 to 3.5. The 2 are invented; 7.50 and 30 % are
    computed here.
    """
    more: dict[str, Any] = {
        "channels": [{"channel": "stall", "margin_percent": 35, "fee_each": 0.50}],
        "prices": [{"product": "ware", "channel": "stall", "planned": 1, "price": 25}],
    }
    (row,) = costing.compare(selling(15, 1, **more), selling(17, 1, **more)).prices.rows
    assert row.margin_then == exactly(9.50 / 25)
    assert (row.left, row.margin) == (exactly(7.50), exactly(0.30))
    assert row.remark == "under the margin wanted"
    assert row.suggested == exactly(26.93)
