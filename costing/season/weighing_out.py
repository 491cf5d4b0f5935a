"""The bench card of a formula: how much of it, from batches, grams or tubs to fill, and what must be ready before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.engine.operations import NOTHING
from costing.errors import Refusal, did_you_mean
from costing.fields.names import sign
from costing.season.costed import Season
from costing.season.working_out import cost
from costing.tables import equations
from costing.tables.deciding.weigh_out import BENCH, GENERAL, WEIGHED, Weigh, WeighedRow
from costing.tables.order_of_making import formula_of
from costing.tables.written import SeasonRecords

Amount = Decimal | float


@dataclass(frozen=True)
class ReadyBefore:
    """Something that must have been made before: grams of each thing asked of a formula, and the batches that takes."""

    formula: str
    grams: Mapping[str, float]
    batches: float


@dataclass(frozen=True)
class BenchCard:
    """What to weigh out of one formula; the costed season has the same on its sheet *Weigh out*.

    batches: how many are weighed out; expected: grams that come out; ready: what must be made before, in that order;
    cautions: what to mind, lye first.
    """

    season: Season
    formula: str
    batches: float
    expected: float
    lines: tuple[WeighedRow, ...]
    ready: tuple[ReadyBefore, ...]
    cautions: tuple[str, ...]


def weigh_out(
    records: SeasonRecords,
    formula: str,
    *,
    batches: Amount | None = None,
    grams: Amount | None = None,
    fills: Mapping[str, Amount] | None = None,
) -> BenchCard:
    """Return the bench card of a formula: one batch, so many, the grams wanted of it, or enough to fill some products.

    Raises
    ------
    Faults
        When the season cannot be costed.
    Refusal
        For a formula or product that is not there, an amount not above zero, or more than one way to say how much.

    """
    made = _found(formula, [row.formula for row in records.formulas], "formula")
    if sum(each is not None for each in (batches, grams, fills or None)) > 1:
        raise Refusal(f"{made}: name batches, grams or products to fill, and only one of the three")
    for amount in (batches, grams, *(fills or {}).values()):
        if amount is not None and not 0 < amount < float("inf"):
            raise Refusal(f"{made}: {amount} is no amount above zero; name how much is wanted")
    wanted = _to_fill(records, made, fills) if fills else grams
    chosen = Weigh.model_construct(
        formula=made, batches=Decimal(batches or 1), grams=None if wanted is None else Decimal(wanted)
    )
    season = cost(records, weigh=chosen)
    figures = season.weigh
    return BenchCard(
        season, made, figures.times, figures.expected,
        tuple(row for row in season[WEIGHED].rows if row.step != NOTHING), tuple(_ready(season, made, figures.times)),
        tuple(_cautions(season, made)),
    )  # fmt: skip


def _found(name: str, there: Sequence[str], what: str) -> str:
    for each in there:
        if sign(each) == sign(name):
            return each
    raise Refusal(f'there is no {what} "{name}"; {did_you_mean(name, there)}')


def _to_fill(records: SeasonRecords, formula: str, fills: Mapping[str, Amount]) -> float:
    """Return the grams that a formula must yield to fill so many of some products."""
    products = {row.product: row for row in records.products}
    parts = {f"{row.formula}/{row.output}": float(row.percent) / 100 for row in records.outputs if row.percent}
    asked: dict[str, float] = defaultdict(float)
    for name, number in fills.items():
        product = products[_found(name, list(products), "product")]
        if formula_of(product.filled_with) != formula:
            raise Refusal(f"{product.product}: is filled with {product.filled_with}, and not with {formula}; name that")
        waste = float(product.waste_percent) / 100
        asked[product.filled_with] += float(number) * equations.weight_used(float(product.fill_grams), waste)
    whole = asked.pop(formula, 0)
    return whole + max((grams / parts[what] for what, grams in asked.items()), default=0)


def _ready(season: Season, formula: str, times: float) -> list[ReadyBefore]:
    """Return what must be made before, through all that it is made from in turn, the first to be made first."""
    rows = season.making.rows
    yields = {row.made: row.yields for row in rows if row.row in ("yield", "output")}
    asked: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))

    def ask(of: str, batches: float) -> None:
        for row in rows:
            if row.formula == of and row.row == "line" and row.what in yields:
                asked[formula_of(row.what)][row.what] += row.added * batches

    ask(formula, times)
    ready = []
    for made in reversed(dict.fromkeys(row.formula for row in rows)):
        if made in asked:
            needed = {what: grams / yields[what] if yields[what] else 0 for what, grams in asked[made].items()}
            batches = needed.pop(made, 0) + max(needed.values(), default=0)
            ready.append(ReadyBefore(made, dict(asked[made]), batches))
            ask(made, batches)
    return ready[::-1]


def _cautions(season: Season, formula: str) -> list[str]:
    """Return the cautions of the card, lye first, and before its last one what the season tells of the formula itself."""
    card = [row.caution for row in season[BENCH].rows if row.caution in GENERAL]
    own = [f"{each.what}; {each.do}" for each in season.cautions if each.where.split(", ")[1:2] == [formula]]
    return [*card[:-1], *own, *card[-1:]]
