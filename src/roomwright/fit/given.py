"""What the fit engine is given: frozen values in inches and degrees.

x runs east and y north; a piece's `turn` is anticlockwise seen from above, and at turn 0 its
width runs along x and its back faces south. The whole: `Space` and `Needs`.
What it answers stands in `found`.
"""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from roomwright import shape
from roomwright.fit.features import Features, features_of
from roomwright.fit.forms import Form, form
from roomwright.fit.kinds import Kind, kind_of
from roomwright.shape import Outline, Point, Segment

What = Literal["piece", "fixed", "swing", "slope"]
Local = Literal["back", "left", "front", "right", "around"]
Use = Literal["rise", "edge past", "walk past", "slide in"]

LOCALS: tuple[Local, Local, Local, Local] = ("back", "left", "front", "right")
"""Names of a piece's sides in the order of its outline; left and right as one faces its front."""

ROUND = re.compile(r"\bround\b", re.IGNORECASE)

HEADROOM = 80.0
"""A person walks under what begins this high over the floor [in] (2010 ADA Standards, 307.4)."""


FAR = 1e6
"""Nothing in a house is larger or farther off [in]; what says so has no known size or place."""


@dataclass(frozen=True, slots=True)
class Needs:
    """Figures in force as plain numbers, each under its key.

    `tape` is the 95 % error of a taped clear distance [in]; it decides what counts as tight.
    `source` names the set of figures for a key, to print beside a verdict; `set_name` is the set
    that the house chose.
    """

    figures: Mapping[str, float]
    tape: float = 0.25
    source: Mapping[str, str] = field(default_factory=dict)
    set_name: str = ""

    def get(self, key: str) -> float | None:
        """The figure called `key` [in], or None if this house has none."""
        return self.figures.get(key)

    @property
    def spare(self) -> float:
        """What must be left over for a plain *fits* [in]: 2 or the tape's 95 % error."""
        return max(2.0, self.tape)


@dataclass(frozen=True, slots=True)
class Body:
    """Something that a person or a piece can meet: its outermost reach in plan.

    `low` and `high` bound it in height [in]; `owner` is the id of the piece or the opening
    it belongs to (the body's own id where it stands for itself).
    """

    id: str
    name: str
    kind: str
    what: What
    outline: Outline
    low: float = 0.0
    high: float = math.inf
    owner: str = ""
    room: str = ""
    own: Kind | None = None

    @property
    def sort(self) -> Kind:
        """Its kind: its own, or the one that the program knows by that name."""
        return self.own or kind_of(self.kind)


@dataclass(frozen=True, slots=True)
class Piece:
    """A movable or a bought thing: a table, a range, a tub.

    `x, y` is the centre in plan, None while it has no place yet; sizes are None while unknown.
    `drawn` is its own shape about its centre at turn 0 where it is no rectangle; `features` is
    what tells it from others of its kind; `own` is a kind that the program does not know itself.
    """

    id: str
    kind: str
    name: str
    width: float | None
    depth: float | None
    height: float | None = None
    x: float | None = None
    y: float | None = None
    turn: float = 0.0
    room: str = ""
    drawn: Outline = ()
    features: str = ""
    centred_on: str = ""
    own: Kind | None = None

    @property
    def sort(self) -> Kind:
        """Its kind: its own, or the one that the program knows by that name."""
        return self.own or kind_of(self.kind)

    @property
    def placed(self) -> bool:
        """Whether it has a size (more than nothing) and a place, and all of them are numbers."""
        if self.x is None or self.y is None or self.width is None or self.depth is None:
            return False
        said = (self.x, self.y, self.width, self.depth, self.turn)
        real = all(math.isfinite(each) and abs(each) <= FAR for each in said)
        return real and min(self.width, self.depth) > shape.TOUCH

    @property
    def round(self) -> bool:
        """Whether it is round: "Round dining table", "table, round", a feature ``shape round``."""
        if self.drawn or self.features:
            shape_ = self.told.shape
            return not self.drawn and (
                shape_ == "round" or (not shape_ and ROUND.search(self.kind) is not None)
            )
        return ROUND.search(self.kind) is not None

    @property
    def told(self) -> Features:
        """Its features as read."""
        return features_of(self.features)

    @property
    def form(self) -> Form:
        """Its form about its own center at turn 0; ValueError if its size is not known."""
        if self.width is None or self.depth is None:
            raise ValueError(f"{self.id} has no size yet")
        return form(self.kind, self.width, self.depth, self.drawn, self.told)

    @property
    def straight(self) -> bool:
        """Whether it is a plain rectangle; ValueError if its size is not known."""
        return self.form.straight

    @property
    def where(self) -> tuple[float, float, float, float]:
        """Its center x and y, width and depth [in].

        Raises
        ------
        ValueError
            If its size or its place is not known.
        """
        if self.x is None or self.y is None or self.width is None or self.depth is None:
            raise ValueError(f"{self.id} has no size or no place yet")
        return self.x, self.y, self.width, self.depth

    @property
    def box(self) -> Outline:
        """The rectangle round it: back, left, front, right. Raises as `where` does."""
        return shape.rectangle(*self.where, self.turn)

    @property
    def edges(self) -> dict[Local, Segment]:
        """The sides of its box by their names. Raises as `where` does."""
        return dict(zip(LOCALS, shape.walls(self.box), strict=True))

    def locals_of(self, words: Iterable[str]) -> frozenset[Local]:
        """The sides that words name, by their own or their compass word.

        >>> table = Piece("T1", "table", "table", 84, 42, 30, 0, 0, 90)
        >>> sorted(table.locals_of({"front", "east"}))
        ['back', 'front']
        """
        said = frozenset(words)
        return frozenset(
            local
            for local, edge in self.edges.items()
            if local in said or shape.compass(shape.outward(edge)) in said
        )

    @property
    def benches(self) -> frozenset[Local]:
        """The sides that have a bench."""
        return self.locals_of(self.told.benches) if self.features else frozenset()

    @property
    def stools(self) -> dict[Local, int]:
        """The sides that have stools, and how many; 0 where it is not said."""
        if not self.features:
            return {}
        found: dict[Local, int] = {}
        for word, count in self.told.stools:
            found.update(dict.fromkeys(self.locals_of({word}), count))
        return found

    @property
    def outline(self) -> Outline:
        """Its outermost reach in plan, anticlockwise. Raises as `where` does."""
        x, y, width, _ = self.where
        form_ = self.form
        if form_.straight:
            return self.box
        if form_.name == "round":
            return shape.round_outline(x, y, width)
        return shape.moved(shape.turned(form_.outline, self.turn), x, y)


@dataclass(frozen=True, slots=True)
class Opening:
    """An opening as one room sees it: `a` and `b` are its ends on that room's own wall face.

    `to` is the room behind it, or "out". A cased or open opening has no leaf.
    """

    id: str
    a: Point
    b: Point
    to: str
    kind: str
    width: float
    height: float = 80.0
    room: str = ""
    name: str = ""

    @property
    def segment(self) -> Segment:
        """Its two ends."""
        return self.a, self.b


@dataclass(frozen=True, slots=True)
class Leaf:
    """One leaf of a swinging door and the quarter disc it sweeps.

    `pivot` is where the hinge is given, `shut` the far end of the leaf (with its handle) when
    shut, `open` the far end when square to the wall; `into` is the room it swings into.
    """

    id: str
    opening: str
    pivot: Point
    shut: Point
    open: Point
    into: str
    width: float
    handle: float = 1.0

    @property
    def outline(self) -> Outline:
        """The quarter disc."""
        return shape.sector(self.pivot, self.shut, self.open)


@dataclass(frozen=True, slots=True)
class Window:
    """A window on a room's wall; `sill` is its height over the floor.

    `clear_width` and `clear_height` are its clear opening, where that was read or taped.
    """

    id: str
    a: Point
    b: Point
    height: float
    sill: float
    kind: str = ""
    room: str = ""
    clear_width: float | None = None
    clear_height: float | None = None

    @property
    def width(self) -> float:
        """From end to end [in]."""
        return math.dist(self.a, self.b)

    @property
    def head(self) -> float:
        """Height of its top over the floor [in]."""
        return self.sill + self.height


@dataclass(frozen=True, slots=True)
class Light:
    """A box for a light, and the piece or fixed thing it hangs centered over."""

    id: str
    kind: str
    x: float
    y: float
    centred_on: str = ""
    room: str = ""


@dataclass(frozen=True, slots=True)
class Flight:
    """A straight flight of stairs, subfloor to subfloor.

    `lower` and `upper` are the build-ups of the finished floors over their subfloors, `tread`
    the thickness of the finished tread over the stringer [in].
    """

    id: str
    rise: float
    risers: int
    run: float | None
    tread: float
    width: float | None = None
    headroom: float | None = None
    lower: float | None = None
    upper: float | None = None
    room: str = ""


@dataclass(frozen=True, slots=True)
class Slope:
    """A sloped part of a ceiling: `low` over the line a-b, rising `pitch` in 12 to one side of it.

    It rises to the side on which the room lies, up to the room's own ceiling.
    """

    id: str
    a: Point
    b: Point
    low: float
    pitch: float
    room: str = ""


@dataclass(frozen=True, slots=True)
class Room:
    """One room of a space: its own outline between finished faces, anticlockwise."""

    id: str
    name: str
    outline: Outline
    ceiling: float | None = None
    floor: str = ""
    use: str = ""


@dataclass(frozen=True, slots=True)
class Space:
    """Rooms that are open to each other, walked as one, and all that stands in them.

    `outline` (anticlockwise) and `holes` bound the free floor. `overrides` says what the
    builder decided about a side's use, by (piece id, compass word or local name). `off_wall`
    names openings that show on no wall of their room, `unhung` swinging doors of unknown hand.
    `main` holds the pairs of openings between which a main route through the house runs; None
    where the house is not known, and names decide. `closed` says that the board is up: a box
    that moves then leaves a patch.
    """

    rooms: tuple[Room, ...]
    outline: Outline
    holes: tuple[Outline, ...] = ()
    openings: tuple[Opening, ...] = ()
    leaves: tuple[Leaf, ...] = ()
    windows: tuple[Window, ...] = ()
    fixed: tuple[Body, ...] = ()
    pieces: tuple[Piece, ...] = ()
    lights: tuple[Light, ...] = ()
    flights: tuple[Flight, ...] = ()
    slopes: tuple[Slope, ...] = ()
    overrides: Mapping[tuple[str, str], Use] = field(default_factory=dict)
    off_wall: tuple[str, ...] = ()
    unhung: tuple[str, ...] = ()
    main: frozenset[frozenset[str]] | None = None
    closed: bool = True

    def room(self, room: str) -> Room:
        """The room called `room`.

        Raises
        ------
        KeyError
            If it is not one of this space's rooms.
        """
        for each in self.rooms:
            if each.id == room:
                return each
        raise KeyError(room)
