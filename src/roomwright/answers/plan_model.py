"""What a plan shows, as plain frozen values in inches: the answer that page and paper draw from.

x runs east and y north. Nothing here knows how it will be drawn; `roomwright.drawing` measures
its text and finds the places. Texts of lengths are already as printed, so that a drawing, a
table beside it and a sheet's code can never hold two different numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from roomwright.shape import Outline, Point, Segment

DimKind = Literal["wall", "clear", "way", "box", "opening", "center"]
"""Length of a wall; clear distance of a side or a swing; tightest point of a walk path; a box
in the ceiling from a wall; an opening's distance from a corner."""

Word = Literal["", "fits", "meets", "tight", "measure", "short", "blocked"]
"""A verdict's word; empty where nothing was asked."""

WORDS: tuple[Word, ...] = ("", "fits", "meets", "tight", "measure", "short", "blocked")
"""Verdict words, mildest first."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """A door leaf: where it hangs, its far end shut and its far end open."""

    pivot: Point
    shut: Point
    open: Point


@dataclass(frozen=True, slots=True)
class Opening:
    """A way through a wall. `near` lies on one face of the wall and `far` on the other.

    `leaves` are drawn open; `slab` is where a pocket or sliding leaf stands when open. `to` and
    `to_name` say what is beyond, as this room sees it ("out" is outside).
    """

    id: str
    kind: str
    near: Segment
    far: Segment
    to: str
    to_name: str
    width: float
    leaves: tuple[Leaf, ...] = ()
    slab: Segment | None = None


@dataclass(frozen=True, slots=True)
class Window:
    """A window: its ends on the room's face and on the outer face of the wall."""

    id: str
    near: Segment
    far: Segment


@dataclass(frozen=True, slots=True)
class Thing:
    """Something fixed, by its outermost reach. A *stair* is drawn with its treads."""

    id: str
    name: str
    outline: Outline
    kind: Literal["fixed", "stair", "well"] = "fixed"
    treads: tuple[Segment, ...] = ()
    stools: tuple[Outline, ...] = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """A movable piece where it stands, with its chairs and the worst verdict on it.

    `outline` and `chairs` are in plan; `x, y, turn, width, depth` are for moving it. `straight`
    tells a plain rectangle; `opens` is the floor that its drawers and doors take while open.
    """

    id: str
    kind: str
    name: str
    outline: Outline
    x: float
    y: float
    turn: float
    width: float
    depth: float
    round: bool = False
    chairs: tuple[Outline, ...] = ()
    lines: tuple[str, ...] = ()
    word: Word = ""
    verdict: str = ""
    straight: bool = True
    opens: tuple[Outline, ...] = ()


@dataclass(frozen=True, slots=True)
class Box:
    """A box for a light in the ceiling."""

    id: str
    name: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Dim:
    """One dimension: from `p` to `q`, its text as printed, and what it is in words.

    `key` names it uniquely on the plan and in the table beside it. `elsewhere` are other places
    where the same distance may be drawn. `word` is the verdict it stands for.
    """

    key: str
    kind: DimKind
    p: Point
    q: Point
    text: str
    what: str
    word: Word = ""
    elsewhere: tuple[Segment, ...] = ()
    piece: str = ""
    side: str = ""
    letter: str = ""


@dataclass(frozen=True, slots=True)
class Way:
    """A walk path between two openings, as a line to draw."""

    id: str
    points: tuple[Point, ...]
    word: Word
    text: str


@dataclass(frozen=True, slots=True)
class Zone:
    """Floor that is asked for and not there: hatched."""

    outline: Outline
    word: Word
    piece: str = ""
    side: str = ""


@dataclass(frozen=True, slots=True)
class Contour:
    """A line on the floor over which a sloped ceiling is `height` over it [in]; as printed."""

    points: Outline
    height: float
    text: str


@dataclass(frozen=True, slots=True)
class Rise:
    """Which way a ceiling rises: an arrow from `foot` to `head`, and what is said of it."""

    id: str
    foot: Point
    head: Point
    text: str


@dataclass(frozen=True, slots=True)
class Plan:
    """One room, ready to draw.

    `outline` runs counterclockwise, `recorded` as it was recorded; `walls` are solids as rings (the
    outer ring first); `letters` name the room's walls, in the order recorded; `centers` are where
    the middles of things should be that are off.
    `said` describes the plan in words for those who do not see it.
    """

    id: str
    name: str
    outline: Outline
    walls: tuple[tuple[Outline, ...], ...]
    openings: tuple[Opening, ...] = ()
    windows: tuple[Window, ...] = ()
    things: tuple[Thing, ...] = ()
    pieces: tuple[Piece, ...] = ()
    boxes: tuple[Box, ...] = ()
    dims: tuple[Dim, ...] = ()
    ways: tuple[Way, ...] = ()
    zones: tuple[Zone, ...] = ()
    letters: tuple[tuple[str, Segment], ...] = ()
    said: str = ""
    centers: tuple[Point, ...] = ()
    recorded: Outline = ()
    contours: tuple[Contour, ...] = ()
    rises: tuple[Rise, ...] = ()


@dataclass(frozen=True, slots=True)
class StoreyRoom:
    """A room on a storey: its name, and its worst verdict as a word and a count."""

    id: str
    name: str
    outline: Outline
    word: Word = ""
    state: str = ""
    """What is said under the name: "1 short", "2 blocked"."""
    said: str = ""


@dataclass(frozen=True, slots=True)
class Storey:
    """One level of the house, ready to draw."""

    id: str
    name: str
    rooms: tuple[StoreyRoom, ...]
    walls: tuple[tuple[Outline, ...], ...]
    openings: tuple[Opening, ...] = ()
    windows: tuple[Window, ...] = ()
    things: tuple[Thing, ...] = ()
    pieces: tuple[Piece, ...] = ()
    lines: tuple[Segment, ...] = ()
    """Where rooms touch without a wall between."""
    said: str = ""
