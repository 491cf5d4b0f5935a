"""Timings. Not a test: run it with python -m tests.bench."""
