"""Contents: how much of every bought item is in a gram of what is made, through all that it is made from."""

from __future__ import annotations

from typing import Annotated, Any

from costing.engine.operations import choose, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import ChoiceField, Key, Record, Reference, given


class Content(Record):
    """One bought item on its way: in a line of a formula, or in what that formula makes."""

    formula: Key = given("Formula", "The formula.")
    row: Annotated[str, ChoiceField(("line", "made"))] = given(
        "Row", "A line brings the item into the formula; what is made then holds it, in the yield or an output."
    )
    what: Reference = given("Through", "The line's item, or the thing made.")
    item: Key = given("Item", "The bought item that is followed.")


CONTENTS = Table(
    "contents",
    "Contents",
    "What is in it",
    "Every bought item followed through the formulas, in the order of making. Each output counts the part of the batch "
    "that it bears.",
    Content,
    spare=0,
    fixed=True,
)


@CONTENTS.works_out("Put in of the line", "gram", decimals=1)
def put_in(row: Any, season: Any) -> Any:
    """Grams that the formula takes of the line's item."""
    added = sum_where(season.making.added, season.making.formula, row.formula, season.making.what, row.what)
    return choose(row.row == "line", added, 0)


@CONTENTS.works_out("Of it the item", decimals=4)
def part(row: Any, _: Any) -> Any:
    """Grams of the item in a gram of the line: all of it where the line is the item itself."""
    return choose(row.what == row.item, 1, 0) + sum_where(
        row.above.per_gram, row.above.what, row.what, row.above.item, row.item
    )


@CONTENTS.works_out("Item in the batch", "gram", decimals=2)
def grams(row: Any, _: Any) -> Any:
    """Grams of the item that the line brings."""
    return row.put_in * row.part


@CONTENTS.works_out("Bears of batch", shape="percent")
def bears(row: Any, season: Any) -> Any:
    """The part of the batch that the yield or output bears."""
    borne = sum_where(season.making.bears, season.making.made, row.what)
    return choose(row.row == "made", borne, 0)


@CONTENTS.works_out("Item per gram", decimals=5)
def per_gram(row: Any, season: Any) -> Any:
    """Grams of the item in a gram of what is made."""
    batch = sum_where(row.through.grams, row.through.formula, row.formula, row.through.item, row.item)
    return ratio(row.bears * batch, sum_where(season.making.yields, season.making.made, row.what))


@CONTENTS.works_out("Takes of a change", shape="percent")
def takes(row: Any, season: Any) -> Any:
    """The part of a change in the batch's cost that the yield or output takes."""
    taken = sum_where(season.making.takes, season.making.made, row.what)
    return choose(row.row == "made", taken, 0)


@CONTENTS.works_out("Moving in the batch", "gram", decimals=2)
def moving(row: Any, _: Any) -> Any:
    """Grams of the item that the line brings and whose price its cost follows."""
    own = choose(row.what == row.item, 1, 0)
    made = sum_where(row.above.moving_per_gram, row.above.what, row.what, row.above.item, row.item)
    return row.put_in * (own + made)


@CONTENTS.works_out("Moving per gram", decimals=5)
def moving_per_gram(row: Any, season: Any) -> Any:
    """Grams of the item whose price a gram of what is made follows: fewer than are in it where a worth is set."""
    batch = sum_where(row.through.moving, row.through.formula, row.formula, row.through.item, row.item)
    return ratio(row.takes * batch, sum_where(season.making.yields, season.making.made, row.what))
