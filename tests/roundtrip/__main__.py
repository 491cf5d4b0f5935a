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
    together = 50  # steps in one folder
    machine = seeded(seed)(test_stateful.Carrying)
    test_stateful.run(max(1, steps // together), together, derandomize=False, machine=machine)
    click.echo(f"{steps} steps of seed {seed}: every figure as it should be.")


if __name__ == "__main__":
    main()
