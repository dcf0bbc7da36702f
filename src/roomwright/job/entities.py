"""The facts of a house: what somebody measured, chose, ordered, received, posted or said.

Each fact is a frozen model with an ``id`` that is unique among its kind. Lengths are exact
fractions of an inch, written as the tape reads them; dates are calendar days. Plan axes: x east,
y north, inches, between finished wall faces. Nothing that can be computed is a fact.
"""

from __future__ import annotations

import re
import unicodedata
from datetime import date
from fractions import Fraction
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer

from roomwright import lengths

_NUMBER = re.compile(
    r"([+-]?)(?:(?:([0-9]{1,9})\s+)?([0-9]{1,9})/([1-9][0-9]{0,8})|([0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12}))"
)


def _length(value: Any) -> Fraction:
    return value if isinstance(value, Fraction) else lengths.parse(value)


def _number(value: Any) -> Fraction:
    """Return an exact number of days or pieces: 2.5, "5/2" and "2 1/2" are the same."""
    if isinstance(value, Fraction):
        return value
    said = unicodedata.normalize("NFKD", str(value).strip()).replace("\u2044", "/")
    found = _NUMBER.fullmatch(said)
    if found is None:
        raise ValueError(f"“{str(value)[:40]}” is not a number: type it like 5, 2.5 or 2 1/2")
    sign, whole, top, under, plain = found.groups()
    amount = Fraction(plain) if plain else Fraction(int(top), int(under)) + int(whole or 0)
    return -amount if sign == "-" else amount


def _plain(value: Fraction) -> str:
    return str(value)


Length = Annotated[
    Fraction, BeforeValidator(_length), PlainSerializer(lengths.exact, return_type=str)
]
"""A length in inches, exact; accepts any notation of the tape, stored as ``183 1/2``."""

Number = Annotated[Fraction, BeforeValidator(_number), PlainSerializer(_plain, return_type=str)]
"""An exact plain number (days, counts that may be halves), stored as ``5/2``."""

Point = tuple[Length, Length]
Outline = tuple[Point, ...]
Id = Annotated[str, Field(min_length=1, max_length=80)]
Text = Annotated[str, Field(max_length=2000)]


class Fact(BaseModel):
    """What every fact has: an id, a version of its shape, and columns we do not know but keep."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    kind_name: ClassVar[str]
    shape: ClassVar[int] = 1
    references: ClassVar[dict[str, str]] = {}
    """Field name -> kind of the fact it points to; empty ones and `open_ends` may dangle."""
    open_ends: ClassVar[frozenset[str]] = frozenset()
    """Values of a reference that are no id: ``out`` of an opening, ``all`` of an activity."""

    id: Id
    extra: dict[str, str] = Field(default_factory=dict)


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


class Room(Fact):
    """A room by its outline between finished wall faces."""

    kind_name = "room"
    references = {"floor": "floor"}

    name: Text = ""
    level: Id
    outline: Outline
    ceiling: Length | None = None
    floor: str | None = None


OpeningKind = Literal["swing", "swing pair", "pocket", "slide", "bifold", "cased", "open"]


class Opening(Fact):
    """A way through a wall: its two ends on `from_room`'s face, or anywhere through the wall."""

    kind_name = "opening"
    references = {"from_room": "room", "to_room": "room", "swings_into": "room"}
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
    references = {"room": "room"}

    room: Id
    a: Point
    b: Point
    height: Length | None = None
    sill: Length | None = None
    type: Text = ""


class Fixed(Fact):
    """A thing built in; its outline is the outermost reach at any height a body meets."""

    kind_name = "fixed"
    references = {"room": "room"}

    room: Id
    name: Text = ""
    outline: Outline
    note: Text = ""


class Piece(Fact):
    """A movable piece or appliance. At turn 0 its width runs along x and its back faces south."""

    kind_name = "piece"
    references = {"room": "room", "line": "part"}

    room: Id
    kind: Text
    width: Length | None = None
    depth: Length | None = None
    height: Length | None = None
    x: Length | None = None
    y: Length | None = None
    turn: Number = Fraction(0)
    line: Id | None = None
    uses: dict[str, str] = Field(default_factory=dict)
    """The builder's own word on a side: compass word -> use (walk past, edge past, rise)."""


class Light(Fact):
    """A ceiling box by its centre, and the piece or fixed thing it should be centred on."""

    kind_name = "light"
    references = {"room": "room"}

    room: Id
    kind: Text = ""
    x: Length | None = None
    y: Length | None = None
    centred_on: Id | None = None


class Stair(Fact):
    """A stair from subfloor to subfloor."""

    kind_name = "stair"
    references = {"from_room": "room", "to_room": "room"}

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
    """One tape reading between two corners of a room."""

    kind_name = "reading"
    references = {"room": "room"}

    room: Id
    from_corner: Id
    to_corner: Id
    length: Length
    kind: Text = ""
    face: Text = ""
    on: date | None = None
    by: Text = ""


class Activity(Fact):
    """Work that takes days and stands in the network; 0 days is a milestone."""

    kind_name = "activity"
    references = {"rooms": "room"}
    open_ends = frozenset({"all"})

    name: Text = ""
    days_low: Number | None = None
    days_likely: Number
    days_high: Number | None = None
    trade: Text = ""
    rooms: tuple[Id, ...] = ()
    note: Text = ""


LinkKind = Literal["finish to start", "start to start", "finish to finish", "start to finish"]


class Link(Fact):
    """Which activity waits for which, and how. Its id is ``before > after (kind)``."""

    kind_name = "link"
    references = {"before": "activity", "after": "activity"}

    before: Id
    after: Id
    kind: LinkKind = "finish to start"
    lag_days: Number = Fraction(0)
    lag_counts: Literal["working", "elapsed"] = "working"
    reason: Text = ""


class Progress(Fact):
    """What has happened to an activity (its id is the activity's), as of the day it was said."""

    kind_name = "progress"
    references = {"id": "activity"}

    started: date | None = None
    finished: date | None = None
    days_left: Number | None = None


class PartClass(Fact):
    """A class of things bought alike: facts to find on the cut sheet, when needed, lead time."""

    kind_name = "class"
    references = {"needed_by": "activity", "order_after": "activity"}

    name: Text = ""
    facts: Text = ""
    needed_by: Id
    order_after: Id | None = None
    lead_weeks_low: Number | None = None
    lead_weeks_high: Number | None = None
    basis: Text = ""


class Companion(Fact):
    """A part that goes with each item of a class, and who brings it."""

    kind_name = "companion"
    references = {"part_class": "class"}

    part_class: Id
    part: Text
    per_item: Number = Fraction(1)
    when: Text = ""
    stage: Text = "finish"
    brought_by: Text = ""
    kind: Literal["part", "work"] = "part"


class Part(Fact):
    """A line of the plan: so many of a class in a room."""

    kind_name = "part"
    references = {"room": "room", "part_class": "class"}

    room: Id
    part_class: Id
    qty: int = Field(ge=0, le=100_000)
    bought_by: Text = ""
    """Who buys it: owner, or a trade; empty is the builder."""
    note: Text = ""


class Order(Fact):
    """One line of an order; its id is ``order/line``."""

    kind_name = "order"
    references = {"line": "part"}

    order: Id
    maker: Text = ""
    line: Id
    qty: int = Field(ge=0, le=100_000)
    placed: date | None = None
    promised: date | None = None
    note: Text = ""


class Receipt(Fact):
    """What came, when, against which order line."""

    kind_name = "receipt"
    references = {"line": "part"}

    order: Id
    line: Id
    qty: int = Field(ge=0, le=100_000)
    on: date | None = None
    note: Text = ""


class Posting(Fact):
    """A wall sheet that was hung, kept as printed. Its id is ``room/trade/revision``."""

    kind_name = "posting"
    references = {"room": "room"}

    room: Id
    trade: Text = ""
    revision: Text = ""
    posted: date | None = None
    taken_down: date | None = None
    code: Text = ""
    content: str = ""
    """The sheet's content as printed: canonical JSON; empty for sheets hung before this program."""
    note: Text = ""


class Contact(Fact):
    """Who to call for a trade (its id)."""

    kind_name = "contact"

    name: Text = ""
    phone: Text = ""


KINDS: dict[str, type[Fact]] = {
    k.kind_name: k
    for k in (
        House,
        Floor,
        Room,
        Opening,
        Window,
        Fixed,
        Activity,
        PartClass,
        Companion,
        Part,
        Piece,
        Light,
        Stair,
        Reading,
        Link,
        Progress,
        Order,
        Receipt,
        Posting,
        Contact,
    )
}
"""Kind name -> model, in an order in which each kind comes after those it refers to."""
