"""The names that ``import costing`` offers, listed here and nowhere else: what the command line does, and its parts.

They are imported when the first of them is asked for, so that starting the command line stays light. Each is written twice
on its line since that is how a type checker is told that a name is offered, and not only used.
"""

# ruff: noqa: PLC0414

from costing.engine.calculated import CalculatedFigures as CalculatedFigures
from costing.engine.calculated import CalculatedTable as CalculatedTable
from costing.errors import Caution as Caution
from costing.errors import CostingError as CostingError
from costing.errors import Fault as Fault
from costing.errors import Faults as Faults
from costing.errors import FileTrouble as FileTrouble
from costing.errors import Refusal as Refusal
from costing.errors import Unknown as Unknown
from costing.exchange.carrying import PlannedCarrying as PlannedCarrying
from costing.exchange.carrying import carry as carry
from costing.exchange.carrying import plan_carrying as plan_carrying
from costing.exchange.checking import Checked as Checked
from costing.exchange.checking import check as check
from costing.exchange.next_season import next_season as next_season
from costing.exchange.season_files import Written as Written
from costing.exchange.season_files import export as export
from costing.exchange.season_files import read_season as read_season
from costing.exchange.starting import start_folder as start_folder
from costing.exchange.starting import start_workbook as start_workbook
from costing.fields.catalogue import Ingredient as Ingredient
from costing.fields.catalogue import ingredient_named as ingredient_named
from costing.fields.catalogue import names_of as names_of
from costing.records.parsing import records_from as records_from
from costing.season.carried_on import NextSeason as NextSeason
from costing.season.changes import Change as Change
from costing.season.comparing import Comparison as Comparison
from costing.season.comparing import compare as compare
from costing.season.costed import Season as Season
from costing.season.tracing import Branch as Branch
from costing.season.tracing import trace as trace
from costing.season.weighing_out import BenchCard as BenchCard
from costing.season.weighing_out import ReadyBefore as ReadyBefore
from costing.season.weighing_out import weigh_out as weigh_out
from costing.season.working_out import cost as cost
from costing.shown.comparison import comparison_figures as comparison_figures
from costing.shown.further import further_figures as further_figures
from costing.shown.keyed_figures import figures as figures
from costing.tables.written import SeasonRecords as SeasonRecords
