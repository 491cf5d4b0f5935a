"""Dials: figures that are chosen to look at something, and are no records."""

HEADINGS = ("Key", "Figure", "Value", "Unit", "What it means")
