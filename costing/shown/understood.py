"""What was understood: each item's price, each currency's rate, where the money went, and how far lye was looked at."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from costing.fields.numerals import plainly
from costing.fields.types import day_of
from costing.season.costed import Season
from costing.shown.lye_report import report as lye_report
from costing.shown.report import money, table, titled
from costing.tables.buying.items import ITEMS, ItemRow

NO_LYE = "No lye was found in any formula, and so none was looked at: give what is lye the kind lye on items."


def understood(season: Season) -> list[str]:
    """Return, for the maker to hold against receipts and recipes, what was made of them, as titled tables and lines."""
    receipts = [titled("What was understood", _items(season)), *_currencies(season), *_money(season)]
    return [*receipts, *(lye_report(season) or [NO_LYE]), *_unknown(season)]


def _items(season: Season) -> str:
    """Return each bought item's price, from how many purchases, the newest day, and its median price over all of them."""
    rows = [
        (row.item, _price(row, row.price), _many(int(row.purchases_seen)), str(day_of(row.latest_day)),
         _price(row, row.usual))
        for row in season[ITEMS].rows
        if row.purchases_seen
    ]  # fmt: skip
    return table(("item", "costs", "from", "newest", "usually"), rows)


def _price(row: ItemRow, each: float) -> str:
    return f"{each:,.4f} a piece" if row.counted_in == "piece" else f"{1000 * each:,.2f} per kg"


def _many(purchases: int) -> str:
    return "1 purchase" if purchases == 1 else f"{purchases} purchases"


def _currencies(season: Season) -> Iterator[str]:
    home = season.records.season.currency
    rates: dict[str, set[str]] = defaultdict(set)
    for row in season.records.purchases:
        if row.currency and row.currency != home:
            rates[row.currency].add(plainly(row.rate))
    for currency, costs in sorted(rates.items()):
        yield f"1 {currency} costs {' or '.join(sorted(costs))} {home}."


def _money(season: Season) -> Iterator[str]:
    """Yield where the money went; the parts add up to what all receipts came to."""
    stock, home = season.stock_totals, season.records.season.currency
    yield (
        f"{money(stock.spent)} {home} spent on goods: {money(stock.into_plan)} for what the planned tubs take, "
        f"{money(stock.into_stock)} for stock beyond that,\n"
        f"{money(stock.into_neither)} for neither: used earlier, not on hand by your count, or a receipt misread."
    )


def _unknown(season: Season) -> Iterator[str]:
    """Yield what formulas take that has no kind: neither lye nor oil nor anything else that is looked at."""
    kinds = {row.item: row.kind for row in season[ITEMS].rows}
    taken: dict[str, dict[str, None]] = defaultdict(dict)
    for line in season.records.lines:
        if kinds.get(line.item) == "":
            taken[line.item][line.formula] = None
    if taken:
        named = ", ".join(f"{item} (in {' and '.join(formulas)})" for item, formulas in taken.items())
        yield f"Without a kind, and so in no check of lye, water or limits: {named}. Give it a kind or same_as on items."
