"""What stands around a cell and says how to read it: the season's names and currency, the other dates of its column."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from costing.errors import Fault
from costing.fields.catalogue import currencies
from costing.fields.names import forbidden, spelled
from costing.fields.quantities import Quantity
from costing.fields.types import Record
from costing.fields.units import purchase_units, registered_unit
from costing.fields.written_days import DayOrder, order_of
from costing.records.names import Names
from costing.records.schema import RecordTable
from costing.tables.buying.items import Item
from costing.tables.buying.purchases import Purchase

Cells = Mapping[str, Any]


@dataclass(frozen=True)
class Unread:
    """What could not be read: tables of which some rows could not, and the items that unread purchases name.

    items: None where it cannot be told which items those are.
    """

    tables: frozenset[str] = frozenset()
    items: frozenset[str] | None = frozenset()


@dataclass
class Surroundings:
    """What a season's cells are read with.

    marked: the figures of one row that bring a unit or sign; by_piece: for each item bought, whether by the piece.
    """

    currency: str
    names: Names = field(default_factory=Names)
    marked: list[tuple[str, Quantity]] = field(default_factory=list)
    by_piece: dict[str, bool] = field(default_factory=dict)
    unread_items: set[str] = field(default_factory=set)

    def note_unread(self, table: RecordTable, cells: Cells) -> None:
        """Remember which item a purchase names that cannot be read; nothing where that is no name."""
        if table.name == "purchases":
            name = spelled(str(cells.get("item") or ""))
            self.unread_items.add("" if forbidden(name) else self.names.spelling("item", name))

    def context(self, table: RecordTable, rows: Sequence[Cells], *, decimal_comma: bool) -> dict[str, Any]:
        """Return what the fields of a table look at beside their own cell."""
        return {
            "decimal_comma": decimal_comma,
            "names": self.names,
            "marked": self.marked,
            "day_orders": _day_orders(table, rows),
        }

    def faults_of_marks(self, record: Record, place: str, labels: Mapping[str, str]) -> Iterator[Fault]:
        """Tell of a row's figures whose unit or sign does not agree with what the row is about."""
        if isinstance(record, Purchase) and record.is_goods:
            self.by_piece.setdefault(record.item, bool(purchase_units()[record.unit].pieces))
        for column, quantity in self.marked:
            where = f"{place}, {labels.get(column, column)}"
            if quantity.currencies:
                yield from self._other_money(record, where, quantity)
            elif isinstance(record, Item) and column == "on_hand":
                yield from self._counted_otherwise(record, where, quantity)

    def _other_money(self, record: Record, where: str, quantity: Quantity) -> Iterator[Fault]:
        own = str(getattr(record, "currency", "") or self.currency)
        if own and own not in quantity.currencies:
            meant = " or ".join(quantity.currencies[:4])
            do = f"write the amount in {own}"
            if isinstance(record, Purchase):
                do = f"write {meant} in currency, with its rate, or the amount in {own}"
            yield Fault(where, f'"{quantity.text}" is {meant}, and the row in {own}', do)

    def _counted_otherwise(self, item: Item, where: str, quantity: Quantity) -> Iterator[Fault]:
        """Tell of a stock in grams of what is bought by the piece, and of pieces of what is bought by weight."""
        pieces = registered_unit(quantity.mark) in ("piece", "dozen")
        if self.by_piece.get(item.item, pieces) != pieces:
            bought, do = ("by weight", "grams") if pieces else ("by the piece", "pieces")
            yield Fault(where, f'"{quantity.text}" of {item.item}, which is bought {bought}', f"write {do}")


def season_currency(settings: Iterable[Cells]) -> str:
    """Return the season's currency as it stands among the settings; nothing where none can be read there."""
    written = [row.get("value") for row in settings if str(row.get("key")).strip() == "currency"]
    code = str(written[0]).strip().upper() if written else ""
    return code if code in currencies() else ""


def _day_orders(table: RecordTable, rows: Sequence[Cells]) -> dict[str, DayOrder | None]:
    """Return for each column of dates what its clear ones say: whether day or month comes first. Settings share one."""
    columns = [column for column, info in table.model.model_fields.items() if info.metadata[0].shape == "date"]
    texts = {column: [str(row.get(column) or "") for row in rows] for column in columns}
    if table.name == "season":
        together = [text for each in texts.values() for text in each]
        texts = dict.fromkeys(columns, together)
    return {column: order_of(found) for column, found in texts.items()}
