"""Checks that the sums in the workbook hold, whatever was edited, and counts of what deserves a look."""

from __future__ import annotations

from typing import Any

from costing.columns import FigureList
from costing.expressions import Factor
from costing.operations import both, choose, count_where, counted, counted_rows, left_blank, size_of, total
from costing.tables.channels import UNREACHABLE
from costing.tables.items import OLD_PRICE
from costing.tables.making import OFF, UNPRICED
from costing.tables.prices import UNDER_FLOOR, UNDER_TARGET
from costing.tables.products import OVER_LABELLED

CHECKS = FigureList("checks", "Checks", "ok_")
LOOKS = FigureList("looks", "Checks", "look_")

ONE_MONEY = Factor(1, "money")


def _ok(test: Any) -> Any:
    return choose(test, "OK", "CHECK")


def _alike(one: Any, other: Any, season: Any) -> Any:
    return _ok(size_of(one - other) <= season.settings.tolerance * ONE_MONEY)


@CHECKS.works_out("Nothing paid is lost", "text")
def landed(season: Any) -> Any:
    """All landed costs together are all goods, with every delivery and less every discount."""
    mine = season.purchases
    return _alike(total(mine.landed), total(mine.goods) + total(mine.to_share), season)


@CHECKS.works_out("Every batch is borne", "text")
def outputs(season: Any) -> Any:
    """The outputs of each formula together bear its whole cost."""
    mine = season.making
    borne = total(mine.bears) - count_where(mine.row, "yield")
    return _ok(size_of(borne - total(mine.first_output)) <= season.settings.tolerance)


@CHECKS.works_out("Percentages add up", "text")
def percentages(season: Any) -> Any:
    """The percentages of each formula add up to 100."""
    return _ok(count_where(season.making.remark, OFF) == 0)


@CHECKS.works_out("Every line is priced", "text")
def lines(season: Any) -> Any:
    """Every item of a formula is on Items, or is made further up on Formulas. Sorting Formulas would break this."""
    return _ok(count_where(season.making.remark, UNPRICED) == 0)


@CHECKS.works_out("Overheads are carried", "text")
def overheads(season: Any) -> Any:
    """The planned tubs together carry all overheads."""
    return _alike(total(season.overheads.carried), total(season.overheads.amount), season)


@CHECKS.works_out("Tubs are followed whole", "text")
def contents(season: Any) -> Any:
    """What is in the tubs costs what their materials and packaging do. If not, a new item came in: export anew."""
    mine = season.products
    return _alike(total(season.in_tubs.cost), total(mine.materials) + total(mine.packaging), season)


@CHECKS.works_out("Margins can be reached", "text")
def margins(season: Any) -> Any:
    """Each channel's fees leave room for the margin wanted."""
    return _ok(count_where(season.channels.remark, UNREACHABLE) == 0)


@CHECKS.works_out("First rows are counted", "text")
def first_rows(season: Any) -> Any:
    """No purchase was inserted above the first one, where it would not set a price."""
    return _ok(counted(season.purchases.item) == counted_rows(season.purchases.item))


@CHECKS.works_out("Purchases and formulas are worked out", "text")
def worked_in(season: Any) -> Any:
    """No row was inserted there without the formulas of its neighbours: copy them down if so."""
    blanks = left_blank(season.purchases.item, season.purchases.landed)
    return _ok(blanks + left_blank(season.making.formula, season.making.made) == 0)


@CHECKS.works_out("Products and prices are worked out", "text")
def worked_out(season: Any) -> Any:
    """No row was inserted there without the formulas of its neighbours: copy them down if so."""
    blanks = left_blank(season.products.product, season.products.total)
    return _ok(blanks + left_blank(season.prices.product, season.prices.used) == 0)


@CHECKS.works_out("All checks", "text")
def overall(season: Any) -> Any:
    """OK when every check above is."""
    others = (key for key in CHECKS.entries if key != "overall")
    return _ok(both(*(getattr(season.checks, key) == "OK" for key in others)))


@LOOKS.works_out("Old prices", decimals=0)
def old_prices(season: Any) -> Any:
    """Items in use that were last bought longer ago than the days on Settings."""
    return count_where(season.items.remark, OLD_PRICE)


@LOOKS.works_out("Own prices under the floor", decimals=0)
def under_floor(season: Any) -> Any:
    """Each such sale loses money."""
    return count_where(season.prices.remark, UNDER_FLOOR)


@LOOKS.works_out("Own prices under the target", decimals=0)
def under_target(season: Any) -> Any:
    """They leave less than the margin wanted."""
    return count_where(season.prices.remark, UNDER_TARGET)


@LOOKS.works_out("Labels above the fill", decimals=0)
def over_labelled(season: Any) -> Any:
    """The label promises more than is filled in."""
    return count_where(season.products.remark, OVER_LABELLED)


@LOOKS.works_out("To look at", decimals=0)
def looks(season: Any) -> Any:
    """All of these together."""
    mine = season.looks
    return mine.old_prices + mine.under_floor + mine.under_target + mine.over_labelled
