"""Doubts about making: minutes, hours and losses unlike those of other formulas, batches too large for their work."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from costing.errors import Doubt
from costing.season.costed import Season
from costing.season.doubts.places import numbered
from costing.season.doubts.recipes import Recipe, recipes_of
from costing.season.robust import Crowd, standing_out
from costing.tables.buying.items import LYE
from costing.tables.making.recipes import Step
from costing.tables.order_of_making import formula_of

# All common practice, no source.
WAITING_HOURS = 3.0  # a step that runs so long is mostly waited for, and has its own usual minutes
LOSSES_OF_ALL = 6.5  # times the usual of all steps, for one that is done once
MINUTES_BELOW = 6.0  # times below the usual of such steps
MINUTES, LOSSES, HOURS = 4.5, 5.0, 10.0  # times the usual of such steps, beyond which a figure stands out
POWER_PER_KG = 1.5  # kilowatt-hours for a kilogram put in, beyond which hours look like minutes
BATCH, LESS_WORK = 4.0, 3.0  # a batch so many times the others', with so many times less work in a kilogram
BATCH_BELOW, MORE_WORK = 5.0, 6.0  # the same the other way round: a small batch always has more work in a kilogram
CURES = 25.0  # what a bar may lose in the one step in which it dries
MORE_THAN_WATER = 0.10  # of the weight: what stays in pot and bowl, beside the water that can go
Figured = tuple["Done", float]


@dataclass(frozen=True)
class Done:
    """A step of a formula, with its row's number and what is put into the formula's batch."""

    row: Step
    number: int
    grams: float

    def doubt(self, what: str, do: str) -> Doubt:
        """Return a doubt of this step."""
        return Doubt(f"steps, {self.row.formula}, {self.row.step}", what, do, row=self.number)


def step_doubts(season: Season) -> Iterator[Doubt]:
    """Yield steps and batches that do not go with the others."""
    recipes = {recipe.formula: recipe for recipe in recipes_of(season)}
    grams = {formula: recipe.grams for formula, recipe in recipes.items()}
    steps = [Done(row, number, grams.get(row.formula, 0.0)) for row, number in numbered(season.records.steps)]
    yield from _minutes(steps)
    yield from _losses(
        steps, {formula for formula, recipe in recipes.items() if any(line.kind == LYE for line in recipe.lines)}
    )
    yield from _hours(steps)
    yield from _no_power(steps)
    yield from _dried_away(steps, recipes)
    yield from _batches(season, steps, grams)


def _standing_out(figured: list[Figured], *, times: float, others: int) -> Iterator[tuple[Done, float, float]]:
    """Yield the figures that stand out of a group with so many others at least, with what is usual there."""
    least = standing_out([figure for _, figure in figured], times=times, others=others)
    if least:
        yield from ((step, figure, least[1]) for step, figure in figured if figure >= least[0])


def _by(steps: list[Done], column: str, *, name: bool) -> list[list[Figured]]:
    """Return the steps with something in a column in groups: of one name, or of those worked at and those waited for."""
    groups: dict[object, list[Figured]] = defaultdict(list)
    for step in steps:
        figure = float(getattr(step.row, column))
        if figure > 0:
            groups[step.row.step if name else step.row.hours >= WAITING_HOURS].append((step, figure))
    return list(groups.values())


def _far_below(figured: list[Figured], *, times: float, others: int) -> Iterator[tuple[Done, float, float]]:
    """Yield a figure that lies as far below all others."""
    for step, figure, usually in _standing_out([(step, 1 / figure) for step, figure in figured], times=times, others=others):
        yield step, 1 / figure, 1 / usually


def _minutes(steps: list[Done]) -> Iterator[Doubt]:
    """Yield minutes far beyond, or far below, those of other steps that are worked at, or of others waited for."""
    for group in _by(steps, "minutes", name=False):
        for step, minutes, others in _far_below(group, times=MINUTES_BELOW, others=4):
            yield step.doubt(
                f"{minutes:g} hands-on minutes, where other such steps take about {others:.0f}", "are these hours?"
            )
        for step, minutes, others in _standing_out(group, times=MINUTES, others=2):
            what = f"{minutes:g} hands-on minutes, where other such steps take about {others:.0f}"
            yield step.doubt(what, f"did you mean {minutes / 10:g}?")


def _losses(steps: list[Done], with_lye: set[str]) -> Iterator[Doubt]:
    """Yield losses far from those of the same step elsewhere; of a step done once, beyond those of all such steps.

    A bar made with lye has one step in which it dries, and loses far more there than anything in a pot.
    """
    by_name = _by(steps, "loss_percent", name=True)
    for group in by_name:
        for step, loss, others in _standing_out(group, times=LOSSES, others=1):
            what = f"{loss:g} % lost, where the same step loses about {others:.2g} % in {_elsewhere(group, step)}"
            yield step.doubt(what, f"did you mean {loss / 10:g}?")
        for step, loss, others in _far_below(group, times=LOSSES, others=2):
            what = f"{loss:g} % lost, where the same step loses about {others:.2g} % in {_elsewhere(group, step)}"
            yield step.doubt(what, f"did you mean {loss * 10:g}?")
    once = {group[0][0] for group in by_name if len(group) == 1}
    for group in _by(steps, "loss_percent", name=False):
        for step, loss, others in _standing_out(group, times=LOSSES_OF_ALL, others=3):
            dries = step.row.formula in with_lye and loss <= CURES
            if step in once and not dries:
                what = f"{loss:g} % lost, where other steps lose about {others:.2g} %"
                yield step.doubt(what, f"did you mean {loss / 10:g}?")


def _elsewhere(group: list[Figured], step: Done) -> str:
    """Name the other formula, which may be the one to look at, where there is just one."""
    others = {other.row.formula for other, _ in group} - {step.row.formula}
    return others.pop() if len(others) == 1 else "other formulas"


def _hours(steps: list[Done]) -> Iterator[Doubt]:
    """Yield hours far beyond those of the same step elsewhere, or more power than a kilogram usually takes."""
    told = set()
    for group in _by(steps, "hours", name=True):
        for step, hours, others in _standing_out(group, times=HOURS, others=1):
            told.add(step)
            what = f"{hours:g} hours, where the same step runs about {others:.2g} in {_elsewhere(group, step)}"
            yield step.doubt(what, f"are these minutes? {hours:g} minutes are {hours / 60:.2g} hours")
    for step in steps:
        used = float(step.row.watts * step.row.hours)
        if step not in told and step.grams and used / step.grams > POWER_PER_KG:
            what = f"{used / step.grams:.1f} kWh for a kilogram"
            yield step.doubt(
                what, f"are the hours minutes? {float(step.row.hours):g} minutes are {step.row.hours / 60:.2g} hours"
            )


def _no_power(steps: list[Done]) -> Iterator[Doubt]:
    for step in steps:
        if step.row.watts and not step.row.hours:
            yield step.doubt(f"{float(step.row.watts):g} W for no time", "write how many hours it runs")


# --- against what is put in ------------------------------------------------------------------------------------------


def _dried_away(steps: list[Done], recipes: dict[str, Recipe]) -> Iterator[Doubt]:
    """Yield steps that lose more than all water in the pot and a usual rest, where it is known what holds water."""
    held: dict[str, float | None] = {}
    for step in steps:
        water = _water_in(step.row.formula, recipes, held)
        loss = float(step.row.loss_percent) / 100
        if water is not None and loss > water + MORE_THAN_WATER:
            what = f"{loss:.0%} lost, and all that is put in holds {water:.0%} water at most"
            yield step.doubt(what, f"did you mean {100 * loss / 10:g}?")


def _water_in(formula: str, recipes: dict[str, Recipe], held: dict[str, float | None]) -> float | None:
    """Return the most water that can be in a formula; None where something in it is of no kind, or a bought base."""
    if formula not in held:
        held[formula] = None
        recipe = recipes.get(formula)
        if recipe and not {"", "base", "surfactant"} & {line.kind for line in recipe.lines}:
            brought = [(line.share, _water_in(formula_of(line.line.item), recipes, held)) for line in recipe.made]
            if all(water is not None for _, water in brought):
                held[formula] = recipe.water + sum(share * (water or 0) for share, water in brought)
    return held[formula]


def _batches(season: Season, steps: list[Done], grams: dict[str, float]) -> Iterator[Doubt]:
    """Yield a batch far larger than the others with far less work in a kilogram, or far smaller with far more."""
    minutes: dict[str, float] = defaultdict(float)
    for step in steps:
        minutes[step.row.formula] += float(step.row.minutes)
    rows = {row.formula: number for row, number in numbered(season.records.formulas)}
    weights = {formula: grams[formula] for formula in rows if minutes[formula] and grams.get(formula)}
    work = {formula: minutes[formula] / weight for formula, weight in weights.items()}
    crowd = Crowd(list(work.values()))
    large = standing_out(list(weights.values()), times=BATCH, others=2)
    small = standing_out([1 / weight for weight in weights.values()], times=BATCH_BELOW, others=2)
    for formula, weight in weights.items() if large or small else ():
        ratio = crowd.times_the_usual(work[formula])
        too_large = large is not None and weight >= large[0] and ratio * LESS_WORK <= 1
        if too_large or (small is not None and 1 / weight >= small[0] and ratio >= MORE_WORK):
            what = f"{weight:g} g in a batch, unlike the others, at {1000 * work[formula]:.2g} minutes for a kilogram"
            meant = weight / 10 if too_large else weight * 10
            yield Doubt(f"formulas, {formula}", what, f"did you mean {meant:.0f}?", row=rows[formula])
