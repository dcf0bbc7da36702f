"""One level as it is being drawn: what stands on it, and the scanned plan under it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from roomwright import shape
from roomwright.answers import plan_ceilings
from roomwright.answers.engine import Ask, query
from roomwright.answers.plan_model import Contour, Rise
from roomwright.answers.plans import levels as room_levels
from roomwright.answers.sketch import sketches
from roomwright.job import entities as e
from roomwright.shape import Outline, Point

UNSCALED = 480.0
"""Until its two points are set a picture is shown so wide [in]."""


@dataclass(frozen=True, slots=True)
class Thing:
    """Something drawn: kind and id of its fact, what it is called, where it lies [in].

    `path` is a ring for rooms and things, two ends for openings and windows, a chain for
    sketches; `at` is the middle that is moved; `room` where it stands. What is in a wall has the
    two corners of that `wall`, and how far `along` it begins.
    """

    kind: str
    id: str
    name: str
    path: Outline
    at: Point
    room: str = ""
    swing: Outline = ()
    wall: Outline = ()
    along: float = 0.0


@dataclass(frozen=True, slots=True)
class Under:
    """The picture under a level: from pixels (u right, v down) to the house [in].

    ``x = a u + c v + e``, ``y = b u + d v + f``. `scaled` once its two points are set.
    """

    sha: str
    wide: int
    high: int
    shows: int
    scaled: bool
    matrix: tuple[float, float, float, float, float, float]

    def at(self, u: float, v: float) -> Point:
        """Where a pixel lies in the house."""
        a, b, c, d, x, y = self.matrix
        return a * u + c * v + x, b * u + d * v + y

    @property
    def corners(self) -> Outline:
        """Its four corners in the house."""
        w, h = self.wide, self.high
        return self.at(0, 0), self.at(w, 0), self.at(w, h), self.at(0, h)


@dataclass(frozen=True, slots=True)
class Level:
    """All that is drawn on a level."""

    id: str
    things: tuple[Thing, ...]
    under: Under | None
    contours: tuple[Contour, ...] = ()
    rises: tuple[Rise, ...] = ()
    """Where ceilings slope."""


@query("drawn level")
def drawn_level(ask: Ask, level: str) -> Level:
    """One level with everything on it, rooms first."""
    things: list[Thing] = []
    rooms = [r for r in ask.all(e.Room) if r.level == level]
    for room in rooms:
        ring = _ring(room.outline)
        things.append(Thing("room", room.id, room.name or room.id, ring, shape.centre(ring)))
    for room in rooms:
        things += _in_room(ask, room)
    for id, chain in ask(sketches, level):
        name = ask.fact(e.Sketch, id).name or f"sketch {id}"
        path = _ring(chain.corners)
        if chain.closing == "by a wall":
            path = (*path, path[0])
        things.append(Thing("sketch", id, name, path, path[-1]))
    backdrop = next((b for b in ask.all(e.Backdrop) if b.id == level), None)
    slopes = [(room, ask.where(e.Slope, "room", room.id)) for room in rooms]
    sloped = [
        plan_ceilings.sloped(room, shape.anticlockwise(_ring(room.outline)), held)
        for room, held in slopes
        if held
    ]
    return Level(
        level,
        tuple(things),
        None if backdrop is None else under(backdrop),
        tuple(line for lines, _ in sloped for line in lines),
        tuple(rise for _, rises in sloped for rise in rises),
    )


@query("drawn levels")
def drawn_levels(ask: Ask) -> tuple[str, ...]:
    """Levels with rooms, sketches or a scanned plan; ``1`` where there is nothing yet."""
    found = dict.fromkeys(ask(room_levels))
    found |= dict.fromkeys(s.level for s in ask.all(e.Sketch))
    found |= dict.fromkeys(b.id for b in ask.all(e.Backdrop))
    return tuple(found) or ("1",)


def under(backdrop: e.Backdrop) -> Under:
    """The map from a picture to the house, by its two known points.

    >>> it = under(e.Backdrop(id="1", picture="0" * 64, wide=1000, high=500, a=("100", "400"),
    ...     b=("500", "400"), distance="800", runs="0", at=("10", "20")))
    >>> it.at(100, 400), it.at(500, 300)
    ((10.0, 20.0), (810.0, 220.0))
    """
    b = backdrop
    shown = b.picture, b.wide, b.high, b.shows
    if b.a is None or b.b is None or b.distance is None or b.runs is None:
        k = UNSCALED / b.wide
        return Under(*shown, False, (k, 0.0, 0.0, -k, 0.0, k * b.high))
    (ax, ay), (bx, by) = (tuple(map(float, p)) for p in (b.a, b.b))
    k = float(b.distance) / math.dist((ax, ay), (bx, by))
    turn = math.radians(float(b.runs)) - math.atan2(ay - by, bx - ax)
    cos, sin = k * math.cos(turn), k * math.sin(turn)
    if abs(sin) < 1e-9 * k:
        sin = 0.0
    # x = at + cos (u - ax) + sin (v - ay), y = at + sin (u - ax) - cos (v - ay)
    east = float(b.at[0]) - cos * ax - sin * ay
    north = float(b.at[1]) - sin * ax + cos * ay
    return Under(*shown, True, (cos, sin, sin, -cos, east, north))


def _in_room(ask: Ask, room: e.Room) -> list[Thing]:
    found: list[Thing] = []
    for fixed in ask.where(e.Fixed, "room", room.id):
        body = _ring(fixed.outline)
        west, south = (min(p[i] for p in body) for i in (0, 1))
        east, north = (max(p[i] for p in body) for i in (0, 1))
        middle = (west + east) / 2, (south + north) / 2
        found.append(Thing("fixed", fixed.id, fixed.name or fixed.id, body, middle, room.id))
    for piece in ask.where(e.Piece, "room", room.id):
        if piece.x is None or piece.y is None:
            continue
        at = float(piece.x), float(piece.y)
        if piece.outline:
            body = shape.moved(shape.turned(_ring(piece.outline), float(piece.turn)), *at)
        else:
            size = float(piece.width or 12), float(piece.depth or piece.width or 12)
            body = shape.rectangle(*at, *size, float(piece.turn))
        found.append(Thing("piece", piece.id, piece.kind, body, at, room.id))
    ring = _ring(room.outline)
    for window in ask.where(e.Window, "room", room.id):
        found.append(_in_wall(ring, window, f"window {window.id}", room.id))
    openings = [
        *ask.where(e.Opening, "from_room", room.id),
        *(o for o in ask.where(e.Opening, "to_room", room.id) if o.from_room in o.open_ends),
    ]
    for opening in openings:
        swing = _swing(opening, ring, room.id) if opening.kind == "swing" else ()
        found.append(_in_wall(ring, opening, f"{opening.kind} {opening.id}", room.id, swing))
    for light in ask.where(e.Light, "room", room.id):
        if light.x is not None and light.y is not None:
            at = float(light.x), float(light.y)
            found.append(Thing("light", light.id, light.kind or "light", (at,), at, room.id))
    return found


def _in_wall(
    ring: Outline, fact: e.Opening | e.Window, name: str, room: str, swing: Outline = ()
) -> Thing:
    ends = _ring((fact.a, fact.b))
    shown = shape.through_wall((ends[0], ends[1]), ring)
    index = shown[0] if shown else shape.nearest_wall(ring, (ends[0], ends[1]))[0]
    p, q = wall = shape.walls(ring)[index]
    size = math.dist(p, q)
    along = min(((x - p[0]) * (q[0] - p[0]) + (y - p[1]) * (q[1] - p[1])) / size for x, y in ends)
    at = shape.middle((ends[0], ends[1]))
    return Thing(fact.kind_name, fact.id, name, ends, at, room, swing, wall, along)


def _swing(opening: e.Opening, ring: Outline, room: str) -> Outline:
    """The floor that a door sweeps: a quarter disc into the room that it swings into."""
    ends = _ring((opening.a, opening.b))
    hinge = ends[0] if opening.hinge is None else _ring((opening.hinge,))[0]
    far = max(ends, key=lambda p: math.dist(p, hinge))
    near = min(ends, key=lambda p: math.dist(p, hinge))
    turned = shape.anticlockwise(ring)
    wall = shape.walls(turned)[shape.nearest_wall(turned, (ends[0], ends[1]))[0]]
    out = shape.outward(wall)
    sign = -1.0 if opening.swings_into in (None, room) else 1.0
    size = math.dist(near, far)
    return shape.sector(near, far, (near[0] + sign * out[0] * size, near[1] + sign * out[1] * size))


def _ring(points: e.Outline) -> Outline:
    return tuple((float(x), float(y)) for x, y in points)
