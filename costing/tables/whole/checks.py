"""Checks that the sums in the workbook hold, whatever was edited, and counts of what deserves a look."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, worked
from costing.engine.operations import (
    both,
    choose,
    count_larger,
    count_where,
    counted,
    counted_rows,
    highest_of,
    left_blank,
    size_of,
    total,
)
from costing.engine.table import FigureList, Sheet
from costing.tables.buying.items import AT_LATEST, AT_NOTHING, OLD_PRICE
from costing.tables.buying.stock import SLOW, UNCOVERED
from costing.tables.deciding.contents import TOO_MUCH as TOO_MUCH_OF
from costing.tables.deciding.contents import TOO_MUCH_TOGETHER
from costing.tables.deciding.keeping import BAR_UNPRESERVED, IDLE, SYRUPY, UNPRESERVED, WEAK
from costing.tables.making.lye_balance import ABOVE, ALONE, NEAR, TOO_MUCH, UNTOLD
from costing.tables.making.recipe_cards import OFF, UNPRICED
from costing.tables.ones import ONE_MONEY
from costing.tables.planning.plan import LEFT_OVER, TOO_LATE
from costing.tables.planning.shopping_list import WHOLE
from costing.tables.scales.batches import GAINED, RUINED
from costing.tables.scales.fills import FILL_REMARKS
from costing.tables.selling.channels import UNREACHABLE
from costing.tables.selling.price_ladder import DEARER
from costing.tables.selling.prices import UNDER_CASH, UNDER_FLOOR, UNDER_TARGET
from costing.tables.selling.products import OVER_LABELLED

if TYPE_CHECKING:
    from costing.tables.book import Book

_OF_ROWS = (
    "first_rows",
    "worked_in",
    "worked_out",
    "worked_scales",
    "records",
)  # a formula of all checks would be too long to read


def _ok(test: bool) -> str:  # noqa: FBT001  # a figure like any other
    return choose(test, "OK", "CHECK")


def alike(one: float, other: float, season: Book) -> str:
    """Say whether two amounts are the same, but for the tolerance of the checks."""
    return _ok(size_of(one - other) <= season.settings.tolerance * ONE_MONEY)


class Checks(Figures):
    """Whether the sums hold."""

    @worked("Nothing paid is lost", "text")
    def landed(self, season: Book) -> str:
        """All landed costs together are all goods, with every delivery and less every discount."""
        mine = season.purchases
        return alike(total(mine.landed), total(mine.goods) + total(mine.to_share), season)

    @worked("Every batch is borne", "text")
    def outputs(self, season: Book) -> str:
        """The outputs of each formula together bear its whole cost."""
        mine = season.making
        borne = total(mine.bears) - count_where(mine.row, "yield")
        return _ok(size_of(borne - total(mine.first_output)) <= season.settings.tolerance)

    @worked("Percentages add up", "text")
    def percentages(self, season: Book) -> str:
        """The percentages of each formula add up to 100."""
        return _ok(count_where(season.making.remark, OFF) == 0)

    @worked("Every line is priced", "text")
    def lines(self, season: Book) -> str:
        """Every item of a formula is on Items, or is made further up on Formulas. Sorting Formulas would break this."""
        return _ok(count_where(season.making.remark, UNPRICED) == 0)

    @worked("Lye finds its oils", "text")
    def lye(self, season: Book) -> str:
        """No formula on Lye has more lye than its oils take up however high their values are. OK is no clearance."""
        return _ok(count_where(season.lye.remark, TOO_MUCH) == 0)

    @worked("Overheads are carried", "text")
    def overheads(self, season: Book) -> str:
        """The planned tubs together carry all overheads."""
        return alike(total(season.overheads.carried), total(season.overheads.cost), season)

    @worked("Margins can be reached", "text")
    def margins(self, season: Book) -> str:
        """Each channel's fees leave room for the margin wanted."""
        return _ok(count_where(season.channels.remark, UNREACHABLE) == 0)

    @worked("Batches are explained", "text")
    def batches(self, season: Book) -> str:
        """Price, usage and time, with all that was ruined, are what the batches cost above their standard."""
        mine = season.batches
        told = total(mine.price) + total(mine.usage) + total(mine.time) + total(mine.lost)
        return alike(total(mine.difference), told, season)

    @worked("Usage is mix and yield", "text")
    def usage(self, season: Book) -> str:
        """What batches used beyond their standard is what their mix and their yield did."""
        mine = season.batches
        return alike(total(mine.usage), total(mine.mix) + total(mine.yielded), season)

    @worked("First rows are counted", "text")
    def first_rows(self, season: Book) -> str:
        """No purchase was inserted above the first one, where it would not set a price."""
        return _ok(counted(season.purchases.item) == counted_rows(season.purchases.item))

    @worked("Purchases and formulas are worked out", "text")
    def worked_in(self, season: Book) -> str:
        """No row was inserted there without the formulas of its neighbours: copy them down if so."""
        blanks = left_blank(season.purchases.item, season.purchases.landed)
        return _ok(blanks + left_blank(season.making.formula, season.making.made) == 0)

    @worked("Products and prices are worked out", "text")
    def worked_out(self, season: Book) -> str:
        """No row was inserted there without the formulas of its neighbours: copy them down if so."""
        blanks = left_blank(season.products.product, season.products.total)
        return _ok(blanks + left_blank(season.prices.product, season.prices.used) == 0)

    @worked("All stock is valued", "text")
    def stock(self, season: Book) -> str:
        """Every purchase still on hand is counted once on Stock: choose new items there."""
        return alike(total(season.purchases.stock_cost), total(season.stock.by_fifo), season)

    @worked("Weighings and batches are worked out", "text")
    def worked_scales(self, season: Book) -> str:
        """No row was inserted there without the formulas of its neighbours: copy them down if so."""
        blanks = left_blank(season.weighings.product, season.weighings.net)
        blanks = blanks + left_blank(season.batches.batch, season.batches.cost)
        return _ok(blanks + left_blank(season.batch_lines.batch, season.batch_lines.used) == 0)

    @worked("Records are right", "text")
    def records(self, season: Book) -> str:
        """No row has anything to mend, and each counts once. To mend, further down, says on which sheet."""
        return _ok(season.mend.rows == 0)

    @worked("Every row is worked out", "text")
    def rows(self, season: Book) -> str:
        """OK when the checks of rows are: that they are right, and those that look for inserted ones."""
        return _ok(both(*(getattr(season.checks, key) == "OK" for key in _OF_ROWS)))

    @worked("Every other check", "text")
    def others(self, season: Book) -> str:
        """OK when all checks above are, but the one of rows to mend."""
        asked = (key for key in CHECKS.entries if key not in (*_OF_ROWS, "others", "overall"))
        return _ok(both(*(getattr(season.checks, key) == "OK" for key in asked)))

    @worked("All checks", "text")
    def overall(self, season: Book) -> str:
        """OK when every check is. Rows to mend are asked first, since they may leave others without a result."""
        return choose(season.checks.records == "CHECK", "CHECK", season.checks.others)


CHECKS_SHEET = Sheet(
    "Checks",
    "Checks",
    "Whether the sums hold, whatever was edited; and what deserves a look.",
    protected=True,
    everyday=True,
)

CHECKS = FigureList("checks", CHECKS_SHEET, "ok_", Checks, "Checks", ("Key", "Check", "Result", "Unit", "What it says"))


class Looks(Figures):
    """How much there is to look at."""

    @worked("Work priced at nothing", decimals=0)
    def free_work(self, season: Book) -> float:
        """1 where products take hands-on minutes and the hourly rate is 0."""
        worked_on = total(season.products.hands_on) > 0
        return choose(both(season.settings.hourly_rate == 0, worked_on), 1, 0)

    @worked("Prices on another basis, or at nothing", decimals=0)
    def odd_prices(self, season: Book) -> float:
        """Items in use that lack the cost basis and count at their latest price, and those that count at nothing."""
        mine = season.items
        return count_where(mine.basis_remark, AT_LATEST) + count_where(mine.basis_remark, AT_NOTHING)

    @worked("Old prices", decimals=0)
    def old_prices(self, season: Book) -> float:
        """Items in use that were last bought longer ago than the days on Settings."""
        return count_where(season.items.remark, OLD_PRICE)

    @worked("Own prices under the floor", decimals=0)
    def under_floor(self, season: Book) -> float:
        """They do not pay all their cost; those under the cash floor lose money with each sale."""
        return count_where(season.prices.remark, UNDER_FLOOR) + count_where(season.prices.remark, UNDER_CASH)

    @worked("Own prices under the target", decimals=0)
    def under_target(self, season: Book) -> float:
        """They leave less than the margin wanted."""
        return count_where(season.prices.remark, UNDER_TARGET)

    @worked("Labels above the fill", decimals=0)
    def over_labelled(self, season: Book) -> float:
        """The label promises more than is filled in."""
        return count_where(season.products.remark, OVER_LABELLED)

    @worked("Shares above their highest", decimals=0)
    def shares(self, season: Book) -> float:
        """Items on Contents with more than their highest share of a formula, alone or with what shares their limit."""
        mine = season.contents
        return count_where(mine.remark, TOO_MUCH_OF) + count_where(mine.group_remark, TOO_MUCH_TOGETHER)

    @worked("Water without preservative", decimals=0)
    def unpreserved(self, season: Book) -> float:
        """Watery formulas on Keeping in which nothing preserves."""
        mine = season.keeping
        return count_where(mine.remark, UNPRESERVED) + count_where(mine.remark, BAR_UNPRESERVED)

    @worked("Preservatives that do too little", decimals=0)
    def little_kept(self, season: Book) -> float:
        """Watery formulas on Keeping with far too little of a preservative, or with none that works in soap."""
        return count_where(season.keeping.remark, IDLE) + count_where(season.keeping.remark, WEAK)

    @worked("Sugar or salt that may dissolve", decimals=0)
    def syrupy(self, season: Book) -> float:
        """Formulas on Keeping whose water could dissolve much of their sugar or salt."""
        return count_where(season.keeping.grain_remark, SYRUPY)

    @worked("Lye near what oils take up", decimals=0)
    def lye_near(self, season: Book) -> float:
        """Formulas on Lye that leave little superfat or none at the careful end."""
        return count_where(season.lye.remark, NEAR) + count_where(season.lye.remark, ABOVE)

    @worked("Lye that cannot be told", decimals=0)
    def lye_untold(self, season: Book) -> float:
        """Formulas on Lye with nothing that takes it up, or with oils or lyes whose values are not known."""
        return count_where(season.lye.remark, UNTOLD) + count_where(season.lye.remark, ALONE)

    @worked("Stock that puzzles", decimals=0)
    def stock_remarks(self, season: Book) -> float:
        """Items on hand that were last bought long ago, or of which more is there than was bought."""
        return count_where(season.stock.remark, SLOW) + count_where(season.stock.remark, UNCOVERED)

    @worked("Bigger tubs that are dearer", decimals=0)
    def dearer(self, season: Book) -> float:
        """Their price per 100 g is above that of the next smaller size."""
        return count_where(season.ladder.remark, DEARER)

    @worked("Fills against the packer's rules", decimals=0)
    def fills(self, season: Book) -> float:
        """Products whose weighings break one of the three rules."""
        one, two, three, four = (count_where(season.fills.remark, remark) for remark in FILL_REMARKS)
        return one + two + three + four

    @worked("Ruined batches", decimals=0)
    def ruined(self, season: Book) -> float:
        """Batches from which nothing came out, or more than went in."""
        return count_where(season.batches.remark, RUINED) + count_where(season.batches.remark, GAINED)

    @worked("Lost in them", "money")
    def lost(self, season: Book) -> float:
        """What batches ruined since the season began cost it. It is in no tub's cost, and in its profit."""
        return total(season.batches.lost_now)

    @worked("Tubs not followed whole", decimals=0)
    def not_followed(self, season: Book) -> float:
        """1 where an item came into a formula or tub that In a tub does not list yet: the next export makes it whole."""
        return choose(season.cash.followed == WHOLE, 0, 1)

    @worked("Tax that is not got back", decimals=0)
    def tax_kept(self, season: Book) -> float:
        """1 where sales are taxed and most receipts have their tax, and Settings says that it is not got back."""
        mine = season.purchases
        taxed = count_larger(mine.tax_counted, 0) * 2 > count_larger(mine.paid, 0)
        sold = highest_of(season.channels.sales_tax_percent) > 0
        return choose(both(season.settings.reclaims_tax == "no", sold, taxed), 1, 0)

    @worked("Power at nothing", decimals=0)
    def free_power(self, season: Book) -> float:
        """1 where steps draw power and a kilowatt-hour costs nothing."""
        return choose(both(season.settings.power_price == 0, highest_of(season.making.watts) > 0), 1, 0)

    @worked("Starts that are past", decimals=0)
    def late_starts(self, season: Book) -> float:
        """Formulas that should have begun before the day priced on, for all to be ready in time: see Make and buy."""
        return count_where(season.plan.remark, TOO_LATE)

    @worked("Much left over", decimals=0)
    def left_over(self, season: Book) -> float:
        """Outputs much of which is left over because another one asks for so many batches: see From plan to pot."""
        return count_where(season.plan.remark, LEFT_OVER)

    @worked("Purchases that look like a slip", decimals=0)
    def purchases(self, season: Book) -> float:
        """Rows on Purchases whose Remarks say what looks odd: days, prices, taxes, totals, the same row twice."""
        return count_where(season.purchases.to_look_at, 1)

    @worked("Items that look like a slip", decimals=0)
    def unused(self, season: Book) -> float:
        """Items that were paid for and are used nowhere and not on hand, or whose density is unusual."""
        return count_where(season.items.to_look_at, 1)

    @worked("Figures that small makers do not write", decimals=0)
    def unusual(self, season: Book) -> float:
        """Rows on Formulas, Tubs, Products, Channels, Prices and Overheads with a figure that looks odd."""
        tables = (season.making, season.products, season.channels, season.tubs, season.prices, season.overheads)
        made, sold, where, tubs, prices, overheads = (count_where(mine.to_look_at, 1) for mine in tables)
        return made + sold + where + tubs + prices + overheads

    @worked("Of these, about safety and law", decimals=0)
    def safety(self, season: Book) -> float:
        """Shares, water, lye, labels and fills together."""
        mine = season.looks
        lye, keeping = mine.lye_near + mine.lye_untold, mine.unpreserved + mine.little_kept + mine.syrupy
        return mine.shares + keeping + lye + mine.over_labelled + mine.fills

    @worked("Of these, what looks like a slip", decimals=0)
    def slips(self, season: Book) -> float:
        """Rows and settings that look like a slip, right as they may be."""
        mine = season.looks
        return mine.purchases + mine.unused + mine.unusual + mine.tax_kept + mine.free_power

    @worked("Of these, about plan and stock", decimals=0)
    def planning(self, season: Book) -> float:
        """Starts, what is left over, what is not followed, and stock together."""
        mine = season.looks
        return mine.late_starts + mine.left_over + mine.not_followed + mine.stock_remarks

    @worked("To look at", decimals=0)
    def looks(self, season: Book) -> float:
        """All of these together, each counted once, the money aside."""
        mine = season.looks
        prices = mine.free_work + mine.odd_prices + mine.old_prices + mine.under_floor + mine.under_target + mine.dearer
        return mine.safety + prices + mine.slips + mine.planning + mine.ruined


LOOKS = FigureList(
    "looks", CHECKS_SHEET, "look_", Looks, "To look at", ("Key", "What", "How many", "Unit", "What it means"), on_paper=False
)
