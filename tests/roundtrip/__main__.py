"""The long run of edits and carrying: ``python -m tests.roundtrip --steps 1000 --seed 1``."""

from __future__ import annotations

import click
from hypothesis import seed as seeded

from tests.roundtrip import test_stateful


@click.command()
@click.option("--steps", default=1000, help="How many steps, drawn by lot.")
@click.option("--seed", default=1, help="Which steps are drawn.")
def main(steps: int, seed: int) -> None:
    """Edit two copies of an export and the records, and carry; stop at the first figure that is lost or made up."""
    together = 50  # steps in one folder, at most
    runs = 1 + -(-steps // together)  # the first one drawn is always the simplest
    test_stateful.run(runs, together, derandomize=False, machine=seeded(seed)(test_stateful.Carrying))
    done = test_stateful.Carrying.done - runs  # before the first step of each it is looked once
    click.echo(f"{done} steps of seed {seed}: every figure as it should be.")


if __name__ == "__main__":
    main()
