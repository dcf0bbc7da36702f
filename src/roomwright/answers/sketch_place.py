r"""Where a thing goes, in words measured from walls, and the place that the words mean.

Two ways of saying it, as on site:

* along a wall: ``on wall A, 24 from corner B`` (a thing is turned with its back to that wall)
* out from walls: ``36 from the north wall, 12 from the east wall`` or ``36 from wall C``

>>> parse_place("on wall A, 24 from corner B, 32 wide")
Spot(wall='A', corner='B', along=Fraction(24, 1), wide=Fraction(32, 1), offs=(), middle=False)
>>> parse_place("36 from the north wall and 12 from wall b").offs
(('north', Fraction(36, 1)), ('B', Fraction(12, 1)))
>>> room = ((0.0, 0.0), (162.0, 0.0), (162.0, 150.0), (0.0, 150.0))
>>> located(parse_place("36 from the north wall, 12 from the east wall"), room, (84, 42)).at
(108.0, 93.0)
>>> there = located(parse_place("on wall B, 24 from corner B"), room, (60, 25))
>>> there.at, there.turn
((149.5, 54.0), 90.0)
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import shapely

from roomwright import shape
from roomwright.lengths import LengthError
from roomwright.lengths import parse as parse_length
from roomwright.shape import Outline, Point

SLACK = 1 / 32
"""A thing may lie so far in a wall by rounding [in]."""

_WALL = re.compile(r"(?:on |in |against |along )?(?:the )?wall ([a-z]{1,2})")
_CORNER = re.compile(r"(.+?) from (?:the )?corner ([a-z]{1,2})|(.+?) from ([a-z]{1,2})")
_OFF = re.compile(
    r"(.+?) (?:from|off) (?:the )?(?:wall ([a-z]{1,2})|"
    r"(north|south|east|west|northeast|northwest|southeast|southwest)(?: wall)?)"
)
_WIDE = re.compile(r"(.+?) wide")
MIDDLE = {"middle", "in the middle", "centered", "center", "in the center", "centered on it"}
EXAMPLE = "36 from the north wall, 12 from the east wall; or: on wall A, 24 from corner B"


class PlaceError(ValueError):
    """A place that cannot be understood, or that is nowhere in the room."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place as it was said: along a wall from a corner, or off some walls [in]."""

    wall: str = ""
    corner: str = ""
    along: Fraction | None = None
    wide: Fraction | None = None
    offs: tuple[tuple[str, Fraction], ...] = ()
    middle: bool = False


@dataclass(frozen=True, slots=True)
class Located:
    """Where a thing's center lies [in], and its turn [degrees counterclockwise]."""

    at: Point
    turn: float


def parse_place(text: str) -> Spot:
    """Understand a place.

    Raises
    ------
    PlaceError
        naming the part that cannot be understood.
    """
    if len(text) > 400:
        raise PlaceError("that is too long for a place: 400 characters at most.")
    wall = corner = ""
    along = wide = None
    offs: list[tuple[str, Fraction]] = []
    middle = False
    for part in filter(None, (p.strip() for p in re.split(r"[,;]| and ", text.lower()))):
        if part in MIDDLE:
            middle = True
        elif found := _WALL.fullmatch(part):
            wall = found[1].upper()
        elif found := _OFF.fullmatch(part):
            offs.append((found[2].upper() if found[2] else found[3], _length(found[1])))
        elif found := _CORNER.fullmatch(part):
            along, corner = _length(found[1] or found[3]), (found[2] or found[4]).upper()
        elif found := _WIDE.fullmatch(part):
            wide = _length(found[1])
        else:
            raise PlaceError(f"“{part[:40]}” is not understood. Say it like {EXAMPLE}.")
    if not (wall or offs or middle):
        raise PlaceError(f"say from which walls. Like {EXAMPLE}.")
    if len(offs) > 2:
        raise PlaceError("two walls are enough: say how far from each of two.")
    return Spot(wall, corner, along, wide, tuple(offs), middle)


def located(
    spot: Spot, room: Sequence[Point], size: tuple[float, float], turn: float = 0.0,
    now: Point | None = None,
) -> Located:  # fmt: skip
    """Where a thing of some size goes.

    Parameters
    ----------
    room
        The outline, corners in its own order of letters [in].
    size
        Width and depth of the thing [in]; 0, 0 for what is measured to its center.
    turn
        How it is turned [degrees]; along a wall it is turned with its back to it.
    now
        Where it is: kept along the wall that nothing is said of.

    Raises
    ------
    PlaceError
        if there is no such wall or corner, or the thing would stand in a wall there.
    """
    ring = tuple((float(x), float(y)) for x, y in room)
    if spot.wall:
        there = _on_wall(spot, ring, size)
    else:
        there = Located(_off_walls(spot, ring, size, turn, now), turn)
    body = shapely.Polygon(shape.rectangle(*there.at, *_some(size), there.turn))
    floor = shapely.Polygon(ring)
    if not floor.buffer(SLACK, join_style="mitre").covers(body):
        raise PlaceError("there it would stand in a wall: check the distances and its size.")
    return there


def wall_of(name: str, ring: Sequence[Point]) -> tuple[Point, Point]:
    """The two ends of a wall by its letter.

    Raises
    ------
    PlaceError
        if the room has no such wall.
    """
    letters = [shape.letter(n) for n in range(len(ring))]
    if name.upper() not in letters:
        raise PlaceError(f"there is no wall {name}: this room has walls A to {letters[-1]}.")
    return shape.walls(ring)[letters.index(name.upper())]


def _on_wall(spot: Spot, ring: Outline, size: tuple[float, float]) -> Located:
    a, b = wall_of(spot.wall, ring)
    first = spot.wall
    index = [shape.letter(n) for n in range(len(ring))].index(first)
    second = shape.letter((index + 1) % len(ring))
    if spot.corner not in ("", first, second):
        raise PlaceError(f"wall {first} has no corner {spot.corner}: {first} or {second}.")
    length = math.dist(a, b)
    along = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    inward = (-along[1], along[0]) if shape.signed_area(ring) >= 0 else (along[1], -along[0])
    wide, deep = size
    if spot.along is None:
        at = length / 2
    else:
        at = float(spot.along) + wide / 2
        at = length - at if spot.corner == second else at
    off = deep / 2 + (float(spot.offs[0][1]) if spot.offs else 0.0)
    spot_x = a[0] + along[0] * at + inward[0] * off
    spot_y = a[1] + along[1] * at + inward[1] * off
    return Located((spot_x, spot_y), (math.degrees(math.atan2(-inward[0], inward[1]))) % 360)


def _off_walls(
    spot: Spot, ring: Outline, size: tuple[float, float], turn: float, now: Point | None
) -> Point:
    middle = shape.centre(ring)
    if not spot.offs:
        return middle
    places = []
    floor = shapely.Polygon(ring).buffer(SLACK, join_style="mitre")
    for lines in itertools.product(*(_candidates(name, ring) for name, _ in spot.offs)):
        constraints = [
            (_out(wall, ring), wall, float(off))
            for wall, (_, off) in zip(lines, spot.offs, strict=True)
        ]
        at = _solve(constraints, size, turn, now or middle)
        body = shapely.Polygon(shape.rectangle(*at, *_some(size), turn))
        if floor.covers(body) and all(_faces(body, wall, floor) for wall in lines):
            places.append(at)
    found = [p for n, p in enumerate(places) if all(math.dist(p, q) > 0.01 for q in places[:n])]
    if len(found) > 1:
        name = spot.offs[0][0]
        raise PlaceError(f"there is more than one {name} wall: say which, like 36 from wall C.")
    if not found:
        raise PlaceError("there it would stand in a wall: check the distances and its size.")
    return found[0]


def _faces(body: shapely.Polygon, wall: tuple[Point, Point], floor: shapely.Polygon) -> bool:
    """Whether straight out from a thing its wall is met over the room's own floor."""
    (ax, ay), (bx, by) = wall
    length = math.dist(*wall)
    u = (bx - ax) / length, (by - ay) / length
    spots = [((x - ax) * u[0] + (y - ay) * u[1]) for x, y in body.exterior.coords]
    low, high = max(0.0, min(spots)), min(length, max(spots))
    if high - low < SLACK and max(spots) - min(spots) > SLACK:
        return False
    along = (low + high) / 2
    on_wall = shapely.Point(ax + u[0] * along, ay + u[1] * along)
    return bool(floor.covers(shapely.shortest_line(on_wall, body)))


def _candidates(name: str, ring: Outline) -> list[tuple[Point, Point]]:
    if name.isupper():
        return [wall_of(name, ring)]
    walls = [w for w in shape.walls(ring) if shape.compass(_out(w, ring)) == name]
    if not walls:
        raise PlaceError(f"this room has no {name} wall: say a wall's letter, like wall A.")
    return walls


def _out(wall: tuple[Point, Point], ring: Outline) -> Point:
    east, north = shape.outward(wall)
    return (east, north) if shape.signed_area(ring) >= 0 else (-east, -north)


def _solve(
    constraints: list[tuple[Point, tuple[Point, Point], float]],
    size: tuple[float, float],
    turn: float,
    now: Point,
) -> Point:
    """The center that lies so far off each wall; off one wall it moves straight to it."""
    rows = []
    for normal, (p, _), off in constraints:
        rows.append(
            (normal, normal[0] * p[0] + normal[1] * p[1] - off - _reach(normal, size, turn))
        )
    (n, c), *more = rows
    if not more:
        by = c - (n[0] * now[0] + n[1] * now[1])
        return now[0] + n[0] * by, now[1] + n[1] * by
    (m, d) = more[0]
    under = n[0] * m[1] - n[1] * m[0]
    if abs(under) < 0.05:
        raise PlaceError("those two walls run the same way: say one of them, and one across.")
    return (c * m[1] - d * n[1]) / under, (n[0] * d - m[0] * c) / under


def _reach(normal: Point, size: tuple[float, float], turn: float) -> float:
    """How far a rectangle reaches from its center along a direction [in]."""
    angle = math.radians(turn)
    u, v = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))
    wide = abs(normal[0] * u[0] + normal[1] * u[1]) * size[0] / 2
    return wide + abs(normal[0] * v[0] + normal[1] * v[1]) * size[1] / 2


def _some(size: tuple[float, float]) -> tuple[float, float]:
    return max(size[0], 0.01), max(size[1], 0.01)


def _length(text: str) -> Fraction:
    try:
        value = parse_length(text)
    except LengthError as no:
        raise PlaceError(str(no)) from no
    if value < 0:
        raise PlaceError(f"“{text[:40]}” is negative: measure from the other side.")
    return value
