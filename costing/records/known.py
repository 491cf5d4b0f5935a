"""What a season's records name and count, gathered once for all that is checked between tables."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from costing.fields.catalogue import Ingredient
from costing.fields.types import day_number
from costing.fields.units import purchase_units
from costing.tables import equations
from costing.tables.buying.items import ingredient_of
from costing.tables.buying.purchases import Purchase
from costing.tables.written import SeasonRecords


@dataclass(frozen=True)
class Known:
    """What a season's records name, gathered once for all checks."""

    records: SeasonRecords
    unread_items: frozenset[str] = frozenset()

    @cached_property
    def goods(self) -> list[tuple[Purchase, str]]:
        """The purchases that are goods, each with its place."""
        return [(row, place) for row, place in self.records.purchases.placed() if row.is_goods]

    @cached_property
    def bought(self) -> set[str]:
        """The items with at least one purchase, whenever it was."""
        return {row.item for row, _ in self.goods}

    @cached_property
    def priced(self) -> set[str]:
        """The items that have a price: bought by the day priced on, or quoted on the basis of quotes."""
        settings = self.records.season
        until = day_number(settings.priced_on)
        priced = {row.item for row, _ in self.goods if equations.came_in(day_number(row.bought_on), until, float(row.packs))}
        if settings.cost_basis == "quote":
            priced |= {row.item for row in self.records.items if row.quote}
        return priced | self.unread_items

    @cached_property
    def formulas(self) -> set[str]:
        """The keys of all formulas."""
        return {row.formula for row in self.records.formulas}

    @cached_property
    def made(self) -> set[str]:
        """Everything that is made: formulas and their outputs."""
        return self.formulas | {f"{row.formula}/{row.output}" for row in self.records.outputs}

    @cached_property
    def ingredients(self) -> dict[str, Ingredient | None]:
        """The packaged ingredient that each bought item is, where it is one."""
        same = {row.item: row.same_as for row in self.records.items}
        return {item: ingredient_of(item, same.get(item, "")) for item in self.bought}

    @cached_property
    def densities(self) -> set[str]:
        """The items whose density is known."""
        packaged = {item for item, ingredient in self.ingredients.items() if ingredient and ingredient.density}
        return packaged | {row.item for row in self.records.items if row.density}

    @cached_property
    def by_piece(self) -> dict[str, str]:
        """The items bought by the piece, with the place of the first such purchase."""
        return self._first_bought(pieces=True)

    @cached_property
    def by_weight(self) -> dict[str, str]:
        """The items bought by weight or volume, with the place of the first such purchase."""
        return self._first_bought(pieces=False)

    def _first_bought(self, *, pieces: bool) -> dict[str, str]:
        units = purchase_units()
        found: dict[str, str] = {}
        for row, place in self.goods:
            if bool(units[row.unit].pieces) is pieces:
                found.setdefault(row.item, place)
        return found
