"""A very small season, of a few rows in every table that carrying has to do with. All names and figures are invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import costing

FILES = {
    "season": """\
key,value
name,Driftwood Shed in spring
currency,NZD
priced_on,2026-11-01
stale_days,180
hourly_rate,28
power_price,0.34
reclaims_tax,yes
""",
    "purchases": """\
bought_on,supplier,invoice,item,packs,size,unit,paid,tax,currency,rate,note
2025-05-12,Brackmoss Supply,BM-1042,castor-oil,1,5,L,66.70,8.70,,,
2025-05-12,Brackmoss Supply,BM-1042,delivery,,,,5.75,0.75,,,
2025-09-15,Wattlemere Ingredients,W7902,kaolin,1,500,g,29.00,0,AUD,1.09,
2025-09-15,Wattlemere Ingredients,W7902,discount,,,,6.50,0,AUD,1.09,welcome discount
2026-07-31,,,water,1,1000,L,2.60,0.34,,,metered town water
2026-07-31,,,sodium-hydroxide,1,5,kg,43.10,,,,
2026-07-31,,,white-sugar,2,10,kg,52,,,,
2026-07-31,,,jar,100,1,piece,120,,,,
2026-07-31,,,label,500,1,piece,60,,,,
""",
    "items": """\
item,name,kind,label_name,density,on_hand,quote,highest_percent,source,note
castor-oil,,,,,1450,,,,
kaolin,,,,,720,,,,
jar,Jar 100 mL,packaging,,,92,,,,
label,"Label, small",packaging,,,1180,,,,
""",
    "formulas": """\
formula,name,batch_grams,note
bar,Castor bar,1000,
whip,Whipped soap,1000,
scrub,Sugar scrub,1000,
""",
    "steps": """\
formula,step,minutes,watts,hours,loss_percent
bar,lye,10,,,
bar,blend,30,1400,0.5,0.8
bar,cut,25,0,0,0.4
bar,cure,10,180,20,11
whip,melt,15,1200,1.2,2.5
whip,whip,25,500,0.4,1.5
scrub,fold,15,0,0,1
""",
    "lines": """\
formula,step,item,percent,grams
bar,lye,sodium-hydroxide,8,
bar,lye,water,20,
bar,blend,castor-oil,72,
whip,melt,bar/trimmings,60,
whip,melt,water,39.3,
whip,whip,kaolin,0.7,
scrub,fold,whip,60,
scrub,fold,white-sugar,39.8,
scrub,fold,castor-oil,0.2,
""",
    "outputs": """\
formula,output,percent,valued,price_per_kg
bar,bars,60,weight,
bar,trimmings,40,set,6.00
""",
    "tubs": """\
tub,part,count
jar-100,jar,1
jar-100,label,2
""",
    "products": """\
product,name,filled_with,tub,fill_grams,label_grams,minutes,waste_percent
whip-60,Whipped soap 60 g,whip,jar-100,61,60,2,3
whip-90,Whipped soap 90 g,whip,jar-100,91,90,2,3
scrub-90,Sugar scrub 90 g,scrub,jar-100,91,90,2.5,2
""",
    "channels": """\
channel,name,sales_tax_percent,shown_with_tax,fee_percent,fee_each,parcel_each,margin_percent
stall,Market stall,15,yes,1.6,0,0,35
shops,Shops,15,no,0,0,0,20
""",
    "prices": """\
product,channel,planned,price
whip-60,stall,110,8.00
whip-60,shops,40,
scrub-90,stall,90,
""",
    "overheads": """\
overhead,amount,shared_by
stall-fees,640,units
insurance,310,units
""",
}


def small_folder(folder: Path) -> Path:
    """Write the season as a folder of CSV files."""
    folder.mkdir(parents=True)
    for name, text in FILES.items():
        (folder / f"{name}.csv").write_bytes(text.encode("utf-8"))
    return folder


@cache
def small_season() -> costing.Season:
    """Return the season, costed."""
    from tempfile import TemporaryDirectory  # noqa: PLC0415

    with TemporaryDirectory() as scratch:
        return costing.cost(costing.read_season(small_folder(Path(scratch) / "season")))
