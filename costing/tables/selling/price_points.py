"""The maker's grid of prices, which every suggestion is moved up to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.tables import equations

if TYPE_CHECKING:
    from costing.tables.book import Book


def steps_to(price: float, season: Book) -> float:
    """Return how many of the season's price steps a price lies above the price ending."""
    settings = season.settings
    return equations.price_steps(price, settings.price_step, settings.price_ending, settings.fine_decimals)


def point_at(steps: float, season: Book) -> float:
    """Return the price point that so many steps are, or the next one up."""
    settings = season.settings
    return equations.price_point(steps, settings.price_step, settings.price_ending, settings.step_decimals)
