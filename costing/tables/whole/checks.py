"""Checks that the sums in the workbook hold, whatever was edited, and counts of what deserves a look."""

from __future__ import annotations

from typing import Any

from costing.engine.expressions import Factor
from costing.engine.operations import both, choose, count_where, counted, counted_rows, left_blank, size_of, total
from costing.engine.table import FigureList
from costing.tables.buying.items import OLD_PRICE
from costing.tables.buying.stock import SLOW, UNCOVERED
from costing.tables.deciding.shopping_list import WHOLE
from costing.tables.making.lye_balance import ABOVE, ALONE, NEAR, TOO_MUCH, UNTOLD
from costing.tables.making.recipe_cards import OFF, UNPRICED
from costing.tables.scales.batches import GAINED, RUINED
from costing.tables.scales.fills import FILL_REMARKS
from costing.tables.selling.channels import UNREACHABLE
from costing.tables.selling.price_ladder import DEARER
from costing.tables.selling.prices import UNDER_FLOOR, UNDER_TARGET
from costing.tables.selling.products import OVER_LABELLED

CHECKS = FigureList("checks", "Checks", "ok_")
LOOKS = FigureList("looks", "Checks", "look_")

ONE_MONEY = Factor(1, "money")
_OF_ROWS = ("first_rows", "worked_in", "worked_out", "worked_scales")  # a formula of all checks would be too long to read


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


@CHECKS.works_out("Lye finds its oils", "text")
def lye(season: Any) -> Any:
    """No formula on Lye has more lye than its oils take up however high their values are. OK is no clearance."""
    return _ok(count_where(season.lye.remark, TOO_MUCH) == 0)


@CHECKS.works_out("Overheads are carried", "text")
def overheads(season: Any) -> Any:
    """The planned tubs together carry all overheads."""
    return _alike(total(season.overheads.carried), total(season.overheads.amount), season)


@CHECKS.works_out("Margins can be reached", "text")
def margins(season: Any) -> Any:
    """Each channel's fees leave room for the margin wanted."""
    return _ok(count_where(season.channels.remark, UNREACHABLE) == 0)


@CHECKS.works_out("Batches are explained", "text")
def batches(season: Any) -> Any:
    """Price, usage and time, with all that was ruined, are what the batches cost above their standard."""
    mine = season.batches
    told = total(mine.price) + total(mine.usage) + total(mine.time) + total(mine.lost)
    return _alike(total(mine.difference), told, season)


@CHECKS.works_out("Usage is mix and yield", "text")
def usage(season: Any) -> Any:
    """What batches used beyond their standard is what their mix and their yield did."""
    mine = season.batches
    return _alike(total(mine.usage), total(mine.mix) + total(mine.yielded), season)


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


@CHECKS.works_out("All stock is valued", "text")
def stock(season: Any) -> Any:
    """Every purchase still on hand is counted once on Stock: choose new items there."""
    return _alike(total(season.purchases.stock_cost), total(season.stock.by_fifo), season)


@CHECKS.works_out("Weighings and batches are worked out", "text")
def worked_scales(season: Any) -> Any:
    """No row was inserted there without the formulas of its neighbours: copy them down if so."""
    blanks = left_blank(season.weighings.product, season.weighings.net)
    blanks = blanks + left_blank(season.batches.batch, season.batches.cost)
    return _ok(blanks + left_blank(season.batch_lines.batch, season.batch_lines.used) == 0)


@CHECKS.works_out("Every row is worked out", "text")
def rows(season: Any) -> Any:
    """OK when the checks of inserted rows are."""
    return _ok(both(*(getattr(season.checks, key) == "OK" for key in _OF_ROWS)))


@CHECKS.works_out("All checks", "text")
def overall(season: Any) -> Any:
    """OK when every check above is."""
    others = (key for key in CHECKS.entries if key not in (*_OF_ROWS, "overall"))
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


@LOOKS.works_out("Lye near what oils take up", decimals=0)
def lye_near(season: Any) -> Any:
    """Formulas on Lye that leave little superfat or none at the careful end."""
    return count_where(season.lye.remark, NEAR) + count_where(season.lye.remark, ABOVE)


@LOOKS.works_out("Lye that cannot be told", decimals=0)
def lye_untold(season: Any) -> Any:
    """Formulas on Lye with nothing that takes it up, or with oils or lyes whose values are not known."""
    return count_where(season.lye.remark, UNTOLD) + count_where(season.lye.remark, ALONE)


@LOOKS.works_out("Stock that puzzles", decimals=0)
def stock_remarks(season: Any) -> Any:
    """Items on hand that were last bought long ago, or of which more is there than was bought."""
    return count_where(season.stock.remark, SLOW) + count_where(season.stock.remark, UNCOVERED)


@LOOKS.works_out("Bigger tubs that are dearer", decimals=0)
def dearer(season: Any) -> Any:
    """Their price per 100 g is above that of the next smaller size."""
    return count_where(season.ladder.remark, DEARER)


@LOOKS.works_out("Fills against the packer's rules", decimals=0)
def fills(season: Any) -> Any:
    """Products whose weighings break one of the three rules."""
    one, two, three, four = (count_where(season.fills.remark, remark) for remark in FILL_REMARKS)
    return one + two + three + four


@LOOKS.works_out("Ruined batches", decimals=0)
def ruined(season: Any) -> Any:
    """Batches from which nothing came out, or more than went in."""
    return count_where(season.batches.remark, RUINED) + count_where(season.batches.remark, GAINED)


@LOOKS.works_out("Lost in them", "money")
def lost(season: Any) -> Any:
    """What ruined batches cost the season. It is in no tub's cost."""
    return total(season.batches.lost)


@LOOKS.works_out("Tubs not followed whole", decimals=0)
def not_followed(season: Any) -> Any:
    """1 where an item came into a formula or tub that In a tub does not list yet: export anew, and its sheets are whole."""
    return choose(season.cash.followed == WHOLE, 0, 1)


@LOOKS.works_out("To look at", decimals=0)
def looks(season: Any) -> Any:
    """All of these together, the money aside."""
    mine = season.looks
    found = mine.old_prices + mine.under_floor + mine.under_target + mine.over_labelled
    return (
        found
        + mine.lye_near
        + mine.lye_untold
        + mine.fills
        + mine.ruined
        + mine.not_followed
        + mine.stock_remarks
        + mine.dearer
    )
