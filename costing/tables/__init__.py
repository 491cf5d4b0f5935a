"""What is each figure? A folder for each subject, a module for each table: its given and its worked columns."""

# ruff: noqa: F401, I001  # importing a table makes it known; in the order of the sheets
from costing.tables.selling import own_or_bought
from costing.tables.scales import batch_lines
from costing.tables.scales import batches
from costing.tables.deciding import shopping_list
from costing.tables.selling import channels
from costing.tables.whole import checks
from costing.tables.deciding import contents
from costing.tables.selling import break_even
from costing.tables.scales import fills
from costing.tables.whole import at_a_glance
from costing.tables.deciding import tub_contents
from costing.tables.buying import items
from costing.tables.selling import price_ladder
from costing.tables.making import lye_balance
from costing.tables.making import recipe_cards
from costing.tables.deciding import nudged_losses
from costing.tables.deciding import cost_drivers
from costing.tables.selling import overheads
from costing.tables.selling import prices
from costing.tables.selling import products
from costing.tables.buying import purchases
from costing.tables import settings
from costing.tables.selling import shelf_cards
from costing.tables.deciding import price_shock
from costing.tables.buying import stock
from costing.tables.scales import tolerances
from costing.tables.whole import totals
from costing.tables.selling import tubs
from costing.tables.buying import purchase_units
from costing.tables.scales import weighings
