"""What a maker wrote with its unit in one cell is still a season after an edit made in the workbook was carried there."""

from __future__ import annotations

from pathlib import Path

import openpyxl

import costing

TABLES = {
    "season": "key,value\nname,Small\ncurrency,EUR\npriced_on,2026-11-01\nreclaims_tax,ja\n",
    "purchases": (
        "bought_on,item,size,unit,paid,tax_percent\n02/01/2026,Oil,25 kg,,100 €,23 %\n15/01/2026,Jar,1,piece,1,\n"
        "03/01/2026,WATER,5 kg,g,0.5,\n"
    ),
    "formulas": "formula,batch_grams\nMix,2 kg\n",
    "lines": "formula,step,item,percent\nMix,mix,oil,50\nMix,mix,Water,50\n",
    "tubs": "tub,part\nPot,Jar\n",
    "products": "product,filled_with,tub,fill_grams\nSoft soap,Mix,Pot,50\n",
    "channels": "channel,margin_percent\nStall,30\n",
}


def test_size_and_unit_in_one_cell_are_parted_when_one_changes(tmp_path: Path) -> None:
    """An edited size is written with its unit beside it; rows that nobody touched keep the writing of their maker."""
    folder, book = tmp_path / "season", tmp_path / "prices.xlsx"
    folder.mkdir()
    for name, text in TABLES.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    costing.export(costing.cost(costing.read_season(folder)), book)
    _retype(book, {25: 30, 0.23: 0.06})
    planned = costing.plan_carrying(book, folder)
    assert [str(change) for change in planned.changes] == ["purchases: 2026-01-02 Oil: size 25 → 30, tax_percent 23 → 6"]
    costing.carry(planned)
    assert (folder / "purchases.csv").read_text(encoding="utf-8").splitlines()[1:] == [
        "02/01/2026,Oil,30,kg,100 €,6", "15/01/2026,Jar,1,piece,1,", "03/01/2026,WATER,5 kg,g,0.5,",
    ]  # fmt: skip
    row = costing.cost(costing.read_season(folder)).purchases.rows[0]
    assert (row.grams, round(row.borne, 6)) == (30_000, round(100 / 1.06, 6))


def _retype(book: Path, anew: dict[float, float]) -> None:
    opened = openpyxl.load_workbook(book)
    for cells in opened["Purchases"].iter_rows():
        for cell in cells:
            if isinstance(cell.value, int | float) and cell.value in anew:
                cell.value = anew[cell.value]
    opened.save(book)
