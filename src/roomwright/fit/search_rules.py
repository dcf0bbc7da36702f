"""The stances that a wish allows: anywhere, against a wall, centered on a thing, or at a point."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from roomwright.fit.bounds import Floats
from roomwright.fit.given import Piece, Room
from roomwright.fit.lay import directions
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_lattice import Lattice, on_lattice
from roomwright.fit.search_line import Line
from roomwright.fit.search_stance import Spots, Stance
from roomwright.fit.search_wanted import Place, Size, Wanted, WantedError
from roomwright.shape import (
    Outline,
    Point,
    Segment,
    anticlockwise,
    compass,
    inside,
    lettered,
    middle,
    outward,
    unit,
    walls,
)

LEAST_WALL = 18.0
"""Nothing is put against a wall shorter than this [in], our choice."""

_EVEN = 1e-6


def stances(judge: Judge, room: Room, piece: Piece, wish: Wanted) -> list[Stance]:
    """Every stance that a wish allows.

    Raises
    ------
    WantedError
        If the wall or the thing that it names is not there.
    """
    place = wish.place or Place()
    outline = anticlockwise(room.outline)
    if place.rule == "against":
        found = _against(judge, room, outline, piece, place.on)
    elif place.rule == "centered on":
        found = _centred(judge, room, outline, piece, place.on, wish)
    elif place.rule == "at" and place.at is not None:
        found = [
            _along(judge, outline, piece, turn, "here", "where it is", _still(place.at))
            for turn in wish.turn or _turns(outline, piece)
        ]
    else:
        found = _anywhere(judge, outline, piece)
    if wish.turn and place.rule != "at":
        kept = [s for s in found if any(_same(s.turn, t, piece) for t in wish.turn)]
        if not kept and place.rule == "anywhere":
            kept = _anywhere(judge, outline, piece, [t % 90 for t in wish.turn])
            kept = [s for s in kept if any(_same(s.turn, t, piece) for t in wish.turn)]
        found = kept
    if not found:
        raise WantedError(f"no wall of room {room.id} lies that way: leave the turn open")
    return found


def symmetrical(piece: Piece) -> bool:
    """Whether half a turn changes nothing: a table, an island; its sides all need the same."""
    kind = piece.sort
    if piece.drawn or (piece.features and not kind.seats):
        return False
    if kind.seats or kind.loose:
        return True
    if kind.near or kind.serves:
        return False
    return all({"front", "back"} <= set(n.sides) or not {"front", "back"} & set(n.sides)
               for n in kind.needs) and not any(
        len({"left", "right"} & set(n.sides)) == 1 for n in kind.needs
    )  # fmt: skip


def _same(turn: float, wanted: float, piece: Piece) -> bool:
    whole = 180.0 if symmetrical(piece) else 360.0
    off = (turn - wanted) % whole
    return min(off, whole - off) < 0.05


def _turns(outline: Outline, piece: Piece) -> list[float]:
    quarters = range(1) if piece.round else range(2) if symmetrical(piece) else range(4)
    return [(angle + 90 * k) % 360 for angle in directions(outline) for k in quarters]


def _anywhere(
    judge: Judge, outline: Outline, piece: Piece, angles: Sequence[float] = ()
) -> list[Stance]:
    found = []
    for angle in angles or directions(outline):
        lattice = Lattice(judge, outline, angle)
        quarters = range(1) if piece.round else range(2) if symmetrical(piece) else range(4)
        for k in quarters:
            turn = (angle + 90 * k) % 360
            cos, sin = unit(turn)
            if piece.round:
                key, where = "round", "free in the room"
            elif symmetrical(piece):
                way = compass((cos, sin))
                key, where = f"length {turn % 180:g}", f"free, its width running {way}"
            else:
                back = compass((sin, -cos))
                key, where = f"back {turn:g}", f"free, its back to the {back}"
            found.append(on_lattice(lattice, piece, k, key, where))
    return found


@dataclass(frozen=True, slots=True)
class Wall:
    """A straight run of wall: its letters, ends in the order of the outline."""

    name: str
    side: Segment

    @property
    def length(self) -> float:
        """Its length [in]."""
        return math.dist(*self.side)


def runs(outline: Outline) -> list[Wall]:
    """The walls of an outline as recorded; those that go on in a straight line are one."""
    found: list[Wall] = []
    for name, (a, b) in lettered(outline):
        if math.dist(a, b) < _EVEN:
            continue
        if found and (one := _as_one(found[-1].side, (a, b))) is not None:
            found[-1] = Wall(f"{found[-1].name}{name}", one)
        else:
            found.append(Wall(name, (a, b)))
    if len(found) > 3 and (one := _as_one(found[-1].side, found[0].side)) is not None:
        last = found.pop()
        found[0] = Wall(f"{last.name}{found[0].name}", one)
    return found


def _as_one(one: Segment, other: Segment) -> Segment | None:
    """Two walls that follow each other, as one if they go on straight; None if they turn."""
    if not _straight(one, other):
        return None
    on = math.dist(one[1], other[0]) <= math.dist(other[1], one[0])
    return (one[0], other[1]) if on else (other[0], one[1])


def _straight(one: Segment, other: Segment) -> bool:
    (ax, ay), (bx, by) = outward(one), outward(other)
    return abs(ax * by - ay * bx) < 1e-6 and ax * bx + ay * by > 0


def _against(judge: Judge, room: Room, outline: Outline, piece: Piece, on: str) -> list[Stance]:
    found = []
    every = runs(room.outline)
    if on:
        word = on.removeprefix("wall").strip()
        kept = [w for w in every if word.upper() in (w.name, *w.name)]
        kept = kept or [w for w in every if compass(outward(w.side)) == word.lower()]
        if not kept:
            names = ", ".join(f"{w.name} ({compass(outward(w.side))})" for w in every[:30])
            raise WantedError(f"there is no wall {on}; the walls are {names}")
        every = kept
    for wall in every:
        if wall.length < LEAST_WALL:
            continue
        (px, py), (qx, qy) = wall.side
        ux, uy = (qx - px) / wall.length, (qy - py) / wall.length
        turn = math.degrees(math.atan2(uy, ux)) % 360
        turn = round(turn) if abs(turn - round(turn)) < 1e-9 else turn
        where = f"against wall {wall.name}, {compass(outward(wall.side))}"
        found.append(
            _along(
                judge,
                outline,
                piece,
                turn % 360,
                f"wall {wall.name}",
                where,
                _beside(wall, (ux, uy)),
            )
        )
    return found


class _beside:  # noqa: N801 - made once, called like a function
    """Places along a wall, back to it: every inch from its first end, and flush with its last."""

    def __init__(self, wall: Wall, along: Point) -> None:
        self.wall, self.along = wall, along

    def __call__(self, size: Size) -> tuple[Floats, Floats]:
        room = self.wall.length - size.width
        if room < -_EVEN:
            return np.empty(0), np.empty(0)
        at = np.arange(0.0, room + _EVEN)
        if room - at[-1] > _EVEN:
            at = np.append(at, room)
        (px, py), (ux, uy) = self.wall.side[0], self.along
        s, d = at + size.width / 2, size.depth / 2
        return px + ux * s - uy * d, py + uy * s + ux * d


class _still:  # noqa: N801 - as above
    """One point."""

    def __init__(self, at: Point) -> None:
        self.at = at

    def __call__(self, size: Size) -> tuple[Floats, Floats]:
        return np.array([self.at[0]]), np.array([self.at[1]])


class _out:  # noqa: N801 - as above
    """Places on a line straight out from a point, every inch, the first one touching it."""

    def __init__(self, start: Point, out: Point, across: bool, reach: float, both: bool) -> None:
        self.start, self.out, self.across = start, out, across
        self.reach, self.both = reach, both

    def __call__(self, size: Size) -> tuple[Floats, Floats]:
        half = (size.width if self.across else size.depth) / 2
        at = np.arange(half, max(half, self.reach) + _EVEN)
        if self.both:
            at = np.concatenate([np.arange(-self.reach, self.reach + _EVEN)])
        return self.start[0] + self.out[0] * at, self.start[1] + self.out[1] * at


def _along(
    judge: Judge, outline: Outline, piece: Piece, turn: float, key: str, where: str,
    places: "_beside | _still | _out",
) -> Stance:  # fmt: skip
    line = Line(judge, outline, turn)

    def spots(size: Size) -> Spots:
        x, y = places(size)
        sized = replace(
            piece, x=float(x[0]) if len(x) else 0.0, y=float(y[0]) if len(y) else 0.0,
            width=size.width, depth=size.depth, turn=turn,
        )  # fmt: skip
        return line.spots(stance, sized, size, x, y)

    stance = Stance(key, where, turn, spots, slides=False)
    return stance


def _centred(
    judge: Judge, room: Room, outline: Outline, piece: Piece, on: str, wish: Wanted
) -> list[Stance]:
    """On the axis of a wall, a window, an opening or a thing; on a light itself."""
    turns = list(wish.turn) or _turns(outline, piece)
    space = judge.space
    reach = max(math.dist(p, q) for p in outline for q in outline)
    for light in space.lights:
        if light.id == on:
            at = (light.x, light.y)
            return [
                _along(judge, outline, piece, t, f"turn {t:g}", f"centered under {on}", _still(at))
                for t in turns
            ]
    for other in space.pieces:
        if other.id == on and other.placed:
            return _before(
                judge, outline, piece, on, (other.box[2], other.box[3]), other.turn, reach
            )
    for body in space.fixed:
        if body.id == on:
            front = max(walls(anticlockwise(body.outline)), key=lambda s: _openness(s, outline))
            return _before(judge, outline, piece, on, front, _turn_of(front), reach)
    side = _named_side(judge, room, outline, on)
    if side is None:
        raise WantedError(
            f"nothing called {on} is in room {room.id}: name a window, an opening, a light, a "
            "piece, a fixed thing, or a wall by its letter"
        )
    return _before(judge, outline, piece, on, side, _turn_of(side), reach)


def _openness(side: Segment, outline: Outline) -> tuple[bool, float]:
    mx, my = middle(side)
    ox, oy = outward(side)
    return inside((mx + ox, my + oy), outline, 0.0), math.dist(*side)


def _turn_of(side: Segment) -> float:
    (ax, ay), (bx, by) = side
    return math.degrees(math.atan2(by - ay, bx - ax)) % 360


def _named_side(judge: Judge, room: Room, outline: Outline, on: str) -> Segment | None:
    """The stretch of wall called so, with the room on its right."""
    found: Segment | None = None
    for window in judge.space.windows:
        if window.id == on:
            found = window.a, window.b
    for opening in judge.space.openings:
        if opening.id == on and opening.room in (room.id, ""):
            found = opening.segment
    if found is None:
        word = on.removeprefix("wall").strip().upper()
        found = next((w.side for w in runs(room.outline) if word in (w.name, *w.name)), None)
    if found is None:
        return None
    mx, my = middle(found)
    ox, oy = outward(found)
    return found if inside((mx + ox, my + oy), outline, 0.0) else (found[1], found[0])


def _before(
    judge: Judge, outline: Outline, piece: Piece, on: str, side: Segment, turn: float, reach: float
) -> list[Stance]:
    """On the axis straight out from a side, back to it or any quarter turn from that."""
    out = outward(side)
    back = (math.degrees(math.atan2(out[1], out[0])) + 270) % 360  # its front looks out
    quarters = range(1) if piece.round else range(2) if symmetrical(piece) else range(4)
    names = ("its back to it", "its right side to it", "facing it", "its left side to it")
    return [
        _along(
            judge, outline, piece, (back + 90 * k) % 360, f"turn {(back + 90 * k) % 360:g}",
            f"centered on {on}" + ("" if symmetrical(piece) or piece.round else f", {names[k]}"),
            _out(middle(side), out, k % 2 == 1, reach, both=False),
        )
        for k in quarters
    ]  # fmt: skip
