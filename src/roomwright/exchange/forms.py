"""The files of a house folder and their columns, shared by reader, writer, schemas and docs."""

from __future__ import annotations

from fractions import Fraction

from roomwright.exchange.columns import FAR, LONG, MANY_DAYS, ZERO, Column, Form
from roomwright.job import entities as e


def _id(name: str, says: str, field: str | None = None, *, needed: bool = True) -> Column:
    return Column(name, "id", says, field, needed, longest=80)


def _text(name: str, says: str, field: str | None = None) -> Column:
    return Column(name, "text", says, field)


def _size(name: str, says: str, *also: str, field: str | None = None) -> Column:
    return Column(name, "length", says, field, over=ZERO, most=LONG, also=also)


def _height(name: str, says: str) -> Column:
    return Column(name, "length", says, least=ZERO, most=LONG)


def _place(name: str, says: str, field: str | None = None) -> Column:
    return Column(name, "length", says, field, least=-FAR, most=FAR)


def _days(name: str, says: str, *, needed: bool = False, least: Fraction = ZERO) -> Column:
    return Column(
        name, "number", says, needed=needed, least=least, most=MANY_DAYS, halves=True
    )  # fmt: skip


def _weeks(name: str, says: str) -> Column:
    return Column(name, "number", says, least=ZERO, most=Fraction(300))


def _date(name: str, says: str) -> Column:
    return Column(name, "date", says)


def _qty(says: str) -> Column:
    return Column("qty", "count", says, needed=True, least=ZERO, most=Fraction(100_000))


def _ends(what: str) -> tuple[Column, ...]:
    which = {"a": "first", "b": "second"}
    return tuple(
        _place(n, f"{n[1]} of the {which[n[0]]} end of {what}", "")
        for n in ("ax", "ay", "bx", "by")
    )


FACES = ("stud", "board", "finished")
READINGS = ("wall", "diagonal", "opening", "height")

HOUSE = Form(
    "house.toml", e.House, "The house itself, as keys with values (TOML).",
    (
        _text("name", "what the house is called"),
        Column("site_start", "date", "the day on which work on site begins: day 0", needed=True),
        Column("work_week", "text", "the weekdays that are worked; Monday to Friday if left out"),
        Column("days_off", "date", "a list of days on which nobody works"),
        _date("written_as_of", "the day these files describe, at the start of work"),
        Column("cost_per_day", "number", "what one day's delay costs", least=ZERO,
               most=Fraction(10**9)),
        Column("inspect_days", "count", "working days to receive, open and check; 5 if left out",
               least=ZERO, most=Fraction(60)),
        Column("tape_sigma", "length", "one standard deviation of a tape reading; 1/8 if left out",
               over=ZERO, most=Fraction(2)),
        _text("figures", "the set of figures in force, by name"),
        Column("overrides", "text", "a table of figures of your own: key = value; "
               "101:key sets it for room 101 only"),
    ),
    required=True,
)  # fmt: skip

ROOMS = Form(
    "rooms.csv", e.Room, "One row a room, by its outline between finished wall faces.",
    (
        _id("room", "the room's id, as it is called on site and on paper", "id"),
        _text("name", "what the room is called"),
        Column("level", "id", "the storey: rooms of one level share one plan", needed=True,
               longest=80),
        Column("outline", "outline", "its corners A, B, C ... in order, as x y, x y, ...",
               longest=6_000),
        _size("width", "instead of an outline: its size from west to east", field=""),
        _size("depth", "with width: its size from south to north", field=""),
        Column("beside", "text", "with width and depth: the neighbor it stands beside, and the "
               "side: 103 east; then, if wanted, wall and along", ""),
        _size("ceiling", "from finished floor to ceiling"),
        Column("floor", "id", "its floor finish", longest=80),
    ),
    required=True,
    most=1_000,
)  # fmt: skip

OPENINGS = Form(
    "openings.csv", e.Opening, "One row a door or other way through a wall.",
    (
        _id("opening", "its id", "id"),
        _id("from_room", "the room on whose face its ends are given"),
        _id("to_room", "the room behind it, or out"),
        Column("kind", "choice", "how it opens", needed=True,
               choices=("swing", "swing pair", "pocket", "slide", "bifold", "cased", "open")),
        *_ends("the opening, on from_room's face or anywhere through the wall"),
        Column("wall", "id", "instead of the ends: the letter of from_room's wall; wall A runs "
               "from corner A to corner B", ""),
        Column("from_corner", "text", "with wall: the distance from the wall's first corner to the "
               "opening; or from another corner, as B 24", ""),
        _size("width", "its width; needed with wall"),
        _size("height", "its height"),
        Column("hinge", "hinge", "where it is hinged, as x y", also=("hand",)),
        _id("swings_into", "the room that the leaf swings into", needed=False),
    ),
    most=5_000,
)  # fmt: skip

WINDOWS = Form(
    "windows.csv", e.Window, "One row a window.",
    (
        _id("window", "its id", "id"),
        _id("room", "the room it lights"),
        *_ends("the window on the room's face"),
        _size("height", "the height of the window"),
        _height("sill", "from finished floor to sill"),
        _text("type", "how it opens: casement, double hung, fixed, awning ..."),
    ),
    most=5_000,
)  # fmt: skip

FIXED = Form(
    "fixed.csv", e.Fixed, "One row a thing built in.",
    (
        _id("fixed", "its id", "id"),
        _id("room", "the room it stands in"),
        _text("name", "what it is"),
        Column("outline", "outline", "its outermost reach at any height a body meets",
               needed=True, longest=6_000),
        _text("note", "anything to remember"),
    ),
    most=5_000,
)  # fmt: skip

PIECES = Form(
    "pieces.csv", e.Piece, "One row a piece of furniture, appliance or fixture that is placed.",
    (
        _id("piece", "its id", "id"),
        _id("room", "the room it stands in"),
        Column("kind", "text", "what it is: dining table, sideboard, range ...", needed=True),
        _size("width", "its size along x at turn 0"),
        _size("depth", "its size along y at turn 0"),
        _size("height", "its height"),
        _place("x", "x of its center"),
        _place("y", "y of its center"),
        Column("turn", "number", "degrees counterclockwise from above; at 0 its back faces south",
               least=Fraction(-360), most=Fraction(360)),
        _id("line", "the line of parts.csv that it is", needed=False),
        Column("uses", "uses", "your own word on a side: north walk past, east rise", ours=True),
    ),
    most=5_000,
)  # fmt: skip

LIGHTS = Form(
    "lights.csv", e.Light, "One row a ceiling box.",
    (
        _id("light", "its id", "id"),
        _id("room", "the room it hangs in"),
        _text("kind", "chandelier box, pendant box ..."),
        _place("x", "x of its center"),
        _place("y", "y of its center"),
        _id("centred_on", "the piece or fixed thing it should be centered on", needed=False),
    ),
)  # fmt: skip

STAIRS = Form(
    "stairs.csv", e.Stair, "One row a flight of stairs.",
    (
        _id("stair", "its id", "id"),
        _id("from_room", "the room at its foot"),
        _id("to_room", "the room at its head"),
        _size("width", "its clear width"),
        Column("rise_subfloor_to_subfloor", "length", "the whole rise", "rise", needed=True,
               over=ZERO, most=Fraction(600), also=("rise",)),
        Column("risers", "count", "how many risers", needed=True, least=Fraction(1),
               most=Fraction(60)),
        _size("run", "the run of one tread"),
        _size("tread_thickness", "the thickness of a finished tread"),
        _size("headroom_plumb", "headroom, plumb over the nosings", "headroom", field="headroom"),
    ),
)  # fmt: skip

FLOORS = Form(
    "floors.csv", e.Floor, "One row a floor finish.",
    (
        _id("floor", "the finish, as rooms.csv names it", "id"),
        Column("build_up", "length", "its thickness over the subfloor", needed=True, least=ZERO,
               most=Fraction(12)),
        _text("note", "anything to remember"),
    ),
)  # fmt: skip

READINGS_CSV = Form(
    "readings.csv", e.Reading, "One row a tape reading; repeated readings are rows of their own.",
    (
        _id("room", "the room"),
        _id("from", "the corner it starts from, A, B, C ... in the order of the outline",
            "from_corner"),
        _id("to", "the corner it runs to", "to_corner"),
        Column("length", "length", "what the tape read", needed=True, over=ZERO, most=LONG),
        _text("kind", "wall or diagonal"),
        Column("face", "choice", "what it was taken to", choices=FACES),
        _date("on", "the day it was taken"),
        _text("by", "who took it"),
        Column("reading", "id", "an id of its own; made from room, corners and order if left out",
               "id", longest=80, ours=True),
    ),
)  # fmt: skip

ACTIVITIES = Form(
    "activities.csv", e.Activity, "One row a piece of work that takes days; 0 days is a milestone.",
    (
        _id("activity", "its id", "id"),
        _text("name", "what is done"),
        _days("days_low", "working days if all goes well; halves allowed"),
        _days("days_likely", "working days, most likely", needed=True),
        _days("days_high", "working days if much goes wrong"),
        _text("trade", "who does it"),
        Column("rooms", "ids", "where: room ids with blanks between, or all"),
        _text("note", "anything to remember"),
    ),
)  # fmt: skip

LINKS = Form(
    "links.csv", e.Link, "One row a pair of activities of which one waits for the other.",
    (
        _id("before", "the activity that is waited for"),
        _id("after", "the activity that waits"),
        Column("kind", "choice", "how; finish to start if left out",
               choices=("finish to start", "start to start", "finish to finish",
                        "start to finish")),
        _days("lag_days", "days between; 0 if left out; less than 0 for an overlap",
              least=-MANY_DAYS),
        Column("lag_counts", "choice", "whether the lag counts working days, the default, or "
               "elapsed days as for curing", choices=("working", "elapsed")),
        _text("reason", "why"),
    ),
)  # fmt: skip

PROGRESS = Form(
    "progress.csv", e.Progress, "One row an activity that has begun, as of written_as_of.",
    (
        _id("activity", "the activity", "id"),
        _date("started", "its first day"),
        _date("finished", "the last day worked"),
        _days("days_left", "working days still to do"),
    ),
)  # fmt: skip

CLASSES = Form(
    "classes.csv", e.PartClass, "One row a class of things bought alike.",
    (
        _id("class", "its id", "id"),
        _text("name", "what it is"),
        _text("facts_on_the_cut_sheet", "the facts to find on its cut sheet", "facts"),
        _id("needed_by", "the activity whose start needs it"),
        _id("order_after", "the measure that must be done before it can be ordered",
            needed=False),
        _weeks("lead_weeks_low", "weeks from order to delivery, at best"),
        _weeks("lead_weeks_high", "weeks from order to delivery, to count on"),
        _text("basis", "where the lead comes from"),
    ),
)  # fmt: skip

COMPANIONS = Form(
    "companions.csv", e.Companion, "One row a part or work that goes with each item of a class.",
    (
        _id("class", "the class", "part_class"),
        Column("part", "text", "the part", needed=True, longest=200),
        Column("per_item", "number", "how many for each item; 1 if left out", least=ZERO,
               most=Fraction(10_000)),
        _text("when", "a condition in words: not counted until it is answered"),
        Column("stage", "text", "framing, rough-in or finish; finish if left out"),
        _text("brought_by", "who brings it"),
        Column("kind", "choice", "part or work; part if left out", choices=("part", "work")),
    ),
)  # fmt: skip

PARTS = Form(
    "parts.csv", e.Part, "One row a line of the plan: so many of a class in a room.",
    (
        _id("line", "its id", "id"),
        _id("room", "the room"),
        _id("class", "the class", "part_class"),
        _qty("how many"),
        Column("bought_by", "text", "who buys it: owner, or a trade; the builder if left out",
               ours=True),
        _text("note", "size, hand, color: what tells it from others of its class"),
    ),
)  # fmt: skip

ORDERS = Form(
    "orders.csv", e.Order, "One row a line of an order.",
    (
        _id("order", "the order's id"),
        _text("maker", "who makes or sells it"),
        _id("line", "the line of parts.csv that it is for"),
        _qty("how many were ordered"),
        _date("placed", "the day it was ordered"),
        _date("promised", "the day it is promised for"),
        _text("note", "what was said"),
    ),
)  # fmt: skip

RECEIPTS = Form(
    "receipts.csv", e.Receipt, "One row what came against a line of an order.",
    (
        _id("receipt", "its id", "id"),
        _id("order", "the order"),
        _id("line", "the line of parts.csv"),
        _qty("how many came"),
        _date("on", "the day it came"),
        _text("note", "damage, wrong color: what was seen when it was opened"),
    ),
)  # fmt: skip

POSTED = Form(
    "posted.csv", e.Posting, "One row a wall sheet that was hung.",
    (
        _id("room", "the room"),
        _text("trade", "for whom"),
        _text("revision", "its revision"),
        _date("posted", "the day it was hung"),
        _text("note", "anything to remember"),
        Column("taken_down", "date", "the day it came off the wall", ours=True),
        Column("code", "text", "the sheet code printed on it", ours=True),
        Column("content", "text", "what it said, as the program keeps it", ours=True,
               longest=100_000),
    ),
)  # fmt: skip

CONTACTS = Form(
    "contacts.csv", e.Contact, "One row a trade, and who to call.",
    (
        _id("trade", "the trade", "id"),
        _text("name", "the firm or person"),
        _text("phone", "the number"),
    ),
)  # fmt: skip

TABLES: tuple[Form, ...] = (
    ROOMS, OPENINGS, WINDOWS, FIXED, PIECES, LIGHTS, STAIRS, FLOORS, READINGS_CSV, ACTIVITIES,
    LINKS, PROGRESS, CLASSES, COMPANIONS, PARTS, ORDERS, RECEIPTS, POSTED, CONTACTS,
)  # fmt: skip
FORMS: tuple[Form, ...] = (HOUSE, *TABLES)
FORM_OF: dict[str, Form] = {form.kind.kind_name: form for form in FORMS}
"""Kind of fact -> the file it stands in."""
