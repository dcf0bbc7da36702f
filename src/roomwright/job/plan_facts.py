"""Facts of the plan: the house, its rooms, what is built in, what stands there, the tape."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from roomwright.job.fact import Fact, Id, Length, Number, Outline, Point, Text


class House(Fact):
    """The house itself; its id is always ``house``."""

    kind_name = "house"

    id: Id = "house"
    name: Text
    site_start: date
    work_week: tuple[str, ...] = ("mon", "tue", "wed", "thu", "fri")
    days_off: tuple[date, ...] = ()
    written_as_of: date | None = None
    cost_per_day: Number | None = None
    inspect_days: int = Field(default=5, ge=0, le=60)
    tape_sigma: Length = Fraction(1, 8)
    figures: str = "kitchen and bath guidelines"
    overrides: dict[str, str] = Field(default_factory=dict)
    """Figure key -> value; ``101:dining.rise`` overrides it in room 101 only."""


Face = Literal["stud", "board", "finished"]


class Room(Fact):
    """A room by its outline between finished wall faces."""

    kind_name = "room"
    references: ClassVar[dict[str, str]] = {"floor": "floor"}

    name: Text = ""
    level: Id
    outline: Outline
    ceiling: Length | None = None
    floor: str | None = None
    use: Text = ""
    """What people do in it: bedroom, bath, kitchen ...; empty: as its name says."""
    face: Face = "finished"
    """The face of the walls that the outline was taken to; the finish stands on it (`Wall`)."""
    planned: Outline = ()
    """What was drawn before the outline was taken from the tape."""
    measured_on: date | None = None
    measured_by: Text = ""


class Wall(Fact):
    """The layers of one wall of a room, corner to corner. Its id is ``101/A-B``."""

    kind_name = "wall"
    references: ClassVar[dict[str, str]] = {"room": "room"}

    room: Id
    from_corner: Id
    to_corner: Id
    board: Length | None = None
    """Thickness of the board on the studs."""
    finish: Length | None = None
    """Thickness of what stands on the board: tile and its bond, panels, stone."""
    note: Text = ""


class Slope(Fact):
    """A sloped part of a room's ceiling: it rises from `low` over the line a-b into the room."""

    kind_name = "slope"
    references: ClassVar[dict[str, str]] = {"room": "room"}

    room: Id
    a: Point
    b: Point
    low: Length
    pitch: Number
    """Inches of rise in 12 of run, square to the line; it ends at the room's ceiling."""


class Walk(Fact):
    """Whether people walk much from rooms of one use to rooms of another. Id ``bed > bath``."""

    kind_name = "walk"

    from_use: Id
    to_use: Id
    standing: Literal["main", "other"] = "main"
    note: Text = ""


class PieceKind(Fact):
    """A kind of piece of one's own: its name, what it is like, and the room its sides need."""

    kind_name = "kind"

    like: Text = ""
    also: Text = ""
    front: Text = ""
    back: Text = ""
    left: Text = ""
    right: Text = ""
    around: Text = ""
    note: Text = ""


OpeningKind = Literal["swing", "swing pair", "pocket", "slide", "bifold", "cased", "open"]


class Opening(Fact):
    """A way through a wall: its two ends on `from_room`'s face, or anywhere through the wall."""

    kind_name = "opening"
    references: ClassVar[dict[str, str]] = {
        "from_room": "room",
        "to_room": "room",
        "swings_into": "room",
    }
    open_ends = frozenset({"out"})

    from_room: Id
    to_room: Id
    kind: OpeningKind
    a: Point
    b: Point
    width: Length | None = None
    height: Length | None = None
    hinge: Point | None = None
    swings_into: Id | None = None


class Window(Fact):
    """A window by its two ends on the room's wall face."""

    kind_name = "window"
    references: ClassVar[dict[str, str]] = {"room": "room"}

    room: Id
    a: Point
    b: Point
    height: Length | None = None
    sill: Length | None = None
    type: Text = ""
    clear_width: Length | None = None
    clear_height: Length | None = None
    """The clear opening, open: read off the cut sheet or taped."""


class Fixed(Fact):
    """A thing built in; its outline is the outermost reach at any height a body meets."""

    kind_name = "fixed"
    references: ClassVar[dict[str, str]] = {"room": "room"}

    room: Id
    name: Text = ""
    outline: Outline
    low: Length | None = None
    """Where it begins over the finished floor, if not on it."""
    high: Length | None = None
    """Where it ends: the top of a half wall, a counter, a hearth."""
    note: Text = ""


class Piece(Fact):
    """A movable piece or appliance. At turn 0 its width runs along x and its back faces south."""

    kind_name = "piece"
    references: ClassVar[dict[str, str]] = {"room": "room", "line": "part"}

    room: Id
    kind: Text
    width: Length | None = None
    depth: Length | None = None
    height: Length | None = None
    x: Length | None = None
    y: Length | None = None
    turn: Number = Fraction(0)
    line: Id | None = None
    outline: Outline = ()
    """Its own shape about its center at turn 0, for what is no rectangle: a sectional as drawn."""
    features: Text = ""
    """What tells it from others of its kind: ``legs pedestal; leaf 18``."""
    centred_on: Id | None = None
    """The piece, fixed thing, window or light it should be centered on."""
    uses: dict[str, str] = Field(default_factory=dict)
    """The builder's own word on a side: compass word -> use (walk past, edge past, rise)."""


class Light(Fact):
    """A ceiling box by its centre, and the piece, fixed thing or window it should be centred on."""

    kind_name = "light"
    references: ClassVar[dict[str, str]] = {"room": "room"}

    room: Id
    kind: Text = ""
    x: Length | None = None
    y: Length | None = None
    centred_on: Id | None = None


class Stair(Fact):
    """A stair from subfloor to subfloor."""

    kind_name = "stair"
    references: ClassVar[dict[str, str]] = {"from_room": "room", "to_room": "room"}

    from_room: Id
    to_room: Id
    width: Length | None = None
    rise: Length
    risers: int = Field(ge=1, le=60)
    run: Length | None = None
    tread_thickness: Length | None = None
    headroom: Length | None = None


class Floor(Fact):
    """A floor finish (its id is its name) and its build-up over the subfloor."""

    kind_name = "floor"

    build_up: Length
    note: Text = ""


class Reading(Fact):
    """A tape reading: between corners; a height (to ``ceiling``); an offset (to ``D4 near``)."""

    kind_name = "reading"
    references: ClassVar[dict[str, str]] = {"room": "room"}

    room: Id
    from_corner: Id
    to_corner: Id
    length: Length
    kind: Text = ""
    face: Text = ""
    on: date | None = None
    by: Text = ""
    aside: Literal["", "yes"] = ""
    """Set aside by the builder: kept, but not used."""
    note: Text = ""


class Sketch(Fact):
    """Walls as somebody said them, not yet a room: a start, and the walls in words."""

    kind_name = "sketch"

    level: Id
    start: Point = (Fraction(0), Fraction(0))
    walls: Text = ""
    """As typed: ``12 4 1/2 east, 9 south, close``; it need not close."""
    name: Text = ""


class Backdrop(Fact):
    """A scanned plan under a level (its id), and the two known points that set its scale."""

    kind_name = "backdrop"

    picture: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
    """The sha256 of the picture [hex]; the picture itself is kept beside the facts."""
    file: Text = ""
    page: int = Field(default=1, ge=1, le=10_000)
    wide: int = Field(ge=1, le=20_000)
    high: int = Field(ge=1, le=20_000)
    """Size of the picture [px]."""
    a: Point | None = None
    b: Point | None = None
    """Two known points in the picture [px], x to the right and y down from its top left."""
    distance: Length | None = None
    """From a to b in the house."""
    runs: Number | None = None
    """The direction from a to b in the house [degrees], counterclockwise from east."""
    at: Point = (Fraction(0), Fraction(0))
    """Where a lies in the house."""
    shows: int = Field(default=60, ge=0, le=100)
    """How strongly it shows [percent]; 0 hides it."""
