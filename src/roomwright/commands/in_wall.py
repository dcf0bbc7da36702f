"""What lies in a wall: by its letter and the distance from a corner, on any outline."""

from __future__ import annotations

import math
from fractions import Fraction

from roomwright import shape
from roomwright.commands.base import BadCommandError
from roomwright.exchange import place
from roomwright.exchange.cells import CellError
from roomwright.job.entities import Length, Opening, Point, Room, Window
from roomwright.job.facts import Facts
from roomwright.lengths import tape


def on_wall(room: Room, wall: str, from_corner: str, width: Length) -> tuple[Point, Point]:
    """Return the two ends of something in a wall, or refuse in words."""
    if width <= 0:
        raise BadCommandError(("width", "a width is more than nothing."))
    try:
        corner, distance = place.read_from_corner(from_corner)
        a, b = place.along_wall(room.outline, wall, corner, distance, width)
    except CellError as no:
        raise BadCommandError(("from_corner", f"{no}: {no.do}.")) from no
    if past_end(room, wall, a, b):
        raise BadCommandError(
            ("width", f"{tape(width)} at {tape(distance)} from the corner reaches past the end of "
                      f"wall {wall.upper()}.")
        )  # fmt: skip
    return a, b


def past_end(room: Room, wall: str, a: Point, b: Point) -> bool:
    """Return whether something in a wall reaches past an end of it."""
    ring = _ring(room)
    letters = [shape.letter(n) for n in range(len(ring))]
    this = shape.walls(ring)[letters.index(wall.upper())]
    return any(shape.distance_to((float(p[0]), float(p[1])), this) > 1 / 16 for p in (a, b))


def in_wall(room: Room, a: Point, b: Point) -> tuple[str, str, Length]:
    """Return the wall that something is in, its distance from that wall's corner, its width.

    >>> F = Fraction
    >>> room = Room(id="1", level="1", outline=(("0", "0"), ("90", "0"), ("90", "80"), ("0", "80")))
    >>> in_wall(room, (F(90), F(6)), (F(90), F(36)))
    ('B', '6"', Fraction(30, 1))
    """
    ring = _ring(room)
    ends = (float(a[0]), float(a[1])), (float(b[0]), float(b[1]))
    shown = shape.through_wall(ends, ring)
    i = shown[0] if shown else shape.nearest_wall(ring, ends)[0]
    p, q = shape.walls(ring)[i]
    size = math.dist(p, q)
    along = [((e[0] - p[0]) * (q[0] - p[0]) + (e[1] - p[1]) * (q[1] - p[1])) / size for e in ends]
    near = Fraction(round(min(along) * 64), 64)
    wide = Fraction(round(abs(along[1] - along[0]) * 64), 64)
    return shape.letter(i), tape(max(near, Fraction(0)), 64), wide


def clear(facts: Facts, room: Room, id: str, a: Point, b: Point) -> None:
    """Refuse something in a wall that lies over a window or an opening of that room."""
    mine = (float(a[0]), float(a[1])), (float(b[0]), float(b[1]))
    held: list[Window | Opening] = [w for w in facts.where(Window, "room", room.id) if w.id != id]
    for field in ("from_room", "to_room"):
        held += [o for o in facts.where(Opening, field, room.id) if o.id != id]
    for other in held:
        ends = tuple((float(x), float(y)) for x, y in (other.a, other.b))
        if _over(mine, (ends[0], ends[1])):
            raise BadCommandError(
                ("from_corner", f"it lies over {other.kind_name} {other.id} in the same wall.")
            )


def _over(mine: shape.Segment, other: shape.Segment) -> bool:
    length = math.dist(*mine)
    u = (mine[1][0] - mine[0][0]) / length, (mine[1][1] - mine[0][1]) / length
    off = [abs((p[1] - mine[0][1]) * u[0] - (p[0] - mine[0][0]) * u[1]) for p in other]
    along = sorted((p[0] - mine[0][0]) * u[0] + (p[1] - mine[0][1]) * u[1] for p in other)
    return max(off) <= 16 and along[0] < length - 1 / 64 and along[1] > 1 / 64


def _plain(p: Point) -> tuple[float, float]:
    return float(p[0]), float(p[1])


def _ring(room: Room) -> shape.Outline:
    return tuple(_plain(p) for p in room.outline)
