"""All that can be centered on a thing, or a thing on it: center, direction, bowls."""

import math
from dataclasses import dataclass

import shapely

from roomwright.fit.centring_table import word_of
from roomwright.fit.fixtures import bowls
from roomwright.fit.model import Space
from roomwright.shape import TOUCH, Outline, Point, Segment, middle, outward, unit, walls

AT_WALL = 6.0
"""What is this near to a wall stands or hangs at it [in], our choice."""


@dataclass(frozen=True, slots=True)
class Thing:
    """A thing that is centered on another, or that another is centered on.

    `at` is its center in plan, None while it has no place; `along` the direction of its width, or
    of the wall it is in; `on` the id of what it is said to be centered on; `spots` the centers of
    its bowls where it has more than one. `word` is what `centring.toml` knows it by.
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
    word: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """What tells it from all others: ids of two sorts of things may be the same."""
        return self.what, self.id


def things_of(space: Space) -> tuple[Thing, ...]:
    """All that can take part. Of those that share an id the last is meant by it."""
    found: dict[tuple[str, str], Thing] = {}
    for door in space.openings:
        found.setdefault(
            ("opening", door.id),
            _in_wall(door.id, "opening", "opening", door.segment, door.room),
        )
    for window in space.windows:
        found["window", window.id] = _in_wall(
            window.id, "window", "window", (window.a, window.b), window.room
        )
    for body in space.fixed:
        at, along = _middle_of(body.outline)
        found["fixed", body.id] = Thing(
            body.id, body.name, "fixed", at, body.outline, along, "", body.room,
            word=word_of(body.name),
        )  # fmt: skip
    for light in space.lights:
        found["light", light.id] = Thing(
            light.id, light.kind, "light", (light.x, light.y), (), None, light.centred_on,
            light.room, word=word_of(light.kind),
        )  # fmt: skip
    for piece in space.pieces:
        thing = Thing(
            piece.id, piece.name, "piece", None, on=piece.centred_on, room=piece.room,
            word=word_of(piece.name),
        )  # fmt: skip
        if piece.placed:
            x, y, _, _ = piece.where
            spots = bowls(piece) if piece.sort.bowls > 1 else ()
            thing = Thing(
                piece.id, piece.name, "piece", (x, y), piece.outline, unit(piece.turn),
                piece.centred_on, piece.room, spots, thing.word,
            )  # fmt: skip
        found["piece", piece.id] = thing
    return tuple(found.values())


def _in_wall(id: str, name: str, what: str, segment: Segment, room: str) -> Thing:
    (ax, ay), (bx, by) = segment
    run = math.dist(*segment)
    if run <= TOUCH:
        return Thing(id, name, what, middle(segment), (), None, "", room, word=word_of(name))
    along = (bx - ax) / run, (by - ay) / run
    return Thing(id, name, what, middle(segment), segment, along, "", room, word=word_of(name))


def _middle_of(outline: Outline) -> tuple[Point | None, Point | None]:
    """The middle of a thing's length and depth, and the direction of its longest edge."""
    if not outline:
        return None, None
    longest = max(walls(outline), key=lambda edge: math.dist(*edge))
    if math.dist(*longest) <= TOUCH:
        return outline[0], None
    out = outward(longest)
    along = -out[1], out[0]
    u, v = (sum(reach(outline, way)) / 2 for way in (along, out))
    return (u * along[0] + v * out[0], u * along[1] + v * out[1]), along


def on(p: Point, way: Point) -> float:
    """How far a point lies in a direction [in]."""
    return p[0] * way[0] + p[1] * way[1]


def reach(outline: Outline, way: Point) -> tuple[float, float]:
    """Where an outline begins and ends in a direction [in]."""
    found = [on(p, way) for p in outline]
    return min(found), max(found)


def shape_of(thing: Thing) -> shapely.Geometry:
    """What a thing covers in plan: an area, a line in a wall, or a point."""
    if len(thing.outline) > 2:
        return shapely.Polygon(thing.outline)
    return shapely.LineString(thing.outline) if thing.outline else shapely.Point(thing.at or (0, 0))


def before(thing: Thing, other: Thing) -> bool:
    """Whether a thing stands before a window rather than beside it; true of all other things."""
    if other.what != "window" or other.along is None or thing.at is None:
        return True
    low, high = reach(other.outline, other.along)
    return low <= on(thing.at, other.along) <= high


def at_wall(thing: Thing, space: Space) -> bool:
    """Whether a thing stands or hangs at a wall of its space."""
    rings = [space.outline, *space.holes, *(room.outline for room in space.rooms)]
    shape = shape_of(thing)
    return any(
        shapely.distance(shape, shapely.LinearRing(ring)) <= AT_WALL
        for ring in rings
        if len(ring) > 2
    )
