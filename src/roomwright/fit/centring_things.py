"""All that can be centered on a thing, or a thing on it: center, direction, bowls."""

import math
from dataclasses import dataclass

import shapely

from roomwright.fit.model import Space
from roomwright.shape import Outline, Point, Segment, centre, middle, outward, unit, walls


@dataclass(frozen=True, slots=True)
class Thing:
    """A thing that is centered on another, or that another is centered on.

    `at` is its center in plan, None while it has no place; `along` the direction of its width, or
    of the wall it is in; `spots` are the centers of its bowls where it has more than one.
    """

    id: str
    name: str
    what: str
    at: Point | None
    outline: Outline = ()
    along: Point | None = None
    on: str = ""
    room: str = ""
    spots: tuple[Point, ...] = ()


def things_of(space: Space) -> dict[str, Thing]:
    """All that can take part, by id."""
    found: dict[str, Thing] = {}
    for window in space.windows:
        found[window.id] = _in_wall(
            window.id, "window", "window", (window.a, window.b), window.room
        )
    for door in space.openings:
        found.setdefault(door.id, _in_wall(door.id, "opening", "opening", door.segment, door.room))
    for body in space.fixed:
        found[body.id] = Thing(
            body.id, body.name, "fixed", centre(body.outline), body.outline,
            _length_of(body.outline), "", body.room,
        )  # fmt: skip
    for light in space.lights:
        at = (light.x, light.y)
        found[light.id] = Thing(
            light.id, light.kind, "light", at, (), None, light.centred_on, light.room
        )
    for piece in space.pieces:
        if not piece.placed:
            found[piece.id] = Thing(
                piece.id, piece.name, "piece", None, on=piece.centred_on, room=piece.room
            )
            continue
        x, y, width, _ = piece.where
        along = unit(piece.turn)
        bowls = piece.sort.bowls
        spots = tuple(
            (x + s * width * along[0], y + s * width * along[1])
            for s in ((k + 0.5) / bowls - 0.5 for k in range(bowls))
        )
        found[piece.id] = Thing(
            piece.id, piece.name, "piece", (x, y), piece.outline, along, piece.centred_on,
            piece.room, spots if bowls > 1 else (),
        )  # fmt: skip
    return found


def _in_wall(id: str, name: str, what: str, segment: Segment, room: str) -> Thing:
    (ax, ay), (bx, by) = segment
    run = math.dist(*segment) or 1.0
    along = (bx - ax) / run, (by - ay) / run
    return Thing(id, name, what, middle(segment), segment, along, "", room)


def _length_of(outline: Outline) -> Point:
    """The direction of the longest edge of an outline."""
    longest = max(walls(outline), key=lambda edge: math.dist(*edge))
    out = outward(longest)
    return -out[1], out[0]


def shape_of(thing: Thing) -> shapely.Geometry:
    """What a thing covers in plan: an area, a line in a wall, or a point."""
    if len(thing.outline) > 2:
        return shapely.Polygon(thing.outline)
    return shapely.LineString(thing.outline) if thing.outline else shapely.Point(thing.at or (0, 0))


def apart(thing: Thing, other: Thing) -> float:
    """How far two things are apart in plan [in]."""
    return float(shapely.distance(shape_of(thing), shape_of(other)))


def before(thing: Thing, other: Thing) -> bool:
    """Whether a thing stands before a window rather than beside it; true of all other things."""
    if other.what != "window" or other.along is None or thing.at is None:
        return True
    ends = [x * other.along[0] + y * other.along[1] for x, y in other.outline]
    return min(ends) <= thing.at[0] * other.along[0] + thing.at[1] * other.along[1] <= max(ends)
