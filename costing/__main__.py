"""Run the command line: ``python -m costing``."""

from costing.cli import main

if __name__ == "__main__":
    main(prog_name="costing")
