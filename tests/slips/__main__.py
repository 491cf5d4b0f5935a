"""The whole bench: ``python -m tests.slips``. Says of each slip in each season how far it moved a price and what told it."""

from __future__ import annotations

import argparse
import sys
from collections import Counter

from tests.slips.bench import Verdict, doubts, look, share_told, verdicts
from tests.slips.slip import SLIPS
from tests.slips.tables import clean_seasons


def main() -> int:
    """Type every slip into every season and say what became of it; return 1 below the share wanted."""
    parser = argparse.ArgumentParser(prog="python -m tests.slips", description=__doc__)
    parser.add_argument("kinds", nargs="*", help="only these kinds; all by default")
    parser.add_argument("--season", help="only this season")
    parser.add_argument("--untold", action="store_true", help="list only what matters and was not told")
    chosen = parser.parse_args()
    kinds = [kind for kind in SLIPS if not chosen.kinds or kind.name in chosen.kinds]
    found: list[Verdict] = []
    quiet = True
    for clean in clean_seasons():
        if chosen.season in (None, clean.name):
            number = len(doubts(look(clean, clean.tables).lines))
            quiet = quiet and number <= 2
            print(f"{clean.name}: {number} doubts on the clean season")  # noqa: T201
            for verdict in verdicts(clean, kinds):
                found.append(verdict)
                if not chosen.untold or (verdict.matters and not verdict.told_by):
                    print(f"  {_described(verdict)}", flush=True)  # noqa: T201
    told, matter = share_told(found)
    _summary(found)
    what = "slips that move a price by half a percent, or stop the costing,"
    print(f"{told} of {matter} {what} are told with their row: {_share(told, matter)}")  # noqa: T201
    return 0 if quiet and told >= 0.95 * matter else 1


def _described(verdict: Verdict) -> str:
    moved = "refused" if verdict.moved is None else f"{verdict.moved:.1%}"
    line = verdict.told_by or ("–" if verdict.matters else "– (moves nothing)")
    return f"{verdict.slip:40} {moved:>10}  {verdict.table} {'/'.join(verdict.names)[:44]}: {line[:160]}"


def _summary(found: list[Verdict]) -> None:
    """Say of each kind how many of its places were told, the worst first."""
    matter = Counter(verdict.slip for verdict in found if verdict.matters)
    told = Counter(verdict.slip for verdict in found if verdict.matters and verdict.told_by)
    for name in sorted(matter, key=lambda name: (told[name] / matter[name], name)):
        print(f"  {told[name]:2} of {matter[name]:2}  {name}")  # noqa: T201


def _share(part: int, whole: int) -> str:
    return f"{part / whole:.1%}" if whole else "none"


if __name__ == "__main__":
    sys.exit(main())
