"""A small workshop's season with nothing wrong in it, and what is doubted when a few cells of it are typed otherwise."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping
from typing import Any

import costing
from tests.doubts.small import told

TABLES = {
    "purchases": """\
bought_on,supplier,invoice,item,packs,size,unit,paid,tax,currency,rate
2026-01-12,Oddmere Oils,O-101,Olive oil,1,20,L,201.60,33.60,,
2026-01-12,Oddmere Oils,O-101,Coconut oil,1,10,kg,66.00,11.00,,
2026-01-12,Oddmere Oils,O-101,delivery,1,,,18.00,3.00,,
2026-01-20,Halewick Trade,4410,Caustic soda,2,5,kg,60.00,10.00,,
2026-01-20,Halewick Trade,4410,glycerin,1,5,kg,27.00,4.50,,
2026-01-20,Halewick Trade,4410,Stearic acid,1,5,kg,29.40,4.90,,
2026-01-20,Halewick Trade,4410,Lavender oil,2,250,mL,78.00,13.00,,
2026-01-20,Halewick Trade,4410,kaolin,1,1,kg,8.40,1.40,,
2026-01-20,Halewick Trade,4410,phenoxyethanol,1,500,g,19.20,3.20,,
2026-01-20,Halewick Trade,4410,delivery,1,,,14.40,2.40,,
2026-02-03,Tolbrook Glass,TG-7,Jar 100 mL,120,1,piece,72.00,12.00,,
2026-02-03,Tolbrook Glass,TG-7,Jar 200 mL,120,1,piece,100.80,16.80,,
2026-02-03,Tolbrook Glass,TG-7,Jar 300 mL,5,1,dozen,66.00,11.00,,
2026-02-03,Tolbrook Glass,TG-7,Small lid,240,1,piece,60.00,10.00,,
2026-02-03,Tolbrook Glass,TG-7,Large lid,60,1,piece,21.60,3.60,,
2026-02-03,Tolbrook Glass,TG-7,Round label,500,1,piece,60.00,10.00,,
2026-02-03,Tolbrook Glass,TG-7,Paper wrap,300,1,piece,36.00,6.00,,
2026-02-03,Tolbrook Glass,TG-7,delivery,1,,,24.00,4.00,,
2026-02-20,Quillon Mills,Q31,White sugar,1,25,kg,38.00,0,USD,0.80
2026-02-20,Quillon Mills,Q31,delivery,1,,,9.00,0,USD,0.80
2026-03-02,,,water,1,500,L,1.20,0,,
2026-05-11,Oddmere Oils,O-166,Olive oil,1,20,L,208.80,34.80,,
2026-05-11,Oddmere Oils,O-166,Coconut oil,1,10,kg,69.60,11.60,,
2026-05-11,Oddmere Oils,O-166,delivery,1,,,18.00,3.00,,
2026-06-09,Oddmere Oils,O-181,Olive oil,1,20,L,210.00,35.00,,
2026-06-15,Quillon Mills,Q58,White sugar,1,25,kg,39.00,0,USD,0.79
2026-06-15,Quillon Mills,Q58,delivery,1,,,9.00,0,USD,0.79
""",
    "items": """\
item,on_hand,density,quote
kaolin,600,,
Lavender oil,250,,
Small lid,150,,
Paper wrap,120,,
Olive oil,9000,,11
""",
    "formulas": """\
formula,batch_grams
Lavender bar,5000
Plain bar,6000
Shreds,2500
Lavender cream,3000
White cream,2500
Lavender scrub,3000
""",
    "lines": """\
formula,step,item,percent
Lavender bar,lye,Caustic soda,9.4
Lavender bar,lye,water,20.6
Lavender bar,blend,Olive oil,48
Lavender bar,blend,Coconut oil,20
Lavender bar,blend,Lavender oil,1.5
Lavender bar,blend,kaolin,0.5
Plain bar,lye,Caustic soda,9.5
Plain bar,lye,water,20.5
Plain bar,blend,Olive oil,50
Plain bar,blend,Coconut oil,20
Shreds,grate,Plain bar/bars,85
Shreds,grate,Plain bar/trimmings,15
Lavender cream,melt,Shreds,35
Lavender cream,melt,water,36
Lavender cream,melt,glycerin,17
Lavender cream,melt,Stearic acid,10
Lavender cream,whip,phenoxyethanol,0.9
Lavender cream,whip,Lavender oil,1.1
White cream,melt,Shreds,36
White cream,melt,water,36
White cream,melt,glycerin,16
White cream,melt,Stearic acid,10
White cream,whip,phenoxyethanol,1
White cream,whip,kaolin,1
Lavender scrub,fold,Lavender cream,59
Lavender scrub,fold,White sugar,40.6
Lavender scrub,fold,phenoxyethanol,0.4
""",
    "steps": """\
formula,step,minutes,watts,hours,loss_percent
Lavender bar,lye,10,,,
Lavender bar,blend,30,1200,0.5,0.6
Lavender bar,cure,10,100,30,12
Plain bar,lye,10,,,
Plain bar,blend,30,1200,0.5,0.6
Plain bar,cure,10,100,30,12
Shreds,grate,25,200,0.4,1
Shreds,dry,6,150,5,4
Lavender cream,melt,20,1000,1,2.5
Lavender cream,whip,25,500,0.5,1.5
White cream,melt,20,1000,1,2.5
White cream,whip,25,500,0.5,1.5
Lavender scrub,fold,15,,,1
""",
    "outputs": """\
formula,output,percent,valued,price_per_kg
Lavender bar,bars,91,weight,
Lavender bar,trimmings,9,set,4
Plain bar,bars,88,weight,
Plain bar,trimmings,12,weight,
""",
    "tubs": """\
tub,part,count
Wrap,Paper wrap,1
Small,Jar 100 mL,1
Small,Small lid,1
Small,Round label,1
Medium,Jar 200 mL,1
Medium,Small lid,1
Medium,Round label,2
Large,Jar 300 mL,1
Large,Large lid,1
Large,Round label,2
""",
    "products": """\
product,filled_with,tub,fill_grams,label_grams,minutes,waste_percent
Lavender bar 100 g,Lavender bar/bars,Wrap,102,100,1,2
Plain bar 110 g,Plain bar/bars,Wrap,112,110,1,2
Lavender cream 60 g,Lavender cream,Small,61,60,2,3
Lavender cream 120 g,Lavender cream,Medium,121,120,2.5,2
White cream 120 g,White cream,Medium,121,120,2.5,2
Lavender scrub 240 g,Lavender scrub,Large,242,240,3,1.5
""",
    "channels": """\
channel,sales_tax_percent,fee_percent,fee_each,parcel_each,margin_percent
Market,20,1.5,,,35
Post,20,2.9,0.30,4.40,30
Shop,20,,,,25
""",
    "prices": """\
product,channel,planned,price
Lavender bar 100 g,Market,110,8.00
Plain bar 110 g,Market,90,7.50
Lavender cream 60 g,Market,60,
Lavender cream 120 g,Market,50,
Lavender cream 120 g,Post,20,
White cream 120 g,Market,30,
Lavender scrub 240 g,Market,30,
Lavender scrub 240 g,Shop,15,
""",
    "overheads": """\
overhead,amount,shared_by
Stall,320,units
Insurance,110,units
Rent,540,grams
Gloves,60,minutes
""",
}
SETTINGS = {
    "name": "A small workshop", "currency": "GBP", "priced_on": "2026-07-01", "hourly_rate": "12", "power_price": "0.28",
    "reclaims_tax": "yes",
}  # fmt: skip
Row = dict[str, Any]
CLEAN: dict[str, list[Row]] = {
    name: [{key: cell for key, cell in row.items() if cell} for row in csv.DictReader(text.splitlines())]
    for name, text in TABLES.items()
}


Tables = dict[str, list[Row]]
Change = Callable[[Tables], None]


def workshop(*changes: Change) -> costing.Season:
    """Return the season costed, with what was typed otherwise."""
    tables = {name: [dict(each) for each in rows] for name, rows in CLEAN.items()} | {"season": [dict(SETTINGS)]}
    for change in changes:
        change(tables)
    (settings,) = tables.pop("season")
    return costing.cost(costing.records_from(season=settings, **tables))


def doubted(*changes: Change) -> list[str]:
    """Return what is doubted once something is typed otherwise."""
    return told(workshop(*changes))


def typed(table: str, cells: Mapping[str, str], **where: str) -> Change:
    """Type some cells of the last row that has these ones otherwise; an empty text clears a cell."""

    def change(tables: Tables) -> None:
        row = _last(tables[table], where)
        row |= cells
        for key in [key for key, cell in row.items() if not cell]:
            del row[key]

    return change


def added(table: str, **row: str) -> Change:
    """Add a row to the end of a table."""
    return lambda tables: tables.setdefault(table, []).append(row)


def left_out(table: str, **where: str) -> Change:
    """Leave out the last row that has these cells."""
    return lambda tables: tables[table].remove(_last(tables[table], where))


def _last(rows: list[Row], where: Mapping[str, str]) -> Row:
    return next(row for row in reversed(rows) if where.items() <= row.items())
