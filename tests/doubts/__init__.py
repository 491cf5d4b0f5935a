"""Doubts: each told where a small season has the slip, and not told where it has none."""
