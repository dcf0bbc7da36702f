"""The files of a house folder that hold its plan: rooms, openings, pieces, the tape."""

from __future__ import annotations

from fractions import Fraction

from roomwright.exchange.columns import (
    LONG,
    ZERO,
    Column,
    Form,
    day,
    ends,
    height,
    id_,
    place,
    size,
    text,
)
from roomwright.job import entities as e

FACES = ("stud", "board", "finished")
READINGS = ("wall", "diagonal", "opening", "height")

HOUSE = Form(
    "house.toml", e.House, "The house itself, as keys with values (TOML).",
    (
        text("name", "what the house is called"),
        Column("site_start", "date", "the day on which work on site begins: day 0", needed=True),
        Column("work_week", "text", "the weekdays that are worked; Monday to Friday if left out"),
        Column("days_off", "date", "a list of days on which nobody works"),
        day("written_as_of", "the day these files describe, at the start of work"),
        Column("cost_per_day", "number", "what one day's delay costs", least=ZERO,
               most=Fraction(10**9)),
        Column("inspect_days", "count", "working days to receive, open and check; 5 if left out",
               least=ZERO, most=Fraction(60)),
        Column("tape_sigma", "length", "one standard deviation of a tape reading; 1/8 if left out",
               over=ZERO, most=Fraction(2)),
        text("figures", "the set of figures in force, by name"),
        Column("overrides", "text", "a table of figures of your own: key = value; "
               "101:key sets it for room 101 only"),
    ),
    required=True,
)  # fmt: skip

ROOMS = Form(
    "rooms.csv", e.Room, "One row a room, by its outline between finished wall faces.",
    (
        id_("room", "the room's id, as it is called on site and on paper", "id"),
        text("name", "what the room is called"),
        Column("level", "id", "the storey: rooms of one level share one plan", needed=True,
               longest=80),
        Column("outline", "outline", "its corners A, B, C ... in order, as x y, x y, ...",
               longest=6_000),
        size("width", "instead of an outline: its size from west to east", field=""),
        size("depth", "with width: its size from south to north", field=""),
        Column("beside", "text", "with width and depth: the neighbor it stands beside, and the "
               "side: 103 east; then, if wanted, wall and along", ""),
        size("ceiling", "from finished floor to ceiling"),
        Column("floor", "id", "its floor finish", longest=80),
        Column("use", "text", "what people do in it, where its name does not say: bedroom, bath, "
               "kitchen ...", ours=True),
        Column("face", "choice", "the face of the walls that the outline was taken to; finished "
               "if left out", choices=FACES, ours=True),
        Column("planned", "outline", "what was drawn before the outline was taken from the tape",
               longest=6_000, ours=True),
        Column("measured_on", "date", "the day of the tape that the outline rests on", ours=True),
        Column("measured_by", "text", "who taped it", ours=True),
    ),
    required=True,
    most=1_000,
)  # fmt: skip

OPENINGS = Form(
    "openings.csv", e.Opening, "One row a door or other way through a wall.",
    (
        id_("opening", "its id", "id"),
        id_("from_room", "the room on whose face its ends are given"),
        id_("to_room", "the room behind it, or out"),
        Column("kind", "choice", "how it opens", needed=True,
               choices=("swing", "swing pair", "pocket", "slide", "bifold", "cased", "open")),
        *ends("the opening, on from_room's face or anywhere through the wall"),
        Column("wall", "id", "instead of the ends: the letter of from_room's wall; wall A runs "
               "from corner A to corner B", ""),
        Column("from_corner", "text", "with wall: the distance from the wall's first corner to the "
               "opening; or from another corner, as B 24", ""),
        size("width", "its width; needed with wall"),
        size("height", "its height"),
        Column("hinge", "hinge", "where it is hinged, as x y", also=("hand",)),
        id_("swings_into", "the room that the leaf swings into", needed=False),
    ),
    most=5_000,
)  # fmt: skip

WINDOWS = Form(
    "windows.csv", e.Window, "One row a window.",
    (
        id_("window", "its id", "id"),
        id_("room", "the room it lights"),
        *ends("the window on the room's face"),
        size("height", "the height of the window"),
        height("sill", "from finished floor to sill"),
        text("type", "how it opens: casement, double hung, fixed, awning ..."),
        size("clear_width", "the clear opening when open, from the cut sheet: its width"),
        size("clear_height", "the clear opening when open: its height"),
    ),
    most=5_000,
)  # fmt: skip

FIXED = Form(
    "fixed.csv", e.Fixed, "One row a thing built in.",
    (
        id_("fixed", "its id", "id"),
        id_("room", "the room it stands in"),
        text("name", "what it is"),
        Column("outline", "outline", "its outermost reach at any height a body meets",
               needed=True, longest=6_000),
        Column("low", "length", "where it begins over the floor, if not on it", least=ZERO,
               most=LONG, ours=True),
        Column("high", "length", "where it ends: the top of a half wall, a counter", over=ZERO,
               most=LONG, ours=True),
        text("note", "anything to remember"),
    ),
    most=5_000,
)  # fmt: skip

PIECES = Form(
    "pieces.csv", e.Piece, "One row a piece of furniture, appliance or fixture that is placed.",
    (
        id_("piece", "its id", "id"),
        id_("room", "the room it stands in"),
        Column("kind", "text", "what it is: dining table, sideboard, range ...", needed=True),
        size("width", "its size along x at turn 0"),
        size("depth", "its size along y at turn 0"),
        size("height", "its height"),
        place("x", "x of its center"),
        place("y", "y of its center"),
        Column("turn", "number", "degrees counterclockwise from above; at 0 its back faces south",
               least=Fraction(-360), most=Fraction(360)),
        id_("line", "the line of parts.csv that it is", needed=False),
        Column("outline", "outline", "its own shape about its center at turn 0, if it is no "
               "rectangle", longest=6_000, ours=True),
        Column("features", "text", "what tells it from others of its kind: legs pedestal; leaf 18",
               ours=True),
        Column("centred_on", "id", "the piece, fixed thing, window or light that it should be "
               "centered on", longest=80, ours=True),
        Column("uses", "uses", "your own word on a side: north walk past, east rise", ours=True),
    ),
    most=5_000,
)  # fmt: skip

LIGHTS = Form(
    "lights.csv", e.Light, "One row a ceiling box.",
    (
        id_("light", "its id", "id"),
        id_("room", "the room it hangs in"),
        text("kind", "chandelier box, pendant box ..."),
        place("x", "x of its center"),
        place("y", "y of its center"),
        id_("centred_on", "the piece, fixed thing or window to center it on", needed=False),
    ),
)  # fmt: skip

STAIRS = Form(
    "stairs.csv", e.Stair, "One row a flight of stairs.",
    (
        id_("stair", "its id", "id"),
        id_("from_room", "the room at its foot"),
        id_("to_room", "the room at its head"),
        size("width", "its clear width"),
        Column("rise_subfloor_to_subfloor", "length", "the whole rise", "rise", needed=True,
               over=ZERO, most=Fraction(600), also=("rise",)),
        Column("risers", "count", "how many risers", needed=True, least=Fraction(1),
               most=Fraction(60)),
        size("run", "the run of one tread"),
        size("tread_thickness", "the thickness of a finished tread"),
        size("headroom_plumb", "headroom, plumb over the nosings", "headroom", field="headroom"),
    ),
)  # fmt: skip

FLOORS = Form(
    "floors.csv", e.Floor, "One row a floor finish.",
    (
        id_("floor", "the finish, as rooms.csv names it", "id"),
        Column("build_up", "length", "its thickness over the subfloor", needed=True, least=ZERO,
               most=Fraction(12)),
        text("note", "anything to remember"),
    ),
)  # fmt: skip

READINGS_CSV = Form(
    "readings.csv", e.Reading, "One row a tape reading; repeated readings are rows of their own.",
    (
        id_("room", "the room"),
        id_("from", "the corner it starts from, A, B, C ... in the order of the outline; or "
            "middle, for a height", "from_corner"),
        id_("to", "the corner it runs to; ceiling, for a height; D4 near or D4 far, for the "
            "offset of an opening or window", "to_corner"),
        Column("length", "length", "what the tape read", needed=True, over=ZERO, most=LONG),
        text("kind", "wall, diagonal, height or offset"),
        Column("face", "choice", "what it was taken to", choices=FACES),
        day("on", "the day it was taken"),
        text("by", "who took it"),
        Column("reading", "id", "an id of its own; made from room, corners and order if left out",
               "id", longest=80, ours=True),
        Column("aside", "choice", "yes: kept, but not used", choices=("yes",), ours=True),
        Column("note", "text", "anything to remember", ours=True),
    ),
)  # fmt: skip

WALLS = Form(
    "walls.csv", e.Wall, "One row a wall of a room whose layers are known.",
    (
        id_("room", "the room"),
        id_("from", "the corner it runs from, A, B, C ... in the order of the outline",
            "from_corner"),
        id_("to", "the next corner", "to_corner"),
        Column("board", "length", "the thickness of the board on the studs", least=ZERO,
               most=Fraction(24)),
        Column("finish", "length", "the thickness of what stands on the board: tile and bond",
               least=ZERO, most=Fraction(24)),
        text("note", "what the finish is"),
    ),
)  # fmt: skip

SLOPES = Form(
    "slopes.csv", e.Slope, "One row a sloped part of a ceiling.",
    (
        id_("slope", "its id", "id"),
        id_("room", "the room"),
        *ends("the line over which it is lowest"),
        Column("low", "length", "its height over the finished floor at that line", needed=True,
               least=ZERO, most=LONG),
        Column("pitch", "number", "inches of rise in 12 of run, into the room", needed=True,
               over=ZERO, most=Fraction(1_000)),
    ),
)  # fmt: skip

WALKS = Form(
    "walks.csv", e.Walk, "One row a pair of uses of rooms between which people walk.",
    (
        id_("from_use", "the use of a room: bedroom, entry, kitchen ..."),
        id_("to_use", "the use of another"),
        Column("standing", "choice", "main or other; main if left out",
               choices=("main", "other")),
        text("note", "why"),
    ),
)  # fmt: skip

KINDS = Form(
    "kinds.csv", e.PieceKind, "One row a kind of piece of your own.",
    (
        id_("kind", "its name, as pieces.csv calls it", "id"),
        text("like", "the kind it is like in what is not said here"),
        text("also", "its other names, with commas between"),
        *(text(side, f"the room it needs {where}, and for what: 36 open the drawers")
          for side, where in (("front", "before it"), ("back", "behind it"),
                              ("left", "at its left"), ("right", "at its right"),
                              ("around", "all around"))),
        text("note", "where the figures come from"),
    ),
)  # fmt: skip

SKETCHES = Form(
    "sketches.csv", e.Sketch, "One row a chain of walls that is no room yet.",
    (
        id_("sketch", "its id", "id"),
        Column("level", "id", "the storey it is drawn on", needed=True, longest=80),
        Column("start", "point", "where it begins, as x y; 0 0 if left out"),
        text("walls", "the walls in words: 12 4 1/2 east, 9 south, close"),
        text("name", "what the room is to be called"),
    ),
    most=1_000,
)  # fmt: skip

BACKDROPS = Form(
    "backdrops.csv", e.Backdrop, "One row a level that is traced over a scanned plan.",
    (
        id_("level", "the storey", "id"),
        Column("picture", "text", "the sha256 of the picture; it stands as pictures/SHA256.png",
               needed=True, longest=64),
        text("file", "the file it was made from"),
        Column("page", "count", "the page of that file; 1 if left out", least=Fraction(1),
               most=Fraction(10_000)),
        Column("wide", "count", "width of the picture in pixels", needed=True, least=Fraction(1),
               most=Fraction(20_000)),
        Column("high", "count", "height of the picture in pixels", needed=True, least=Fraction(1),
               most=Fraction(20_000)),
        Column("a", "point", "the first known point, in pixels from the top left"),
        Column("b", "point", "the second known point"),
        size("distance", "from a to b in the house"),
        Column("runs", "number", "the direction from a to b, in degrees counterclockwise from "
               "east", least=Fraction(-360), most=Fraction(360)),
        Column("at", "point", "where a lies in the house, as x y; 0 0 if left out"),
        Column("shows", "count", "how strongly it shows, in percent; 60 if left out, 0 hides it",
               least=ZERO, most=Fraction(100)),
    ),
    most=100,
)  # fmt: skip
