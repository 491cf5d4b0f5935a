"""Every table and list of figures of a season: what rules see when they look beyond their own row.

This is the one list of what there is. Rules look at ``season.items.per_gram`` (a whole column) or
``season.settings.hourly_rate`` (one figure), and the type checker knows every one of them.
"""

from __future__ import annotations

from costing.engine.table import BOOK, named, whole
from costing.tables.buying.items import ITEMS
from costing.tables.buying.purchase_units import UNITS
from costing.tables.buying.purchases import PURCHASES
from costing.tables.buying.stock import STOCK, STOCK_TOTALS
from costing.tables.deciding.contents import CONTENTS
from costing.tables.deciding.cost_drivers import DRIVERS, MOVES, RANKED
from costing.tables.deciding.cost_ranges import COST_RANGES, PRICE_RANGES
from costing.tables.deciding.decide_words import DECIDE_WORDS
from costing.tables.deciding.if_dropped import DROPPABLE, LEAVABLE
from costing.tables.deciding.keeping import KEEPING
from costing.tables.deciding.own_choice import OWN_CHOICE
from costing.tables.deciding.preservation import KEEPERS
from costing.tables.deciding.price_shock import SHOCK, SHOCKED
from costing.tables.deciding.price_steps import STEPS
from costing.tables.deciding.profit_wanted import REACH
from costing.tables.deciding.shared_limits import SHARED_LIMITS
from costing.tables.deciding.short_hours import HOURS, SHORT
from costing.tables.deciding.tub_contents import IN_TUBS
from costing.tables.deciding.weigh_out import BENCH, WEIGH, WEIGHED
from costing.tables.making.lye_balance import LYE, TAKING
from costing.tables.making.moving_cards import MAKING
from costing.tables.planning.made import MADE
from costing.tables.planning.make_list import TO_FILL, TURNS
from costing.tables.planning.packs import PACKS
from costing.tables.planning.plan import PLAN
from costing.tables.planning.shopping_list import BUYING, CASH, ORDERS
from costing.tables.scales.batch_lines import BATCH_LINES
from costing.tables.scales.batches import BATCHES
from costing.tables.scales.fills import FILLS
from costing.tables.scales.tolerances import MEAN_FACTORS, TOLERANCES
from costing.tables.scales.weighings import WEIGHINGS
from costing.tables.selling.break_even import EVEN
from costing.tables.selling.channels import CHANNELS
from costing.tables.selling.overheads import OVERHEADS
from costing.tables.selling.own_or_bought import ALTERNATIVES
from costing.tables.selling.price_ladder import LADDER
from costing.tables.selling.prices import PRICES
from costing.tables.selling.products import PRODUCTS
from costing.tables.selling.shelf_cards import SHELF
from costing.tables.selling.tubs import TUBS
from costing.tables.selling.wholesale import WHOLESALE
from costing.tables.settings import SETTINGS
from costing.tables.usual_values import USUAL_VALUES
from costing.tables.whole.answers import ANSWERS
from costing.tables.whole.bench_words import BENCH_WORDS
from costing.tables.whole.beside import BESIDE
from costing.tables.whole.checks import CHECKS, LOOKS
from costing.tables.whole.fillings import FILLINGS
from costing.tables.whole.seen import SEEN
from costing.tables.whole.tax_rates import TAX_RATES
from costing.tables.whole.to_mend import MEND
from costing.tables.whole.totals import TOTALS
from costing.tables.whole.understood import CURRENCY_RATES, UNDERSTOOD, WENT

__all__ = ["BOOK", "Book"]


class Book:
    """The season as its rules see it. What comes first on a sheet comes first here, and so do the sheets."""

    answers = named(ANSWERS)
    totals = named(TOTALS)
    settings = named(SETTINGS)
    purchases = whole(PURCHASES)
    items = whole(ITEMS)
    stock_totals = named(STOCK_TOTALS)
    stock = whole(STOCK)
    making = whole(MAKING)
    lye = whole(LYE)
    tubs = whole(TUBS)
    products = whole(PRODUCTS)
    channels = whole(CHANNELS)
    prices = whole(PRICES)
    ladder = whole(LADDER)
    even = whole(EVEN)
    shelf = whole(SHELF)
    wholesale = whole(WHOLESALE)
    alternatives = whole(ALTERNATIVES)
    overheads = whole(OVERHEADS)
    decide = named(DECIDE_WORDS)
    reach = named(REACH)
    hours = named(HOURS)
    short = whole(SHORT)
    droppable = whole(DROPPABLE)
    leavable = whole(LEAVABLE)
    steps_of_price = whole(STEPS)
    choice = named(OWN_CHOICE)
    cost_ranges = whole(COST_RANGES)
    moves = named(MOVES)
    ranked = whole(RANKED)
    drivers = whole(DRIVERS)
    price_ranges = whole(PRICE_RANGES)
    shock = named(SHOCK)
    shocked = whole(SHOCKED)
    cash = named(CASH)
    turns = whole(TURNS)
    filling = whole(TO_FILL)
    orders = whole(ORDERS)
    buying = whole(BUYING)
    plan = whole(PLAN)
    packs = whole(PACKS)
    in_tubs = whole(IN_TUBS)
    contents = whole(CONTENTS)
    keeping = whole(KEEPING)
    weigh = named(WEIGH)
    bench = whole(BENCH)
    weighed = whole(WEIGHED)
    weighings = whole(WEIGHINGS)
    fills = whole(FILLS)
    batches = whole(BATCHES)
    batch_lines = whole(BATCH_LINES)
    made = whole(MADE)
    seen = whole(SEEN)
    units = whole(UNITS)
    tolerances = whole(TOLERANCES)
    mean_factors = whole(MEAN_FACTORS)
    usual = whole(USUAL_VALUES)
    taking = whole(TAKING)
    shared_limits = whole(SHARED_LIMITS)
    keepers = whole(KEEPERS)
    tax_rates = whole(TAX_RATES)
    fillings = whole(FILLINGS)
    bench_words = whole(BENCH_WORDS)
    beside = named(BESIDE)
    checks = named(CHECKS)
    went = named(WENT)
    currency_rates = whole(CURRENCY_RATES)
    looks = named(LOOKS)
    understood = whole(UNDERSTOOD)
    mend = named(MEND)
