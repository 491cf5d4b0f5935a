"""Few messages: one for each cause in a column, in the order in which to mend them, and one where there is no season."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

import costing
from costing.errors import Fault, Refusal
from costing.records.together import told_together
from tests.seasons import Tables, as_records, sample_tables


def _told(change: Callable[[Tables], object]) -> list[str]:
    """Return the faults of the sample after a change to its tables, those between the tables among them."""
    tables = sample_tables()
    change(tables)
    with pytest.raises(costing.Faults) as caught:
        costing.cost(as_records(tables))
    return [str(fault) for fault in caught.value.faults]


def test_one_cause_in_one_column_is_one_message_with_its_rows() -> None:
    """Rows are listed in runs, with how many there are and what stands in them."""
    rows = (2, 3, 4, 7, 9, 10)
    faults = [
        Fault(f"purchases.csv, row {row}, tax", f'"{20 + row % 2} %" is a rate', "name it tax_percent") for row in rows
    ]
    assert [str(fault) for fault in told_together(faults)] == [
        'purchases.csv, rows 2 to 4, 7, 9 and 10, tax: "20 %" is a rate (6 alike: "20 %", "21 %"); name it tax_percent'
    ]


def test_many_rows_apart_are_named_up_to_eight_and_counted() -> None:
    faults = [Fault(f"t.csv, row {row}, size", "is empty", "fill it in") for row in range(2, 42, 2)]
    (fault,) = told_together(faults)
    assert fault.where == "t.csv, rows 2, 4, 6, 8, 10, 12, 14, 16 and 12 more, size"
    assert fault.what == "is empty (20 alike)"


def test_other_advice_another_column_or_another_table_is_another_message() -> None:
    """What is mended otherwise is told on its own; a place without a row is never gathered."""
    faults = [
        Fault("t.csv, row 2, item", 'there is no "a"', 'did you mean "b"?'),
        Fault("t.csv, row 3, item", 'there is no "c"', 'did you mean "d"?'),
        Fault("t.csv, row 4, part", 'there is no "a"', 'did you mean "b"?'),
        Fault("u.csv, row 4, item", 'there is no "a"', 'did you mean "b"?'),
        Fault("u.csv", "is missing", "fill it in"),
        Fault("u.csv", "is missing", "fill it in"),
    ]
    assert told_together(faults) == faults


def test_dates_of_two_readings_are_one_message_for_their_column() -> None:
    """No date of the column settles it, so all are told as one; the figures of the others are not repeated."""

    def unclear(tables: Tables) -> None:
        for row in tables["purchases"][:3]:
            row["bought_on"] = "04/11/2025"
        tables["purchases"][3]["bought_on"] = "05/11/2025"

    (told,) = (each for each in _told(unclear) if "bought_on" in each)
    assert told == (
        'purchases, rows 1 to 4, bought_on: "04/11/2025" can be 2025-11-04 or 2025-04-11 '
        '(4 alike: "04/11/2025", "05/11/2025"); '
        "write 2025-11-04 or 2025-04-11, and the others likewise"
    )


def test_one_clear_date_settles_its_column() -> None:
    tables = sample_tables()
    for row in tables["purchases"]:
        row["bought_on"] = "/".join(reversed(row["bought_on"].split("-")))
    records = as_records(tables)
    assert [f"{row.bought_on}" for row in records.purchases] == [row["bought_on"] for row in sample_tables()["purchases"]]


def test_causes_come_in_the_order_in_which_they_are_mended() -> None:
    """What is missing altogether, then cells, then names that lead nowhere, then what rows say together."""

    def broken(tables: Tables) -> None:
        tables["purchases"][0]["paid"] = "a lot"
        del tables["channels"]
        tables["tubs"][0]["part"] = "nowhere bought"
        tables["lines"][0]["percent"] = "99"

    found = _told(broken) + _between(broken)
    order = ["table channels", "purchases, row 1, paid", "tubs, row 1, part", "formulas, row"]
    places = [next(at for at, told in enumerate(found) if told.startswith(each)) for each in order]
    assert places == sorted(places)


def _between(change: Callable[[Tables], object]) -> list[str]:
    tables = sample_tables()
    whole = sample_tables()
    change(tables)
    tables |= {"channels": whole["channels"], "purchases": whole["purchases"]}
    with pytest.raises(costing.Faults) as caught:
        costing.cost(as_records(tables))
    return [str(fault) for fault in caught.value.faults]


def test_a_purchase_that_cannot_be_read_was_bought_all_the_same(tmp_path: Path) -> None:
    """Names that lead nowhere are told at once with unreadable cells; a name in an unreadable row leads somewhere."""
    found = _of_small_season(tmp_path)
    assert [told.split(":")[0] for told in found] == ["purchases.csv, row 2, paid", "lines.csv, row 3, item"]


def _of_small_season(folder: Path) -> list[str]:
    texts = {
        "season": "key,value\nname,Small\ncurrency,EUR\npriced_on,2026-11-01\n",
        "purchases": "bought_on,item,size,unit,paid\n2026-01-02,Oil,1,kg,x\n2026-01-02,Jar,1,piece,1\n",
        "formulas": "formula,batch_grams\nMix,100\n",
        "lines": "formula,step,item,percent\nMix,mix,oil,50\nMix,mix,Water,50\n",
        "tubs": "tub,part\nPot,Jar\n",
        "products": "product,filled_with,tub,fill_grams\nSoft soap,Mix,Pot,50\n",
        "channels": "channel,margin_percent\nStall,30\n",
    }
    for name, text in texts.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return [str(fault) for fault in costing.check(folder).faults]


def test_the_sum_of_the_overheads_typed_below_them_is_a_fault() -> None:
    def summed(tables: Tables) -> None:
        total = sum(float(row.get("amount", 0)) for row in tables["overheads"])
        tables["overheads"].append({"overhead": "Total", "amount": f"{total}"})

    (told,) = _told(summed)
    assert told.endswith('overhead: "Total" is the sum of the other rows; delete the row')


@pytest.mark.parametrize(("name", "told"), [
    ("season.ods", "is a workbook of another kind (.ods); open it in its program, save it as .xlsx, and name that"),
    ("season.xls", "is a workbook of another kind (.xls); open it in its program, save it as .xlsx, and name that"),
    ("season.numbers", "is a workbook of another kind (.numbers); open it in its program, save it as .xlsx, and name that"),
    ("purchases.csv", "is one table, and a season has several; name the folder that holds them, "
                      "or save them as sheets of one .xlsx"),
])  # fmt: skip
def test_another_kind_of_file_is_told_how_to_be_saved(name: str, told: str, tmp_path: Path) -> None:
    file = tmp_path / name
    file.write_bytes(b"x")
    with pytest.raises(Refusal) as caught:
        costing.read_season(file)
    assert str(caught.value) == f"{file}: {told}"


def test_a_folder_that_is_no_season_is_told_how_to_start_one(tmp_path: Path) -> None:
    with pytest.raises(Refusal) as caught:
        costing.read_season(tmp_path)
    do = f"name a season's folder, or make one with: costing start {tmp_path}"
    assert str(caught.value) == f"{tmp_path}: holds no table of a season; {do}"
    (tmp_path / "my prices.xlsx").write_bytes(b"x")
    with pytest.raises(Refusal, match=r"name the workbook in it, my prices\.xlsx"):
        costing.read_season(tmp_path)
