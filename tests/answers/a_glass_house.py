"""A small house of our own with lead chains: shower glass made to a measure, oak that acclimates.

Site: tile 10 days, then glass 1; floor 5 days, then done. As of Mar 29, 2027, day 0 is Mar 1.
"""

from datetime import date

from roomwright.answers.engine import Answers
from roomwright.exchange.folder import read_files

FILES = {
    "house.toml": 'name = "Glass"\nsite_start = 2027-03-01\nwritten_as_of = 2027-03-29\n',
    "rooms.csv": 'room,name,level,outline\n1,Bath,1,"0 0, 100 0, 100 80, 0 80"\n',
    "activities.csv": (
        "activity,name,days_likely,trade,rooms\nTILE,Tile shower,10,tile,1\n"
        "CURB,Stone curb,1,tile,1\nGLASS,Set glass,1,glazier,1\nFLOOR,Lay oak,5,floors,1\n"
        "DONE,Move in,0,,1\n"
    ),
    "links.csv": "before,after\nTILE,GLASS\nTILE,CURB\nGLASS,DONE\nFLOOR,DONE\nCURB,DONE\n",
    "classes.csv": (
        "class,name,needed_by,lead_weeks_low,lead_weeks_high,basis\n"
        "PANEL,Shower glass,GLASS,2,4,a guess\nOAK,Oak floor,FLOOR,1,2,a guess\n"
    ),
    "parts.csv": "line,room,class,qty\nL1,1,PANEL,2\nL2,1,OAK,10\n",
    "steps.csv": (
        "class,line,step,days_low,days_likely,days_high,counts\n"
        "PANEL,,decide,,1,,\nPANEL,,measure,,1,,\nPANEL,,make,8,10,15,\nPANEL,,ship,1,2,4,\n"
        "PANEL,,receive,,1,,\nOAK,,make,3,5,8,\nOAK,,hold,,7,,elapsed\n"
    ),
    "measures.csv": "class,after,expires_by,words\nPANEL,TILE,CURB,tile grouted\n",
    "vendors.csv": "vendor,name,phone,claim_days\nQuarry,Quarry Glass,555-0150,5\n",
}
ORDERS = "order,maker,line,qty,placed,promised\n"
TILED = "activity,started,finished\nTILE,2027-03-08,2027-03-19\n"


def glass_house(as_of: date = date(2027, 3, 29), **texts: str) -> Answers:
    """The house with some of its files as given; `orders=...` is the rows of orders.csv."""
    files = {**FILES, **{f"{n}.csv": t for n, t in texts.items()}}
    if "orders" in texts:
        files["orders.csv"] = ORDERS + texts["orders"]
    if "events" in texts:
        files["events.csv"] = "event,what,order,line,qty,on,day\n" + texts["events"]
    if "receipts" in texts:
        files["receipts.csv"] = "receipt,order,line,qty,on\n" + texts["receipts"]
    return Answers(read_files({n: t.encode() for n, t in files.items()}).facts, as_of=as_of)
