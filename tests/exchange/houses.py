"""A small right house as files, and ways to make it wrong."""

from roomwright.exchange.folder import FolderError, Loaded, read_files

GOOD = {
    "house.toml": 'name = "Ours"\nsite_start = 2027-01-18\nwritten_as_of = 2027-03-29\n',
    "rooms.csv": (
        "room,name,level,outline,ceiling,floor\n"
        '1,Hall,1,"0 0, 100 0, 100 80, 0 80",96,oak\n'
        '2,Den,1,"104 1/2 0, 200 0, 200 80, 104 1/2 80",96,oak\n'
    ),
    "openings.csv": (
        "opening,from_room,to_room,kind,ax,ay,bx,by,width,height,hinge,swings_into\n"
        "D1,1,2,swing,100,20,100,52,32,80,100 20,2\n"
    ),
    "windows.csv": "window,room,ax,ay,bx,by,height,sill,type\nW1,1,20,0,56,0,48,30,fixed\n",
    "fixed.csv": 'fixed,room,name,outline,note\nX1,1,bench,"0 60, 18 60, 18 80, 0 80",\n',
    "pieces.csv": (
        "piece,room,kind,width,depth,height,x,y,turn,line\nT1,2,desk,60,30,30,160,40,0,L1\n"
    ),
    "lights.csv": "light,room,kind,x,y,centred_on\nC1,2,pendant box,160,40,T1\n",
    "stairs.csv": "stair,from_room,to_room,rise,risers\nS1,1,2,110,14\n",
    "floors.csv": "floor,build_up\noak,0 3/4\n",
    "readings.csv": "room,from,to,length,kind,face,on,by\n1,A,B,100 1/8,wall,board,2027-03-24,us\n",
    "activities.csv": (
        "activity,name,days_low,days_likely,days_high,trade,rooms\n"
        "A1,measure,1,1,2,us,all\nA2,make,1,2,3,us,1 2\nA3,set,,1,,us,1\n"
    ),
    "links.csv": (
        "before,after,kind,lag_days,lag_counts\nA1,A2,,,\nA2,A3,start to start,1,elapsed\n"
    ),
    "progress.csv": "activity,started,finished,days_left\nA1,2027-03-22,2027-03-22,\n",
    "classes.csv": (
        "class,name,needed_by,order_after,lead_weeks_low,lead_weeks_high\nDESK,Desk,A3,A1,1,2\n"
    ),
    "companions.csv": "class,part,per_item,when,stage,brought_by,kind\nDESK,feet,4,,,us,\n",
    "parts.csv": "line,room,class,qty,note\nL1,2,DESK,2,\n",
    "orders.csv": "order,maker,line,qty,placed,promised\nP1,Us,L1,2,2027-03-23,2027-04-01\n",
    "receipts.csv": "receipt,order,line,qty,on\nR1,P1,L1,1,2027-03-26\n",
    "posted.csv": "room,trade,revision,posted\n1,tile,A,2027-03-20\n",
    "contacts.csv": "trade,name,phone\nus,Us,555-0140\n",
}


def read(**texts: str | bytes) -> Loaded:
    """Read the good house with some files put in place of its own; `rooms=...` is rooms.csv."""
    files = dict(GOOD)
    for name, text in texts.items():
        files["house.toml" if name == "house" else f"{name}.csv"] = text
    return read_files({n: t if isinstance(t, bytes) else t.encode() for n, t in files.items()})


def wrong(**texts: str | bytes) -> list[str]:
    """Return the errors of the house so changed, as a builder reads them."""
    try:
        read(**texts)
    except FolderError as no:
        return [str(p) for p in no.problems]
    return []


def warned(**texts: str | bytes) -> list[str]:
    """Return the warnings of the house so changed."""
    return [str(p) for p in read(**texts).warnings]


def swap(file: str, old: str, new: str) -> dict[str, str]:
    """Return a file of the good house with one piece of text replaced, ready for `wrong`."""
    name = f"{file}.csv" if file != "house" else "house.toml"
    assert old in GOOD[name], f"{old!r} is not in {name}"
    return {file: GOOD[name].replace(old, new, 1)}


def add(file: str, row: str) -> dict[str, str]:
    """Return a file of the good house with one row more."""
    return {file: GOOD[f"{file}.csv"] + row + "\n"}
