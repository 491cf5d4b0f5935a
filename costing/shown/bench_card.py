"""The bench card in the terminal: what to weigh in, step by step, with room for what was really weighed."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from costing.season.weighing_out import BenchCard
from costing.shown.report import table, titled
from costing.tables.deciding.weigh_out import STEP_DONE


def bench_report(card: BenchCard) -> str:
    """Return a bench card as text."""
    return "\n\n".join(_parts(card))


def _parts(card: BenchCard) -> Iterator[str]:
    yield f"{card.formula}: {_batches(card.batches)}, {_grams(card, card.expected)} g expected to come out"
    yield titled("Mind", "\n".join(f"- {caution}" for caution in card.cautions))
    if card.ready:
        yield titled("Ready before, in this order", _ready(card))
    yield titled("Step by step", _lines(card))
    yield _sums(card)


def _batches(number: float) -> str:
    return "1 batch" if number == 1 else f"{number:.3f}".rstrip("0").rstrip(".") + " batches"


def _grams(card: BenchCard, grams: float) -> str:
    """Return grams with the decimals that the scale shows."""
    exponent = card.season.records.season.scale_step.normalize().as_tuple().exponent
    return f"{grams:,.{max(0, -int(exponent))}f}"


def _ready(card: BenchCard) -> str:
    rows = [
        (what, _grams(card, grams), _batches(each.batches) if at == 0 else "")
        for each in card.ready
        for at, (what, grams) in enumerate(each.grams.items())
    ]
    return table(("what", "grams", "from"), rows)


def _lines(card: BenchCard) -> str:
    rows = []
    for row in card.lines:
        done = row.what == STEP_DONE
        shown = "" if done else _grams(card, row.shown)
        minutes = f"{row.minutes:.0f}" if done and row.minutes else ""
        days = f"{row.days:g}" if row.days else ""
        rows.append((row.step, row.what, shown, _grams(card, row.pot), minutes, days, "........", row.remark.strip()))
    return table(("step", "what", "weigh in g", "then in the pot", "minutes", "days", "really", ""), rows, texts=2)


def _sums(card: BenchCard) -> str:
    figures, step = card.season.weigh, card.season.records.season.scale_step
    waiting = f", {figures.days:g} days of waiting" if figures.days else ""
    return (
        f"Together {_grams(card, figures.weighed)} g to weigh in, {figures.minutes:,.0f} minutes hands-on{waiting}. Rounded "
        f"to {step.normalize():f} g, that is {_rounding(figures.rounding, step)} the formula says."
    )


def _rounding(grams: float, step: Decimal) -> str:
    if abs(grams) < float(step) / 1000:
        return "as much as"
    return f"{abs(grams):.2g} g {'more' if grams > 0 else 'less'} than"
