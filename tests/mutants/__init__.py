"""Small wrongs put into the code one at a time, to see which of them the tests notice: ``python -m tests.mutants``."""
