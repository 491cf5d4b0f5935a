"""What a new season was made of, and what is left to its maker."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from costing.season.carried_on import NextSeason

_WORDS = {
    "weighings": ("weighing", "weighings"), "batches": ("batch", "batches"), "batch_lines": ("batch line", "batch lines"),
    "seen": ("doubt about them that was looked at", "doubts about them that were looked at"),
}  # fmt: skip


def next_report(made: NextSeason, old: Path) -> str:
    """Return in words what was taken along, what stayed behind, and what to do next, in that order."""
    settings = made.season.records.season
    taken = ", ".join(f"{made.kept.get(name, 0)} {name}" for name in ("purchases", "formulas", "products", "prices"))
    left = [f"{number} {_WORDS[name][number != 1]}" for name, number in made.left.items() if number]
    lines = [
        f"Made {made.path}, priced on {settings.priced_on.isoformat()}, begun on {settings.began_on.isoformat()}.",
        f"Taken along: {taken}, and all else that makes them.",
        f"Left behind in {old}: {', '.join(left)}." if left else f"{old} had no weighings and batches to leave behind.",
        "To do, in this order:",
        *(f"{at}. {step}" for at, step in enumerate(_steps(made, old), start=1)),
    ]
    return "\n".join(lines)


def _steps(made: NextSeason, old: Path) -> Iterator[str]:
    records = made.season.records
    yield f'Give it its name: it is still called "{records.season.name}" in season.'
    counts = [f"{number} in {name}" for name, number in made.to_count.items() if number]
    if counts:
        yield f"Count anew what is on hand: {' and '.join(counts)} still say what was there last season."
    yield "Add what you bought since to purchases."
    if made.priced:
        was = "1 price was" if made.priced == 1 else f"{made.priced} prices were"
        yield f"Look at prices: {was} suggested and now stand as your own. Empty one, and it is suggested anew."
    else:
        yield "Look at prices: each stands as it was used. Empty one, and it is suggested anew."
    yield "Plan: how many of each you will sell (planned in prices), overheads, hourly_rate and power_price."
    new = _typed(made.path)
    yield f"costing check {new}, then costing compare {_typed(old)} {new}: so far only days differ."


def _typed(path: Path) -> str:
    """Return a path as it is typed."""
    text = str(path)
    return f'"{text}"' if " " in text else text
