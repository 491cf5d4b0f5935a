"""What a dearer item does to each price: which fall under the margin wanted, which are under it already."""

from __future__ import annotations

from decimal import Decimal

import costing
from costing.tables.deciding.price_shock import Shock
from tests.published.seasons import bought, costed, line, product


def test_a_price_is_told_that_falls_under_its_target_and_one_that_is_there_already() -> None:
    """To keep half, 100 g of oil at 10.00 a kilogram, which cost 1.00, must sell for 2.00, and 20 % dearer for 2.40.

    So 3.00 stays above, 2.20 falls under, and 1.50 is under already.
    """
    before = costed(
        purchases=[bought("oil", 10, unit="kg")],
        lines=[line("filling", "oil", 100)],
        products=[product(key, "filling", 100) for key in ("safe", "falls", "under")],
        channels=[{"channel": "stall", "margin_percent": 50}],
        prices=[
            {"product": key, "channel": "stall", "price": price, "planned": 1}
            for key, price in (("safe", "3.00"), ("falls", "2.20"), ("under", "1.50"))
        ],
    )
    season = costing.cost(before.records, shock=Shock(item="oil", change=Decimal(20)))
    assert {row.product: row.remark.strip() for row in season.shocked.rows} == {
        "safe": "", "falls": "falls under its target", "under": "under its target already",
    }  # fmt: skip
